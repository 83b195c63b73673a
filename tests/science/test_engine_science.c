/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The engine against independent results: closed forms, published survival, theory.
 *
 * Fixed seeds. A statistical tolerance is 4 standard errors (false alarm below 1 in 10,000 for one comparison); other
 * tolerances have their reason beside them.
 */
#include "forecast/summary.h"
#include "species/lifetable.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

/* Mean and standard deviation of the time in a stage from the numbers left at the end of each day, all in on day 0. */
static void stage_times(const struct wg_diary *diary, enum wg_stage stage, double n, double *mean, double *sd) {
    double first = 0, second = 0;
    for (int day = 0; day < diary->n_days; day++) {
        const double left = (double)diary->count[day * WG_N_STAGES + stage] / n;
        first += left;                  /* sum of S(d+1), d = 0.. */
        second += 2 * (day + 1) * left; /* sum of 2 (d+1) S(d+1) */
    }
    /* Trapezoid over daily values: E T = 1/2 + sum S(k), E T^2 = sum 2 k S(k) + 1/6 (S linear between days) */
    *mean = 0.5 + first;
    *sd = sqrt(second + 1.0 / 6 - *mean * *mean);
}

/* One generation without deaths: `n` of a stage put in on day 0. */
static void one_cohort(double temp_c, enum wg_movable what, double n, struct wg_species *species,
                       struct wg_diary *diary) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, 220);
    plan_immortal(&plan);
    plan_start(&plan, 0, what, 0, (int64_t)n);
    plan.species.laying_share_lamps = 0;
    *species = plan.species;
    plan_simulate(&plan, 0, diary);
    wg_plan_free(&plan);
}

/* Larval time and its variation are those of the gamma clock (closed form): mean 1/r(T), CV c. */
Test(engine, larval_time_follows_the_clock) {
    const double n = 200000, temps[] = {18, 22, 25, 27, 30};
    for (size_t i = 0; i < sizeof temps / sizeof *temps; i++) {
        struct wg_species species;
        struct wg_diary d;
        one_cohort(temps[i], WG_MOVABLE_LARVAE, n, &species, &d);
        double mean, sd;
        stage_times(&d, WG_LARVA, n, &mean, &sd);
        const double want = wg_stage_days(&species, WG_CLOCK_LARVA, temps[i]);
        const double want_sd = want * species.spread[WG_CLOCK_LARVA];
        /* the standard error of a standard deviation is about sd / sqrt(2 n); 0.01 d for the trapezoid over days */
        cr_expect_float_eq(mean, want, 4 * want_sd / sqrt(n) + 0.01, "at %g: %g d, want %g", temps[i], mean, want);
        cr_expect_float_eq(sd, want_sd, 4 * want_sd / sqrt(2 * n) + 0.01, "at %g: sd %g, want %g", temps[i], sd,
                           want_sd);
        wg_diary_free(&d);
    }
}

/*
 * The survival of a gamma stage of rate r and spread c under a hazard h is (1 + h c^2 / r)^(-1/c^2) (the Laplace
 * transform of the gamma distribution). At one step a day and at 24, survival from egg to fly is the product of four
 * stages.
 */
Test(engine, a_stage_is_paid_for_as_long_as_it_lasts) {
    const double n = 1e9;
    static const int steps[] = {1, 24};
    for (int s = 0; s < 2; s++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 150);
        plan.steps_per_day = steps[s];
        plan.species.laying_share_lamps = 0;
        plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, (int64_t)n);
        double want = 1;
        for (int stage = WG_CLOCK_EGG; stage <= WG_CLOCK_PUPA; stage++) {
            const double c2 = plan.species.spread[stage] * plan.species.spread[stage];
            const double days = wg_stage_days(&plan.species, (enum wg_clock_stage)stage, 27);
            want *= pow(1 + plan.species.hazard[stage] * c2 * days, -1 / c2);
        }
        plan_simulate(&plan, 0, &d);
        double flies = 0;
        for (int day = 0; day < d.n_days; day++)
            flies += (double)d.adults_emerged[day];
        /* half a percent for the steps (judgement; a half-step error is 4 %); sampling error 0.01 % */
        cr_expect_float_eq(flies / n / want, 1, 0.005, "%d steps: %g, want %g", steps[s], flies / n, want);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
}

/* Eggs develop fast, so day by day: of n eggs n S(r d) are left after d days, S the gamma survival (closed form). */
Test(engine, eggs_left_follow_the_gamma_law) {
    const double n = 200000, temps[] = {15, 20, 25, 30};
    for (size_t i = 0; i < sizeof temps / sizeof *temps; i++) {
        struct wg_species species;
        struct wg_diary d;
        one_cohort(temps[i], WG_MOVABLE_EGGS, n, &species, &d);
        const double c = species.spread[WG_CLOCK_EGG], rate = wg_rate_per_day(&species.rate[WG_CLOCK_EGG], temps[i]);
        for (int day = 0; day < 30; day++) {
            const double survival = gsl_cdf_gamma_Q((day + 1) * rate, 1 / (c * c), c * c);
            const double error = 4 * sqrt(survival * (1 - survival) / n) + 1e-9;
            cr_expect_float_eq((double)d.count[day * WG_N_STAGES + WG_EGG] / n, survival, error, "at %g, day %d",
                               temps[i], day);
        }
        wg_diary_free(&d);
    }
}

