/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The two-sample Kolmogorov-Smirnov test, which compares the distributions of two programs, one quantity at a time.
 *
 * The distance between the empirical distribution functions, times sqrt(n m / (n + m)), exceeds x with a probability
 * of at most about 2 exp(-2 x^2) (Smirnov 1948, Ann. Math. Stat. 19:279; ties make it smaller).
 */
#ifndef WG_TESTS_AGREEMENT_H
#define WG_TESTS_AGREEMENT_H

#include <math.h>
#include <stddef.h>
#include <stdlib.h>

/** Probability that one comparison of correct programs fails. */
#define AGREEMENT_FALSE_ALARM 1e-5

/** Replicates for a comparison: n, or AGREEMENT_TIMES (environment; scripts/verify reference_engines) as many. */
static inline int agreement_replicates(int n) {
    const char *const times = getenv("AGREEMENT_TIMES");
    const int wish = times == NULL ? 1 : atoi(times);
    return wish > 1 ? wish * n : n;
}

static inline int agreement_order(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/** The p-value of the distance between a[n] and b[m]; both are sorted. */
static inline double agreement(double *a, size_t n, double *b, size_t m) {
    double distance = 0;
    qsort(a, n, sizeof *a, agreement_order);
    qsort(b, m, sizeof *b, agreement_order);
    for (size_t i = 0, j = 0; i < n && j < m;) {
        const double at = fmin(a[i], b[j]);
        while (i < n && a[i] <= at)
            i++;
        while (j < m && b[j] <= at)
            j++;
        distance = fmax(distance, fabs((double)i / (double)n - (double)j / (double)m));
    }
    const double x = distance * sqrt((double)n * (double)m / (double)(n + m));
    return fmin(1, 2 * exp(-2 * x * x));
}

#endif
