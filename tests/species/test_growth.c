/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Growth and appetite: the ends of the curve, that gains add up, and hand
 * calculations.
 */
#include "species/clock.h"
#include "species/growth.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>
#include <math.h>

static struct wg_species species;

static void keepers(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
}

TestSuite(growth, .init = keepers);

Test(growth, curve_goes_from_hatchling_to_one) {
    cr_expect_float_eq(wg_growth_share(&species, 0.0), 30e-6 / 0.20, 1e-12);
    cr_expect_float_eq(wg_growth_share(&species, -1.0), 30e-6 / 0.20, 1e-12);
    cr_expect_float_eq(wg_growth_share(&species, 1.0), 1.0, 0.0);
    cr_expect_float_eq(wg_growth_share(&species, 2.0), 1.0, 0.0);
    double before = 0.0;
    for (double x = 0.0; x <= 1.0; x += 0.001) {
        const double now = wg_growth_share(&species, x);
        cr_assert_gt(now, before);
        before = now;
    }
}

/* Logistic: the relative growth rate G'/G falls linearly with G, to 0 just above 1. */
Test(growth, curve_is_logistic) {
    double rate[2], share[2];
    for (int i = 0; i < 2; i++) {
        const double x = 0.3 + 0.3 * i, h = 1e-5;
        share[i] = wg_growth_share(&species, x);
        rate[i] = log(wg_growth_share(&species, x + h) / wg_growth_share(&species, x - h)) / (2 * h);
    }
    const double fall = (rate[0] - rate[1]) / (share[1] - share[0]);
    cr_expect_float_eq(rate[0] + fall * share[0], species.growth_rate, 1e-4);
    cr_expect_float_eq(species.growth_rate / fall, 1.0, 1e-3);
}

/* The gain of a whole cohort adds up to one final mass per larva, whatever the steps. */
Test(growth, a_cohort_gains_one_final_mass_each) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, species.spread[WG_CLOCK_LARVA], NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, 0, NULL), 0);
    for (double dx = 0.003; dx < 0.5; dx *= 3) {
        double gained = 0.0;
        for (double x = 0.0; x < 3.0; x += dx) {
            const double log_s = wg_clock_log_survival(&clock, x), later = wg_clock_log_survival(&clock, x + dx);
            const double reached = wg_reached_share(wg_cohort_mean_share(&growth, x + dx), -expm1(later - log_s));
            gained += exp(log_s) * (reached - wg_cohort_mean_share(&growth, x));
        }
        cr_expect_float_eq(gained, 1.0 - wg_growth_share(&species, 0.0), 1e-9, "steps of %g: %.12f", dx, gained);
    }
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

/* With little variation the cohort is its average: mean(x) = G(x). */
Test(growth, a_narrow_cohort_is_one_larva) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, 0.02, NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, 0, NULL), 0);
    for (double x = 0.05; x < 0.9; x += 0.05)
        cr_expect_float_eq(wg_cohort_mean_share(&growth, x), wg_growth_share(&species, x), 2e-3, "x %g", x);
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

/* ---- the tables against GSL: its gamma distribution, its adaptive quadrature ---- */

struct asked {
    double x, spread;
    double later_x; /* mass at this x of larvae that were in the stage at x */
};

static double weighted(double d, void *given) {
    const struct asked *const asked = given;
    const double k = 1.0 / (asked->spread * asked->spread), density = gsl_ran_gamma_pdf(d, k, 1.0 / k);
    return density * wg_growth_share(&species, asked->later_x / d); /* 1 from d on */
}

static double expectation(double x, double spread, double later_x) {
    struct asked asked = {x, spread, later_x};
    const gsl_function f = {weighted, &asked};
    const double k = 1.0 / (spread * spread), far = x + 1.0 + 20.0 * spread;
    /* piecewise, by standard deviations, so as not to miss the peak; to 1e-10 of those still in the stage */
    const double still = gsl_cdf_gamma_Q(x, k, 1.0 / k);
    gsl_integration_workspace *const capacity = gsl_integration_workspace_alloc(200);
    double sum = 0.0;
    for (double from = x; from < far; from += spread) {
        double piece, error;
        gsl_integration_qag(&f, from, from + spread, 1e-11 * still, 1e-11, 200, GSL_INTEG_GAUSS31, capacity, &piece,
                            &error);
        sum += piece;
    }
    gsl_integration_workspace_free(capacity);
    return sum / still;
}

/*
 * At the nodes, 1/128 apart: 1e-7 for usual spreads, 4e-5 for the widest that may be set (the error of 32 points; see
 * the source). x = 122/128 lies just above the mode of the distribution with spread 0.22, 1 - 0.22^2.
 */
