/*
 * Adds replicates in rounds until the intervals are as narrow as requested.
 *
 * With the share s so far, an interval of half-width w at confidence z needs about z^2 s (1 - s) / w^2 replicates
 * (Wilson's interval adds z^2 / n to both, so each round estimates again). Stopping when the interval is narrow enough
 * makes the stated confidence slightly optimistic; the tests measure by how much.
 */
#include "analysis/goal_tally.h"
#include "base/elementary.h"

#include <math.h>
#include <stdlib.h>

#define MAX_OBSERVERS 8

static double half_width(int64_t hits, int64_t n, double confidence) {
    const struct wg_interval interval = wg_wilson((size_t)hits, (size_t)n, confidence);
    return (interval.high - interval.low) / 2;
}

/* Returns the count whose share is nearest to 1/2: it has the widest interval. */
static int64_t widest_count(const struct wg_goal_tally *tally) {
    int64_t hits = tally->alive;
    for (int i = 0; i < tally->plan->n_goals; i++)
        if (llabs(2 * tally->hits[i] - tally->n) < llabs(2 * hits - tally->n))
            hits = tally->hits[i];
    if (llabs(2 * tally->all - tally->n) < llabs(2 * hits - tally->n))
        hits = tally->all;
    return hits;
}

double wg_goal_tally_half_width(const struct wg_goal_tally *tally, double confidence) {
    return half_width(widest_count(tally), tally->n, confidence);
}

int64_t wg_precision_replicates(const struct wg_goal_tally *tally, double confidence, double wanted, int64_t at_most) {
    wg_assert(wanted > 0);
    const int64_t n = tally->n;
    if (n >= at_most || (n > 0 && wg_goal_tally_half_width(tally, confidence) <= wanted))
        return 0;
    const double z = wg_normal_quantile_above((1 - confidence) / 2);
    /* shrunk towards 1/2 like the interval's centre */
    const double share = ((double)widest_count(tally) + z * z / 2) / ((double)n + z * z);
    const double needed = ceil(z * z * share * (1 - share) / (wanted * wanted) - (double)n);
    const double tenth = ceil((double)n / 10); /* avoids a long tail of tiny rounds */
    const double more = fmin(fmax(needed, fmax(tenth, 10)), fmax((double)n, 100));
    return (int64_t)fmin(more, (double)(at_most - n));
}

int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *precision, struct wg_goal_tally *tally,
                     const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    wg_assert(n_observers >= 0 && n_observers < MAX_OBSERVERS);
    struct wg_observer all[MAX_OBSERVERS] = {wg_goal_tally_observer(tally)};
    for (int i = 0; i < n_observers; i++)
        all[i + 1] = observers[i];
    struct wg_ensemble_options round = *options;
    if (round.count > precision->at_most)
        round.count = precision->at_most;
    while (round.count > 0) {
        const int code = wg_ensemble_run(plan, &round, all, n_observers + 1, err);
        if (code != 0)
            return code;
        round.first += round.count;
        round.count = wg_precision_replicates(tally, precision->confidence, precision->half_width, precision->at_most);
    }
    return 0;
}
