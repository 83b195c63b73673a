/**
 * Counts how often each goal of a plan is met, decides whether that is often enough, and finds how many replicates a
 * stated precision needs.
 */
#ifndef WG_ANALYSIS_GOAL_TALLY_H
#define WG_ANALYSIS_GOAL_TALLY_H

#include "base/stats.h"
#include "forecast/ensemble.h"

/** Counts over the replicates so far. */
struct wg_goal_tally {
    const struct wg_plan *plan; /* borrowed: its goals */
    int64_t n;
    int64_t alive; /* at the end of the period */
    int64_t hits[WG_MAX_GOALS];
    int64_t all; /* met every goal; n without goals */
};
void wg_goal_tally_init(struct wg_goal_tally *tally, const struct wg_plan *plan);
/** Returns the observer that counts; it may observe several runs of the same plan in turn. */
struct wg_observer wg_goal_tally_observer(struct wg_goal_tally *tally);

enum wg_verdict { WG_NO, WG_YES, WG_UNDECIDED };
/** "no", "yes", "cannot tell" */
const char *wg_verdict_name(enum wg_verdict verdict);
/** Returns yes or no only if the whole interval lies at or above, or below, the wanted probability. */
enum wg_verdict wg_verdict(struct wg_interval interval, double wanted);

/** The probability of one goal: share, Wilson interval, verdict. */
struct wg_goal_chance {
    int64_t hits, n;
    double share; /* NaN for n = 0 */
    struct wg_interval interval;
    enum wg_verdict verdict;
};
/** Returns the probability of goal number i at a confidence, e.g. 0.95. */
struct wg_goal_chance wg_goal_tally_chance(const struct wg_goal_tally *tally, int i, double confidence);
/** Returns the probability of all goals in the same replicate. Its verdict is that of the goals one by one, not of all. */
struct wg_goal_chance wg_goal_tally_chance_of_all(const struct wg_goal_tally *tally, double confidence);

/* ---- precision ---- */

#define WG_PRECISION_MAX_REPLICATES 20000 /* default maximum (judgement: 100 s at 5 ms a replicate) */

/** Returns half the width of the widest interval: survival, every goal, and all goals together. */
double wg_goal_tally_half_width(const struct wg_goal_tally *tally, double confidence);
/**
 * Returns how many replicates to add so that the half-width becomes at most `wanted` (> 0); 0 if it already is or
 * `at_most` is reached. At most doubles the number, so that a poor first estimate costs little.
 */
int64_t wg_precision_replicates(const struct wg_goal_tally *tally, double confidence, double wanted, int64_t at_most);

struct wg_precision {
    double half_width, confidence; /* e.g. 0.02, 0.95 */
    int64_t at_most;
};
/**
 * Runs options->count replicates and then further rounds until the precision is reached; the tally and the observers
 * get all of them. A single run of the same number of replicates gives the same bytes. Returns 0 (then check
 * wg_goal_tally_half_width()), WG_STOPPED, or a negative error.
 */
int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *precision, struct wg_goal_tally *tally,
                     const struct wg_observer *observers, int n_observers, struct wg_error *err);

#endif
