/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What do development and hazards add up to over the hours of a step?
 *
 *   sum over h of r(T_h), of the background, of the acute heat hazard, of a cold curve, of frost
 *
 * The curves of clock.c and death.c, vectorised over the hours: called for each stage on every day of every replicate,
 * the exponentials of single hours took a fifth of the run time (measured). gcc vectorises the loops with -O3,
 * -fno-trapping-math (else the bounds of wg_exp() are branches) and -fno-math-errno (else sqrt() may be a call); the
 * whole tree is compiled with these.
 */
#include "base/clamp.h"
#include "base/error.h"
#include "base/quick.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/reference.h"

#include <float.h>
#include <math.h>

/*
 * Four hours at a time on processors with AVX2, chosen at load time: 2.18 ms instead of 2.26. Results are identical to
 * the bit, because multiplications and additions are never fused (-ffp-contract=off) and the order of summation is
 * fixed. Off with sanitizers, which are not initialised yet when the choice is made, and in coverage builds.
 */
#if defined(WIDEST) /* a test of the narrow version defines it */
#elif defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__linux__) && defined(__GLIBC__) &&   \
    defined(__OPTIMIZE__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define WIDEST __attribute__((target_clones("avx2", "default")))
#else
#define WIDEST
#endif

/*
 * Eight partial sums, each of every eighth hour, so that additions are independent; the order is fixed, and so the same
 * for every vector width.
 */
enum { MAX_HOURS = 24, LANES = 8 };

static inline double sum_lanes(const double sum[LANES]) {
    return ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7]));
}

static inline double sum_hours(double term[MAX_HOURS], int n) {
    double sum[LANES] = {0};
    for (; n % LANES != 0; n++)
        term[n] = 0.0;
    for (int h = 0; h < n; h += LANES)
        for (int i = 0; i < LANES; i++)
            sum[i] += term[h + i];
    return sum_lanes(sum);
}

static struct wg_hours summarise_hours(const double *temp_c, int n) {
    double min = temp_c[0], max = temp_c[0], sum = temp_c[0];
    for (int h = 1; h < n; h++) {
        min = wg_lesser(temp_c[h], min);
        max = wg_greater(temp_c[h], max);
        sum += temp_c[h];
    }
    return (struct wg_hours){.temp_c = temp_c, .n = n, .coldest_c = min, .warmest_c = max, .sum_c = sum};
}

/* Scans each medium once rather than once for each stage; a whole day in the same eight lanes as the sums. */
WIDEST struct wg_hours wg_hours_of(const double *temp_c, int n) {
    wg_assert(n >= 1 && n <= MAX_HOURS);
    if (n < MAX_HOURS)
        return summarise_hours(temp_c, n);
    double min[LANES], max[LANES], sum[LANES];
    for (int i = 0; i < LANES; i++) {
        const double a = temp_c[i], b = temp_c[i + LANES], c = temp_c[i + 2 * LANES];
        min[i] = wg_lesser(wg_lesser(a, b), c);
        max[i] = wg_greater(wg_greater(a, b), c);
        sum[i] = a + b + c;
    }
    for (int i = 0; i < LANES / 2; i++) {
        min[i] = wg_lesser(min[i], min[i + LANES / 2]);
        max[i] = wg_greater(max[i], max[i + LANES / 2]);
    }
    return (struct wg_hours){.temp_c = temp_c,
                             .n = n,
                             .coldest_c = wg_lesser(wg_lesser(min[0], min[1]), wg_lesser(min[2], min[3])),
                             .warmest_c = wg_greater(wg_greater(max[0], max[1]), wg_greater(max[2], max[3])),
                             .sum_c = sum_lanes(sum)};
}

/* The rates of the hours for any root; below_tm^root is 0 from tm up by the last line, where the logarithm is of 1. */
static inline void fill_rates_of_root(const struct wg_rate *rate, double root, const struct wg_hours *hours,
                                      double term[MAX_HOURS]) {
    const double a = rate->a, t0_c = rate->t0_c, tm_c = rate->tm_c;
    for (int h = 0; h < hours->n; h++) {
        const double t = hours->temp_c[h], above_t0 = t - t0_c, below_tm = tm_c - t;
        const double decline = wg_exp(root * wg_log_of_normal(below_tm > DBL_MIN ? below_tm : 1.0));
        const double r = a * t * (above_t0 > 0.0 ? above_t0 : 0.0) * decline;
        term[h] = r > 0.0 && below_tm > 0.0 ? r : 0.0;
    }
}

