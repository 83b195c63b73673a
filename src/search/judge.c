/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lives years that the search did not see and finds the odds of plans.
 */
#include "search/judge.h"

#include "search/years.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define JUDGED_SLICE 64 /* years between two reports of progress */
#define MAX_DOUBTED 3   /* plans that live with the doubtful numbers changed */

/* ---- adding ---- */

static int find_judged(const struct wg_search_answer *answer, int plan) {
    for (int i = 0; i < answer->n_judged; i++)
        if (answer->judged[i].plan == plan)
            return i;
    return -1;
}

static signed char end_of(const struct wg_search_number *number, int level) {
    if (!number->is_ordered || number->levels < 2)
        return 0;
    return level == 0 ? -1 : level == number->levels - 1 ? 1 : 0;
}

/* Sets what is not known without years. */
static void clear_judged(struct wg_search_judged *judged, const struct wg_search_question *q) {
    const double none = (double)NAN;
    const struct wg_goal_chance unknown = {.share = none, .interval = {0, 1}, .verdict = WG_UNDECIDED};
    const struct wg_search_amount amount = {none, {none, none}, none, none, none};
    for (int g = 0; g < q->n_goals; g++)
        judged->goal[g] = unknown;
    judged->all = judged->alive = unknown;
    judged->verdict = WG_UNDECIDED;
    judged->money = judged->harvest = judged->left = amount;
    judged->animals = none;
    judged->more_money = judged->more_odds = judged->more_harvest = (struct wg_search_gap){none, {none, none}};
}

static void begin_judged(struct wg_search_judged *judged, const struct wg_tried *tried, int plan) {
    const struct wg_search_question *const q = tried->question;
    *judged = (struct wg_search_judged){.plan = plan, .changes = tried->at[plan].changes};
    clear_judged(judged, q);
    for (int i = 0; i < q->n_numbers; i++) {
        judged->level[i] = tried->at[plan].level[i];
        judged->end[i] = end_of(&q->number[i], judged->level[i]);
    }
}

void wg_jury_add(struct wg_jury *jury, const int *which, int n, enum wg_role role) {
    struct wg_search_answer *const answer = jury->answer;
    for (int i = 0; i < n; i++) {
        int at = find_judged(answer, which[i]);
        if (at < 0 && answer->n_judged < WG_SEARCH_MAX_JUDGED) {
            at = answer->n_judged++;
            jury->role[at] = 0;
            begin_judged(&answer->judged[at], jury->tried, which[i]);
        }
        if (at >= 0)
            jury->role[at] |= (int)role;
    }
}

/* Returns the place of the judged plan that is furthest from the goals among those that may go, and their number. */
static int find_furthest(const struct wg_jury *jury, int *n) {
    int furthest = -1;
    *n = 0;
    for (int i = 0; i < jury->answer->n_judged; i++) {
        if (jury->answer->judged[i].meets || (jury->role[i] & WG_ROLE_OWN) != 0)
            continue;
        ++*n;
        if (furthest < 0 || wg_jury_margin(jury, i) < wg_jury_margin(jury, furthest))
            furthest = i;
    }
    return furthest;
}

static void remove_judged(struct wg_jury *jury, int i) {
    struct wg_search_answer *const answer = jury->answer;
    free(answer->judged[i].year);
    const size_t after = (size_t)(--answer->n_judged - i);
    memmove(&answer->judged[i], &answer->judged[i + 1], after * sizeof *answer->judged);
    memmove(&jury->role[i], &jury->role[i + 1], after * sizeof *jury->role);
    answer->winner -= answer->winner > i;
}

void wg_jury_drop(struct wg_jury *jury, int kept) {
    int n;
    for (int i = find_furthest(jury, &n); n > kept; i = find_furthest(jury, &n))
        remove_judged(jury, i);
}

/* ---- odds ---- */

static int find_hardest(const struct wg_search_judged *judged, const struct wg_search_question *q) {
    int hardest = 0;
    for (int g = 1; g < q->n_goals; g++)
        if (judged->goal[g].share - q->chance[g] < judged->goal[hardest].share - q->chance[hardest])
            hardest = g;
    return hardest;
}

static enum wg_verdict worse_verdict(enum wg_verdict a, enum wg_verdict b) {
    return a == WG_NO || b == WG_NO ? WG_NO : a == WG_YES && b == WG_YES ? WG_YES : WG_UNDECIDED;
}

