/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Prepupae, dormant prepupae and pupae in the pupation ground. */
#include "colony/state.h"

/* Counts days and cold days of dormancy; once they suffice, dormant prepupae accumulate heat. */
static void advance_dormancy(struct wg_colony *colony, struct wg_place_colony *place) {
    const struct wg_species *const species = &colony->world->plan->species;
    const struct wg_clock *const clock = &colony->world->clocks.dormancy;
    wg_pool_advance(colony, &place->waking, WG_DORMANT, clock, &place->waking_now, NULL, &place->resumed);
    wg_pool_advance(colony, &place->asleep, WG_DORMANT, clock, &place->asleep_now, NULL, &place->resumed);
    if (place->asleep.n == 0)
        return;
    const double mean_c = wg_mean24(place->hours.ground_c, place->ground_yesterday_c, colony->to);
    const double cold_days = mean_c < species->dorm_open_cold_c ? colony->dt_day : 0;
    for (int i = 0; i < place->asleep.n; i++) {
        struct wg_cohort *const c = &place->asleep.cohort[i];
        c->mark += cold_days;
        c->days += colony->dt_day;
        if (!wg_dormancy_open(species, c->mark, c->days))
            continue;
        /* Days no longer matter: one cohort for each opening day saves a third of a winter's cohorts. */
        struct wg_cohort opened = *c;
        opened.mark = opened.days = 0;
        wg_pool_join(&place->waking, &opened);
        c->count = 0;
    }
    wg_pool_compact(&place->asleep);
}

void wg_step_ground(struct wg_colony *colony) {
    const struct wg_world *const world = colony->world;
    const struct wg_clock *const clock = world->clocks.stage;
    for (int p = 0; p < world->plan->n_places; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        advance_dormancy(colony, place);
        wg_pool_advance(colony, &place->prepupa, WG_PREPUPA, &clock[WG_CLOCK_PREPUPA], &place->prepupa_now, NULL,
                        &place->pupated);
        wg_pool_advance(colony, &place->pupa, WG_PUPA, &clock[WG_CLOCK_PUPA], &place->pupa_now, NULL, &place->emerged);
    }
}
