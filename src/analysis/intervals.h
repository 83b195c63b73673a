/**
 * Confidence intervals of paired differences: of means, also where they are skewed, and of shares.
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
 * Returns the score interval of the difference of two shares in n pairs: of those, `only_second` met the criterion
 * in the second setup only and `only_first` in the first only; difference second minus first (Tango 1998, Stat. Med. 17:891).
 * Never of width 0. n = 0: -1..1. Counts below 0 or above n are an error of the caller (wg_assert).
 */
struct wg_interval wg_share_difference_interval(int64_t only_first, int64_t only_second, int64_t n, double confidence);

#endif
