/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Asserts the balances: started + laid + wild eggs = alive + dead + taken + flown, exactly;
 * feed given = eaten + microbes + left, within 1e-9.
 */
#include "colony/state.h"

#include <math.h>

int64_t wg_colony_count(const struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    int64_t alive = 0;
    for (int b = 0; b < plan->n_bins; b++)
        alive += wg_pool_count(&colony->bin[b].egg) + wg_pool_count(&colony->bin[b].larva);
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_pool *pool[WG_PLACE_POOLS];
        wg_place_pools(&colony->place[p], pool);
        for (int i = 0; i < WG_PLACE_POOLS; i++)
            alive += wg_pool_count(pool[i]);
    }
    return alive;
}

int64_t wg_ledger_out(const struct wg_ledger *ledger) {
    int64_t out = ledger->taken + ledger->flown;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            out += ledger->dead[stage][cause];
    return out;
}

void wg_step_ledger(struct wg_colony *colony) {
    const struct wg_ledger *const ledger = &colony->ledger;
    if (colony->to < 24)
        colony->alive =
            wg_colony_count(colony); /* wg_step_record() counted at the end of a day: twice took 2 % of a year */
    wg_assert(ledger->started + ledger->laid + ledger->wild == colony->alive + wg_ledger_out(ledger));
    double left_kg = 0;
    for (int b = 0; b < colony->world->plan->n_bins; b++)
        left_kg += colony->bin[b].pile.usable_kg;
    const double accounted_kg = ledger->feed_eaten_kg + ledger->feed_microbes_kg + left_kg;
    wg_assert(fabs(ledger->feed_given_kg - accounted_kg) <= 1e-9 * (1 + ledger->feed_given_kg));
}
