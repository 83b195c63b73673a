/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Checks samplers against distributions: chi-square for counts, Kolmogorov for continuous values.
 *
 * The seeds are fixed, so a test always passes or always fails. The false-alarm rate is the probability that a correct
 * sampler fails with a random seed: 1e-6 for each check here; each file states its total.
 */
#ifndef CHANCE_CHECKS_H
#define CHANCE_CHECKS_H

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#define FALSE_ALARM 1e-6
/** Two-sided normal bound with that rate: gsl_cdf_ugaussian_Qinv(FALSE_ALARM / 2). */
#define Z_BOUND 4.8917

enum { CELLS_MAX = 400, EXPECTED_LEAST = 20 };

/** Cells of integers: cell i holds first[i] .. first[i + 1] - 1, the outer ones all the rest. */
struct cells {
    int count;
    int64_t first[CELLS_MAX + 1];
    double chance[CELLS_MAX];
    int64_t seen[CELLS_MAX];
};

/** The probability of k under a distribution with two parameters (the second may be unused). */
typedef double law_density(int64_t k, double a, double b);

/**
 * Divides lowest..highest into cells for `draws` draws: 2 % each in the middle, finer
 * towards the tails, but with at least EXPECTED_LEAST expected counts.
 */
static inline void cells_cut(struct cells *cells, law_density *density, double a, double b, int64_t lowest,
                             int64_t highest, double draws) {
    const double least = EXPECTED_LEAST / draws;
    double below = 0;
    double here = 0;
    cells->count = 0;
    cells->first[0] = lowest;
    for (int64_t k = lowest; k <= highest && cells->count < CELLS_MAX - 1; k++) {
        here += density(k, a, b);
        const double outside = fmin(below, 1 - below);
        if (here < fmin(fmax(outside / 2, least), 0.02) || 1 - below - here < least)
            continue;
        cells->chance[cells->count++] = here;
        cells->first[cells->count] = k + 1;
        below += here;
        here = 0;
    }
    cells->chance[cells->count++] = 1 - below;
    for (int i = 0; i < cells->count; i++)
        cells->seen[i] = 0;
}

static inline void cells_count(struct cells *cells, int64_t k) {
    int low = 0;
    int high = cells->count;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (k >= cells->first[middle])
            low = middle;
        else
            high = middle;
    }
    cells->seen[low]++;
}

/** Returns the p-value of the chi-square statistic; 1 for a single cell. */
static inline double cells_p_value(const struct cells *cells) {
    double total = 0;
    double chi_square = 0;
    for (int i = 0; i < cells->count; i++)
        total += (double)cells->seen[i];
    for (int i = 0; i < cells->count; i++) {
        const double expected = total * cells->chance[i];
        const double gap = (double)cells->seen[i] - expected;
        chi_square += gap * gap / expected;
    }
    return cells->count > 1 ? gsl_cdf_chisq_Q(chi_square, cells->count - 1) : 1;
}

static inline int ascending(const void *left, const void *right) {
    const double a = *(const double *)left;
    const double b = *(const double *)right;
    return (a > b) - (a < b);
}

/**
 * Returns Kolmogorov's distance times sqrt(n) of standardised values from the normal distribution
 * (sorts them). It exceeds KOLMOGOROV_BOUND with probability FALSE_ALARM: 2 exp(-2 x^2),
 * Massart 1990, Ann. Probab. 18:1269.
 */
#define KOLMOGOROV_BOUND 2.6933
static inline double kolmogorov_normal(double *values, size_t n) {
    double distance = 0;
    qsort(values, n, sizeof *values, ascending);
    for (size_t i = 0; i < n; i++) {
        const double law = gsl_cdf_ugaussian_P(values[i]);
        distance = fmax(distance, fmax(law - (double)i / (double)n, (double)(i + 1) / (double)n - law));
    }
    return distance * sqrt((double)n);
}

#endif
