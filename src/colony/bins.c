/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Feeding, growth, hatching and crawl-off in the bins.
 *
 *   demand = sum over cohorts of (well-fed gain x dry share / conversion)
 *   ration = min(1, usable feed x hours of the step / hours left to midnight / demand)
 *
 * Scarce feed is spread evenly over the rest of the day, so that one step and 24 give the same result. (Eaten in the
 * first hours, it would leave hungry hours at the end, and hunger, quadratic in the deficit, would kill more in 24
 * steps than in one; gut content and fat even out a day.) The ration scales growth, and development by 0.4 + 0.6
 * ration (species/growth); hunger kills in proportion to the pace of development. Feed supply, not birth, limits a
 * colony.
 */
#include "base/elementary.h"
#include "colony/state.h"
#include "species/growth.h"

#include <math.h>

#define HUNGER_C 27.0 /* the reference temperature of the starvation hazard */

/* Fills the well-fed gain of each cohort; returns the dry feed needed for it, kg. */
static double feed_demand_kg(struct wg_colony *colony, struct wg_bin_state *bin, double temp_c, double quality) {
    const struct wg_species *const species = &colony->world->plan->species;
    if (bin->larva.n == 0)
        return 0;
    double gain = 0;
    bin->meal.final_g = wg_final_mass_g(species, temp_c, quality);
    bin->meal.dx = bin->larva_now.dx;
    wg_pool_predict(colony, &bin->larva, &colony->world->clocks.stage[WG_CLOCK_LARVA], bin->meal.dx);
    wg_pool_predict_growth(colony, &bin->larva, bin->meal.dx);
    for (int i = 0; i < bin->larva.n; i++) {
        struct wg_cohort_step *const step = &colony->steps[i];
        const double rise = step->reached - bin->larva.cohort[i].share;
        step->gain = rise > 0 ? rise : 0;
        gain += (double)bin->larva.cohort[i].count * step->gain;
    }
    return wg_feed_for_gain_kg(species, gain * bin->meal.final_g);
}

/* By the law of feed_demand_kg() over whole days, without deaths: what they leave is taken off the next feeding. */
double wg_bin_appetite_kg(const struct wg_colony *colony, int b, double quality, int days) {
    const struct wg_world *const world = colony->world;
    const struct wg_species *const species = &world->plan->species;
    const struct wg_pool *const larva = &colony->bin[b].larva;
    const struct wg_hours hours = wg_hours_of(colony->bin[b].yesterday_c, 24);
    const double dx = days * wg_pace_sums_of(species, WG_CLOCK_LARVA, &hours).development / 24;
    const double temp_c = hours.sum_c / 24, final_g = wg_final_mass_g(species, temp_c, quality);
    double gain = 0;
    for (int i = 0; i < larva->n; i++) {
        const struct wg_cohort *const c = &larva->cohort[i];
        const double left =
            -wg_expm1(wg_clock_log_survival(&world->clocks.stage[WG_CLOCK_LARVA], c->x + dx) - c->log_s);
        const double reached = wg_reached_share(wg_cohort_mean_share(&world->growth, c->x + dx), left);
        gain += (double)c->count * fmax(0, reached - c->share);
    }
    /* Eaten evenly while microbes take a share: the integral of exp(rate t), over its length. */
    const double lost = days * wg_microbe_rate(species, temp_c), with_loss = lost > 0 ? wg_expm1(lost) / lost : 1;
    return wg_feed_for_gain_kg(species, gain * final_g) * with_loss;
}

double wg_bin_feed_quality(const struct wg_plan *plan, const struct wg_bin_contents *pile) {
    if (plan->feed_unlimited)
        return plan->unlimited_quality;
    return pile->usable_kg > 0 ? pile->quality_kg / pile->usable_kg : 1;
}

double wg_bin_feed_conversion(const struct wg_plan *plan, const struct wg_bin_contents *pile) {
    return plan->feed_unlimited || pile->conversion_kg <= 0 ? 1 : pile->conversion_kg / pile->usable_kg;
}

/* Removes dry feed of mean quality from the pile. */
static void remove_feed(struct wg_bin_contents *pile, double dry_kg) {
    const double left = pile->usable_kg > dry_kg ? (pile->usable_kg - dry_kg) / pile->usable_kg : 0;
    pile->usable_kg *= left;
    pile->quality_kg *= left;
    pile->conversion_kg *= left;
}

