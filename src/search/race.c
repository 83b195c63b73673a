/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Races a population of plans.
 *
 * It begins with the own plan, the ends of each number and points of a Halton sequence (Halton 1960, Numer. Math. 2:84), which
 * cover the whole. Then rounds: the best few live more years, and get children: neighbours a step away in one number or in two,
 * and crossings of two. A plan's score is its money plus a fine for what its shares are short of; a child whose money alone is
 * above the best score gets no more than the pilot years. Where a round gains little, the steps halve.
 */
#include "search/race.h"

#include "base/random.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* All of these are judgement. */
#define POINTS 64      /* of the Halton sequence */
#define SKIPPED 20     /* its first points, which lie in a line */
#define BEST 6         /* plans that live on */
#define PARENTS 3      /* of these, with neighbours */
#define PAIRS 24       /* children a round with two numbers changed */
#define CROSSINGS 12   /* children a round of two plans */
#define FIRST_YEARS 8  /* of a plan worth more than the pilot */
#define MOST_YEARS 64  /* of the best ones */
#define DEARER 0.10    /* money above the best score: not worth more than the pilot */
#define LITTLE 0.02    /* gain of a round */
#define IDLE_ROUNDS 4  /* with steps of 1 and little gain: the end */
#define FINE 4.0       /* times the range of money, for a share that is short by 1 */
#define MOST_PROOFS 12 /* of the best in a round */
#define MAX_CHILDREN 512
#define MAX_ROUNDS 40

struct race {
    struct wg_tried *tried;
    gsl_rng *rng;
    int step[WG_SEARCH_MAX_NUMBERS];
    int reference; /* the best so far, with which money is compared */
    double range;  /* of money in the first population */
    int best[BEST], n_best;
    int child[MAX_CHILDREN], n_children; /* of this round, new */
};

/* ---- children ---- */

/* Adds a plan; a new one becomes a child of the round. */
static int add_child(struct race *race, const int *level) {
    int index;
    const int known = race->tried->n;
    if (race->n_children >= MAX_CHILDREN)
        return 0;
    const int code = wg_tried_add(race->tried, level, &index);
    if (code == 0 && index >= known && wg_tried_counts(race->tried, index))
        race->child[race->n_children++] = index;
    return code;
}

static const int *levels_of(const struct race *race, int index) {
    return race->tried->at[index].level;
}

static int draw_below(struct race *race, int n) {
    const int drawn = (int)(wg_uniform(race->rng) * n);
    return drawn < n ? drawn : n - 1;
}

/* Copies levels with room to change them. */
static void copy_levels(const struct race *race, int index, int *level) {
    memcpy(level, levels_of(race, index), (size_t)race->tried->question->n_numbers * sizeof *level);
}

/* Moves a number by so many levels, as far as there are any; an unordered one to any other level. */
static void move_number(struct race *race, int *level, int number, int by) {
    const struct wg_search_number *const it = &race->tried->question->number[number];
    if (it->is_ordered) {
        const int moved = level[number] + by;
        level[number] = moved < 0 ? 0 : moved >= it->levels ? it->levels - 1 : moved;
    } else if (it->levels > 1) {
        level[number] = (level[number] + 1 + draw_below(race, it->levels - 1)) % it->levels;
    }
}

/* Draws how far to move a number, up or down: up to half of its levels, mostly a little. */
static int draw_move(struct race *race, int number) {
    const double u = wg_uniform(race->rng);
    const int far = race->tried->question->number[number].levels / 2;
    const int by = 1 + (int)(u * u * far);
    return draw_below(race, 2) == 0 ? -by : by;
}

static int add_moved(struct race *race, int parent) {
    const int n = race->tried->question->n_numbers;
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < 2 * n && code == 0; i++) {
        copy_levels(race, parent, level);
        move_number(race, level, i / 2, i % 2 == 0 ? -race->step[i / 2] : race->step[i / 2]);
        code = add_child(race, level);
    }
    return code;
}