Test(growth, tables_are_the_expectation) {
    gsl_set_error_handler_off();
    const double spread[] = {0.02, 0.06, 0.12, 0.22, 0.3, 0.6};
    for (int j = 0; j < 6; j++) {
        struct wg_clock clock = {0};
        struct wg_cohort_growth growth = {0};
        const double near = spread[j] < 0.25 ? 1e-7 : 4e-5;
        cr_assert_eq(wg_clock_init_gamma(&clock, spread[j], NULL), 0);
        cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, 0, NULL), 0);
        for (int i = 2; i <= 200 && i / 128.0 < 1.0 + 5.0 * spread[j]; i += 12) {
            const double x = i / 128.0;
            cr_expect_float_eq(wg_cohort_mean_share(&growth, x), expectation(x, spread[j], x), near,
                               "weight, spread %g, x %g: %.12g", spread[j], x, wg_cohort_mean_share(&growth, x));
            const double later_x = x + 10 / 128.0; /* a warm day */
            const double log_stay = wg_clock_log_survival(&clock, later_x) - wg_clock_log_survival(&clock, x);
            const double reached = wg_reached_share(wg_cohort_mean_share(&growth, later_x), -expm1(log_stay));
            cr_expect_float_eq(reached, expectation(x, spread[j], later_x), near, "reached, spread %g, x %g: %.12g",
                               spread[j], x, reached);
        }
        wg_cohort_growth_free(&growth);
        wg_clock_free(&clock);
    }
}

/*
 * The gain from x to x + dx of larvae in the stage at x is the integral of their appetite (Simpson's rule over the
 * 1/128 of the table, which is interpolated linearly: 1e-4 of the final mass), for any look-ahead.
 */
Test(growth, appetite_adds_up_to_the_gain) {
    struct wg_clock clock = {0};
    const double dx = 6 / 128.0;
    cr_assert_eq(wg_clock_init_gamma(&clock, 0.22, NULL), 0);
    for (double x = 0; x < 1.8; x += dx) {
        double on_the_way[7];
        for (int i = 0; i < 7; i++) {
            struct wg_cohort_growth growth = {0};
            cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, dx * i / 6, NULL), 0);
            on_the_way[i] = wg_cohort_appetite(&growth, x);
            wg_cohort_growth_free(&growth);
        }
        const double sum = on_the_way[0] + 4 * (on_the_way[1] + on_the_way[3] + on_the_way[5]) +
                           2 * (on_the_way[2] + on_the_way[4]) + on_the_way[6];
        const double gain = expectation(x, 0.22, x + dx) - expectation(x, 0.22, x);
        cr_expect_float_eq(sum * dx / 18, gain, 1e-4, "x %g: %.7f, not %.7f", x, sum * dx / 18, gain);
    }
    wg_clock_free(&clock);
}

/* Padmanabha et al. 2020, PLoS ONE 15:e0239084, start their larvae at 4.28 mg dry at an age of 7 to 10 days. */
Test(growth, weight_at_a_week) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, species.spread[WG_CLOCK_LARVA], NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, 0, NULL), 0);
    const double younger = wg_cohort_mean_share(&growth, 7 / 22.0), older = wg_cohort_mean_share(&growth, 10 / 22.0);
    cr_expect_lt(younger * species.final_mass_g * species.larva_dry, 4.28e-3 * 2); /* within a factor of two */
    cr_expect_gt(older * species.final_mass_g * species.larva_dry, 4.28e-3);
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

Test(growth, final_mass_by_temperature_and_quality) {
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, 1.0), 0.20, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 30.0, 1.0), 0.20, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 22.0, 1.0), 0.22, 1e-12);  /* + 5 x 2 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 18.0, 1.0), 0.236, 1e-12); /* + 9 x 2 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 5.0, 1.0), 0.236, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 35.0, 1.0), 0.17, 1e-12); /* - 5 x 3 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, 0.6), 0.12, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, -1.0), 0.0, 0.0);
    cr_expect_float_eq(wg_final_mass_g(&species, 90.0, 1.0), 0.0, 0.0); /* never negative */
}

Test(growth, appetite_by_hand) {
    /* A gain of 0.2 g fresh is 0.066 g dry; at 20 % that takes 0.33 g of dry feed. */
    species.conversion = 0.20;
    cr_expect_float_eq(wg_feed_for_gain_kg(&species, 0.2), 0.33e-3, 1e-15);
    cr_expect_float_eq(wg_feed_for_gain_kg(&species, 0.0), 0.0, 0.0);
}

Test(growth, ration_slows_development) {
    cr_expect_float_eq(wg_development_share(&species, 1.0), 1.0, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 0.5), 0.7, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 0.0), 0.4, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 7.0), 1.0, 1e-15);
}

Test(growth, microbes_double_every_ten_degrees) {
    cr_expect_float_eq(wg_microbe_rate(&species, 27.0), 0.03, 1e-15);
    cr_expect_float_eq(wg_microbe_rate(&species, 37.0), 0.06, 1e-15);
    cr_expect_float_eq(wg_microbe_rate(&species, 7.0), 0.0075, 1e-15);
}

Test(growth, age_becomes_development) {
    cr_expect_float_eq(wg_larva_x_at_age(&species, 0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_larva_x_at_age(&species, 11.0), 0.5, 1e-4); /* half of 22 d */
    cr_expect_float_eq(wg_larva_x_at_age(&species, -3.0), 0.0, 0.0);
    cr_expect_lt(wg_larva_x_at_age(&species, 400.0), 1.0);
    cr_expect_float_eq(wg_larva_mass_at_x(&species, 1.0, 0.8), 0.16, 1e-12);
    cr_expect_float_eq(wg_larva_mass_at_x(&species, 0.0, 1.0), 30e-6, 1e-12);
}
