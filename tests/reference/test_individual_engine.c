/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The engine against the individual-based model (individual_engine.c): a cohort is exact for the sum of its
 * individuals, so the two must agree in distribution.
 *
 * A laboratory with unlimited feed, small enough for demographic noise. Two-sample Kolmogorov-Smirnov on 10
 * quantities, false alarm 1e-5 each (agreement.h), fixed seeds: 3e-4 for the whole file.
 */
#include "forecast/replicate.h"
#include "reference/agreement.h"
#include "reference/individual_engine.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <stdlib.h>

enum { QUANTITIES = 10, MOST = 1000 };
static const char *const quantity[QUANTITIES] = {
    "eggs laid", "flies emerged",           "crawl-off",      "larvae", "prepupae", "pupae", "females",
    "males",     "larvae in the first bin", "in the last one"};

static void sample_engine(double value[QUANTITIES][MOST], const struct wg_plan *plan, int n) {
    static const enum wg_stage stage[] = {WG_LARVA, WG_PREPUPA, WG_PUPA, WG_FEMALE, WG_MALE};
    struct wg_world world;
    struct wg_simulator liver = {0};
    struct wg_diary d = {0};
    cr_assert_eq(wg_world_init(&world, plan, NULL), 0);
    cr_assert_eq(wg_simulator_init(&liver, &world, NULL), 0);
    cr_assert_eq(wg_diary_init(&d, plan, NULL), 0);
    for (int k = 0; k < n; k++) {
        cr_assert_eq(wg_simulator_run(&liver, k, &d, NULL), 0);
        for (int q = 0; q < 8; q++)
            value[q][k] = q < 3 ? 0 : (double)d.count[(d.n_days - 1) * WG_N_STAGES + (int)stage[q - 3]];
        value[8][k] = (double)d.bin_larvae[(d.n_days - 1) * d.n_bins];
        value[9][k] = (double)d.bin_larvae[d.n_days * d.n_bins - 1];
        for (int day = 0; day < d.n_days; day++) {
            value[0][k] += (double)d.eggs_laid[day];
            value[1][k] += (double)d.adults_emerged[day];
            value[2][k] += (double)d.crawl_off_count[day];
        }
    }
    wg_diary_free(&d);
    wg_simulator_free(&liver);
    wg_world_free(&world);
}

static void sample_individuals(double value[QUANTITIES][MOST], const struct wg_plan *plan, int n) {
    struct recorded_hours hours;
    hours_record(&hours, plan, 0);
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int k = 0; k < n; k++) {
        struct individual_outcome o;
        gsl_rng_set(rng, 1 + (unsigned long)k);
        individuals_run(plan, &hours, plan->last_day - plan->first_day + 1, 4000000, rng, &o);
        const int64_t got[QUANTITIES] = {
            o.eggs_laid,      o.emerged,          o.crawled,        o.count[WG_LARVA], o.count[WG_PREPUPA],
            o.count[WG_PUPA], o.count[WG_FEMALE], o.count[WG_MALE], o.in_bin[0],       o.in_bin[plan->n_bins - 1]};
        for (int q = 0; q < QUANTITIES; q++)
            value[q][k] = (double)got[q];
    }
    gsl_rng_free(rng);
    hours_free(&hours);
}

static void compare(double temp_c, int days, int steps_per_day, int n_bins, int64_t eggs, int n) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, days);
    plan.steps_per_day = steps_per_day;
    plan.bins = realloc(plan.bins, (size_t)n_bins * sizeof *plan.bins);
    cr_assert_not_null(plan.bins);
    plan.bins[n_bins - 1] = plan.bins[0];
    plan.n_bins = n_bins;
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, eggs);
    double(*const value)[QUANTITIES][MOST] = calloc(2, sizeof *value);
    cr_assert_not_null(value);
    sample_engine(value[0], &plan, n);
    sample_individuals(value[1], &plan, n);
    for (int q = 0; q < QUANTITIES; q++) {
        const double chance = agreement(value[0][q], (size_t)n, value[1][q], (size_t)n);
        cr_expect_gt(chance, AGREEMENT_FALSE_ALARM, "%d steps a day, %s: medians %g and %g, chance %g", steps_per_day,
                     quantity[q], value[0][q][n / 2], value[1][q][n / 2], chance);
    }
    free(value);
    wg_plan_free(&plan);
}

/* Two generations: the eggs of the first flies count as larvae of the second. */
Test(individual_engine, laboratory_agrees) {
    compare(28, 75, 1, 1, 60, 400);
}

Test(individual_engine, short_steps_agree) {
    compare(28, 58, 4, 1, 200, 200);
}

/* Whole clutches in two bins: few mothers, so that distributing single eggs would show. */
Test(individual_engine, two_bins_agree) {
    compare(28, 56, 1, 2, 40, 400);
}
