/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes quantiles, Wilson intervals and compensated sums.
 *
 *   quantile   h = (n - 1) q,  x[floor h] + (h - floor h) (x[floor h + 1] - x[floor h])
 *   Wilson     (k + z^2/2 -+ z sqrt(k (n - k)/n + z^2/4)) / (n + z^2)
 *   sum        the rounding error of each addition is summed separately
 *
 * Sources: Hyndman & Fan 1996, Am. Stat. 50:361 (type 7); Wilson 1927, JASA
 * 22:209; Neumaier 1974, Z. Angew. Math. Mech. 54:39.
 */
#include "base/stats.h"

#include "base/elementary.h"
#include "base/error.h"

#include <float.h>
#include <gsl/gsl_sort_double.h>
#include <math.h>

/* Moves what is not a number to the end and makes zeros positive. Returns how many numbers there are. */
static size_t numbers_first(double *values, size_t n) {
    size_t numbers = 0;
    for (size_t i = 0; i < n; i++) {
        const double value = values[i];
        if (isnan(value))
            continue;
        values[i] = values[numbers];
        values[numbers++] = value + 0.0;
    }
    return numbers;
}

void wg_sort(double *values, size_t n) {
    gsl_sort(values, 1, numbers_first(values, n));
}

double wg_quantile_sorted(const double *ascending, size_t n, double q) {
    wg_assert(q >= 0 && q <= 1);
    if (n == 0)
        return (double)NAN;
    const double h = (double)(n - 1) * q;
    /* 100 x 0.07 is 7.000000000000001: otherwise an infinite x[8] would leak into x[7] */
    const double whole = fabs(h - round(h)) <= 4 * DBL_EPSILON * h ? round(h) : floor(h);
    const double part = fmax(h - whole, 0);
    const size_t index = (size_t)whole;
    if (part <= 4 * DBL_EPSILON * h || index + 1 >= n)
        return ascending[index];
    const double low = ascending[index];
    const double high = ascending[index + 1];
    if (isinf(low) || low == high)
        return low;
    return isinf(high) ? high : low + part * (high - low);
}

struct wg_interval wg_wilson(size_t hits_of, size_t all, double confidence) {
    wg_assert(hits_of <= all && confidence > 0 && confidence < 1);
    if (all == 0)
        return (struct wg_interval){0, 1};
    const double hits = (double)hits_of, n = (double)all;
    const double z = wg_normal_quantile_above((1 - confidence) / 2);
    const double middle = hits + z * z / 2;
    const double half = z * sqrt(hits * (n - hits) / n + z * z / 4);
    /* At the ends the formula is exactly 0 or 1; rounding must not change that. */
    return (struct wg_interval){
        .low = hits_of == 0 ? 0 : (middle - half) / (n + z * z),
        .high = hits_of == all ? 1 : (middle + half) / (n + z * z),
    };
}

void wg_sum_add(struct wg_sum *sum, double x) {
    const double total = sum->value + x;
    if (fabs(sum->value) >= fabs(x))
        sum->rest += (sum->value - total) + x;
    else
        sum->rest += (x - total) + sum->value;
    sum->value = total;
}

double wg_sum_total(const struct wg_sum *sum) {
    /* once infinite or NaN, the rest is NaN */
    return isfinite(sum->value) ? sum->value + sum->rest : sum->value;
}
