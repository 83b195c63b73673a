/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Counts the replicates that meet each goal, with Wilson intervals (1927, JASA 22:209), or clustered ones where replicates share
 * animals or winters (variance_split.c).
 */
#include "analysis/goal_tally.h"

#include "analysis/cells.h"
#include "colony/goal_met.h"

#include <math.h>
#include <stdlib.h>

#define FIRST_CAPACITY 512
#define ALIVE (1U << WG_MAX_GOALS)

/* ---- counting ---- */

void wg_goal_tally_init(struct wg_goal_tally *tally, const struct wg_plan *plan) {
    wg_assert(plan->n_goals >= 0 && plan->n_goals <= WG_MAX_GOALS);
    *tally = (struct wg_goal_tally){.plan = plan, .keeps = wg_plan_shares_cells(plan)};
}

void wg_goal_tally_free(struct wg_goal_tally *tally) {
    free(tally->kept);
    *tally = (struct wg_goal_tally){0};
}

static int keep_replicate(struct wg_goal_tally *tally, int64_t replicate, uint32_t met, struct wg_error *err) {
    if (tally->n == tally->capacity) {
        const int64_t capacity = tally->capacity > 0 ? 2 * tally->capacity : FIRST_CAPACITY;
        struct wg_goals_met *const kept = realloc(tally->kept, (size_t)capacity * sizeof *kept);
        if (kept == NULL)
            return wg_no_memory(err, NULL);
        tally->kept = kept;
        tally->capacity = capacity;
    }
    tally->kept[tally->n] = (struct wg_goals_met){replicate, met};
    return 0;
}

int wg_goal_tally_add(struct wg_goal_tally *tally, int64_t replicate, bool is_alive, const bool *is_met,
                      struct wg_error *err) {
    uint32_t met = is_alive ? ALIVE : 0;
    for (int i = 0; i < tally->plan->n_goals; i++)
        met |= is_met[i] ? 1U << i : 0;
    const int code = tally->keeps ? keep_replicate(tally, replicate, met, err) : 0;
    if (code < 0)
        return code;
    const uint32_t every = (1U << tally->plan->n_goals) - 1;
    for (int i = 0; i < tally->plan->n_goals; i++)
        tally->hits[i] += is_met[i];
    tally->all += (met & every) == every;
    tally->alive += is_alive;
    tally->n++;
    return 0;
}

static int on_replicate_goals(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_goal_tally *const tally = self;
    bool is_met[WG_MAX_GOALS];
    for (int i = 0; i < tally->plan->n_goals; i++)
        is_met[i] = wg_goal_met(&tally->plan->goal[i], diary);
    return wg_goal_tally_add(tally, replicate, diary->survived > 0, is_met, err);
}

struct wg_observer wg_goal_tally_observer(struct wg_goal_tally *tally) {
    return (struct wg_observer){.on_replicate = on_replicate_goals, .self = tally};
}

/* ---- chances ---- */

const char *wg_verdict_name(enum wg_verdict verdict) {
    static const char *const name[] = {[WG_NO] = "no", [WG_YES] = "yes", [WG_UNDECIDED] = "cannot tell"};
    return name[verdict];
}

enum wg_verdict wg_verdict(struct wg_interval interval, double wanted) {
    return interval.low >= wanted ? WG_YES : interval.high < wanted ? WG_NO : WG_UNDECIDED;
}

/* The goals that count as one: goal i, all of them, or being alive. */
static uint32_t mask_of(const struct wg_goal_tally *tally, int i) {
    return i == WG_GOALS_ALIVE ? ALIVE : i == WG_GOALS_ALL ? (1U << tally->plan->n_goals) - 1 : 1U << i;
}

static int64_t hits_of(const struct wg_goal_tally *tally, int i) {
    return i == WG_GOALS_ALIVE ? tally->alive : i == WG_GOALS_ALL ? tally->all : tally->hits[i];
}

static int split_goal(const struct wg_goal_tally *tally, int i, double confidence, struct wg_variance_split *split,
                      struct wg_error *err) {
    const uint32_t mask = mask_of(tally, i);
    struct wg_cells cells = {0};
    struct wg_split_value *const values = calloc((size_t)(tally->n > 0 ? tally->n : 1), sizeof *values);
    int code = values == NULL ? wg_no_memory(err, NULL) : wg_cells_init(&cells, tally->plan, err);
    for (int64_t k = 0; k < tally->n && code == 0; k++) {
        wg_cells_place(&cells, tally->kept[k].replicate, &values[k]);
        values[k].value = (tally->kept[k].met & mask) == mask;
    }
    if (code == 0)
        code = wg_variance_split(split, values, tally->n, WG_SPLIT_SHARE, confidence, err);
    wg_cells_free(&cells);
    free(values);
    return code;
}

int wg_goal_tally_chance(const struct wg_goal_tally *tally, int i, double confidence, struct wg_goal_chance *chance,
                         struct wg_error *err) {
    wg_assert(i == WG_GOALS_ALIVE || i == WG_GOALS_ALL || (i >= 0 && i < tally->plan->n_goals));
    const int64_t hits = hits_of(tally, i), n = tally->n;
    *chance = (struct wg_goal_chance){.hits = hits,
                                      .n = n,
                                      .share = n > 0 ? (double)hits / (double)n : (double)NAN,
                                      .interval = wg_wilson((size_t)hits, (size_t)n, confidence),
                                      .verdict = WG_UNDECIDED};
    const int code = tally->keeps ? split_goal(tally, i, confidence, &chance->split, err) : 0;
    if (tally->keeps)
        chance->interval = chance->split.interval;
    if (i >= 0)
        chance->verdict = wg_verdict(chance->interval, tally->plan->goal[i].chance);
    return code;
}

int wg_goal_tally_chance_of_all(const struct wg_goal_tally *tally, double confidence, struct wg_goal_chance *chance,
                                struct wg_error *err) {
    enum wg_verdict verdict = WG_YES;
    int code = 0;
    for (int i = 0; i < tally->plan->n_goals && code == 0; i++) {
        code = wg_goal_tally_chance(tally, i, confidence, chance, err);
        if (chance->verdict == WG_NO || verdict == WG_NO)
            verdict = WG_NO;
        else if (chance->verdict == WG_UNDECIDED)
            verdict = WG_UNDECIDED;
    }
    if (code == 0)
        code = wg_goal_tally_chance(tally, WG_GOALS_ALL, confidence, chance, err);
    chance->verdict = verdict;
    return code;
}
