/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Climbs the ladder of money.
 *
 * The pilot years tell what each plan costs; only whether it meets its goals takes many years. So the cheapest plans live first
 * and double their years, until a goal is surely missed. When one has met its goals, those that cost up to WINDOW more are
 * looked at together, and the better half of them is kept at each doubling: one of them may be the better plan for the same
 * money.
 */
#include "search/ladder.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BATCH 16            /* rungs that live their first years together */
#define FIRST_YEARS 8       /* then twice as many each time */
#define BATCH_YEARS 16      /* from here on one rung at a time */
#define SURE_YEARS 128      /* from here on a plan may pass before it has lived all years */
#define WINDOW 0.04         /* dearer by this share: perhaps as cheap */
#define WIDE_WINDOW 0.10    /* the same with money known from the pilot years of two plans only */
#define WINDOW_STEP 0.01    /* costs that differ less are the same to a keeper (judgement) */
#define MAX_NEIGHBOURS 2048 /* of 32 numbers, two at a time */

/* ---- the order ---- */

struct rung {
    int index, changes;
    double money, odds, harvest;
    int step; /* of money above the cheapest; 0 for plain order */
};

static int by_step_or_money(const void *left, const void *right) {
    const struct rung *const a = left, *const b = right;
    if (a->step != b->step)
        return a->step < b->step ? -1 : 1;
    if (a->step >= 0) /* in a window */
        return wg_search_compare_equals(a->odds, a->harvest, a->changes, a->index, b->odds, b->harvest, b->changes,
                                        b->index);
    if (a->money < b->money || a->money > b->money)
        return a->money < b->money ? -1 : 1;
    return a->changes != b->changes ? (a->changes > b->changes) - (a->changes < b->changes)
                                    : (a->index > b->index) - (a->index < b->index);
}

/* Less money than another plan, in the years that both have, by so much that it is worth it; than < 0: any plan is. */
static bool is_cheaper(const struct wg_tried *tried, int index, int than) {
    double gap, error;
    if (than < 0)
        return true;
    wg_tried_gap(tried, index, than, &gap, &error);
    return gap < -WINDOW_STEP * fabs(tried->at[than].money);
}

/*
 * Writes the undecided plans with pilot years that cost at most `limit` and less than another plan, the cheapest first. Returns
 * their number.
 */
static int list_rungs(const struct wg_tried *tried, double limit, int than, struct rung *rung) {
    int n = 0;
    for (int i = 0; i < tried->n; i++) {
        const struct wg_candidate *const c = &tried->at[i];
        if (wg_tried_counts(tried, i) && c->rung == WG_RUNG_NEW && c->money <= limit && is_cheaper(tried, i, than))
            rung[n++] = (struct rung){.index = i, .changes = c->changes, .money = c->money, .step = -1};
    }
    qsort(rung, (size_t)n, sizeof *rung, by_step_or_money);
    return n;
}

/* Lists at most `most` rungs. Returns 0 with their number, or WG_ERR_MEMORY. */
static int take_cheapest(const struct wg_tried *tried, double limit, int than, int most, int *which, int *n) {
    struct rung *const rung = malloc(((size_t)tried->n + 1) * sizeof *rung);
    if (rung == NULL)
        return wg_no_memory(tried->err, NULL);
    const int all = list_rungs(tried, limit, than, rung);
    *n = all < most ? all : most;
    for (int i = 0; i < *n; i++)
        which[i] = rung[i].index;
    free(rung);
    return 0;
}

static double money_above(double money, double share) {
    return money + share * fabs(money);
}

/* ---- one rung ---- */

/* Removes plans that are decided. */
static int keep_undecided(const struct wg_tried *tried, int *which, int n) {
    int kept = 0;
    for (int i = 0; i < n; i++)
        if (tried->at[which[i]].rung == WG_RUNG_NEW)
            which[kept++] = which[i];
    return kept;
}

