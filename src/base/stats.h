/**
 * Small statistics: quantiles, Wilson intervals, sums.
 */
#ifndef WG_BASE_STATS_H
#define WG_BASE_STATS_H

#include <stddef.h>

/** Sorts ascending; NaN last. */
void wg_sort(double *values, size_t n);

/**
 * The q-quantile (0..1) of n ascending values, linear between order statistics
 * (type 7 of Hyndman & Fan 1996, Am. Stat. 50:361). NaN for n = 0. An infinite
 * neighbour gives the infinite value, never NaN: "not by the end" is +INFINITY.
 * A quantile that falls on an order statistic is that value, whatever lies next
 * to it. NaN among the values makes the quantiles that touch it NaN. `q` outside
 * 0..1 is a mistake of the caller (wg_assert).
 */
double wg_quantile_sorted(const double *ascending, size_t n, double q);

struct wg_interval {
    double low, high;
};

/**
 * Interval of a chance from `hits` of `n` (Wilson 1927, JASA 22:209), at
 * confidence e.g. 0.95. n = 0 gives 0..1. hits > n, or confidence not inside
 * (0, 1), is a mistake of the caller (wg_assert).
 */
struct wg_interval wg_wilson(size_t hits, size_t n, double confidence);

/**
 * Sum with compensation (Neumaier 1974, Z. Angew. Math. Mech. 54:39): the error
 * no longer grows with the number of addends. Zero-initialise. Infinities and
 * NaN pass through as in plain addition.
 */
struct wg_sum {
    double value, rest;
};
void wg_sum_add(struct wg_sum *sum, double x);
double wg_sum_total(const struct wg_sum *sum);

#endif