static int find_chances(const struct wg_jury *jury, struct wg_search_judged *judged) {
    const struct wg_search_question *const q = jury->tried->question;
    struct wg_error *const err = jury->tried->err;
    int code = 0;
    judged->verdict = WG_YES;
    judged->meets = judged->n > 0;
    judged->animals = (double)NAN;
    for (int g = WG_GOALS_ALIVE; g < q->n_goals && code == 0; g++) {
        struct wg_goal_chance *const chance = g == WG_GOALS_ALIVE ? &judged->alive
                                              : g == WG_GOALS_ALL ? &judged->all
                                                                  : &judged->goal[g];
        code = wg_years_chance(q, jury->stream, judged->year, judged->n, g, WG_SEARCH_CONFIDENCE, chance, err);
        if (g < 0 || code < 0)
            continue;
        judged->verdict = worse_verdict(judged->verdict, chance->verdict);
        judged->meets = judged->meets && chance->share >= q->chance[g];
        judged->animals = fmin(judged->animals, wg_years_animals(chance, q->chance[g])); /* ignores NaN */
    }
    judged->hardest = find_hardest(judged, q);
    return code;
}

static int find_amounts(const struct wg_jury *jury, struct wg_search_judged *judged) {
    struct wg_search_amount *const amount[] = {&judged->money, &judged->harvest, &judged->left};
    const enum wg_year_amount which[] = {WG_YEAR_MONEY, WG_YEAR_HARVEST, WG_YEAR_LEFT};
    int code = 0;
    for (int i = 0; i < 3 && code == 0; i++)
        code = wg_years_amount(jury->tried->question, jury->stream, judged->year, judged->n, which[i], amount[i],
                               jury->tried->err);
    return code;
}

/* ---- living ---- */

static int make_judged_room(struct wg_search_judged *judged, int64_t years, struct wg_error *err) {
    struct wg_search_year *const year = realloc(judged->year, (size_t)years * sizeof *year);
    if (year == NULL)
        return wg_no_memory(err, NULL);
    judged->year = year;
    return 0;
}

/* Lets the judged plans `from` .. `to` - 1 live until each has `years` years, in one call. */
static int live_judged_slice(struct wg_jury *jury, int from, int to, int64_t years) {
    const struct wg_search_question *const q = jury->tried->question;
    struct wg_search_life order[WG_SEARCH_MAX_JUDGED];
    struct wg_search_judged *whose[WG_SEARCH_MAX_JUDGED];
    int n = 0, code = 0;
    for (int i = from; i < to; i++) {
        struct wg_search_judged *const judged = &jury->answer->judged[i];
        if (judged->n >= years)
            continue;
        code = make_judged_room(judged, years, jury->tried->err);
        if (code < 0)
            return code;
        whose[n] = judged;
        order[n++] = (struct wg_search_life){.level = judged->level,
                                             .stream = jury->stream,
                                             .first = judged->n,
                                             .n = years - judged->n,
                                             .year = judged->year + judged->n};
    }
    if (n > 0)
        code = q->live(q->self, order, n, jury->tried->err);
    for (int i = 0; i < n && code == 0; i++) {
        whose[i]->n = years;
        *(jury->stream == WG_SEARCH_FRESH ? &jury->answer->fresh_years : &jury->answer->choosing_years) += order[i].n;
        jury->tried->other_years += order[i].n;
    }
    return code;
}

/* Finds the odds of plans that have more years than before. */
static int judge_lived(struct wg_jury *jury, int from, int to) {
    int code = 0;
    for (int i = from; i < to && code == 0; i++) {
        struct wg_search_judged *const judged = &jury->answer->judged[i];
        if (judged->n == 0 || judged->n == judged->all.n)
            continue;
        code = find_chances(jury, judged);
        if (code == 0)
            code = find_amounts(jury, judged);
    }
    return code;
}

/* Lets the judged plans `from` .. `to` - 1 live `years` years in all. A stop keeps the years so far. */
static int live_judged(struct wg_jury *jury, int from, int to, int64_t years) {
    int code = 0;
    for (int64_t end = JUDGED_SLICE; code == 0; end += JUDGED_SLICE) {
        code = live_judged_slice(jury, from, to, end < years ? end : years);
        wg_tried_report(jury->tried, WG_SEARCH_JUDGE);
        if (end >= years)
            break;
    }
    const int judged = code >= 0 ? judge_lived(jury, from, to) : 0;
    return code != 0 ? code : judged;
}

