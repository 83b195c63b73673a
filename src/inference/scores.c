/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Turns values into normal scores and back.
 */
#include "inference/scores.h"

#include "base/elementary.h"
#include "base/stats.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Returns how many of n ascending values are below a value; with `ties`, or equal to it. */
static int64_t count_below(const double *ascending, int64_t n, double value, bool ties) {
    int64_t low = 0, high = n;
    while (low < high) {
        const int64_t middle = (low + high) / 2;
        if (ascending[middle] < value || (ties && ascending[middle] == value))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

double wg_score_of(const double *ascending, int64_t n, double value) {
    const int64_t below = count_below(ascending, n, value, false), up_to = count_below(ascending, n, value, true);
    const double edge = 0.5 / (double)n, share = 0.5 * (double)(below + up_to) / (double)n;
    return wg_normal_quantile_above(1 - fmin(1 - edge, fmax(edge, share)));
}

double wg_value_of_score(const double *ascending, int64_t n, double score) {
    return wg_quantile_sorted(ascending, (size_t)n, wg_normal_cdf(score));
}

void wg_scores(double *values, int64_t n, double *ascending) {
    memcpy(ascending, values, (size_t)n * sizeof *values);
    wg_sort(ascending, (size_t)n);
    for (int64_t k = 0; k < n; k++)
        values[k] = wg_score_of(ascending, n, values[k]);
}
