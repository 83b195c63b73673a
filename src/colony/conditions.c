/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Development and hazards of each stage over the hours of a step.
 *
 * Both are sums over the hours, because they are nonlinear in temperature:
 * dx = sum r(T_h) / 24,  H = sum h(T_h) / 24. Chronic heat depends in every hour on the
 * mean of the 24 hours that end with it, because it was measured at constant temperatures
 * (species/species_numbers.c): so a day that turns hot kills as many in one step as in 24.
 */
#include "colony/state.h"

#include <string.h>

double wg_mean24(const double today_c[24], const double yesterday_c[24], int to) {
    const double sum_c = wg_hours_of(today_c, to).sum_c;
    return (to == 24 ? sum_c : sum_c + wg_hours_of(yesterday_c + to, 24 - to).sum_c) / 24;
}

/* A step of a day has the sum already. */
static double medium_mean24(const struct wg_medium *medium) {
    return medium->hours.n == 24 ? medium->hours.sum_c / 24
                                 : wg_mean24(medium->today_c, medium->yesterday_c, medium->to);
}

/* Largest fall of the 24-hour mean within a step; below the limit by this much, its last value suffices. Judgement. */
#define MAX_MEAN24_FALL_K 6.0

/* Sum of the chronic hazards per day over the hours of the step. */
static double chronic_heat(const struct wg_medium *medium, const struct wg_species *species) {
    const int n = medium->hours.n;
    double mean24_c[24], mean_c = medium_mean24(medium);
    if (species->heat_chronic_slope * (mean_c + MAX_MEAN24_FALL_K - species->heat_chronic_c) < -7)
        return n * wg_hazard_heat_chronic(species, mean_c);
    for (int h = n; h-- > 0; mean_c -= (medium->hours.temp_c[h] - medium->yesterday_c[medium->from + h]) / 24)
        mean24_c[h] = mean_c;
    return wg_hazard_heat_chronic_sum(species, mean24_c, n);
}

static void update_medium(struct wg_medium *medium, const struct wg_species *species) {
    medium->heat_acute = wg_hazard_heat_acute_sum(species, &medium->hours) / 24;
    medium->heat_chronic = chronic_heat(medium, species) / 24;
    medium->known = 1;
}

/* Heat above a base: linear if every hour is above it, 0 if none is. */
static double waking_heat(const struct wg_species *species, const struct wg_hours *hours) {
    if (wg_dormancy_heat(species, hours->coldest_c) > 0)
        return hours->n * wg_dormancy_heat(species, hours->sum_c / hours->n);
    double heat = 0;
    if (wg_dormancy_heat(species, hours->warmest_c) > 0)
        for (int h = 0; h < hours->n; h++)
            heat += wg_dormancy_heat(species, hours->temp_c[h]);
    return heat;
}

/* The causes that act alike on all of a pool; cold and hunger may differ. */
static void add_shared_hazards(struct wg_conditions *conditions) {
    const double *const hazard = conditions->hazard;
    conditions->shared = hazard[WG_CAUSE_BACKGROUND] + hazard[WG_CAUSE_HEAT] + hazard[WG_CAUSE_FREEZING];
}

/* Dormant prepupae have the hazards of prepupae but for the background, which does not follow a pace. */
static void update_dormant(struct wg_conditions *conditions, const struct wg_species *species) {
    struct wg_conditions *const prepupa = conditions->awake;
    const struct wg_hours *const hours = &conditions->medium->hours;
    wg_conditions_update(prepupa, species);
    memcpy(conditions->hazard, prepupa->hazard, sizeof conditions->hazard);
    conditions->hazard[WG_CAUSE_BACKGROUND] = species->dormant_hazard * hours->n / 24;
    conditions->dx = conditions->pace == WG_PACE_WAKING ? waking_heat(species, hours) / 24 : 0;
    add_shared_hazards(conditions);
}