static double adult_share(double temp_c) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, 200);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 200000);
    plan.species.laying_share_lamps = 0;
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    double adults = 0;
    for (int day = 0; day < d.n_days; day++)
        adults += (double)d.adults_emerged[day];
    wg_diary_free(&d);
    wg_plan_free(&plan);
    return adults / 200000;
}

/* Tomberlin, Adler & Myers 2009, Environ. Entomol. 38:930: 74-97 % at 27 and 30 degC, 0.1 % at 36 degC. */
Test(engine, five_day_larvae_to_adults) {
    const double at27 = adult_share(27), at30 = adult_share(30), at36 = adult_share(36);
    cr_expect(at27 >= 0.74 && at27 <= 0.97, "27 degC: %g", at27);
    cr_expect(at30 >= 0.74 && at30 <= 0.97, "30 degC: %g", at30);
    cr_expect(at36 >= 0.001 / 3 && at36 <= 0.003, "36 degC: %g", at36); /* 0.1 % within a factor of three */
}

static double mean_emergence_day(double temp_c) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, 120);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 200000);
    plan.species.laying_share_lamps = 0;
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    double sum = 0, n = 0;
    for (int day = 0; day < d.n_days; day++) {
        n += (double)d.adults_emerged[day];
        sum += (day + 0.5) * (double)d.adults_emerged[day];
    }
    wg_diary_free(&d);
    wg_plan_free(&plan);
    return sum / n;
}

/* Same paper: larva to adult takes 11 % longer at 27 than at 30 degC (judgement: within 8 to 16 %). */
Test(engine, slower_at_27_than_at_30) {
    const double ratio = mean_emergence_day(27) / mean_emergence_day(30);
    cr_expect(ratio > 1.08 && ratio < 1.16, "ratio %g", ratio);
}

static double cold_survival(enum wg_movable what, double age_days, double temp_c, int days) {
    struct wg_plan plan;
    plan_laboratory(&plan, temp_c, days);
    plan_start(&plan, 0, what, age_days, 1000000);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    int64_t left = 0;
    for (int s = 0; s < WG_N_STAGES; s++)
        left += d.count[(days - 1) * WG_N_STAGES + s];
    wg_diary_free(&d);
    wg_plan_free(&plan);
    return (double)left / 1e6;
}

/* Villazana & Alyokhin 2019, J. Econ. Entomol. 112:2632, 72 h at 4 degC: eggs 2 %, second instars 2 %,
 * third instars over 80 %, fifth over 90 %. Background deaths are added here (eggs 16 % in three days). */
Test(engine, survival_at_4_degrees) {
    cr_expect_float_eq(cold_survival(WG_MOVABLE_EGGS, 0, 4, 3), 0.02, 0.01);
    cr_expect_float_eq(cold_survival(WG_MOVABLE_LARVAE, 3, 4, 3), 0.02, 0.01);
    cr_expect_gt(cold_survival(WG_MOVABLE_LARVAE, 17, 4, 3), 0.90 * exp(-3 * 0.0074));
}

/* Spranghers et al. 2017, J. Econ. Entomol. 110:1501: acclimated prepupae half dead after 23 d at 5 degC. */
Test(engine, prepupae_at_5_degrees) {
    const double left = cold_survival(WG_MOVABLE_PREPUPAE, 0, 5, 23);
    cr_expect_float_eq(left, 0.5, 0.1, "%g left", left); /* background deaths (0.006 a day) are added */
}

/* Hardly any development at 65 degF (common practice): at most 40 % of the rate at 27 degC. */
Test(engine, little_happens_at_65_degF) {
    const struct wg_species *species;
    struct wg_plan plan;
    plan_laboratory(&plan, 18.3, 10);
    species = &plan.species;
    for (int s = 0; s <= WG_CLOCK_PUPA; s++) {
        const double share =
            wg_stage_days(species, (enum wg_clock_stage)s, 27) / wg_stage_days(species, (enum wg_clock_stage)s, 18.3);
        cr_expect_leq(share, 0.405, "common practice: at most 40 %%, stage %d: %g", s, share);
    }
    wg_plan_free(&plan);
}

/* Slope of ln(all individuals past the egg) between two days. */
static double growth_per_day(const struct wg_diary *d, int from, int to) {
    double log_from = 0, log_to = 0;
    for (int day = 0; day < 28; day++) { /* averaged over four weeks: a young colony still oscillates */
        double a = 0, b = 0;
        for (int s = WG_LARVA; s < WG_N_STAGES; s++) {
            a += (double)d->count[(from + day) * WG_N_STAGES + s];
            b += (double)d->count[(to + day) * WG_N_STAGES + s];
        }
        log_from += log(a) / 28;
        log_to += log(b) / 28;
    }
    return (log_to - log_from) / (to - from);
}