int wg_jury_live(struct wg_jury *jury, int64_t years) {
    return live_judged(jury, 0, jury->answer->n_judged, years);
}

int wg_jury_extend(struct wg_jury *jury, int judged, int64_t years) {
    return live_judged(jury, judged, judged + 1, years);
}

/* ---- from the choice to the report ---- */

/* Whether a plan goes on to its fresh years. */
static bool is_reported(const struct wg_jury *jury, int i) {
    const struct wg_search_answer *const answer = jury->answer;
    return i == answer->winner || (jury->role[i] & (WG_ROLE_OWN | WG_ROLE_NEAREST)) != 0 ||
           (answer->winner >= 0 && (jury->role[i] & WG_ROLE_PASSED) != 0 && answer->judged[i].meets);
}

void wg_jury_renew(struct wg_jury *jury) {
    struct wg_search_answer *const answer = jury->answer;
    for (int i = answer->n_judged - 1; i >= 0; i--) {
        struct wg_search_judged *const judged = &answer->judged[i];
        if (!is_reported(jury, i)) {
            remove_judged(jury, i);
            continue;
        }
        free(judged->year);
        begin_judged(judged, jury->tried, judged->plan);
    }
    jury->stream = WG_SEARCH_FRESH;
}

/* ---- doubtful numbers ---- */

/* Finds the verdict of years with a doubtful number changed. */
static int judge_variant(const struct wg_search_question *q, const struct wg_search_year *year, int64_t n,
                         struct wg_search_variant *variant, struct wg_error *err) {
    struct wg_goal_chance chance;
    int code = wg_years_chance(q, WG_SEARCH_FRESH, year, n, WG_GOALS_ALL, WG_SEARCH_CONFIDENCE, &chance, err);
    *variant = (struct wg_search_variant){chance.hits, n, chance.share, chance.interval, WG_YES};
    for (int g = 0; g < q->n_goals && code == 0; g++) {
        code = wg_years_chance(q, WG_SEARCH_FRESH, year, n, g, WG_SEARCH_CONFIDENCE, &chance, err);
        variant->verdict = worse_verdict(variant->verdict, chance.verdict);
    }
    return code;
}

static int doubt_plan(struct wg_jury *jury, struct wg_search_judged *judged) {
    const struct wg_search_question *const q = jury->tried->question;
    const int64_t years = q->variant_years;
    struct wg_search_life order[WG_SEARCH_MAX_VARIANTS];
    struct wg_search_year *const year = calloc((size_t)(years * q->n_variants), sizeof *year);
    if (year == NULL)
        return wg_no_memory(jury->tried->err, NULL);
    for (int v = 0; v < q->n_variants; v++)
        order[v] = (struct wg_search_life){
            judged->level, v + 1, WG_SEARCH_FRESH, 0, years, &year[v * years],
        };
    int code = q->live(q->self, order, q->n_variants, jury->tried->err);
    for (int v = 0; v < q->n_variants && code == 0; v++)
        code = judge_variant(q, order[v].year, years, &judged->variant[v], jury->tried->err);
    if (code == 0) {
        judged->n_variants = q->n_variants;
        jury->answer->variant_years += years * q->n_variants;
        jury->tried->other_years += years * q->n_variants;
    }
    free(year);
    return code;
}

/* Lists, without repeats: the winner, the own plan, the dearest of the line, two equals. */
static int list_doubted(const struct wg_search_answer *answer, int list[MAX_DOUBTED]) {
    const int wanted[] = {answer->winner, answer->own, answer->n_line > 0 ? answer->line[answer->n_line - 1] : -1,
                          answer->n_equals > 0 ? answer->equal[0] : -1, answer->n_equals > 1 ? answer->equal[1] : -1};
    int n = 0;
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted && n < MAX_DOUBTED; i++) {
        bool is_new = wanted[i] >= 0;
        for (int j = 0; j < n; j++)
            is_new = is_new && list[j] != wanted[i];
        if (is_new)
            list[n++] = wanted[i];
    }
    return n;
}

int wg_jury_doubt(struct wg_jury *jury) {
    int list[MAX_DOUBTED], code = 0;
    const int n =
        jury->answer->winner < 0 || jury->tried->question->n_variants == 0 ? 0 : list_doubted(jury->answer, list);
    for (int i = 0; i < n && code == 0; i++) {
        code = doubt_plan(jury, &jury->answer->judged[list[i]]);
        wg_tried_report(jury->tried, WG_SEARCH_DOUBT);
    }
    return code;
}
