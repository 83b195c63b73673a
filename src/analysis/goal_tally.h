/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Counts how often each goal of a plan is met, decides whether that is often enough, and finds how many replicates a
 * stated precision needs.
 */
#ifndef WG_ANALYSIS_GOAL_TALLY_H
#define WG_ANALYSIS_GOAL_TALLY_H

#include "analysis/variance_split.h"
#include "forecast/ensemble.h"

/** Which goals a replicate met: bit i for goal i, bit WG_MAX_GOALS for being alive at the end. */
struct wg_goals_met {
    int64_t replicate;
    uint32_t met;
};

/** Counts over the replicates so far. */
struct wg_goal_tally {
    const struct wg_plan *plan; /* borrowed: its goals */
    int64_t n;
    int64_t alive; /* at the end of the period */
    int64_t hits[WG_MAX_GOALS];
    int64_t all; /* met every goal; n without goals */
    bool keeps;  /* replicates share animals or winters, so that each is kept */
    int64_t capacity;
    struct wg_goals_met *kept;
};
/** Allocates nothing; wg_goal_tally_free() frees what counting has allocated. */
void wg_goal_tally_init(struct wg_goal_tally *tally, const struct wg_plan *plan);
void wg_goal_tally_free(struct wg_goal_tally *tally);
/** Counts a replicate of the plan. Returns 0 or WG_ERR_MEMORY. */
int wg_goal_tally_add(struct wg_goal_tally *tally, int64_t replicate, bool is_alive, const bool *is_met,
                      struct wg_error *err);
/** Returns the observer that counts; it may observe several runs of the same plan in turn. */
struct wg_observer wg_goal_tally_observer(struct wg_goal_tally *tally);

enum wg_verdict { WG_NO, WG_YES, WG_UNDECIDED };
/** "no", "yes", "cannot tell" */
const char *wg_verdict_name(enum wg_verdict verdict);
/** Returns yes or no only if the whole interval lies at or above, or below, the wanted probability. */
enum wg_verdict wg_verdict(struct wg_interval interval, double wanted);

/** The probability of one goal: share, interval (Wilson's, or clustered where replicates share something), verdict. */
struct wg_goal_chance {
    int64_t hits, n;
    double share; /* NaN for n = 0 */
    struct wg_interval interval;
    enum wg_verdict verdict;
    struct wg_variance_split split; /* n = 0 where replicates share nothing */
};

/** In place of the number of a goal: all goals in the same replicate; alive at the end. Both have no verdict. */
enum { WG_GOALS_ALL = -1, WG_GOALS_ALIVE = -2 };
/** Finds the probability of goal i at a confidence, e.g. 0.95. Returns 0, or an error as wg_cells_init(). */
int wg_goal_tally_chance(const struct wg_goal_tally *tally, int i, double confidence, struct wg_goal_chance *chance,
                         struct wg_error *err);
/** Does so for all goals in the same replicate. The verdict is that of the goals one by one, not of all. */
int wg_goal_tally_chance_of_all(const struct wg_goal_tally *tally, double confidence, struct wg_goal_chance *chance,
                                struct wg_error *err);

/* ---- precision ---- */

#define WG_PRECISION_MAX_REPLICATES 20000 /* default maximum (judgement: 100 s at 5 ms a replicate) */

/** How well the least known of the odds is known: survival, every goal, and all goals together. */
struct wg_sureness {
    double half_width; /* of its interval */
    double lasting;    /* what it would be with ever more replicates of the animals and winters that are left to add */
};
/** Returns 0, or an error as wg_cells_init(). */
int wg_goal_tally_sureness(const struct wg_goal_tally *tally, double confidence, struct wg_sureness *sure,
                           struct wg_error *err);
/**
 * Returns how many replicates to add so that the half-width becomes at most `wanted` (> 0); 0 if it already is, if no number
 * would do (`lasting` is more), or if `at_most` is reached. At most doubles the number, so that a poor first estimate costs
 * little.
 */
int64_t wg_precision_replicates(const struct wg_sureness *sure, int64_t n, double wanted, int64_t at_most);

struct wg_precision {
    double half_width, confidence; /* e.g. 0.02, 0.95 */
    int64_t at_most;
};
/**
 * Runs options->count replicates and then further rounds until the precision is reached; the tally and the observers
 * get all of them. A single run of the same number of replicates gives the same bytes. Returns 0 (then *sure says whether it
 * is), WG_STOPPED, or a negative error.
 */
int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *precision, struct wg_goal_tally *tally, struct wg_sureness *sure,
                     const struct wg_observer *observers, int n_observers, struct wg_error *err);

#endif
