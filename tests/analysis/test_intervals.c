/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Intervals of paired differences: special cases in closed form, and coverage in repeated samples of populations whose
 * mean or difference is known, with GSL's own generators and laws.
 *
 * The samples are the same in every run (fixed seeds). A coverage of T trials has a standard error of sqrt(c (1 - c)/T): the
 * bounds below lie at least three of them from what was measured, and Student's interval is measured beside it.
 */
#include "analysis/intervals.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics.h>
#include <math.h>

#define MAX_N 500

TestSuite(intervals, .timeout = 60);

/* ---- means ---- */

Test(intervals, of_a_mean_is_students_without_skewness) {
    const int64_t n[] = {2, 10, 500};
    for (int i = 0; i < 3; i++) {
        const double half = gsl_cdf_tdist_Pinv(0.975, (double)n[i] - 1) * 3 / sqrt((double)n[i]);
        const struct wg_interval interval = wg_mean_interval(7, 3, 0, n[i], 0.95);
        cr_expect_float_eq(interval.low, 7 - half, 1e-12 * half);
        cr_expect_float_eq(interval.high, 7 + half, 1e-12 * half);
    }
}

Test(intervals, of_a_mean_solve_halls_equation) {
    /* Hall 1992: t + c t^2/3 + c^2 t^3/27 + c/(6 n) in units of sd = Student's quantile over sqrt n, at both ends */
    const double c[] = {-4, -0.5, 0.01, 2, 6};
    const int64_t n = 40;
    const double q = gsl_cdf_tdist_Pinv(0.95, (double)n - 1) / sqrt((double)n);
    for (int i = 0; i < 5; i++) {
        const struct wg_interval interval = wg_mean_interval(10, 2, c[i], n, 0.9);
        const double end[] = {(10 - interval.low) / 2, (10 - interval.high) / 2}, want[] = {q, -q};
        for (int e = 0; e < 2; e++) {
            const double t = end[e];
            const double left = t + c[i] * t * t / 3 + c[i] * c[i] * t * t * t / 27 + c[i] / (6 * (double)n);
            cr_expect_float_eq(left, want[e], 1e-9, "skewness %g: %g, not %g", c[i], left, want[e]);
        }
    }
}

Test(intervals, of_a_mean_need_two_values_that_differ) {
    cr_expect(isnan(wg_mean_interval(5, (double)NAN, 0, 1, 0.95).low));
    const struct wg_interval alike = wg_mean_interval(5, 0, (double)NAN, 500, 0.95);
    cr_expect(isnan(alike.low) && isnan(alike.high));
}

struct coverage {
    double hall, student; /* share of the samples whose interval holds the population's mean */
};

typedef double population(gsl_rng *rng);

/* Skewness 6: (exp(s^2) + 2) sqrt(exp(s^2) - 1), s = 1.1955 (solved by hand to 6.000). Its mean is exp(s^2/2). */
#define LOG_SD 1.19545
static double skewed(gsl_rng *rng) {
    return gsl_ran_lognormal(rng, 0, LOG_SD);
}

/* A harvest that is small in nine years of ten and large in one: mean 0.1 x 4 + 0.9 x 0.2. */
static double seldom_large(gsl_rng *rng) {
    return gsl_rng_uniform(rng) < 0.1 ? gsl_ran_gamma(rng, 2, 2) : gsl_ran_gamma(rng, 4, 0.05);
}

static bool holds(struct wg_interval interval, double truth) {
    return interval.low <= truth && truth <= interval.high;
}

static struct coverage coverage_of_mean(population *draw, double truth, size_t n, int trials) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, (unsigned long)n);
    double value[MAX_N];
    int hall = 0, student = 0;
    for (int k = 0; k < trials; k++) {
        for (size_t i = 0; i < n; i++)
            value[i] = draw(rng);
        const double mean = gsl_stats_mean(value, 1, n), sd = gsl_stats_sd_m(value, 1, n, mean);
        const double skewness = gsl_stats_skew_m_sd(value, 1, n, mean, sd * sqrt(1 - 1 / (double)n));
        hall += holds(wg_mean_interval(mean, sd, skewness, (int64_t)n, 0.95), truth);
        student += holds(wg_mean_interval(mean, sd, 0, (int64_t)n, 0.95), truth);
    }
    gsl_rng_free(rng);
    return (struct coverage){(double)hall / trials, (double)student / trials};
}

Test(intervals, of_a_mean_hold_where_values_are_skewed) {
    static const struct {
        const char *name;
        population *draw;
        size_t n;
        double least; /* of 0.95 */
    } row[] = {{"lognormal, skewness 6", skewed, 20, 0.89},
               {"lognormal, skewness 6", skewed, 50, 0.90},
               {"lognormal, skewness 6", skewed, 500, 0.92},
               {"large in one year of ten", seldom_large, 50, 0.93},
               {"large in one year of ten", seldom_large, 500, 0.93}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const double truth = row[i].draw == skewed ? exp(LOG_SD * LOG_SD / 2) : 0.58;
        const struct coverage of = coverage_of_mean(row[i].draw, truth, row[i].n, 2000);
        cr_log_info("%s, %zu values: holds in %.1f %%, Student's in %.1f %%", row[i].name, row[i].n, 100 * of.hall,
                    100 * of.student);
        cr_expect(of.hall >= row[i].least && of.hall <= 0.985, "%s, %zu values: %g", row[i].name, row[i].n, of.hall);
        cr_expect(of.hall > of.student - 0.01, "%s, %zu values: Student's %g is better than %g", row[i].name, row[i].n,
                  of.student, of.hall);
    }
}