/* Lets an undecided plan live `years` in all, and decides if they tell. */
static int climb_to(struct wg_tried *tried, int index, int64_t years) {
    const int64_t most = tried->question->most_years;
    bool passes = false, surely = false;
    int code = wg_tried_live(tried, WG_SEARCH_LADDER, &index, 1, years);
    struct wg_candidate *const candidate = &tried->at[index];
    if (code == 0 && candidate->rung == WG_RUNG_NEW)
        code = wg_tried_passes(tried, index, &passes, &surely);
    if (code != 0 || candidate->rung != WG_RUNG_NEW)
        return code;
    if (candidate->n >= most)
        candidate->rung = passes ? WG_RUNG_PASSED : WG_RUNG_MISSED;
    else if (surely && candidate->n >= SURE_YEARS)
        candidate->rung = WG_RUNG_PASSED;
    return 0;
}

/* Lets an undecided plan live until it is decided. */
static int climb(struct wg_tried *tried, int index) {
    const int64_t most = tried->question->most_years;
    int code = 0;
    for (int64_t years = FIRST_YEARS; code == 0 && tried->at[index].rung == WG_RUNG_NEW; years *= 2)
        code = climb_to(tried, index, years < most ? years : most);
    return code;
}

/* Lets a batch live its first years together; *n are then undecided. */
static int live_first_years(struct wg_tried *tried, int *which, int *n) {
    const int64_t most = tried->question->most_years;
    int code = 0;
    for (int64_t years = FIRST_YEARS; years <= BATCH_YEARS && years <= most && code == 0 && *n > 0; years *= 2) {
        code = wg_tried_live(tried, WG_SEARCH_LADDER, which, *n, years);
        *n = keep_undecided(tried, which, *n);
    }
    return code;
}

/* Climbs to the cheapest plan that passes among those that cost less than another: *first, or -1. */
static int climb_to_first(struct wg_tried *tried, int than, int *first) {
    int batch[BATCH], n = 0, code;
    *first = -1;
    while ((code = take_cheapest(tried, (double)INFINITY, than, BATCH, batch, &n)) == 0 && n > 0) {
        code = live_first_years(tried, batch, &n);
        for (int i = 0; i < n && code == 0; i++) {
            code = climb(tried, batch[i]);
            if (code == 0 && tried->at[batch[i]].rung == WG_RUNG_PASSED) {
                *first = batch[i];
                return 0;
            }
        }
        if (code != 0)
            return code;
    }
    return code;
}

/* ---- the window ---- */

/* Describes a plan by the years that all plans of a window have. */
static struct rung describe_rung(const struct wg_tried *tried, int index, int64_t years, double cheapest) {
    const struct wg_candidate *const c = &tried->at[index];
    const int64_t n = years < c->n ? years : c->n;
    const double money = wg_tried_money(tried, index, n), step = WINDOW_STEP * fabs(cheapest);
    const double above = step > 0 ? floor((money - cheapest) / step) : money > cheapest;
    return (struct rung){.index = index,
                         .changes = c->changes,
                         .money = money,
                         .odds = (double)wg_tried_hits(tried, index, WG_GOALS_ALL) / (double)c->n,
                         .harvest = wg_tried_harvest(tried, index, n),
                         .step = above < 0 ? 0 : (int)fmin(above, 1000)};
}

/* Sorts plans by steps of money, then by the rule for equal plans. */
static int sort_window(const struct wg_tried *tried, int *which, int n, int64_t years) {
    struct rung *const rung = malloc((size_t)(n > 0 ? n : 1) * sizeof *rung);
    double cheapest = (double)INFINITY;
    if (rung == NULL)
        return wg_no_memory(tried->err, NULL);
    for (int i = 0; i < n; i++)
        cheapest = fmin(cheapest, describe_rung(tried, which[i], years, 0).money);
    for (int i = 0; i < n; i++)
        rung[i] = describe_rung(tried, which[i], years, cheapest);
    qsort(rung, (size_t)n, sizeof *rung, by_step_or_money);
    for (int i = 0; i < n; i++)
        which[i] = rung[i].index;
    free(rung);
    return 0;
}

static int64_t least_years(const struct wg_tried *tried, const int *which, int n) {
    int64_t least = INT64_MAX;
    for (int i = 0; i < n; i++)
        least = tried->at[which[i]].n < least ? tried->at[which[i]].n : least;
    return least;
}

