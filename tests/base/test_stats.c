/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks quantiles, Wilson intervals and sums against published worked examples and GSL.
 */
#include "base/random.h"
#include "base/stats.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>

static const double inf = (double)INFINITY;

/* ---- sorting ---- */

Test(sort, goes_upwards_with_nan_last) {
    double values[] = {3, (double)NAN, -inf, 2, inf, (double)NAN, -1, 2};
    const double sorted[] = {-inf, -1, 2, 2, 3, inf};
    wg_sort(values, 8);
    for (int i = 0; i < 6; i++)
        cr_expect_eq(values[i], sorted[i]);
    cr_expect(isnan(values[6]) && isnan(values[7]));
}

Test(sort, bears_nothing_and_one) {
    double one = 4;
    wg_sort(NULL, 0);
    wg_sort(&one, 1);
    cr_expect_eq(one, 4);
}

static int compare_doubles(const void *left, const void *right) {
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* As the C library's qsort(), with few and with many equal values. */
Test(sort, agrees_with_the_c_library) {
    enum { MOST = 5000 };
    static double values[MOST], sorted[MOST];
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 11, 1, WG_PURPOSE_PARAMETERS);
    for (size_t n = 2; n <= MOST; n += n / 2) {
        const double steps = n % 2 == 0 ? 1 : 1e6; /* of the values: few are equal, or many */
        for (size_t i = 0; i < n; i++)
            sorted[i] = values[i] = rint(steps * wg_normal(rng)) / steps;
        wg_sort(values, n);
        qsort(sorted, n, sizeof *sorted, compare_doubles);
        for (size_t i = 0; i < n; i++)
            cr_assert_eq(values[i], sorted[i], "%zu of %zu", i, n);
    }
    gsl_rng_free(rng);
}

Test(sort, no_zero_is_negative) {
    double values[] = {0.0, -0.0, 1, -0.0};
    wg_sort(values, 4);
    for (int i = 0; i < 3; i++)
        cr_expect(values[i] == 0 && !signbit(values[i]), "%d", i);
}

/* ---- quantiles ---- */

/* R's quantile(), whose default is type 7: quantile(c(1, 2, 3, 4, 10), c(0, .25, .5, .75, .9, 1)) and
 * quantile(1:10, .1). numpy's manual: percentile([1, 2, 3, 4, 7, 10], 50) = 3.5, also type 7. The results are short
 * decimals and the interpolation is one product and one sum: 4 rounding errors are allowed. */
Test(quantile, gives_the_worked_examples) {
    const double five[] = {1, 2, 3, 4, 10};
    const double six[] = {1, 2, 3, 4, 7, 10};
    const double ten[] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    cr_expect_eq(wg_quantile_sorted(five, 5, 0), 1);
    cr_expect_eq(wg_quantile_sorted(five, 5, 0.25), 2);
    cr_expect_eq(wg_quantile_sorted(five, 5, 0.5), 3);
    cr_expect_eq(wg_quantile_sorted(five, 5, 0.75), 4);
    cr_expect_float_eq(wg_quantile_sorted(five, 5, 0.9), 7.6, 4e-15);
    cr_expect_eq(wg_quantile_sorted(five, 5, 1), 10);
    cr_expect_eq(wg_quantile_sorted(six, 6, 0.5), 3.5);
    cr_expect_float_eq(wg_quantile_sorted(ten, 10, 0.1), 1.9, 1e-15);
}

/* gsl_stats_quantile_from_sorted_data is type 7 too, as (1 - part) low + part high: the values are below 10 in size,
 * so the two orders of rounding differ by less than 1e-14. */
Test(quantile, agrees_with_gsl) {
    double values[101];
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 1, 1, WG_PURPOSE_PARAMETERS);
    for (size_t n = 1; n <= 101; n += 4) {
        for (size_t i = 0; i < n; i++)
            values[i] = wg_normal(rng);
        wg_sort(values, n);
        for (int percent = 0; percent <= 100; percent++) {
            const double q = percent / 100.0;
            cr_expect_float_eq(wg_quantile_sorted(values, n, q), gsl_stats_quantile_from_sorted_data(values, 1, n, q),
                               1e-14, "n %zu q %g", n, q);
        }
    }
    gsl_rng_free(rng);
}

Test(quantile, never_falls_as_q_rises) {
    const double values[] = {-7, -7, 0, 1e-300, 0.1, 0.1, 0.3, 5e8, 1e300};
    double before = -inf;
    for (int i = 0; i <= 10000; i++) {
        const double value = wg_quantile_sorted(values, 9, i / 10000.0);
        cr_expect_geq(value, before);
        before = value;
    }
}

Test(quantile, of_nothing_is_nan_and_of_one_is_itself) {
    const double one = 42;
    cr_expect(isnan(wg_quantile_sorted(NULL, 0, 0.5)));
    cr_expect_eq(wg_quantile_sorted(&one, 1, 0), 42);
    cr_expect_eq(wg_quantile_sorted(&one, 1, 0.3), 42);
    cr_expect_eq(wg_quantile_sorted(&one, 1, 1), 42);
}

