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
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHORT_RUN 12 /* values that insertion sorts faster */
#define ROOM 1024    /* values on the stack: 8 kB */

static int compare_numbers(const void *left, const void *right) {
    const double a = *(const double *)left;
    const double b = *(const double *)right;
    return (a > b) - (a < b);
}

static void insertion_sort(double *values, size_t n) {
    for (size_t i = 1; i < n; i++) {
        const double value = values[i];
        size_t k = i;
        for (; k > 0 && values[k - 1] > value; k--)
            values[k] = values[k - 1];
        values[k] = value;
    }
}

/* Merges the sorted halves; `room` has room for the first. */
static void merge_halves(double *values, size_t half, size_t n, double *room) {
    size_t left = 0, right = half, to = 0;
    if (!(values[half - 1] > values[half]))
        return;
    memcpy(room, values, half * sizeof *values);
    while (left < half && right < n) {
        const size_t is_right = room[left] > values[right] ? 1 : 0;
        values[to++] = is_right ? values[right] : room[left];
        right += is_right;
        left += 1 - is_right;
    }
    memcpy(values + to, room + left, (half - left) * sizeof *values);
}

static void merge_sort(double *values, size_t n, double *room) {
    if (n <= SHORT_RUN) {
        insertion_sort(values, n);
        return;
    }
    merge_sort(values, n / 2, room);
    merge_sort(values + n / 2, n - n / 2, room);
    merge_halves(values, n / 2, n, room);
}

/* Moves what is not a number to the end. Returns how many numbers there are, in their order. */
static size_t numbers_first(double *values, size_t n) {
    size_t numbers = 0;
    for (size_t i = 0; i < n; i++) {
        const double value = values[i];
        if (isnan(value))
            continue;
        values[i] = values[numbers];
        values[numbers++] = value;
    }
    return numbers;
}

/* The C library's qsort() calls a function for each comparison: it took a fifth of the time of a forecast. */
void wg_sort(double *values, size_t n) {
    double few[ROOM];
    const size_t numbers = numbers_first(values, n);
    double *const room = numbers / 2 <= ROOM ? few : malloc(numbers / 2 * sizeof *room);
    if (room != NULL)
        merge_sort(values, numbers, room);
    else
        qsort(values, numbers, sizeof *values, compare_numbers);
    if (room != few)
        free(room);
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
