/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Quantiles, Wilson intervals and compensated sums.
 */
#ifndef WG_BASE_STATS_H
#define WG_BASE_STATS_H

#include <stddef.h>

/** Sorts ascending; NaN last. Zeros become positive: a sort does not tell them apart. */
void wg_sort(double *values, size_t n);

/**
 * Returns the q-quantile (0..1) of n ascending values, linear between order statistics
 * (type 7 of Hyndman & Fan 1996, Am. Stat. 50:361). NaN for n = 0. An infinite
 * neighbour gives infinity, never NaN: "not by the end" is +INFINITY. A quantile that
 * falls on an order statistic equals it, whatever its neighbours. NaN among the values makes
 * the quantiles that touch it NaN. `q` outside 0..1 is an error of the caller (wg_assert).
 */
double wg_quantile_sorted(const double *ascending, size_t n, double q);

struct wg_interval {
    double low, high;
};

/**
 * Returns the confidence interval of a probability from `hits` of `n` trials (Wilson 1927, JASA 22:209), confidence
 * e.g. 0.95. n = 0 gives 0..1. hits > n, or confidence outside (0, 1), is an error of the caller (wg_assert).
 */
struct wg_interval wg_wilson(size_t hits, size_t n, double confidence);

/**
 * A compensated sum (Neumaier 1974, Z. Angew. Math. Mech. 54:39): its error does not grow with the number of addends.
 * Zero-initialise it. Infinities and NaN pass through as in plain addition.
 */
struct wg_sum {
    double value, rest;
};
void wg_sum_add(struct wg_sum *sum, double x);
double wg_sum_total(const struct wg_sum *sum);

#endif
