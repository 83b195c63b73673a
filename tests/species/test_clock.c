/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The stage clock against closed forms: sums of Poisson terms for the gamma
 * distribution, GSL's normal tail for the lognormal, and the properties of a probability.
 */
#include "species/clock.h"
#include "species/survival_curve.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

/* ---- rate ---- */

static const struct wg_rate warm = {.a = 1e-4, .t0_c = 10.0, .tm_c = 38.0, .m = 2.0};

Test(rate, is_nought_outside_its_temperatures) {
    const double cold_or_hot[] = {-40.0, 0.0, 9.99, 10.0, 38.0, 50.0};
    for (int i = 0; i < 6; i++)
        cr_expect_float_eq(wg_rate_per_day(&warm, cold_or_hot[i]), 0.0, 0.0, "%g degC", cold_or_hot[i]);
    cr_expect_float_eq(wg_rate_per_day(&warm, NAN), 0.0, 0.0);
    /* A threshold below freezing must not make the rate negative. */
    const struct wg_rate hardy = {.a = 1e-4, .t0_c = -5.0, .tm_c = 38.0, .m = 2.0};
    cr_expect_float_eq(wg_rate_per_day(&hardy, -2.0), 0.0, 0.0);
}

Test(rate, is_the_formula) {
    cr_expect_float_eq(wg_rate_per_day(&warm, 22.0), 1e-4 * 22.0 * 12.0 * 4.0, 1e-15);
    const struct wg_rate cubic = {.a = 1e-4, .t0_c = 10.0, .tm_c = 30.0, .m = 3.0};
    cr_expect_float_eq(wg_rate_per_day(&cubic, 22.0), 1e-4 * 22.0 * 12.0 * 2.0, 1e-15); /* cube root of 8 */
}

Test(rate, stage_days_are_its_inverse) {
    struct wg_species species;
    wg_species_set(&species, "keepers");
    cr_expect_float_eq(wg_stage_days(&species, WG_CLOCK_LARVA, 27.0),
                       1.0 / wg_rate_per_day(&species.rate[WG_CLOCK_LARVA], 27.0), 1e-12);
    cr_expect(isinf(wg_stage_days(&species, WG_CLOCK_LARVA, 11.7)));
    cr_expect(isinf(wg_stage_days(&species, WG_CLOCK_EGG, 40.0)));
}

/* ---- log-survival ---- */

/*
 * Q(k, y) by the recurrence Q(k+1, y) = Q(k, y) + y^k e^-y / Gamma(k+1) from
 * the fractional part of k upwards (Abramowitz & Stegun 1964, 6.5.22), summed
 * in logarithms. All terms are positive, so there is no cancellation.
 */
static double log_q(double k, double y) {
    const double first = k - floor(k); /* the shape at which the recurrence begins, 0..1 */
    double largest = -INFINITY;
    double sum = 0.0;
    if (first > 0.0) {
        gsl_sf_result base;
        if (gsl_sf_gamma_inc_Q_e(first, y, &base) == GSL_SUCCESS && base.val > 0.0) {
            largest = log(base.val);
            sum = 1.0;
        }
    }
    for (double j = first; j < k - 0.5; j += 1.0) {
        const double term = j * log(y) - y - gsl_sf_lngamma(j + 1.0);
        if (term > largest) {
            sum = sum * exp(largest - term) + 1.0;
            largest = term;
        } else {
            sum += exp(term - largest);
        }
    }
    return largest + log(sum);
}

static void init_gamma(struct wg_clock *clock, double spread) {
    struct wg_error err = {0};
    cr_assert_eq(wg_clock_init_gamma(clock, spread, &err), 0, "%s", err.text);
}

/*
 * The header promises an error below 1e-9 in ln S from 0 to 6 for every spread that may be set. The points are a golden
 * section apart, so they fall everywhere within the cells of the table.
 */
Test(survival, gamma_is_right_to_a_billionth) {
    gsl_set_error_handler_off();
    for (int percent = 2; percent <= 60; percent++) {
        const double spread = percent / 100.0;
        const double k = 1.0 / (spread * spread);
        struct wg_clock clock;
        init_gamma(&clock, spread);
        double worst = 0.0, where = 0.0, place = 0.5;
        for (int i = 0; i < 400; i++) {
            place = fmod(place + 0.6180339887498949, 1.0);
            /* half of them where survival falls, within five standard deviations of the mean */
            const double x = i % 2 ? 6.0 * place : fmax(1e-4, 1.0 + 5.0 * spread * (2.0 * place - 1.0));
            const double error = fabs(wg_clock_log_survival(&clock, x) - log_q(k, k * x));
            if (error > worst) {
                worst = error;
                where = x;
            }
        }
        cr_expect_lt(worst, 1e-9, "spread %g: %g at x = %g", spread, worst, where);
        wg_clock_free(&clock);
    }
}

Test(survival, lognormal_is_right_to_a_billionth) {
    const double sigmas[] = {0.05, 0.1, 0.2, 0.3, 0.45, 0.6, 0.75, 0.9, 1.2, 1.5};
    for (int j = 0; j < 10; j++) {
        struct wg_error err = {0};
        struct wg_clock clock;
        cr_assert_eq(wg_clock_init_lognormal(&clock, sigmas[j], &err), 0, "%s", err.text);
        double worst = 0.0, place = 0.5;
        for (int i = 0; i < 2000; i++) {
            place = fmod(place + 0.6180339887498949, 1.0);
            const double x = 8.0 * place * place; /* denser near 0 */
            const double exact = log(gsl_cdf_ugaussian_Q(log(x) / sigmas[j]));
            if (isfinite(exact)) /* GSL's tail ends at 38 sigma, beyond ln S = -700 */
                worst = fmax(worst, fabs(wg_clock_log_survival(&clock, x) - exact));
        }
        cr_expect_lt(worst, 1e-9, "sigma %g: %g", sigmas[j], worst);
        cr_expect_float_eq(wg_clock_log_survival(&clock, 1.0), log(0.5), 1e-9);
        wg_clock_free(&clock);
    }
}