static void update_stage(struct wg_conditions *conditions, const struct wg_species *species) {
    const struct wg_medium *const medium = conditions->medium;
    const enum wg_clock_stage stage = conditions->stage;
    const struct wg_hours *const hours = &medium->hours;
    const struct wg_pace_sums pace = wg_pace_sums_of(species, stage, hours);
    double *const hazard = conditions->hazard;
    conditions->dx = pace.development / 24;
    if (conditions->pace == WG_PACE_DARK)
        conditions->dx /= species->dark_prepupa_factor;
    hazard[WG_CAUSE_BACKGROUND] = pace.background / 24;
    hazard[WG_CAUSE_HEAT] = medium->heat_acute + (stage != WG_CLOCK_ADULT ? medium->heat_chronic : 0);
    hazard[WG_CAUSE_FREEZING] = wg_hazard_freezing_sum(species, stage, hours) / 24;
    hazard[WG_CAUSE_HUNGER] = 0;
    add_shared_hazards(conditions);
    const double cold = wg_hazard_cold_sum(species, wg_cold_curve_of(stage), hours) / 24;
    if (stage == WG_CLOCK_LARVA) {
        conditions->cold_young = wg_hazard_cold_sum(species, WG_COLD_YOUNG_LARVA, hours) / 24;
        conditions->cold_old = cold;
    } else {
        hazard[WG_CAUSE_COLD] = cold;
    }
}

void wg_conditions_update(struct wg_conditions *conditions, const struct wg_species *species) {
    if (conditions->known)
        return;
    if (!conditions->medium->known)
        update_medium(conditions->medium, species);
    if (conditions->awake != NULL)
        update_dormant(conditions, species);
    else
        update_stage(conditions, species);
    conditions->known = 1;
}

static void set_medium_hours(struct wg_medium *medium, const struct wg_colony *colony, const double today_c[24],
                             const double yesterday_c[24]) {
    medium->today_c = today_c;
    medium->yesterday_c = yesterday_c;
    medium->from = colony->from;
    medium->to = colony->to;
    medium->hours = wg_hours_of(today_c + colony->from, colony->to - colony->from);
    medium->known = 0;
}

static void reset_conditions(struct wg_conditions *conditions, struct wg_medium *medium, enum wg_clock_stage stage,
                             enum wg_pace pace) {
    conditions->medium = medium;
    conditions->stage = stage;
    conditions->pace = pace;
    conditions->known = 0;
}

void wg_step_conditions(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int b = 0; b < plan->n_bins; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        const int p = plan->bins[b].place;
        int n_bins;
        set_medium_hours(&bin->substrate, colony, colony->place[p].hours.bin_c[b - wg_place_bins(plan, p, &n_bins)],
                         bin->yesterday_c);
        reset_conditions(&bin->egg_now, &bin->substrate, WG_CLOCK_EGG, WG_PACE_STAGE);
        reset_conditions(&bin->larva_now, &bin->substrate, WG_CLOCK_LARVA, WG_PACE_STAGE);
    }
    for (int p = 0; p < plan->n_places; p++) {
        struct wg_place_colony *const pl = &colony->place[p];
        set_medium_hours(&pl->in_air, colony, pl->hours.air_c, pl->air_yesterday_c);
        set_medium_hours(&pl->in_ground, colony, pl->hours.ground_c, pl->ground_yesterday_c);
        reset_conditions(&pl->trap_now, &pl->in_air, WG_CLOCK_EGG, WG_PACE_STAGE);
        reset_conditions(&pl->adult_now, &pl->in_air, WG_CLOCK_ADULT, WG_PACE_STAGE);
        reset_conditions(&pl->pupa_now, &pl->in_ground, WG_CLOCK_PUPA, WG_PACE_STAGE);
        reset_conditions(&pl->prepupa_now, &pl->in_ground, WG_CLOCK_PREPUPA,
                         plan->places[p].ground.dark ? WG_PACE_DARK : WG_PACE_STAGE);
        reset_conditions(&pl->waking_now, &pl->in_ground, WG_CLOCK_PREPUPA, WG_PACE_WAKING);
        reset_conditions(&pl->asleep_now, &pl->in_ground, WG_CLOCK_PREPUPA, WG_PACE_ASLEEP);
        pl->waking_now.awake = pl->asleep_now.awake = &pl->prepupa_now;
    }
}
