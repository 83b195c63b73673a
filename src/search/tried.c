/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Keeps the plans of a search and their years.
 */
#include "search/tried.h"

#include "base/elementary.h"
#include "search/years.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LOOKING_CONFIDENCE 0.995 /* of "surely" in the search: a plan that is looked at eight times is lost in few */
#define ONE_ERROR 0.6827         /* confidence of an interval of one standard error */
#define SLICE 64                 /* plans that live together, between two reports of progress */
#define HARVEST_STEP 0.05        /* natural logarithm: 5 % */

void wg_tried_free(struct wg_tried *tried) {
    for (int i = 0; i < tried->n; i++) {
        free(tried->at[i].level);
        free(tried->at[i].year);
    }
    free(tried->at);
    *tried = (struct wg_tried){0};
}

/* ---- adding ---- */

static int grow_table(struct wg_tried *tried) {
    if (tried->n < tried->capacity)
        return 0;
    const int capacity = tried->capacity > 0 ? 2 * tried->capacity : 256;
    struct wg_candidate *const at = realloc(tried->at, (size_t)capacity * sizeof *at);
    if (at == NULL)
        return wg_no_memory(tried->err, NULL);
    tried->at = at;
    tried->capacity = capacity;
    return 0;
}

static int find_levels(const struct wg_tried *tried, const int *level) {
    const size_t size = (size_t)tried->question->n_numbers * sizeof *level;
    for (int i = 0; i < tried->n; i++)
        if (memcmp(tried->at[i].level, level, size) == 0)
            return i;
    return -1;
}

static int find_key(const struct wg_tried *tried, const struct wg_search_key *key) {
    for (int i = 0; i < tried->n && (key->part[0] | key->part[1]) != 0; i++)
        if (tried->at[i].rung != WG_RUNG_NO_PLAN && tried->at[i].key.part[0] == key->part[0] &&
            tried->at[i].key.part[1] == key->part[1])
            return tried->at[i].same_as >= 0 ? tried->at[i].same_as : i;
    return -1;
}

static int count_changes(const struct wg_search_question *q, const int *level) {
    int changes = 0;
    for (int i = 0; i < q->n_numbers; i++)
        changes += level[i] != q->number[i].own;
    return changes;
}

static int append_plan(struct wg_tried *tried, const int *level) {
    const struct wg_search_question *const q = tried->question;
    struct wg_candidate candidate = {.money = (double)NAN, .harvest_kg = (double)NAN, .same_as = -1};
    int code = grow_table(tried);
    if (code == 0)
        code = q->check(q->self, level, &candidate.key, tried->err);
    if (code < 0)
        return code;
    const size_t size = (size_t)q->n_numbers * sizeof *level;
    candidate.level = malloc(size);
    if (candidate.level == NULL)
        return wg_no_memory(tried->err, NULL);
    memcpy(candidate.level, level, size);
    candidate.changes = count_changes(q, level);
    candidate.rung = code == WG_SEARCH_NO_PLAN ? WG_RUNG_NO_PLAN : WG_RUNG_NEW;
    candidate.same_as = code == 0 ? find_key(tried, &candidate.key) : -1;
    tried->at[tried->n++] = candidate;
    return 0;
}

int wg_tried_add(struct wg_tried *tried, const int *level, int *index) {
    *index = find_levels(tried, level);
    if (*index >= 0)
        return 0;
    *index = tried->n;
    return append_plan(tried, level);
}

double wg_tried_combinations(const struct wg_search_question *q) {
    double product = 1;
    for (int i = 0; i < q->n_numbers; i++)
        product *= q->number[i].levels;
    return product;
}

/* Moves on to the next combination, the last number first. Returns false after the last. */
static bool next_levels(const struct wg_search_question *q, int *level) {
    for (int i = q->n_numbers - 1; i >= 0; i--) {
        if (++level[i] < q->number[i].levels)
            return true;
        level[i] = 0;
    }
    return false;
}

int wg_tried_add_all(struct wg_tried *tried) {
    const struct wg_search_question *const q = tried->question;
    int level[WG_SEARCH_MAX_NUMBERS] = {0};
    int code = 0;
    do
        code = count_changes(q, level) > 0 ? append_plan(tried, level) : 0; /* the own plan is in it */
    while (code == 0 && next_levels(q, level));
    return code;
}

bool wg_tried_counts(const struct wg_tried *tried, int index) {
    return tried->at[index].rung != WG_RUNG_NO_PLAN && tried->at[index].same_as < 0;
}

int wg_tried_different(const struct wg_tried *tried) {
    int n = 0;
    for (int i = 0; i < tried->n; i++)
        n += wg_tried_counts(tried, i);
    return n;
}

/* ---- living ---- */