Test(survival, slope_is_minus_the_hazard) {
    /* Erlang distribution of shape 4, mean 1: hazard 4 (4x)^3/3! / (1 + 4x + (4x)^2/2 + (4x)^3/6) */
    for (double x = 0.05; x < 6.0; x += 0.05) {
        const double y = 4.0 * x;
        const double hazard = 4.0 * (y * y * y / 6.0) / (1.0 + y + y * y / 2.0 + y * y * y / 6.0);
        cr_expect_float_eq(wg_gamma_point(4.0, x).slope, -hazard, 1e-12 * (1.0 + hazard), "x %g", x);
    }
    /* lognormal, at the median: density 1/(sigma sqrt(2 pi)) over survival 1/2 */
    cr_expect_float_eq(wg_lognormal_point(0.6, 1.0).slope, -2.0 / (0.6 * sqrt(2.0 * 3.14159265358979323846)), 1e-12);
}

Test(survival, begins_at_one_and_never_rises) {
    for (int percent = 2; percent <= 60; percent += 2) {
        struct wg_clock clock;
        init_gamma(&clock, percent / 100.0);
        cr_expect_float_eq(wg_clock_log_survival(&clock, 0.0), 0.0, 0.0);
        cr_expect_float_eq(wg_clock_log_survival(&clock, -1.0), 0.0, 0.0);
        double before = 0.0;
        for (double x = 0.0; x < 7.0; x += 0.000917) {
            const double now = wg_clock_log_survival(&clock, x);
            /* rounding of values near -1e4 */
            cr_assert_leq(now, before + 1e-12 * (1.0 - before), "spread %d %%, x %g", percent, x);
            before = now;
        }
        wg_clock_free(&clock);
    }
}

/* Mean and variance of the time to leave are as specified: integrals of the survival function. */
Test(exit_chance, gives_the_mean_and_spread_asked_for) {
    const double spreads[] = {0.06, 0.12, 0.22, 0.30, 0.6};
    for (int j = 0; j < 5; j++) {
        struct wg_clock clock;
        init_gamma(&clock, spreads[j]);
        const double dx = 1.0 / 256.0;
        double left = 1.0, mean = 0.0, square = 0.0;
        for (double x = 0.0; left > 1e-14; x += dx) {
            const double done = -left * expm1(wg_clock_log_survival(&clock, x + dx) - wg_clock_log_survival(&clock, x));
            const double middle = x + 0.5 * dx;
            mean += done * middle;
            square += done * (middle * middle - dx * dx / 12.0); /* Sheppard's correction for class width dx */
            left -= done;
        }
        cr_expect_float_eq(mean, 1.0, 1e-6, "mean %g", mean);
        cr_expect_float_eq(sqrt(square - mean * mean) / spreads[j], 1.0, 1e-4);
        wg_clock_free(&clock);
    }
}

Test(mean_done, is_the_mean_of_the_curve) {
    const double k = 1.0 / (0.06 * 0.06);
    for (double x = 0.8; x < 1.6; x += 0.1) {
        double sum = 0.0;
        const int n = 4000;
        for (int i = 0; i < n; i++)
            sum -= expm1(wg_gamma_point(k, x * (i + 0.5) / n).log_s);
        cr_expect_float_eq(wg_gamma_mean_done(k, x), sum / n, 1e-7, "x %g", x); /* midpoint rule, 4000 cells */
    }
    cr_expect_float_eq(wg_gamma_mean_done(k, 0.0), 0.0, 0.0);
}

/* ---- failures ---- */

Test(init, refuses_a_spread_out_of_range) {
    const double wrong[] = {0.0, 0.019, 0.61, -0.2, NAN, INFINITY};
    for (int i = 0; i < 6; i++) {
        struct wg_clock clock;
        struct wg_error err = {0};
        cr_expect_eq(wg_clock_init_gamma(&clock, wrong[i], &err), WG_ERR_INPUT, "%g", wrong[i]);
        cr_expect_neq(err.text[0], '\0');
        wg_clock_free(&clock); /* safe after a failed init */
    }
    struct wg_clock clock;
    cr_expect_eq(wg_clock_init_lognormal(&clock, 1.6, NULL), WG_ERR_INPUT);
    wg_clock_free(&clock);
}

Test(init, of_a_species_and_back) {
    struct wg_species species;
    struct wg_clocks clocks;
    struct wg_error err = {0};
    wg_species_set(&species, "laboratory");
    cr_assert_eq(wg_clocks_init(&clocks, &species, &err), 0, "%s", err.text);
    cr_expect_float_eq(wg_clock_log_survival(&clocks.dormancy, 1.0), log(0.5), 1e-9);
    for (int i = 0; i < WG_N_CLOCKS; i++)
        cr_expect_float_eq(clocks.stage[i].a, 1.0 / (species.spread[i] * species.spread[i]), 1e-9);
    wg_clocks_free(&clocks);
    wg_clocks_free(&clocks); /* twice is harmless */
    species.spread[WG_CLOCK_PUPA] = 2.0;
    cr_expect_eq(wg_clocks_init(&clocks, &species, &err), WG_ERR_INPUT);
    wg_clocks_free(&clocks);
}
