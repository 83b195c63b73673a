/**
 * How often each goal of a plan is met, and whether that is often enough; and
 * how many replicates it takes until that is known to a stated width.
 */
#ifndef WG_ANALYSIS_GOAL_TALLY_H
#define WG_ANALYSIS_GOAL_TALLY_H

#include "base/stats.h"
#include "forecast/ensemble.h"

/** Counts over the replicates seen so far. */
struct wg_goal_tally {
    const struct wg_plan *plan; /* borrowed: its goals */
    int64_t n;
    int64_t alive; /* at the end of the period */
    int64_t hits[WG_MAX_GOALS];
    int64_t all; /* met every goal; n where there is none */
};
void wg_goal_tally_init(struct wg_goal_tally *odds, const struct wg_plan *plan);
/** The observer that counts; may see several runs of the same plan, one after the other. */
struct wg_observer wg_goal_tally_observer(struct wg_goal_tally *odds);

enum wg_verdict { WG_NO, WG_YES, WG_UNDECIDED };
/** "no", "yes", "cannot tell" */
const char *wg_verdict_name(enum wg_verdict verdict);
/** Yes or no only where the whole interval lies at or above, or below, the wanted chance. */
enum wg_verdict wg_verdict(struct wg_interval interval, double wanted);

/** The chance of one goal: share, Wilson interval, verdict. */
struct wg_goal_chance {
    int64_t hits, n;
    double share; /* NaN for n = 0 */
    struct wg_interval interval;
    enum wg_verdict verdict;
};
/** Of goal number i at a confidence, e.g. 0.95. */
struct wg_goal_chance wg_goal_tally_chance(const struct wg_goal_tally *odds, int i, double confidence);
/** Of all goals in the same replicate. Its verdict says whether each goal is often enough met, not whether all at once are. */
struct wg_goal_chance wg_goal_tally_chance_of_all(const struct wg_goal_tally *odds, double confidence);

/* ---- until sure ---- */

#define WG_PRECISION_MAX_REPLICATES 20000 /* default cap (judgement: a coffee's length at 5 ms a replicate) */

/** Half the widest of the intervals: survival, every goal, and all goals at once. */
double wg_goal_tally_half_width(const struct wg_goal_tally *odds, double confidence);
/**
 * How many replicates to add so that the half-width becomes at most `wanted`
 * (> 0), 0 when it is or `at_most` is reached. Never more than doubles what is
 * there, so that a first guess that was far off costs little.
 */
int64_t wg_precision_replicates(const struct wg_goal_tally *odds, double confidence, double wanted, int64_t at_most);

struct wg_precision {
    double half_width, confidence; /* e.g. 0.02, 0.95 */
    int64_t at_most;
};
/**
 * Runs options->count replicates and then rounds of more until sure; the odds
 * see all of them, as do the observers. Same seeds, so the n of the outcome is
 * the n that one plain run would need for the same bytes. 0 (then wg_goal_tally_half_width()
 * tells whether it got there), WG_STOPPED, or a negative error.
 */
int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *sure, struct wg_goal_tally *odds, const struct wg_observer *observers,
                     int n_observers, struct wg_error *err);

#endif