/* The rates of the hours. */
static inline void fill_rates(const struct wg_rate *rate, const struct wg_hours *hours, double term[MAX_HOURS]) {
    const double a = rate->a, t0_c = rate->t0_c, tm_c = rate->tm_c;
    if (rate->m != 2.0) {
        fill_rates_of_root(rate, 1.0 / rate->m, hours, term);
        return;
    }
    for (int h = 0; h < hours->n; h++) {
        const double t = hours->temp_c[h], above_t0 = t - t0_c, below_tm = tm_c - t;
        const double r = a * t * (above_t0 > 0.0 ? above_t0 : 0.0) * sqrt(below_tm > 0.0 ? below_tm : 0.0);
        term[h] = r > 0.0 ? r : 0.0;
    }
}

WIDEST struct wg_pace_sums wg_pace_sums_of(const struct wg_species *species, enum wg_clock_stage stage,
                                           const struct wg_hours *hours) {
    const struct wg_rate *const rate = &species->rate[stage];
    const double hazard = species->hazard[stage], floor = species->background_floor;
    if (hours->warmest_c <= rate->t0_c)
        return (struct wg_pace_sums){.development = 0.0, .background = hazard * floor * hours->n};
    double term[MAX_HOURS];
    fill_rates(rate, hours, term);
    const double development = sum_hours(term, hours->n), at_27 = wg_rate_per_day(rate, WG_REFERENCE_C);
    const double least = floor * at_27;
    for (int h = 0; h < hours->n; h++)
        term[h] = term[h] > least ? term[h] : least;
    return (struct wg_pace_sums){.development = development,
                                 .background = hazard * (sum_hours(term, hours->n) / at_27)};
}

/* exp(-33) is 5e-15: negligible, and true of most hours of a year. */
static const double negligible_acute_exponent = -33.0;

WIDEST double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours) {
    const double slope = species->heat_acute_slope, from_c = species->heat_acute_c;
    double term[MAX_HOURS];
    if (slope * (hours->warmest_c - from_c) < negligible_acute_exponent)
        return 0.0;
    for (int h = 0; h < hours->n; h++)
        term[h] = wg_exp(slope * (hours->temp_c[h] - from_c));
    return species->heat_acute * sum_hours(term, hours->n);
}

static const double negligible_chronic_exponent = -7.0;

WIDEST double wg_hazard_heat_chronic_sum(const struct wg_species *species, const double *mean24_c, int n) {
    const double slope = species->heat_chronic_slope, from_c = species->heat_chronic_c;
    double term[MAX_HOURS], warmest_c = mean24_c[0];
    for (int h = 1; h < n; h++)
        warmest_c = wg_greater(mean24_c[h], warmest_c);
    if (slope * (warmest_c - from_c) < negligible_chronic_exponent)
        return species->heat_chronic * (n * wg_exp(slope * (mean24_c[n - 1] - from_c)));
    for (int h = 0; h < n; h++)
        term[h] = wg_exp(slope * (mean24_c[h] - from_c));
    return species->heat_chronic * sum_hours(term, n);
}

WIDEST double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_curve line,
                                 const struct wg_hours *hours) {
    double term[MAX_HOURS];
    if (hours->coldest_c >= species->cold_limit_c)
        return 0.0;
    const struct wg_cold cold = wg_cold_of(species, line);
    const double at_limit = wg_exp(-cold.s * (species->cold_limit_c - WG_COLD_REFERENCE_C));
    for (int h = 0; h < hours->n; h++) {
        const double above = wg_exp(-cold.s * (hours->temp_c[h] - WG_COLD_REFERENCE_C)) - at_limit;
        term[h] = above > 0.0 ? above : 0.0;
    }
    return cold.h4 * sum_hours(term, hours->n);
}

double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours) {
    double sum = 0.0;
    if (hours->coldest_c < species->freeze_c[stage])
        for (int h = 0; h < hours->n; h++)
            sum += wg_hazard_freezing(species, stage, hours->temp_c[h]);
    return sum;
}
