/*
 * Keeps the plans of a search and their years.
 */
#include "search/table.h"

#include "base/elementary.h"
#include "search/years.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LOOKING_CONFIDENCE 0.9545 /* of "surely" in the search: two standard errors */
#define HARVEST_STEP 0.05         /* natural logarithm: 5 % */

void wg_table_free(struct wg_table *table) {
    for (int i = 0; i < table->n; i++) {
        free(table->at[i].level);
        free(table->at[i].year);
    }
    free(table->at);
    *table = (struct wg_table){0};
}

/* ---- adding ---- */

static int grow_table(struct wg_table *table) {
    if (table->n < table->capacity)
        return 0;
    const int capacity = table->capacity > 0 ? 2 * table->capacity : 256;
    struct wg_candidate *const at = realloc(table->at, (size_t)capacity * sizeof *at);
    if (at == NULL)
        return wg_no_memory(table->err, NULL);
    table->at = at;
    table->capacity = capacity;
    return 0;
}

static int find_levels(const struct wg_table *table, const int *level) {
    const size_t size = (size_t)table->question->n_numbers * sizeof *level;
    for (int i = 0; i < table->n; i++)
        if (memcmp(table->at[i].level, level, size) == 0)
            return i;
    return -1;
}

static int find_key(const struct wg_table *table, const struct wg_search_key *key) {
    for (int i = 0; i < table->n && (key->part[0] | key->part[1]) != 0; i++)
        if (table->at[i].rung != WG_RUNG_NO_PLAN && table->at[i].key.part[0] == key->part[0] &&
            table->at[i].key.part[1] == key->part[1])
            return table->at[i].same_as >= 0 ? table->at[i].same_as : i;
    return -1;
}

static int count_changes(const struct wg_search_question *q, const int *level) {
    int changes = 0;
    for (int i = 0; i < q->n_numbers; i++)
        changes += level[i] != q->number[i].own;
    return changes;
}

static int append_plan(struct wg_table *table, const int *level) {
    const struct wg_search_question *const q = table->question;
    struct wg_candidate candidate = {.money = (double)NAN, .harvest_kg = (double)NAN, .same_as = -1};
    int code = grow_table(table);
    if (code == 0)
        code = q->check(q->self, level, &candidate.key, table->err);
    if (code < 0)
        return code;
    const size_t size = (size_t)q->n_numbers * sizeof *level;
    candidate.level = malloc(size);
    if (candidate.level == NULL)
        return wg_no_memory(table->err, NULL);
    memcpy(candidate.level, level, size);
    candidate.changes = count_changes(q, level);
    candidate.rung = code == WG_SEARCH_NO_PLAN ? WG_RUNG_NO_PLAN : WG_RUNG_NEW;
    candidate.same_as = code == 0 ? find_key(table, &candidate.key) : -1;
    table->at[table->n++] = candidate;
    return 0;
}

int wg_table_add(struct wg_table *table, const int *level, int *index) {
    *index = find_levels(table, level);
    if (*index >= 0)
        return 0;
    *index = table->n;
    return append_plan(table, level);
}