/*
 * Euler (1760) and Lotka (1907): an unlimited colony finally grows at the root r of its life table, here computed in
 * closed form (species/lifetable.c) and not by the engine. Mothers in a crowded bin are not lighter with unlimited
 * feed, so R0 is the table's.
 */
Test(engine, growth_is_the_euler_lotka_root) {
    const double temps[] = {24, 27, 30};
    for (size_t i = 0; i < sizeof temps / sizeof *temps; i++) {
        struct wg_plan plan;
        plan_laboratory(&plan, temps[i], 340);
        plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 2000);
        struct wg_lifetable table;
        wg_lifetable_make(
            &table, &plan.species,
            &(struct wg_lifetable_setting){
                .temp_c = temps[i], .light_h = 24, .laying_share = plan.species.laying_share_lamps, .quality = 1});
        struct wg_diary d;
        plan_simulate(&plan, 0, &d);
        const double r = growth_per_day(&d, 150, 300);
        /*
         * 2 %: remaining oscillations after five months, and the half-day steps of the closed form's flies (judgement)
         */
        cr_expect_float_eq(r, table.growth_per_day, 0.02 * table.growth_per_day, "%g degC: %g against %g", temps[i], r,
                           table.growth_per_day);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
}

/* Chia et al. 2018, PLoS ONE 13:e0206097: r 0.127 and 0.122 per day at 30 degC, the best of 15...37;
 * Samayoa et al. 2016, J. Econ. Entomol. 109:2076 (MEMORY): 0.076. Both sets, simulated. */
Test(engine, growth_at_30_is_published_and_best) {
    const char *const numbers[] = {"keepers", "laboratory"};
    const double temps[] = {15, 20, 25, 30, 35, 37};
    for (int n = 0; n < 2; n++) {
        double r[6] = {0};
        for (int i = 0; i < 6; i++) {
            struct wg_plan plan;
            plan_laboratory(&plan, temps[i], 300);
            cr_assert_eq(wg_species_set(&plan.species, numbers[n]), 0);
            plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 2000);
            struct wg_diary d;
            plan_simulate(&plan, 0, &d);
            r[i] = d.survived > 0 && d.total_eggs_laid > 0 ? growth_per_day(&d, 130, 260) : -1;
            wg_diary_free(&d);
            wg_plan_free(&plan);
        }
        cr_expect(r[3] > 0.076 && r[3] < 0.127, "%s: r %g at 30 degC", numbers[n], r[3]);
        for (int i = 0; i < 6; i++)
            cr_expect_leq(r[i], r[3], "%s: %g at %g degC against %g at 30", numbers[n], r[i], temps[i], r[3]);
    }
}

/*
 * Galton-Watson: the line of an egg dies out with probability q, the smallest root of q = f(q), f the generating
 * function of the eggs that one egg's own daughters lay. A female lays 400 to 900 eggs or none, so f(q) = 1 - p + p E
 * q^clutch, and q is 1 - p within double precision; p comes from the life table. A colony of n eggs dies out with
 * probability q^n. Without the condition on males, because the theory assumes independent lines.
 */
Test(engine, tiny_colonies_die_out_as_branching_says) {
    const int eggs = 8, colonies = 2000;
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 120);
    plan.species.males_needed = 0;
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, eggs);
    struct wg_lifetable table;
    wg_lifetable_make(&table, &plan.species,
                      &(struct wg_lifetable_setting){
                          .temp_c = 28, .light_h = 24, .laying_share = plan.species.laying_share_lamps, .quality = 1});
    const double mothers = table.survival[WG_CLOCK_EGG] * table.survival[WG_CLOCK_LARVA] *
                           table.survival[WG_CLOCK_PREPUPA] * table.survival[WG_CLOCK_PUPA] *
                           plan.species.female_share * table.survival[WG_CLOCK_ADULT] * plan.species.laying_share_lamps;
    const double q = pow(1 - mothers, eggs);
    struct wg_summary summary;
    cr_assert_eq(wg_summary_init(&summary, &plan, colonies, NULL), 0);
    const struct wg_observer observer = wg_summary_observer(&summary);
    cr_assert_eq(wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = colonies}, &observer, 1, NULL), 0);
    int lost = 0;
    for (int k = 0; k < colonies; k++)
        lost += wg_summary_outcome(&summary, WG_OUTCOME_total_eggs_laid)[k] == 0;
    wg_summary_free(&summary);
    const double share = (double)lost / colonies;
    cr_expect_float_eq(share, q, 4 * sqrt(q * (1 - q) / colonies), "%g died out, branching says %g", share, q);
    wg_plan_free(&plan);
}