/* Lets the plans of a window live; the better half, but at least a group, goes on at each doubling. */
static int live_window(struct wg_tried *tried, int *which, int *n) {
    const int64_t most = tried->question->most_years;
    int code = 0;
    for (int64_t years = FIRST_YEARS; code == 0 && *n > 0; years *= 2) {
        code = wg_tried_live(tried, WG_SEARCH_LADDER, which, *n, years < most ? years : most);
        *n = keep_undecided(tried, which, *n);
        if (years >= most || code != 0)
            break;
        const int half = (*n + 1) / 2, kept = half > WG_LADDER_GROUP ? half : WG_LADDER_GROUP;
        code = sort_window(tried, which, *n, years);
        if (*n > 2 * WG_LADDER_GROUP)
            *n = kept;
    }
    for (int i = 0; i < *n && code == 0; i++)
        code = climb(tried, which[i]);
    return code;
}

/* Finds the plans that cost hardly more than the first and pass: which[0 .. *n - 1], the first among them. */
static int look_into_window(struct wg_tried *tried, int first, int which[WG_LADDER_WINDOW + 1], int *n) {
    const double limit = money_above(tried->at[first].money, WINDOW);
    int code = take_cheapest(tried, limit, -1, WG_LADDER_WINDOW, which, n);
    if (code == 0)
        code = live_window(tried, which, n);
    int kept = 0;
    for (int i = 0; i < *n; i++)
        if (tried->at[which[i]].rung == WG_RUNG_PASSED)
            which[kept++] = which[i];
    which[kept++] = first;
    *n = kept;
    return code == 0 ? sort_window(tried, which, kept, least_years(tried, which, kept)) : code;
}

/* ---- neighbours ---- */

/* Plans a step or two away from one, new in the table. */
struct neighbourhood {
    struct wg_tried *tried;
    int of;
    int which[MAX_NEIGHBOURS], n;
};

/* Adds a plan if it is new. */
static int add_neighbour(struct neighbourhood *hood, const int *level) {
    int index;
    const int known = hood->tried->n;
    if (hood->n >= MAX_NEIGHBOURS)
        return 0;
    const int code = wg_tried_add(hood->tried, level, &index);
    if (code == 0 && index >= known && wg_tried_counts(hood->tried, index))
        hood->which[hood->n++] = index;
    return code;
}

/* Sets a number to its k-th neighbouring level, from 0: one down, one up; of an unordered number each other level. */
static bool set_neighbour(const struct neighbourhood *hood, int number, int k, int *level) {
    const struct wg_search_number *const it = &hood->tried->question->number[number];
    const int at = hood->tried->at[hood->of].level[number];
    const int to = it->is_ordered ? at + (k == 0 ? -1 : 1) : k;
    level[number] = to;
    return to != at && to >= 0 && to < it->levels && (!it->is_ordered || k < 2);
}

static int neighbours_of(const struct neighbourhood *hood, int number) {
    const struct wg_search_number *const it = &hood->tried->question->number[number];
    return it->is_ordered ? 2 : it->levels;
}

static void copy_own_levels(const struct neighbourhood *hood, int *level) {
    memcpy(level, hood->tried->at[hood->of].level, (size_t)hood->tried->question->n_numbers * sizeof *level);
}

/* Adds the plans with one number a step away. */
static int add_steps(struct neighbourhood *hood) {
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < hood->tried->question->n_numbers; i++)
        for (int k = 0; k < neighbours_of(hood, i) && code == 0; k++) {
            copy_own_levels(hood, level);
            if (set_neighbour(hood, i, k, level))
                code = add_neighbour(hood, level);
        }
    return code;
}

/* Adds the plans with two ordered numbers a step away: one may pay for the other. */
static int add_double_steps(struct neighbourhood *hood) {
    const struct wg_search_question *const q = hood->tried->question;
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < q->n_numbers; i++)
        for (int j = i + 1; j < q->n_numbers; j++)
            for (int k = 0; k < 4 && q->number[i].is_ordered && q->number[j].is_ordered && code == 0; k++) {
                copy_own_levels(hood, level);
                if (set_neighbour(hood, i, k / 2, level) && set_neighbour(hood, j, k % 2, level))
                    code = add_neighbour(hood, level);
            }
    return code;
}