Test(quantile, is_infinite_beside_infinity_and_never_nan) {
    const double late[] = {1, 2, inf, inf};
    const double early[] = {-inf, 3, 4};
    cr_expect_eq(wg_quantile_sorted(late, 4, 1.0 / 3), 2, "exactly on a value");
    cr_expect_eq(wg_quantile_sorted(late, 4, 0.5), inf);
    cr_expect_eq(wg_quantile_sorted(late, 4, 0.9), inf);
    cr_expect_eq(wg_quantile_sorted(late, 4, 1), inf);
    cr_expect_eq(wg_quantile_sorted(early, 3, 0.25), -inf);
    cr_expect_eq(wg_quantile_sorted(early, 3, 0.5), 3);
}

/* 100 x 0.07 is 7.000000000000001 in double, and 0.29 x 100 is 28.999999999999996. */
Test(quantile, on_a_value_is_not_moved_by_rounding) {
    double values[101];
    for (int i = 0; i <= 100; i++)
        values[i] = i <= 7 ? i : inf;
    cr_expect_eq(wg_quantile_sorted(values, 101, 0.07), 7);
    for (int i = 0; i <= 100; i++)
        values[i] = i < 29 ? -inf : i;
    cr_expect_eq(wg_quantile_sorted(values, 101, 0.29), 29);
}

Test(quantile, outside_0_to_1_is_refused, .signal = SIGABRT) {
    const double one = 1;
    (void)wg_quantile_sorted(&one, 1, 1.5);
}

/* ---- Wilson ---- */

/* Newcombe 1998, Stat. Med. 17:857, table I, method 3 (score without continuity correction), 95 %, to 4 decimals */
Test(wilson, gives_the_published_intervals) {
    const struct {
        size_t hits, n;
        double low, high;
    } published[] = {
        {81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0.0000, 0.1611}, {1, 29, 0.0061, 0.1718}};
    for (size_t i = 0; i < sizeof published / sizeof *published; i++) {
        const struct wg_interval got = wg_wilson(published[i].hits, published[i].n, 0.95);
        cr_expect_float_eq(got.low, published[i].low, 0.5e-4, "low %zu", i);
        cr_expect_float_eq(got.high, published[i].high, 0.5e-4, "high %zu", i);
    }
}

/* The definition of the interval (Wilson 1927): at either end p, the observed share is z standard errors of p away. */
Test(wilson, solves_its_defining_equation) {
    const double confidences[] = {0.5, 0.8, 0.95, 0.999};
    for (size_t c = 0; c < 4; c++)
        for (size_t n = 1; n <= 500; n += 31)
            for (size_t hits = 0; hits <= n; hits++) {
                const struct wg_interval got = wg_wilson(hits, n, confidences[c]);
                const double share = (double)hits / (double)n;
                const double z = gsl_cdf_ugaussian_Pinv(0.5 + confidences[c] / 2);
                const double left = z * sqrt(got.low * (1 - got.low) / (double)n);
                const double right = z * sqrt(got.high * (1 - got.high) / (double)n);
                cr_expect(got.low >= 0 && got.low <= share && share <= got.high && got.high <= 1);
                /* the square root of rounding error near 0 or 1 */
                cr_expect_float_eq(share - got.low, left, 1e-8);
                cr_expect_float_eq(got.high - share, right, 1e-8);
            }
}

Test(wilson, is_exact_at_the_ends) {
    cr_expect_eq(wg_wilson(0, 500, 0.95).low, 0);
    cr_expect_eq(wg_wilson(500, 500, 0.95).high, 1);
    cr_expect_eq(wg_wilson(0, 0, 0.95).low, 0);
    cr_expect_eq(wg_wilson(0, 0, 0.95).high, 1);
}

Test(wilson, of_more_hits_than_tries_is_refused, .signal = SIGABRT) {
    (void)wg_wilson(3, 2, 0.95);
}

Test(wilson, of_certainty_is_refused, .signal = SIGABRT) {
    (void)wg_wilson(1, 2, 1);
}

/* ---- sums ---- */

static double sum_of(const double *values, size_t n) {
    struct wg_sum sum = {0, 0};
    for (size_t i = 0; i < n; i++)
        wg_sum_add(&sum, values[i]);
    return wg_sum_total(&sum);
}

/* 1 + 1e100 + 1 - 1e100 = 2: the example on which plain and Kahan's summation give 0; Neumaier's gives 2 */
Test(sum, keeps_what_large_addends_hide) {
    const double values[] = {1, 1e100, 1, -1e100};
    cr_expect_eq(sum_of(values, 4), 2);
    cr_expect_eq(sum_of(values, 0), 0);
}

/* The double 0.1 is 0.1000000000000000055511151231257827 (IEEE 754); a million of it is 100000.00000000000555, whose
 * nearest double is 100000 exactly. Plain summation gives 100000.00000133288. */
Test(sum, of_a_million_tenths_is_right_to_the_last_bit) {
    struct wg_sum sum = {0, 0};
    for (int i = 0; i < 1000000; i++)
        wg_sum_add(&sum, 0.1);
    cr_expect_eq(wg_sum_total(&sum), 100000);
}

Test(sum, passes_infinity_and_nan_through) {
    const double up[] = {1, inf, 2};
    const double both[] = {inf, -inf};
    const double none[] = {1, (double)NAN};
    cr_expect_eq(sum_of(up, 3), inf);
    cr_expect(isnan(sum_of(both, 2)));
    cr_expect(isnan(sum_of(none, 2)));
}
