/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Lives the years of a search with plans: on several threads, with the plausible animals and the winters of the lattice.
 *
 * Fresh years are those of the plan's own seed: the 2,048 replicates of `run --replicates 2048` in another order, so that a
 * winner judged on all of them has the same numbers there. The search and the choice have years of seeds derived from it.
 */
#ifndef WG_SEARCH_PLAN_LIVES_H
#define WG_SEARCH_PLAN_LIVES_H

#include "analysis/cells.h"
#include "search/doubts.h"
#include "search/search.h"

/** A plan made from levels. */
struct wg_search_made {
    const struct wg_plan *plan; /* valid until release() */
    double fixed_money;         /* what its period costs beside the energy that it buys */
    struct wg_search_key key;   /* of a resolved plan that may be made from other levels, too; 0: not known */
    void *owner;                /* for release() */
};

/** What the caller knows of its plans. */
struct wg_search_maker {
    /**
     * Makes the plan of some levels, in the calling thread. Returns 0, WG_SEARCH_NO_PLAN, or a negative error. Called once for
     * each combination and again whenever it lives more years, so it should take no more than a few ms.
     */
    int (*make)(void *self, const int *level, struct wg_search_made *made, struct wg_error *err);
    void (*release)(void *self, struct wg_search_made *made);
    /** Returns what a year costs, fixed_money included. NULL: fixed_money + the cost of the energy bought, which must be known. */
    double (*money)(void *self, const struct wg_search_made *made, const struct wg_diary *diary);
    void *self;
};

struct wg_plan_lives;
/**
 * Prepares to live plans like `own`: they have its period, climate, animals and number of goals. Borrows all. Bit g of
 * `as_strong`: goal g, WG_GOAL_SURVIVE, asks for at least as many individuals of any stage on the last day as were put in, and
 * not only for one. Returns 0, WG_ERR_MEMORY or an error of the plan.
 */
int wg_plan_lives_new(struct wg_plan_lives **lives, const struct wg_plan *own, const struct wg_search_maker *maker,
                      uint32_t as_strong, int threads, const atomic_int *stop, struct wg_error *err);
void wg_plan_lives_free(struct wg_plan_lives *lives);

/** Sets the goals, the variants (the doubts that apply to the plan), check(), live(), place() and self of a question. */
void wg_plan_lives_ask(struct wg_plan_lives *lives, struct wg_search_question *question);
/** Returns the doubts behind the variants of the question: variant 1 is the low end of doubt 0, 2 its high end, 3 the low end of 1. */
const struct wg_doubts *wg_plan_lives_doubts(const struct wg_plan_lives *lives);

/**
 * Returns the replicate of a year. With plausible animals a row of 64 years has 64 animals, and the rows come from the blocks of
 * the lattice in turn: after four rows each of 256 animals has lived once, and few years tell of all animals.
 */
int64_t wg_search_replicate(const struct wg_plan *plan, int64_t year);
/** Returns the seed of a stream for plans of this seed. */
uint64_t wg_search_stream_seed(uint64_t seed, enum wg_search_stream stream);

#endif