/*
 * Microbial loss of feed and, at the same rate (judgement), of frass. If frass did not decompose, a crowded bin at 28
 * degC fed for two months would lose 40 % of the dry matter given instead of 64 %; trays of municipal waste in the
 * field, some of them drained, lost 65.5 to 78.9 % (Diener et al. 2011, Waste Biomass Valor. 2:357, abstract; it does
 * not say wet or dry). Returns the dry feed lost.
 */
static double decompose(struct wg_bin_contents *pile, const struct wg_species *species, double temp_c, double dt_day) {
    const double share = -wg_expm1(-wg_microbe_rate(species, temp_c) * dt_day), lost_kg = pile->usable_kg * share;
    remove_feed(pile, lost_kg);
    pile->frass_kg *= 1 - share;
    return lost_kg;
}

/*
 * Starvation hazard over the step. Larvae that do not develop in the cold use no reserves (common practice), so the
 * daily hazard at 27 degC is scaled with the pace of development.
 */
static double starvation_hazard(const struct wg_species *species, double ration, double dx) {
    const double per_day = wg_rate_per_day(&species->rate[WG_CLOCK_LARVA], HUNGER_C);
    return per_day > 0 ? wg_hazard_hunger(species, ration) * dx / per_day : 0;
}

/* Feeds larvae, then microbes; larva_now takes the ration into account. */
static void feed_larvae(struct wg_colony *colony, int b) {
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const species = &plan->species;
    struct wg_bin_state *const bin = &colony->bin[b];
    struct wg_diary *const diary = colony->diary;
    struct wg_ledger *const ledger = &colony->ledger;
    const size_t at = (size_t)colony->day * (size_t)plan->n_bins + (size_t)b;
    struct wg_bin_contents *const pile = &bin->pile;
    const double temp_c = bin->substrate.hours.sum_c / bin->substrate.hours.n;
    if (bin->larva.n > 0)
        wg_conditions_update(&bin->larva_now, species);
    const double convert = wg_bin_feed_conversion(plan, pile);
    const double demand_kg = feed_demand_kg(colony, bin, temp_c, wg_bin_feed_quality(plan, pile)) / convert;
    double available_kg = pile->usable_kg * (colony->to - colony->from) / (24 - colony->from);
    if (plan->feed_unlimited) {
        pile->usable_kg += demand_kg;
        available_kg = pile->usable_kg;
        ledger->feed_given_kg += demand_kg;
        diary->feed_given[at] += demand_kg;
    }
    const double eaten_kg = fmin(demand_kg, available_kg);
    const double ration = demand_kg > 0 ? eaten_kg / demand_kg : 1;
    remove_feed(pile, eaten_kg);
    const double microbes_kg = decompose(pile, species, temp_c, colony->dt_day);
    /* Feed eaten that becomes neither larval mass nor gas is frass. */
    pile->frass_kg += eaten_kg * fmax(0, 1 - species->gas_share - species->conversion * convert);
    bin->eaten_kg = eaten_kg;
    bin->meal.ration = ration;
    if (bin->larva.n > 0) {
        bin->larva_now.hazard[WG_CAUSE_HUNGER] = starvation_hazard(species, ration, bin->larva_now.dx);
        bin->larva_now.dx *= wg_development_share(species, ration);
    }
    ledger->feed_eaten_kg += eaten_kg;
    ledger->feed_microbes_kg += microbes_kg;
    diary->feed_demand[at] += demand_kg;
    diary->feed_eaten[at] += eaten_kg;
    diary->feed_microbes[at] += microbes_kg;
}

/* Crawl-off of a bin: a share is caught, of which a share is given back; the rest reaches the ground. */
static void crawl_off(struct wg_colony *colony, int b, struct wg_flow *leaving) {
    const struct wg_bin_state *const bin = &colony->bin[b];
    struct wg_place_colony *const place = &colony->place[colony->world->plan->bins[b].place];
    struct wg_diary *const diary = colony->diary;
    for (int lineage = 0; lineage < leaving->n_lineages; lineage++) {
        const int64_t all = leaving->count[lineage];
        if (all == 0)
            continue;
        const double mass_g = wg_flow_take(leaving, lineage, all);
        const int64_t caught = wg_binomial(colony->chance, all, bin->collect_share);
        const int64_t kept = caught - wg_binomial(colony->chance, caught, bin->give_back);
        wg_flow_add(&place->crawled, lineage, all - kept, mass_g);
        colony->ledger.taken += kept;
        wg_diary_add_crawl_off(diary, colony->day, b, wg_lineage_generation(lineage), all, (double)all * mass_g / 1000);
        diary->harvest_count[colony->day] += kept;
        diary->harvest_mass[colony->day] += (double)kept * mass_g / 1000;
    }
}