/* Lets a plan live until it is decided, or surely costs more than the first. *is_better: it passes and costs less. */
static int challenge(struct wg_tried *tried, int index, int first, bool *is_better) {
    const int64_t most = tried->question->most_years;
    double gap, error;
    int code = 0;
    *is_better = false;
    wg_tried_gap(tried, index, first, &gap, &error);
    for (int64_t years = FIRST_YEARS; code == 0 && tried->at[index].rung == WG_RUNG_NEW && gap <= 2 * error;
         years *= 2) {
        code = climb_to(tried, index, years < most ? years : most);
        wg_tried_gap(tried, index, first, &gap, &error);
    }
    *is_better = code == 0 && tried->at[index].rung == WG_RUNG_PASSED && gap < 0;
    return code;
}

/* Keeps the undecided plans that may cost less than the first. */
static int keep_challengers(const struct wg_tried *tried, int first, int *which, int n) {
    int kept = 0;
    for (int i = 0; i < n; i++) {
        double gap, error;
        wg_tried_gap(tried, which[i], first, &gap, &error);
        if (tried->at[which[i]].rung == WG_RUNG_NEW && gap <= 2 * error)
            which[kept++] = which[i];
    }
    return kept;
}

/* Lets the undecided plans that may cost less than the first challenge it, the cheapest first. */
static int let_challenge(struct wg_tried *tried, int *first) {
    int which[WG_LADDER_WINDOW], n = 0;
    int code = take_cheapest(tried, money_above(tried->at[*first].money, WIDE_WINDOW), -1, WG_LADDER_WINDOW, which, &n);
    for (int64_t years = FIRST_YEARS; years <= BATCH_YEARS && code == 0; years *= 2) {
        n = keep_challengers(tried, *first, which, n);
        code = wg_tried_live(tried, WG_SEARCH_LADDER, which, n, years);
    }
    for (int i = 0; i < n && code == 0; i++) {
        bool is_better;
        code = challenge(tried, which[i], *first, &is_better);
        if (code == 0 && is_better)
            *first = which[i];
    }
    return code;
}

/* Looks at the neighbours of the first plan. */
static int look_at_neighbours(struct wg_tried *tried, int *first, int (*add)(struct neighbourhood *hood)) {
    struct neighbourhood hood = {.tried = tried, .of = *first};
    int code = add(&hood);
    if (code == 0)
        code = wg_tried_live(tried, WG_SEARCH_LADDER, hood.which, hood.n, tried->question->pilot);
    return code == 0 ? let_challenge(tried, first) : code;
}

/*
 * Looks at cheaper neighbours of the first plan, and at theirs, until none passes. A plan is added once and each step is
 * cheaper than the last, so this ends.
 */
static int look_around(struct wg_tried *tried, int *first) {
    const int64_t most = tried->years + tried->question->race_years;
    int code = 0, before;
    do {
        before = *first;
        code = look_at_neighbours(tried, first, add_steps);
        if (code == 0 && *first == before)
            code = look_at_neighbours(tried, first, add_double_steps);
    } while (code == 0 && *first != before && tried->years < most);
    return code;
}

/* ---- the next group ---- */

static int find_more(struct wg_ladder *ladder, int than) {
    int which[WG_LADDER_WINDOW + 1], n = 0, first;
    int code = climb_to_first(ladder->tried, than, &first);
    if (code == 0 && first >= 0 && ladder->adds_neighbours)
        code = look_around(ladder->tried, &first);
    if (code == 0 && first >= 0)
        code = look_into_window(ladder->tried, first, which, &n);
    ladder->n_passed = ladder->n_given = 0;
    for (int i = 0; i < n && code == 0; i++)
        ladder->passed[ladder->n_passed++] = which[i];
    return code;
}

int wg_ladder_next(struct wg_ladder *ladder, int than, int group[WG_LADDER_GROUP], int *n) {
    int code = 0;
    *n = 0;
    if (ladder->n_given == ladder->n_passed)
        code = find_more(ladder, than);
    for (; code == 0 && *n < WG_LADDER_GROUP && ladder->n_given < ladder->n_passed; ladder->n_given++)
        if (*n > 0 || is_cheaper(ladder->tried, ladder->passed[ladder->n_given], than))
            group[(*n)++] = ladder->passed[ladder->n_given];
    return code;
}