/* Numbers that go together, as the dates of lamps and warmth do, have to change together. */
static int add_moved_pairs(struct race *race) {
    const int n = race->tried->question->n_numbers;
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < PAIRS && n > 1 && code == 0; i++) {
        const int first = draw_below(race, n), second = (first + 1 + draw_below(race, n - 1)) % n;
        copy_levels(race, race->best[draw_below(race, race->n_best)], level);
        move_number(race, level, first, draw_move(race, first));
        move_number(race, level, second, draw_move(race, second));
        code = add_child(race, level);
    }
    return code;
}

static int add_crossings(struct race *race) {
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < CROSSINGS && race->n_best > 1 && code == 0; i++) {
        const int first = draw_below(race, race->n_best);
        const int second = (first + 1 + draw_below(race, race->n_best - 1)) % race->n_best;
        copy_levels(race, race->best[first], level);
        for (int j = 0; j < race->tried->question->n_numbers; j++)
            if (draw_below(race, 2) == 0)
                level[j] = levels_of(race, race->best[second])[j];
        code = add_child(race, level);
    }
    return code;
}

/* ---- the first population ---- */

static int add_ends(struct race *race) {
    const struct wg_search_question *const q = race->tried->question;
    int level[WG_SEARCH_MAX_NUMBERS], code = 0;
    for (int i = 0; i < 2 * q->n_numbers && code == 0; i++) {
        copy_levels(race, 0, level);
        level[i / 2] = i % 2 == 0 ? 0 : q->number[i / 2].levels - 1;
        code = add_child(race, level);
    }
    return code;
}

static int add_points(struct race *race) {
    const struct wg_search_question *const q = race->tried->question;
    gsl_qrng *const points = gsl_qrng_alloc(gsl_qrng_halton, (unsigned)q->n_numbers);
    double point[WG_SEARCH_MAX_NUMBERS];
    int level[WG_SEARCH_MAX_NUMBERS], code = points == NULL ? wg_no_memory(race->tried->err, NULL) : 0;
    for (int i = 0; i < POINTS + SKIPPED && code == 0; i++) {
        (void)gsl_qrng_get(points, point);
        for (int j = 0; j < q->n_numbers; j++)
            level[j] = (int)(point[j] * q->number[j].levels);
        code = i >= SKIPPED ? add_child(race, level) : 0;
    }
    if (points != NULL)
        gsl_qrng_free(points);
    return code;
}

static void find_money_range(struct race *race) {
    double least = (double)INFINITY, most = -(double)INFINITY;
    for (int i = 0; i < race->tried->n; i++)
        if (wg_tried_counts(race->tried, i) && race->tried->at[i].n > 0) {
            least = fmin(least, race->tried->at[i].money);
            most = fmax(most, race->tried->at[i].money);
        }
    race->range = most > least ? most - least : 1;
}

static int begin_race(struct race *race) {
    const struct wg_search_question *const q = race->tried->question;
    race->child[race->n_children++] = 0; /* the own plan */
    int code = add_ends(race);
    if (code == 0)
        code = add_points(race);
    for (int i = 0; i < q->n_numbers; i++)
        race->step[i] = q->number[i].levels > 4 ? q->number[i].levels / 4 : 1;
    if (code == 0)
        code = wg_tried_live(race->tried, WG_SEARCH_RACE, race->child, race->n_children, FIRST_YEARS);
    find_money_range(race);
    return code;
}

/* ---- the best ---- */

/* Returns the money of a plan as if it had lived the years of the reference: compared in the years that both have. */
static double money_of(const struct race *race, int index) {
    double more, error;
    wg_tried_gap(race->tried, index, race->reference, &more, &error);
    return wg_tried_money(race->tried, race->reference, race->tried->at[race->reference].n) + more;
}

/* Money and a fine for missing shares, of which few years leave hope. */
static double score_of(const struct race *race, int index) {
    return money_of(race, index) + FINE * race->range * fmax(0, -wg_tried_hope(race->tried, index));
}

struct scored {
    int index;
    double score;
};

static int by_score(const void *left, const void *right) {
    const struct scored *const a = left, *const b = right;
    return a->score < b->score ? -1 : a->score > b->score ? 1 : (a->index > b->index) - (a->index < b->index);
}