/* ---- shares ---- */

/* Log likelihood of the discordant pairs where p of all are `only_first` and p + d `only_second`. */
static double likelihood(double p, double d, double only_first, double only_second, double n) {
    const double rest = 1 - 2 * p - d;
    return (only_first > 0 ? only_first * log(p) : 0) + (only_second > 0 ? only_second * log(p + d) : 0) +
           (n - only_first - only_second > 0 ? (n - only_first - only_second) * log(rest) : 0);
}

/* The score at d by its definition, with p from a search over the likelihood in place of the closed form. */
static double score_by_search(double d, double only_first, double only_second, double n) {
    double low = fmax(0, -d) + 1e-13, high = (1 - d) / 2 - 1e-13;
    for (int i = 0; i < 200; i++) {
        const double a = low + (high - low) / 3, b = high - (high - low) / 3;
        if (likelihood(a, d, only_first, only_second, n) < likelihood(b, d, only_first, only_second, n))
            low = a;
        else
            high = b;
    }
    return (only_second - only_first - n * d) / sqrt(n * (low + high + d * (1 - d)));
}

Test(intervals, of_a_difference_of_shares_end_where_the_score_is_the_normal_quantile) {
    const int64_t pairs[][3] = {{1, 0, 44}, {3, 9, 60}, {0, 12, 500}, {40, 41, 100}, {7, 2, 20}};
    for (int i = 0; i < 5; i++) {
        const double b = (double)pairs[i][0], c = (double)pairs[i][1], n = (double)pairs[i][2];
        const struct wg_interval interval = wg_share_difference_interval(pairs[i][0], pairs[i][1], pairs[i][2], 0.95);
        cr_expect_float_eq(score_by_search(interval.low, b, c, n), 1.959964, 2e-4);
        cr_expect_float_eq(score_by_search(interval.high, b, c, n), -1.959964, 2e-4);
    }
}

Test(intervals, of_a_difference_of_shares_never_have_width_0) {
    /* all pairs alike: n d^2 = z^2 (1 - |d|) |d| + ..., in closed form z^2/(n + z^2) */
    const double z = 1.959964, half = z * z / (500 + z * z);
    const struct wg_interval alike = wg_share_difference_interval(0, 0, 500, 0.95);
    cr_expect_float_eq(alike.low, -half, 1e-6);
    cr_expect_float_eq(alike.high, half, 1e-6);
    const struct wg_interval all = wg_share_difference_interval(0, 20, 20, 0.95);
    cr_expect(all.low > 0.6 && all.low < 0.95);
    cr_expect_float_eq(all.high, 1, 1e-9);
    const struct wg_interval none = wg_share_difference_interval(0, 0, 0, 0.95);
    cr_expect(none.low == -1 && none.high == 1);
}

Test(intervals, of_a_difference_of_shares_are_those_of_the_swap_with_the_sign_changed) {
    const struct wg_interval one = wg_share_difference_interval(3, 11, 50, 0.9);
    const struct wg_interval other = wg_share_difference_interval(11, 3, 50, 0.9);
    cr_expect_float_eq(one.low, -other.high, 1e-12);
    cr_expect_float_eq(one.high, -other.low, 1e-12);
}

Test(intervals, of_a_difference_of_shares_hold) {
    /* shares of pairs in which the first only, the second only met the criterion */
    static const struct {
        double first, second;
        unsigned n;
    } row[] = {{0.005, 0.005, 20}, {0.005, 0.005, 500}, {0.0, 0.005, 200},
               {0.02, 0.3, 20},    {0.2, 0.25, 50},     {0.0, 0.995, 50}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
        gsl_rng_set(rng, 10 + i);
        const int trials = 4000;
        int hits = 0;
        for (int k = 0; k < trials; k++) {
            const double share[3] = {row[i].first, row[i].second, 1 - row[i].first - row[i].second};
            unsigned count[3];
            gsl_ran_multinomial(rng, 3, row[i].n, share, count);
            hits +=
                holds(wg_share_difference_interval(count[0], count[1], row[i].n, 0.95), row[i].second - row[i].first);
        }
        gsl_rng_free(rng);
        const double coverage = (double)hits / trials;
        cr_log_info("%g and %g of %u pairs: holds in %.1f %%", row[i].first, row[i].second, row[i].n, 100 * coverage);
        cr_expect(coverage >= 0.935, "%g and %g of %u: %g", row[i].first, row[i].second, row[i].n, coverage);
    }
}
