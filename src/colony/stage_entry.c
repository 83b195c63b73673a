/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Entry into stages. Individuals enter uniformly over a step, so on average they
 * have half of its development and half of its hazards. This makes the mean time to
 * egg-laying unbiased at one step a day.
 */
#include "colony/state.h"

void wg_enter_ground(struct wg_colony *colony, int p, struct wg_flow *flow, struct wg_conditions *asleep_now,
                     struct wg_conditions *prepupa_now) {
    if (flow->n_lineages == 0)
        return;
    const struct wg_world *const world = colony->world;
    const struct wg_species *const species = &world->plan->species;
    struct wg_place_colony *const place = &colony->place[p];
    const struct wg_shelter_spec *const shelter = &world->plan->places[p].shelter;
    double ground7_c = wg_mean24(place->hours.ground_c, place->ground_yesterday_c, colony->to);
    for (int k = 0; k < 6; k++)
        ground7_c += place->ground_days_c[k];
    ground7_c /= 7;
    const double lamps_h = wg_lamp_hours(shelter, &place->settings, colony->sky.day);
    const double sun_h = wg_sun_hours(shelter, colony->sky.day_length_h);
    const double day_h = shelter->kind == WG_LABORATORY ? 24 : lamps_h > sun_h ? lamps_h : sun_h;
    const double chance = wg_dormancy_chance(species, day_h, ground7_c);
    struct wg_flow dormant;
    dormant.n_lineages = 0;
    for (int lineage = 0; lineage < flow->n_lineages; lineage++) {
        const int64_t asleep = wg_binomial(colony->chance, flow->count[lineage], chance);
        const double mass_g = wg_flow_take(flow, lineage, asleep);
        wg_flow_add(&dormant, lineage, asleep, mass_g);
    }
    wg_flow_enter(colony, &dormant, &place->asleep, WG_DORMANT, &world->clocks.dormancy, asleep_now, 0);
    wg_flow_enter(colony, flow, &place->prepupa, WG_PREPUPA, &world->clocks.stage[WG_CLOCK_PREPUPA], prepupa_now, 0);
}

void wg_step_enter(struct wg_colony *colony) {
    const struct wg_world *const world = colony->world;
    const struct wg_species *const species = &world->plan->species;
    const struct wg_clock *const clock = world->clocks.stage;
    for (int b = 0; b < world->plan->n_bins; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        wg_flow_enter(colony, &bin->hatched, &bin->larva, WG_LARVA, &clock[WG_CLOCK_LARVA], &bin->larva_now, 0);
        wg_flow_enter(colony, &bin->laid, &bin->egg, WG_EGG, &clock[WG_CLOCK_EGG], &bin->egg_now, 0);
    }
    for (int p = 0; p < world->plan->n_places; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        wg_flow_enter(colony, &place->trapped, &place->trap, WG_EGG, &clock[WG_CLOCK_EGG], &place->trap_now, 0);
        wg_enter_ground(colony, p, &place->crawled, &place->asleep_now, &place->prepupa_now);
        wg_flow_enter(colony, &place->resumed, &place->prepupa, WG_PREPUPA, &clock[WG_CLOCK_PREPUPA],
                      &place->prepupa_now, species->dorm_resume_x);
        wg_flow_enter(colony, &place->pupated, &place->pupa, WG_PUPA, &clock[WG_CLOCK_PUPA], &place->pupa_now, 0);
    }
}