static int make_room(struct wg_tried *tried, struct wg_candidate *candidate, int64_t to) {
    if (candidate->capacity >= to)
        return 0;
    struct wg_search_year *const year = realloc(candidate->year, (size_t)to * sizeof *year);
    if (year == NULL)
        return wg_no_memory(tried->err, NULL);
    candidate->year = year;
    candidate->capacity = to;
    return 0;
}

/* Writes the orders of the plans that have fewer years. Returns 0 with their number, or WG_ERR_MEMORY. */
static int write_orders(struct wg_tried *tried, const int *which, int n, int64_t to, struct wg_search_life *order,
                        int *n_orders) {
    *n_orders = 0;
    for (int i = 0; i < n; i++) {
        struct wg_candidate *const candidate = &tried->at[which[i]];
        if (candidate->n >= to)
            continue;
        const int code = make_room(tried, candidate, to);
        if (code < 0)
            return code;
        order[(*n_orders)++] = (struct wg_search_life){.level = candidate->level,
                                                       .stream = WG_SEARCH_LOOKING,
                                                       .first = candidate->n,
                                                       .n = to - candidate->n,
                                                       .year = candidate->year + candidate->n};
    }
    return 0;
}

static void count_years(struct wg_tried *tried, const int *which, int n, int64_t to) {
    for (int i = 0; i < n; i++) {
        struct wg_candidate *const candidate = &tried->at[which[i]];
        if (candidate->n >= to)
            continue;
        tried->years += to - candidate->n;
        candidate->n = to;
        const int64_t pilot = tried->question->pilot;
        if (isnan(candidate->money) && to >= pilot) {
            candidate->money = wg_tried_money(tried, which[i], pilot);
            candidate->harvest_kg = wg_tried_harvest(tried, which[i], pilot);
        }
    }
}

void wg_tried_report(const struct wg_tried *tried, enum wg_search_stage stage) {
    const struct wg_search_question *const q = tried->question;
    const int64_t years = tried->years + tried->other_years;
    if (q->progress != NULL)
        q->progress(q->progress_self, stage, years, tried->expected > years ? tried->expected : years);
}

/* Lets a slice of plans live, with its own orders. */
static int live_slice(struct wg_tried *tried, const int *which, int n, int64_t to) {
    const struct wg_search_question *const q = tried->question;
    struct wg_search_life order[SLICE];
    int n_orders = 0;
    int code = write_orders(tried, which, n, to, order, &n_orders);
    if (code == 0 && n_orders > 0)
        code = q->live(q->self, order, n_orders, tried->err);
    if (code == 0)
        count_years(tried, which, n, to);
    for (int i = 0; i < n && code == 0; i++)
        code = wg_tried_judge(tried, which[i]);
    return code;
}

int wg_tried_live(struct wg_tried *tried, enum wg_search_stage stage, const int *which, int n, int64_t to) {
    int code = 0;
    for (int i = 0; i < n && code == 0; i += SLICE) {
        code = live_slice(tried, &which[i], n - i < SLICE ? n - i : SLICE, to);
        wg_tried_report(tried, stage);
    }
    return code;
}

/* ---- folding by course ---- */

struct course {
    int index, changes;
    const struct wg_search_year *year;
    int64_t n;
};

static int compare_years(const struct wg_search_year *a, const struct wg_search_year *b) {
    if (a->course != b->course)
        return a->course < b->course ? -1 : 1;
    return (a->money > b->money) - (a->money < b->money);
}

static int compare_courses(const struct course *a, const struct course *b) {
    for (int64_t k = 0; k < a->n; k++) {
        const int order = compare_years(&a->year[k], &b->year[k]);
        if (order != 0)
            return order;
    }
    return 0;
}

static int by_course(const void *left, const void *right) {
    const struct course *const a = left, *const b = right;
    const int order = compare_courses(a, b);
    if (order != 0)
        return order;
    return a->changes != b->changes ? (a->changes > b->changes) - (a->changes < b->changes)
                                    : (a->index > b->index) - (a->index < b->index);
}

static bool is_course_known(const struct course *course) {
    for (int64_t k = 0; k < course->n; k++)
        if (course->year[k].course == 0)
            return false;
    return true;
}

int wg_tried_fold(struct wg_tried *tried) {
    struct course *const course = calloc((size_t)tried->n + 1, sizeof *course);
    const int64_t pilot = tried->question->pilot;
    int n = 0;
    if (course == NULL)
        return wg_no_memory(tried->err, NULL);
    for (int i = 0; i < tried->n; i++)
        if (wg_tried_counts(tried, i) && tried->at[i].n >= pilot) {
            course[n] = (struct course){i, tried->at[i].changes, tried->at[i].year, pilot};
            n += is_course_known(&course[n]);
        }
    qsort(course, (size_t)n, sizeof *course, by_course);
    for (int i = 1, first = 0; i < n; i++)
        if (compare_courses(&course[first], &course[i]) == 0)
            tried->at[course[i].index].same_as = course[first].index;
        else
            first = i;
    for (int i = 0; i < tried->n; i++) /* what was the same as a plan that is now the same as a third */
        if (tried->at[i].same_as >= 0 && tried->at[tried->at[i].same_as].same_as >= 0)
            tried->at[i].same_as = tried->at[tried->at[i].same_as].same_as;
    free(course);
    return 0;
}

