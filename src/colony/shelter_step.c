/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Temperatures of all places over a step, with the metabolic heat of the larvae:
 *
 *   W(T) = heat of a kg eaten x min(K r(T), usable feed / time left to midnight)
 *   K = sum over cohorts of count x appetite(x) x final mass x dry share / conversion
 *
 * K is the dry feed needed per unit of development, r the development rate at the temperature of the bin, so metabolic
 * heat follows the bin's temperature hour by hour. The appetite is that of half a step ahead (world.c), nearly the
 * mean over the step. Microbial heat is neglected, so an overfed, fermenting bin is cooler than a real one
 * (judgement).
 */
#include "colony/state.h"

#include <math.h>
#include <string.h>

int wg_place_bins(const struct wg_plan *plan, int place, int *n_bins) {
    int first = 0;
    while (first < plan->n_bins && plan->bins[first].place < place)
        first++;
    int end = first;
    while (end < plan->n_bins && plan->bins[end].place == place)
        end++;
    *n_bins = end - first;
    return first;
}

int wg_place_is_open(const struct wg_plan *plan, int place) {
    const enum wg_housing_kind kind = plan->places[place].shelter.kind;
    return kind == WG_OUTDOORS || kind == WG_HOOP_HOUSE;
}

/* Gain of all larvae of a bin per unit of development, in units of the final mass. */
static double larval_appetite(const struct wg_colony *colony, const struct wg_pool *larva) {
    double sum = 0;
    for (int i = 0; i < larva->n; i++)
        sum += (double)larva->cohort[i].count * wg_cohort_appetite(&colony->world->growth, larva->cohort[i].x);
    return sum;
}

/* Metabolic heat of the larvae of bin b, now at temp_c. */
static struct wg_bin_heat heat_of(const struct wg_colony *colony, int b, double temp_c) {
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const species = &plan->species;
    const struct wg_bin_state *const bin = &colony->bin[b];
    if (bin->larva.n == 0)
        return (struct wg_bin_heat){0};
    const struct wg_rate *const rate = &species->rate[WG_CLOCK_LARVA];
    const double final_g = wg_final_mass_g(species, temp_c, wg_bin_feed_quality(plan, &bin->pile));
    const double demand_kg = wg_feed_for_gain_kg(species, larval_appetite(colony, &bin->larva) * final_g) /
                             wg_bin_feed_conversion(plan, &bin->pile);
    return (struct wg_bin_heat){
        .curve_w = demand_kg * rate->a * species->heat_per_dry_feed / 86400,
        .from_c = rate->t0_c,
        .to_c = rate->tm_c,
        .root = rate->m,
        .fuel_j = plan->feed_unlimited ? HUGE_VAL : bin->pile.usable_kg * species->heat_per_dry_feed,
        .fade_per_day = species->heat_chronic,
        .fade_slope = species->heat_chronic_slope,
        .fade_c = species->heat_chronic_c,
        .yesterday_c = bin->yesterday_c,
    };
}

/* Runs hours from..to-1, in which the mains do not change. */
static void run_hours(struct wg_colony *colony, int p, int from, int to, struct wg_bin_heat *heat) {
    const struct wg_plan *const plan = colony->world->plan;
    struct wg_place_colony *const place = &colony->place[p];
    struct wg_diary *const diary = colony->diary;
    int n_bins;
    const int first = wg_place_bins(plan, p, &n_bins);
    double substrate_kg[WG_MAX_BINS_PER_PLACE];
    for (int b = 0; b < n_bins; b++) {
        const double larvae_kg = wg_pool_mass_kg(&colony->bin[first + b].larva);
        substrate_kg[b] = plan->bins[first + b].spec.substrate_kg + (larvae_kg < 1e6 ? larvae_kg : 1e6);
    }
    wg_place_run(&place->air, &colony->world->places[p], &place->settings, &colony->sky, from, to, heat, substrate_kg,
                 colony->power_out[from], &place->hours);
    const size_t at = (size_t)colony->day * (size_t)plan->n_places + (size_t)p;
    diary->heater_energy[at] += place->hours.heater_kwh + place->hours.mats_kwh + place->hours.lamps_kwh;
    diary->heater_cost[at] += place->hours.cost;
    diary->cost_energy += place->hours.paid;
    for (int b = 0; b < n_bins; b++) {
        double *const short_w = &diary->mat_short[(size_t)colony->day * (size_t)plan->n_bins + (size_t)(first + b)];
        if (place->hours.mat_short_w[b] > *short_w)
            *short_w = place->hours.mat_short_w[b];
    }
    if (place->hours.heater_short_w > diary->heater_short[at])
        diary->heater_short[at] = place->hours.heater_short_w;
}

/* The next hour of the step in which the mains change, or its end. */
static int next_power_change(const struct wg_colony *colony, int from) {
    int h = from + 1;
    while (h < colony->to && colony->power_out[h] == colony->power_out[from])
        h++;
    return h;
}

void wg_step_shelter(struct wg_colony *colony) {
    for (int p = 0; p < colony->world->plan->n_places; p++) {
        struct wg_bin_heat heat[WG_MAX_BINS_PER_PLACE];
        int n_bins;
        const int first = wg_place_bins(colony->world->plan, p, &n_bins);
        for (int b = 0; b < n_bins; b++)
            heat[b] = heat_of(colony, first + b, colony->place[p].air.bin_c[b]);
        for (int from = colony->from, to; from < colony->to; from = to) {
            to = next_power_change(colony, from);
            run_hours(colony, p, from, to, heat);
        }
    }
}
