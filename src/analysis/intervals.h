/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Confidence intervals of means, also where values are skewed, of shares, and of differences of shares in pairs.
 */
#ifndef WG_ANALYSIS_INTERVALS_H
#define WG_ANALYSIS_INTERVALS_H

#include "base/stats.h"

#include <stdint.h>

/**
 * Returns the interval of a mean from n values with the given standard deviation (n - 1 in its denominator) and skewness
 * (third central moment over the 3/2 power of the second, n in the denominators): Hall's cubic transformation of Student's
 * t (Hall 1992, J. R. Stat. Soc. B 54:221). Student's own interval for skewness 0. n < 2, or a standard deviation of 0 or NaN:
 * both ends NaN, because values that are all alike do not show how far others may lie.
 */
struct wg_interval wg_mean_interval(double mean, double sd, double skewness, int64_t n, double confidence);

/**
 * Does the same for a mean whose standard error, skewness (third central moment of the mean over the cube of the error) and
 * degrees of freedom are known: wg_mean_interval() is the case of n independent values. NaN as there.
 */
struct wg_interval wg_error_interval(double mean, double error, double skewness, double freedom, double confidence);

/**
 * Returns Wilson's interval of a share in a number of independent trials that need not be whole, with Student's quantile in
 * place of the normal one: within 0..1, never of width 0. trials <= 0 gives 0..1; freedom is at least 1, INFINITY allowed.
 */
struct wg_interval wg_share_interval(double share, double trials, double freedom, double confidence);

/**
 * Returns the score interval of the difference of two shares in n pairs: of those, `only_second` met the criterion
 * in the second setup only and `only_first` in the first only; difference second minus first (Tango 1998, Stat. Med. 17:891).
 * Never of width 0. n = 0: -1..1. Counts below 0 or above n are an error of the caller (wg_assert).
 */
struct wg_interval wg_share_difference_interval(int64_t only_first, int64_t only_second, int64_t n, double confidence);
/** Does the same from shares of the pairs, with a number of pairs that need not be whole, and Student's quantile. */
struct wg_interval wg_paired_shares_interval(double only_first, double only_second, double pairs, double freedom,
                                             double confidence);

#endif
