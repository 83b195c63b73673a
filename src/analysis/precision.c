/*
 * How many replicates until the odds are known well enough?
 *
 * Rounds: the share s so far says that an interval of half-width w at confidence z
 * takes about z^2 s (1 - s) / w^2 replicates (Wilson's adds z^2 / n to both, so it
 * is asked again each round). Looking after each round and then stopping makes the
 * stated confidence a little optimistic; how little is measured in the tests.
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

/* The count whose share is nearest to a half: the widest interval. */
static int64_t widest(const struct wg_goal_tally *odds) {
    int64_t hits = odds->alive;
    for (int i = 0; i < odds->plan->n_goals; i++)
        if (llabs(2 * odds->hits[i] - odds->n) < llabs(2 * hits - odds->n))
            hits = odds->hits[i];
    if (llabs(2 * odds->all - odds->n) < llabs(2 * hits - odds->n))
        hits = odds->all;
    return hits;
}

double wg_goal_tally_half_width(const struct wg_goal_tally *odds, double confidence) {
    return half_width(widest(odds), odds->n, confidence);
}

int64_t wg_precision_replicates(const struct wg_goal_tally *odds, double confidence, double wanted, int64_t at_most) {
    wg_assert(wanted > 0);
    const int64_t n = odds->n;
    if (n >= at_most || (n > 0 && wg_goal_tally_half_width(odds, confidence) <= wanted))
        return 0;
    const double z = wg_normal_quantile_above((1 - confidence) / 2);
    /* pulled towards a half as the interval itself is */
    const double share = ((double)widest(odds) + z * z / 2) / ((double)n + z * z);
    const double needed = ceil(z * z * share * (1 - share) / (wanted * wanted) - (double)n);
    const double tenth = ceil((double)n / 10); /* no endless tail of tiny rounds */
    const double more = fmin(fmax(needed, fmax(tenth, 10)), fmax((double)n, 100));
    return (int64_t)fmin(more, (double)(at_most - n));
}

int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *sure, struct wg_goal_tally *odds, const struct wg_observer *observers,
                     int n_observers, struct wg_error *err) {
    wg_assert(n_observers >= 0 && n_observers < MAX_OBSERVERS);
    struct wg_observer all[MAX_OBSERVERS] = {wg_goal_tally_observer(odds)};
    for (int i = 0; i < n_observers; i++)
        all[i + 1] = observers[i];
    struct wg_ensemble_options round = *options;
    if (round.count > sure->at_most)
        round.count = sure->at_most;
    while (round.count > 0) {
        const int code = wg_ensemble_run(plan, &round, all, n_observers + 1, err);
        if (code != 0)
            return code;
        round.first += round.count;
        round.count = wg_precision_replicates(odds, sure->confidence, sure->half_width, sure->at_most);
    }
    return 0;
}