double wg_table_combinations(const struct wg_search_question *q) {
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

int wg_table_add_all(struct wg_table *table) {
    const struct wg_search_question *const q = table->question;
    int level[WG_SEARCH_MAX_NUMBERS] = {0};
    int code = 0;
    do
        code = count_changes(q, level) > 0 ? append_plan(table, level) : 0; /* the own plan is in it */
    while (code == 0 && next_levels(q, level));
    return code;
}

bool wg_table_counts(const struct wg_table *table, int index) {
    return table->at[index].rung != WG_RUNG_NO_PLAN && table->at[index].same_as < 0;
}

int wg_table_different(const struct wg_table *table) {
    int n = 0;
    for (int i = 0; i < table->n; i++)
        n += wg_table_counts(table, i);
    return n;
}

/* ---- living ---- */

static int make_room(struct wg_table *table, struct wg_candidate *candidate, int64_t to) {
    if (candidate->capacity >= to)
        return 0;
    struct wg_search_year *const year = realloc(candidate->year, (size_t)to * sizeof *year);
    if (year == NULL)
        return wg_no_memory(table->err, NULL);
    candidate->year = year;
    candidate->capacity = to;
    return 0;
}

/* Writes the orders of the plans that have fewer years. Returns 0 with their number, or WG_ERR_MEMORY. */
static int write_orders(struct wg_table *table, const int *which, int n, int64_t to, struct wg_search_life *order,
                        int *n_orders) {
    *n_orders = 0;
    for (int i = 0; i < n; i++) {
        struct wg_candidate *const candidate = &table->at[which[i]];
        if (candidate->n >= to)
            continue;
        const int code = make_room(table, candidate, to);
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

static void count_years(struct wg_table *table, const int *which, int n, int64_t to) {
    for (int i = 0; i < n; i++) {
        struct wg_candidate *const candidate = &table->at[which[i]];
        if (candidate->n >= to)
            continue;
        table->years += to - candidate->n;
        candidate->n = to;
        const int64_t pilot = table->question->pilot;
        if (isnan(candidate->money) && to >= pilot) {
            candidate->money = wg_table_money(table, which[i], pilot);
            candidate->harvest_kg = wg_table_harvest(table, which[i], pilot);
        }
    }
}

int wg_table_live(struct wg_table *table, enum wg_search_stage stage, const int *which, int n, int64_t to) {
    const struct wg_search_question *const q = table->question;
    struct wg_search_life *const order = malloc((size_t)(n > 0 ? n : 1) * sizeof *order);
    int n_orders = 0;
    int code = order == NULL ? wg_no_memory(table->err, NULL) : write_orders(table, which, n, to, order, &n_orders);
    if (code == 0 && n_orders > 0)
        code = q->live(q->self, order, n_orders, table->err);
    free(order);
    if (code != 0)
        return code;
    count_years(table, which, n, to);
    for (int i = 0; i < n && code == 0; i++)
        code = wg_table_judge(table, which[i]);
    if (q->progress != NULL)
        q->progress(q->self, stage, table->years, 0);
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

int wg_table_fold(struct wg_table *table) {
    struct course *const course = calloc((size_t)table->n + 1, sizeof *course);
    const int64_t pilot = table->question->pilot;
    int n = 0;
    if (course == NULL)
        return wg_no_memory(table->err, NULL);
    for (int i = 0; i < table->n; i++)
        if (wg_table_counts(table, i) && table->at[i].n >= pilot) {
            course[n] = (struct course){i, table->at[i].changes, table->at[i].year, pilot};
            n += is_course_known(&course[n]);
        }
    qsort(course, (size_t)n, sizeof *course, by_course);
    for (int i = 1, first = 0; i < n; i++)
        if (compare_courses(&course[first], &course[i]) == 0)
            table->at[course[i].index].same_as = course[first].index;
        else
            first = i;
    for (int i = 0; i < table->n; i++) /* what was the same as a plan that is now the same as a third */
        if (table->at[i].same_as >= 0 && table->at[table->at[i].same_as].same_as >= 0)
            table->at[i].same_as = table->at[table->at[i].same_as].same_as;
    free(course);
    return 0;
}

/* ---- what the years tell ---- */

int64_t wg_table_hits(const struct wg_table *table, int index, int goal) {
    const struct wg_candidate *const candidate = &table->at[index];
    return wg_years_hits(table->question, candidate->year, candidate->n, goal);
}

double wg_table_money(const struct wg_table *table, int index, int64_t n) {
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += table->at[index].year[k].money;
    return sum / (double)n;
}

double wg_table_harvest(const struct wg_table *table, int index, int64_t n) {
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += table->at[index].year[k].harvest_kg;
    return sum / (double)n;
}

double wg_table_left(const struct wg_table *table, int index) {
    const struct wg_candidate *const candidate = &table->at[index];
    double sum = 0;
    for (int64_t k = 0; k < candidate->n; k++)
        sum += candidate->year[k].left;
    return sum / (double)candidate->n;
}

double wg_table_margin(const struct wg_table *table, int index) {
    double margin = (double)INFINITY;
    for (int g = 0; g < table->question->n_goals; g++) {
        const double hits = (double)wg_table_hits(table, index, g), n = (double)table->at[index].n;
        margin = fmin(margin, (hits + 0.5) / (n + 1) - table->question->chance[g]);
    }
    return margin;
}

int wg_table_judge(struct wg_table *table, int index) {
    struct wg_candidate *const candidate = &table->at[index];
    for (int g = 0; g < table->question->n_goals && candidate->rung == WG_RUNG_NEW; g++) {
        struct wg_goal_chance chance;
        const int code = wg_years_chance(table->question, WG_SEARCH_LOOKING, candidate->year, candidate->n, g,
                                         LOOKING_CONFIDENCE, &chance, table->err);
        if (code < 0)
            return code;
        if (chance.verdict == WG_NO)
            candidate->rung = WG_RUNG_OUT;
    }
    return 0;
}

int wg_table_passes(struct wg_table *table, int index, bool *passes, bool *surely) {
    const struct wg_candidate *const candidate = &table->at[index];
    *passes = *surely = true;
    for (int g = 0; g < table->question->n_goals; g++) {
        struct wg_goal_chance chance;
        const int code = wg_years_chance(table->question, WG_SEARCH_LOOKING, candidate->year, candidate->n, g,
                                         LOOKING_CONFIDENCE, &chance, table->err);
        if (code < 0)
            return code;
        *passes = *passes && chance.share >= table->question->chance[g];
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