/* ---- what the years tell ---- */

int64_t wg_tried_hits(const struct wg_tried *tried, int index, int goal) {
    const struct wg_candidate *const candidate = &tried->at[index];
    return wg_years_hits(tried->question, candidate->year, candidate->n, goal);
}

double wg_tried_money(const struct wg_tried *tried, int index, int64_t n) {
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += tried->at[index].year[k].money;
    return sum / (double)n;
}

void wg_tried_gap(const struct wg_tried *tried, int index, int than, double *mean, double *error) {
    const struct wg_candidate *const a = &tried->at[than], *const b = &tried->at[index];
    const int64_t n = a->n < b->n ? a->n : b->n;
    double sum = 0, squares = 0;
    for (int64_t k = 0; k < n; k++)
        sum += b->year[k].money - a->year[k].money;
    *mean = sum / (double)n;
    for (int64_t k = 0; k < n; k++) {
        const double off = b->year[k].money - a->year[k].money - *mean;
        squares += off * off;
    }
    *error = n > 1 ? sqrt(squares / ((double)n * (double)(n - 1))) : (double)INFINITY;
}

double wg_tried_harvest(const struct wg_tried *tried, int index, int64_t n) {
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += tried->at[index].year[k].harvest_kg;
    return sum / (double)n;
}

double wg_tried_left(const struct wg_tried *tried, int index) {
    const struct wg_candidate *const candidate = &tried->at[index];
    double sum = 0;
    for (int64_t k = 0; k < candidate->n; k++)
        sum += candidate->year[k].left;
    return sum / (double)candidate->n;
}

double wg_tried_margin(const struct wg_tried *tried, int index) {
    double margin = (double)INFINITY;
    for (int g = 0; g < tried->question->n_goals; g++) {
        const double hits = (double)wg_tried_hits(tried, index, g), n = (double)tried->at[index].n;
        margin = fmin(margin, (hits + 0.5) / (n + 1) - tried->question->chance[g]);
    }
    return margin;
}

double wg_tried_hope(const struct wg_tried *tried, int index) {
    double hope = (double)INFINITY;
    for (int g = 0; g < tried->question->n_goals; g++) {
        const int64_t hits = wg_tried_hits(tried, index, g);
        const struct wg_interval interval = wg_wilson((size_t)hits, (size_t)tried->at[index].n, ONE_ERROR);
        hope = fmin(hope, interval.high - tried->question->chance[g]);
    }
    return hope;
}

int wg_tried_judge(struct wg_tried *tried, int index) {
    struct wg_candidate *const candidate = &tried->at[index];
    for (int g = 0; g < tried->question->n_goals && candidate->rung == WG_RUNG_NEW; g++) {
        struct wg_goal_chance chance;
        const int code = wg_years_chance(tried->question, WG_SEARCH_LOOKING, candidate->year, candidate->n, g,
                                         LOOKING_CONFIDENCE, &chance, tried->err);
        if (code < 0)
            return code;
        if (chance.verdict == WG_NO)
            candidate->rung = WG_RUNG_OUT;
    }
    return 0;
}

int wg_tried_passes(struct wg_tried *tried, int index, bool *passes, bool *surely) {
    const struct wg_candidate *const candidate = &tried->at[index];
    *passes = *surely = true;
    for (int g = 0; g < tried->question->n_goals; g++) {
        struct wg_goal_chance chance;
        const int code = wg_years_chance(tried->question, WG_SEARCH_LOOKING, candidate->year, candidate->n, g,
                                         LOOKING_CONFIDENCE, &chance, tried->err);
        if (code < 0)
            return code;
        *passes = *passes && chance.share >= tried->question->chance[g];
        *surely = *surely && chance.verdict == WG_YES;
    }
    return 0;
}

/* ---- equal plans ---- */

/* Steps of 5 %, so that a harvest that differs less is the same. */
static double harvest_step(double kg) {
    return kg > 0 ? floor(wg_log(kg) / HARVEST_STEP) : -(double)INFINITY;
}

int wg_search_compare_equals(double odds1, double harvest1, int changes1, int plan1, double odds2, double harvest2,
                             int changes2, int plan2) {
    const double first[] = {-round(100 * odds1), -harvest_step(harvest1), changes1, plan1};
    const double second[] = {-round(100 * odds2), -harvest_step(harvest2), changes2, plan2};
    for (size_t i = 0; i < sizeof first / sizeof *first; i++)
        if (first[i] < second[i] || first[i] > second[i])
            return first[i] < second[i] ? -1 : 1;
    return 0;
}