/* Finds the best plans with at least FIRST_YEARS. Returns 0 or WG_ERR_MEMORY. */
static int find_best(struct race *race) {
    struct scored *const all = malloc(((size_t)race->tried->n + 1) * sizeof *all);
    int n = 0;
    if (all == NULL)
        return wg_no_memory(race->tried->err, NULL);
    for (int i = 0; i < race->tried->n; i++)
        if (wg_tried_counts(race->tried, i) && race->tried->at[i].n >= FIRST_YEARS)
            all[n++] = (struct scored){i, score_of(race, i)};
    qsort(all, (size_t)n, sizeof *all, by_score);
    race->n_best = n < BEST ? n : BEST;
    for (int i = 0; i < race->n_best; i++)
        race->best[i] = all[i].index;
    race->reference = race->best[0];
    free(all);
    return 0;
}

/* Returns the least years of the best ones. */
static int64_t least_proof(const struct race *race) {
    int64_t least = MOST_YEARS;
    for (int i = 0; i < race->n_best; i++)
        if (race->tried->at[race->best[i]].n < least)
            least = race->tried->at[race->best[i]].n;
    return least;
}

/* The best ones live twice as many years until none is at the top by luck alone. */
static int prove_best(struct race *race) {
    int code = find_best(race);
    for (int i = 0; i < MOST_PROOFS && code == 0 && least_proof(race) < MOST_YEARS; i++) {
        code = wg_tried_live(race->tried, WG_SEARCH_RACE, race->best, race->n_best, 2 * least_proof(race));
        if (code == 0)
            code = find_best(race);
    }
    return code;
}

/* ---- rounds ---- */

/* Gives the children more than the pilot years, except those whose money alone is clearly above the best score. */
static int live_children(struct race *race) {
    struct wg_tried *const tried = race->tried;
    const double best = score_of(race, race->best[0]), limit = best + DEARER * fabs(best);
    int code = wg_tried_live(tried, WG_SEARCH_RACE, race->child, race->n_children, tried->question->pilot), n = 0;
    for (int i = 0; i < race->n_children && code == 0; i++)
        if (money_of(race, race->child[i]) <= limit)
            race->child[n++] = race->child[i];
    return code == 0 ? wg_tried_live(tried, WG_SEARCH_RACE, race->child, n, FIRST_YEARS) : code;
}

static int run_round(struct race *race) {
    int code = 0;
    race->n_children = 0;
    for (int i = 0; i < race->n_best && i < PARENTS && code == 0; i++)
        code = add_moved(race, race->best[i]);
    if (code == 0)
        code = add_moved_pairs(race);
    if (code == 0)
        code = add_crossings(race);
    if (code == 0)
        code = live_children(race);
    return code == 0 ? prove_best(race) : code;
}

/* Halves the steps. Returns false if all were 1. */
static bool halve_steps(struct race *race) {
    bool halved = false;
    for (int i = 0; i < race->tried->question->n_numbers; i++) {
        halved = halved || (race->step[i] > 1 && race->tried->question->number[i].is_ordered);
        race->step[i] = race->step[i] > 1 ? race->step[i] / 2 : 1;
    }
    return halved;
}

static int run_rounds(struct race *race) {
    int code = prove_best(race), idle = 0;
    for (int round = 0; round < MAX_ROUNDS && code == 0 && idle < IDLE_ROUNDS; round++) {
        const double before = score_of(race, race->best[0]);
        code = run_round(race);
        const double gain = before - score_of(race, race->best[0]);
        const bool is_little = gain < LITTLE * fabs(before);
        idle = is_little && !halve_steps(race) ? idle + 1 : 0;
        if (race->tried->years >= race->tried->question->race_years)
            break;
    }
    return code;
}

int wg_race_run(struct wg_tried *tried) {
    struct race *const race = calloc(1, sizeof *race);
    if (race == NULL)
        return wg_no_memory(tried->err, NULL);
    race->tried = tried;
    race->rng = gsl_rng_alloc(wg_rng_type());
    int code = race->rng == NULL ? wg_no_memory(tried->err, NULL) : 0;
    if (code == 0) {
        wg_rng_start(race->rng, tried->question->seed, 0, WG_PURPOSE_PARAMETERS);
        code = begin_race(race);
    }
    if (code == 0)
        code = run_rounds(race);
    if (race->rng != NULL)
        gsl_rng_free(race->rng);
    free(race);
    return code;
}
