/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Growth and extinction of simulated colonies against theory.
 *
 * Growth (Euler 1760; Lotka 1907, Science 26:21): an unlimited colony finally grows at the root r of
 *     1 = sum over ages of exp(-r age) x eggs laid at that age per egg,
 * here that of the model's own life table, a closed form without cohorts and steps.
 *
 * Extinction (Galton & Watson 1875): the line of an egg dies out with probability q, the smallest root of q = f(q),
 * where
 *     f(q) = 1 - p + p E q^clutch
 * is the generating function of the eggs that an egg leaves; p is its probability of becoming a mother. All lines of n
 * eggs die out with probability q^n. Without the condition on males, because the theory assumes independent lines.
 *
 * Both parameter sets, over temperatures from too cool to too hot.
 */
#include "base/stats.h"
#include "forecast/summary.h"
#include "species/breeding.h"
#include "species/growth.h"
#include "species/lifetable.h"
#include "support/plans.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double temps_c[] = {18, 20, 22, 25, 27, 30, 32, 34};
enum { N_TEMPS = sizeof temps_c / sizeof *temps_c };
static int failed;

static void say(const char *what, const char *numbers, double temp_c, const char *published, const char *simulated,
                const char *source, bool holds, const char *why) {
    failed += !holds;
    printf("{\"check\": \"%s, %g degC, %s\", \"published\": \"%s\", \"simulated\": \"%s\", \"source\": \"%s\", "
           "\"verdict\": \"%s\"",
           what, temp_c, numbers, published, simulated, source, holds ? "holds" : "does not hold");
    if (why != NULL)
        printf(", \"why\": \"%s\"", why);
    printf("}\n");
    fflush(stdout);
}

static struct wg_lifetable table_at(const struct wg_species *species, double temp_c) {
    struct wg_lifetable table;
    wg_lifetable_make(&table, species,
                      &(struct wg_lifetable_setting){
                          .temp_c = temp_c, .light_h = 24, .laying_share = species->laying_share_lamps, .quality = 1});
    return table;
}

static void make_plan(struct wg_plan *plan, const char *numbers, double temp_c, int days) {
    plan_laboratory(plan, temp_c, days);
    if (wg_species_set(&plan->species, numbers) != 0)
        abort();
    plan->species.males_needed = 0;
}

/* ---- growth ---- */

/* Mean logarithm of all individuals past the egg over `width` days, which averages out oscillations of a generation. */
static double mean_log(const struct wg_diary *d, int from, int width) {
    double sum = 0;
    for (int day = from; day < from + width; day++) {
        double n = 0;
        for (int s = WG_LARVA; s < WG_N_STAGES; s++)
            n += (double)d->count[day * WG_N_STAGES + s];
        sum += log(n) / width;
    }
    return sum;
}

/*
 * From the third to the sixth generation, starting with as many eggs as leaves enough to count at the end. A decline is
 * followed in a colony of 10^15.
 */
static void growth(const char *numbers, double temp_c) {
    struct wg_plan plan;
    make_plan(&plan, numbers, temp_c, 1);
    const struct wg_lifetable table = table_at(&plan.species, temp_c);
    char published[80], simulated[80];
    if (table.daughters_and_sons <= 0) {
        wg_plan_free(&plan);
        return;
    }
    const int generation = (int)ceil(table.egg_to_egg_days), last = 9 * generation;
    plan.last_day = plan.first_day + last - 1;
    const double over_all = table.growth_per_day * last;
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, over_all > 25 ? 2000 : over_all > 0 ? 1000000 : INT64_C(1000000000000000));
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    const int lived = d.stopped_day >= 0 ? d.stopped_day - plan.first_day : last;
    const int from = 4 * generation, to = lived - generation - 1;
    const double r = (mean_log(&d, to, generation) - mean_log(&d, from, generation)) / (to - from);
    /* 2 %, or 0.0005 a day where growth is slow: remaining oscillations, and the half-day steps of the table's flies */
    const bool holds = fabs(r - table.growth_per_day) < fmax(0.02 * fabs(table.growth_per_day), 0.0005);
    snprintf(published, sizeof published, "%.4f a day", table.growth_per_day);
    snprintf(simulated, sizeof simulated, "%.4f a day", r);
    say("Long-run growth is the Euler-Lotka root", numbers, temp_c, published, simulated, "Lotka 1907", holds, NULL);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* ---- extinction ---- */

/* Smallest fixed point of f: iteration from 0 converges to it from below. */
static double extinction(const struct wg_species *species, double temp_c, double mother) {
    const double factor =
        wg_clutch_warmth(temp_c) * wg_clutch_size_factor(species, wg_final_mass_g(species, temp_c, 1));
    double q = 0;
    for (int i = 0; i < 100000; i++) {
        double sum = 0, n = 0;
        for (double eggs = species->clutch_low; eggs <= species->clutch_high; eggs++, n++)
            sum += pow(q, floor(eggs * factor + 0.5));
        const double next = 1 - mother + mother * sum / n;
        if (next - q < 1e-13)
            return next;
        q = next;
    }
    return q;
}

/* Long enough for six generations: surviving lines are then far from extinction. */
static void dying_out(const char *numbers, double temp_c) {
    struct wg_plan plan;
    make_plan(&plan, numbers, temp_c, 1);
    const struct wg_lifetable table = table_at(&plan.species, temp_c);
    double mother = plan.species.female_share * plan.species.laying_share_lamps;
    for (int s = 0; s < WG_N_CLOCKS; s++)
        mother *= table.survival[s];
    const bool breeds = table.daughters_and_sons > 0;
    const int colonies = breeds ? 4000 : 200;
    const double q = breeds ? extinction(&plan.species, temp_c, mother) : 1;
    const int eggs = q < 1 - 1e-9 ? (int)fmax(1, round(log(0.4) / log(q))) : 20;
    plan.last_day = plan.first_day + (breeds ? (int)(2.5 * table.egg_to_egg_days) : 400);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, eggs);
    struct wg_summary summary;
    if (wg_summary_init(&summary, &plan, colonies, NULL) != 0)
        abort();
    const struct wg_observer observer = wg_summary_observer(&summary);
    if (wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = colonies}, &observer, 1, NULL) != 0)
        abort();
    int lost = 0;
    for (int k = 0; k < colonies; k++)
        lost += wg_summary_outcome(&summary, WG_OUTCOME_survived)[k] == 0;
    wg_summary_free(&summary);
    const double want = pow(q, eggs), got = (double)lost / colonies;
    const double error = sqrt(want * (1 - want) / colonies);
    char published[80], simulated[80];
    snprintf(published, sizeof published, "%.2f %% of colonies of %d eggs", 100 * want, eggs);
    snprintf(simulated, sizeof simulated, "%.2f %% of %d, standard error %.2f", 100 * got, colonies, 100 * error);
    /* 4 standard errors: a false alarm in one of 16,000 */
    say("Chance to die out is the branching fixed point", numbers, temp_c, published, simulated, "Galton & Watson 1875",
        fabs(got - want) <= 4 * error, breeds ? NULL : "too cool to lay: all must die out");
    wg_plan_free(&plan);
}

int main(void) {
    static const char *const numbers[] = {"keepers", "laboratory"};
    for (int n = 0; n < 2; n++)
        for (int i = 0; i < N_TEMPS; i++) {
            growth(numbers[n], temps_c[i]);
            dying_out(numbers[n], temps_c[i]);
        }
    return failed > 0;
}
