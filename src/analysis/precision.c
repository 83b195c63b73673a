/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Adds replicates in rounds until the intervals are as narrow as requested.
 *
 * Of the square of an interval's half-width h, the part that luck makes falls with 1/n; what animals and winters make falls
 * likewise as long as more replicates bring new ones, and lasts once all are in use. So w needs n (h^2 - L^2)/(w^2 - L^2)
 * replicates, L what lasts. Each round estimates again. Stopping when the interval is narrow enough makes the stated
 * confidence slightly optimistic; the tests measure by how much.
 */
#include "analysis/cells.h"
#include "analysis/goal_tally.h"
#include "species/plausible.h"

#include <math.h>

#define MAX_OBSERVERS 8

/* Finds what lasts: of animals if the forecast has all of them, of winters if it replays those of a record. */
static struct wg_sureness sureness_of(const struct wg_plan *plan, const struct wg_goal_chance *chance) {
    const double half_width = (chance->interval.high - chance->interval.low) / 2;
    const struct wg_variance_split *const split = &chance->split;
    const double animals = split->n_animals >= wg_plausible_count() ? split->of_animals : 0;
    const double winters = wg_plan_replays_winters(plan) ? split->of_winters : 0;
    return (struct wg_sureness){half_width, split->n > 0 ? half_width * sqrt(animals + winters) : 0};
}

int wg_goal_tally_sureness(const struct wg_goal_tally *tally, double confidence, struct wg_sureness *sure,
                           struct wg_error *err) {
    int code = 0;
    *sure = (struct wg_sureness){0};
    for (int i = WG_GOALS_ALIVE; i < tally->plan->n_goals && code == 0; i++) {
        struct wg_goal_chance chance;
        if (i == WG_GOALS_ALL && tally->plan->n_goals == 0)
            continue;
        code = wg_goal_tally_chance(tally, i, confidence, &chance, err);
        const struct wg_sureness one = sureness_of(tally->plan, &chance);
        if (one.half_width > sure->half_width)
            *sure = one;
    }
    return code;
}

int64_t wg_precision_replicates(const struct wg_sureness *sure, int64_t n, double wanted, int64_t at_most) {
    wg_assert(wanted > 0);
    if (n >= at_most || (n > 0 && (sure->half_width <= wanted || sure->lasting >= wanted)))
        return 0;
    const double lasting = sure->lasting * sure->lasting, luck = sure->half_width * sure->half_width - lasting;
    const double needed = ceil((double)n * (luck / (wanted * wanted - lasting) - 1));
    const double tenth = ceil((double)n / 10); /* avoids a long tail of tiny rounds */
    const double more = fmin(fmax(needed, fmax(tenth, 10)), fmax((double)n, 100));
    return (int64_t)fmin(more, (double)(at_most - n));
}

int wg_precision_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                     const struct wg_precision *precision, struct wg_goal_tally *tally, struct wg_sureness *sure,
                     const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    wg_assert(n_observers >= 0 && n_observers < MAX_OBSERVERS);
    struct wg_observer all[MAX_OBSERVERS] = {wg_goal_tally_observer(tally)};
    for (int i = 0; i < n_observers; i++)
        all[i + 1] = observers[i];
    struct wg_ensemble_options round = *options;
    if (round.count > precision->at_most)
        round.count = precision->at_most;
    while (round.count > 0) {
        int code = wg_ensemble_run(plan, &round, all, n_observers + 1, err);
        if (code == 0)
            code = wg_goal_tally_sureness(tally, precision->confidence, sure, err);
        if (code != 0)
            return code;
        round.first += round.count;
        round.count = wg_precision_replicates(sure, tally->n, precision->half_width, precision->at_most);
    }
    return 0;
}
