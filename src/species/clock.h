/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The stage clock: development rates and exits from a stage.
 *
 * Every individual needs an amount D of development to leave its stage, a random
 * variable of mean 1 and coefficient of variation c (gamma for the stages, lognormal
 * for the heat that ends dormancy). Individuals that entered together share their
 * accumulated development x, so a cohort needs only its count and x:
 *     exits ~ Binomial(alive, (F(x+dx) - F(x)) / (1 - F(x)))
 * is exact for the sum of individuals. It is computed from the log survival
 * ln(1 - F), so the far tail stays accurate.
 */
#ifndef WG_SPECIES_CLOCK_H
#define WG_SPECIES_CLOCK_H

#include "base/error.h"
#include "species/species.h"

/** Returns the development per day at a temperature; 0 outside t0..tm and for NaN, never negative. */
double wg_rate_per_day(const struct wg_rate *rate, double temp_c);

/** Consecutive hourly temperatures, 1..24, with their extremes and sum. */
struct wg_hours {
    const double *temp_c; /* n temperatures, borrowed */
    int n;
    double coldest_c, warmest_c;
    double sum_c; /* in a fixed order of summation */
};
struct wg_hours wg_hours_of(const double *temp_c, int n);

/** Mean days in a stage at a constant temperature; infinite where the rate is 0. */
double wg_stage_days(const struct wg_species *species, enum wg_clock_stage stage, double temp_c);

/**
 * A table of the log survival ln S(x) = ln(1 - F(x)): cubic Hermite between exact
 * values and slopes, absolute error below 1e-9 (tested); evaluated directly beyond
 * the table, where S is tiny. Starts at 0 and never rises. Immutable after init; may
 * be shared between threads. Owns one array of about 100 kB.
 */
struct wg_clock {
    double top;         /* beyond, the curve is evaluated directly */
    double per_step;    /* cells per unit of x */
    double (*cubic)[4]; /* per cell, with t in 0..1: c[0] + c[1] t + c[2] t^2 + c[3] t^3 */
    double a, b;        /* gamma: shape, scale; lognormal: mu, sigma */
    int lognormal;
};
/**
 * Gamma with mean 1 and coefficient of variation `spread`, 0.02..0.6. Takes a fifth of a
 * millisecond. Returns 0, WG_ERR_INPUT (spread out of range) or WG_ERR_MEMORY; on
 * an error the clock is empty and safe to free.
 */
int wg_clock_init_gamma(struct wg_clock *clock, double spread, struct wg_error *err);
/** Lognormal with median 1 and the given sigma (of the logarithm), 0.05..1.5. Errors as above. */
int wg_clock_init_lognormal(struct wg_clock *clock, double sigma, struct wg_error *err);
/** Safe after a failed or missing (zeroed) init, and twice. */
void wg_clock_free(struct wg_clock *clock);

/** ln(1 - F(x)); 0 for x <= 0. */
double wg_clock_log_survival(const struct wg_clock *clock, double x);

/** All clocks of a species. */
struct wg_clocks {
    struct wg_clock stage[WG_N_CLOCKS];
    struct wg_clock dormancy; /* in units of dorm_heat_median */
};
/** Initialises all clocks; on an error (as above) leaves none allocated. */
int wg_clocks_init(struct wg_clocks *clocks, const struct wg_species *species, struct wg_error *err);
void wg_clocks_free(struct wg_clocks *clocks);

#endif