/*
 * Attraction of a bin to gravid females: its dry usable feed plus that eaten in the last 24 hours (judgement: no study
 * gives a law; that the smell of decaying waste attracts them is common practice). With unlimited feed all bins are
 * equal.
 */
static double bin_attraction(const struct wg_colony *colony, int b) {
    const struct wg_plan *const plan = colony->world->plan;
    if (plan->feed_unlimited)
        return 1;
    const double *const eaten_kg = colony->diary->feed_eaten + (ptrdiff_t)colony->day * plan->n_bins + b;
    const double yesterday_kg = colony->day > 0 ? eaten_kg[-plan->n_bins] : 0;
    return colony->bin[b].pile.usable_kg + eaten_kg[0] + (24 - colony->to) / 24.0 * yesterday_kg;
}

int wg_place_attracts(const struct wg_colony *colony, int place) {
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, place, &n_bins);
    for (int b = 0; b < n_bins; b++)
        if (bin_attraction(colony, first + b) > 0)
            return 1;
    return 0;
}

void wg_distribute_over_bins(struct wg_colony *colony, int place, int64_t count, int64_t *out) {
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, place, &n_bins), attracts = wg_place_attracts(colony, place);
    double weight[WG_MAX_BINS];
    for (int b = 0; b < n_bins; b++)
        weight[b] = attracts ? bin_attraction(colony, first + b) : 1;
    if (n_bins > 0)
        wg_multinomial(colony->chance, count, n_bins, weight, out);
}

/* Mass of a hatchling: the start of the growth curve. */
static double hatchling_g(const struct wg_world *world) {
    return world->plan->species.final_mass_g * wg_cohort_mean_share(&world->growth, 0);
}

/* Eggs left too long in a trap hatch there: a share of the hatchlings reaches a bin, the rest starves. */
static void hatch_trap_eggs(struct wg_colony *colony, int p) {
    const struct wg_world *const world = colony->world;
    struct wg_place_colony *const place = &colony->place[p];
    struct wg_flow hatched;
    hatched.n_lineages = 0;
    wg_pool_advance(colony, &place->trap, WG_EGG, &world->clocks.stage[WG_CLOCK_EGG], &place->trap_now, NULL, &hatched);
    int n_bins;
    const int first = wg_place_bins(world->plan, p, &n_bins);
    for (int lineage = 0; lineage < hatched.n_lineages; lineage++) {
        if (hatched.count[lineage] == 0)
            continue;
        const double reach = n_bins > 0 ? world->plan->species.trap_hatch_reach : 0;
        const int64_t arrived = wg_binomial(colony->chance, hatched.count[lineage], reach);
        wg_ledger_add_deaths(colony, WG_LARVA, WG_CAUSE_HUNGER, hatched.count[lineage] - arrived);
        int64_t share[WG_MAX_BINS] = {0};
        wg_distribute_over_bins(colony, p, arrived, share);
        for (int b = 0; b < n_bins; b++)
            wg_flow_add(&colony->bin[first + b].hatched, lineage, share[b], hatchling_g(world));
    }
}

void wg_step_bins(struct wg_colony *colony) {
    const struct wg_world *const world = colony->world;
    const struct wg_plan *const plan = world->plan;
    for (int b = 0; b < plan->n_bins; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        struct wg_flow hatching, leaving;
        hatching.n_lineages = leaving.n_lineages = 0;
        wg_pool_advance(colony, &bin->egg, WG_EGG, &world->clocks.stage[WG_CLOCK_EGG], &bin->egg_now, NULL, &hatching);
        feed_larvae(colony, b); /* fills colony->steps for the larvae: nothing may come between */
        wg_pool_advance(colony, &bin->larva, WG_LARVA, &world->clocks.stage[WG_CLOCK_LARVA], &bin->larva_now,
                        &bin->meal, &leaving);
        for (int lineage = 0; lineage < hatching.n_lineages; lineage++)
            wg_flow_add(&bin->hatched, lineage, hatching.count[lineage], hatchling_g(world));
        crawl_off(colony, b, &leaving);
    }
    for (int p = 0; p < plan->n_places; p++)
        hatch_trap_eggs(colony, p);
}
