/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Power cuts and raids by wild animals.
 *
 * Every day draws the same four deviates in every scenario, so that compared
 * colonies have the same mishaps (common random numbers).
 */
#include "base/elementary.h"
#include "colony/state.h"

#include <math.h>

/* Probability of at least one event on a day, for a Poisson process of a yearly rate. */
static double daily_chance(double per_year) {
    return per_year > 0 ? -wg_expm1(-per_year / 365.25) : 0;
}

/* Sets today's hours without mains: the rest of an earlier cut, and a new one from hour `start` (24: none). */
static void set_power_out_hours(struct wg_colony *colony, int start, int64_t duration_h) {
    const int64_t midnight_h = (int64_t)colony->day * 24, earlier_to_h = colony->power_out_to_h;
    if (start < 24 && midnight_h + start + duration_h > earlier_to_h)
        colony->power_out_to_h = midnight_h + start + duration_h;
    for (int h = 0; h < 24; h++)
        colony->power_out[h] = midnight_h + h < (h < start ? earlier_to_h : colony->power_out_to_h);
}

void wg_mishaps_draw(struct wg_colony *colony) {
    const struct wg_mishaps *const mishaps = &colony->world->plan->mishaps;
    const double cut = wg_uniform(colony->mishap), hour = wg_uniform(colony->mishap);
    const double raid = wg_uniform(colony->mishap);
    /* Reserved for another kind of mishap, so that adding one does not shift the others. */
    (void)wg_uniform(colony->mishap);
    colony->raid_today = raid < daily_chance(mishaps->raids_per_year);
    const int start = cut < daily_chance(mishaps->power_cuts_per_year) ? (int)(hour * 24) : 24;
    set_power_out_hours(colony, start, llround(mishaps->power_cut_hours));
}

void wg_step_mishaps(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    if (!colony->raid_today || colony->to != 24)
        return;
    for (int b = 0; b < plan->n_bins; b++) {
        if (!wg_place_is_open(plan, plan->bins[b].place))
            continue;
        struct wg_pool *const larva = &colony->bin[b].larva;
        for (int i = 0; i < larva->n; i++) {
            struct wg_cohort *const c = &larva->cohort[i];
            const int64_t lost = wg_binomial(colony->chance, c->count, plan->mishaps.raid_share);
            c->count -= lost;
            wg_ledger_add_deaths(colony, WG_LARVA, WG_CAUSE_RAID, lost);
        }
        wg_pool_compact(larva);
    }
}
