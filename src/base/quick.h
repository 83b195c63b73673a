/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Inline exp(x) and exp(x) - 1, private to the model layers; the other functions are in elementary.h.
 *
 * Without branches and tables, so that the compiler vectorises a loop over the hours of a day; the same bits on every
 * processor and with every compiler and C library, because it only adds and multiplies.
 * Accurate to 0.7 and 0.95 units in the last place (tests/base/test_elementary.c compares with MPFR).
 *
 *   exp(x) = 2^k exp(r),  k = round(x / ln 2),  r = x - k ln 2 in two parts, |r| < 0.347,
 *   exp(r) = 1 + r + r^2/2 + r^3 (a polynomial through the Chebyshev nodes: scripts/elementary_tables.py --exp)
 *
 * Source of the reduction: Cody & Waite 1980, Software Manual for the Elementary Functions, chapter 6.
 */
#ifndef WG_BASE_QUICK_H
#define WG_BASE_QUICK_H

#include <stdint.h>
#include <string.h>

/* log 2 in two parts, the first a multiple of 2^-40, so that its product with an exponent is exact */
#define WG_LN2_HIGH 0x1.62e42fefa4000p-1
#define WG_LN2_LOW (-0x1.8432a1b0e2634p-43)

/* (exp(r) - 1 - r) / r^2 for |r| < 0.4, to the last place: 1/2 + r/6 + r^2/24 + ... in pairs, for parallelism */
static inline double wg_exp_remainder(double r) {
    const double r2 = r * r, r4 = r2 * r2;
    const double a = (0.5 + r * 0x1.5555555555557p-3) + r2 * (0x1.5555555555556p-5 + r * 0x1.111111110f9e1p-7);
    const double b =
        (0x1.6c16c16c15ed8p-10 + r * 0x1.a01a01b237182p-13) + r2 * (0x1.a01a01aa732bfp-16 + r * 0x1.71ddeb19c04e5p-19);
    const double c = (0x1.27e4ce333bf6bp-22 + r * 0x1.af7f339d94bfep-26) + r2 * 0x1.1f8f2b8498bcep-29;
    return a + r4 * (b + r4 * c);
}

/** exp(x + low) = 2 scale (top + rest), rest a fraction of a unit in the last place; -708 <= x <= 710. */
struct wg_exp_parts {
    double scale, top, rest;
};

static inline struct wg_exp_parts wg_exp_parts(double x, double low) {
    const double shift = 0x1.8p52; /* adding it rounds to an integer, which the low bits then hold */
    const double shifted = x * 0x1.71547652b82fep+0 + shift;
    const double k = shifted - shift;
    const double near = x - k * WG_LN2_HIGH, correction = k * WG_LN2_LOW - low;
    const double r = near - correction, r_rest = (near - r) - correction;
    uint64_t bits;
    memcpy(&bits, &shifted, sizeof bits);
    bits = (bits + 1022) << 52; /* 2^(k - 1): halved, so that the largest doubles are reached */
    struct wg_exp_parts parts = {.top = 1.0 + r};
    memcpy(&parts.scale, &bits, sizeof parts.scale);
    parts.rest = ((1.0 - parts.top) + r) + (r_rest + r * r * wg_exp_remainder(r));
    return parts;
}

/** exp(x + low), |low| at most two units in the last place of x. */
static inline double wg_exp_of_sum(double x, double low) {
    const struct wg_exp_parts parts = wg_exp_parts(x > 710.0 ? 710.0 : x, low);
    const double value = 2.0 * (parts.top + parts.rest) * parts.scale;
    return x < -708.0 ? 0.0 : value;
}

/** exp(x); 0 below -708 (no subnormal results), infinity from 709.79, NaN for NaN. */
static inline double wg_exp(double x) {
    return wg_exp_of_sum(x, 0.0);
}

/**
 * log x of a positive, normal x, accurate to two units in the last place: x = 2^k m, m from sqrt(1/2) to sqrt 2,
 * log m = 2 (s + s^3/3 + s^5/5 + ...), s = (m - 1)/(m + 1) (Abramowitz & Stegun 1964, 4.1.27).
 */
static inline double wg_log_of_normal(double x) {
    uint64_t bits, exponent;
    double m, k;
    memcpy(&bits, &x, sizeof bits);
    exponent = (bits + (UINT64_C(0x3ff0000000000000) - UINT64_C(0x3fe6a09e667f3bcd))) >> 52; /* k + 1023 */
    bits -= (exponent - 1023) << 52;
    memcpy(&m, &bits, sizeof m);
    exponent |= UINT64_C(0x4330000000000000); /* 2^52 + k + 1023 */
    memcpy(&k, &exponent, sizeof k);
    k -= 0x1p52 + 1023.0;
    const double s = (m - 1.0) / (m + 1.0), z = s * s, z2 = z * z, z4 = z2 * z2;
    const double a = (1.0 / 3.0 + z * (1.0 / 5.0)) + z2 * (1.0 / 7.0 + z * (1.0 / 9.0));
    const double b = (1.0 / 11.0 + z * (1.0 / 13.0)) + z2 * (1.0 / 15.0 + z * (1.0 / 17.0));
    const double series = z * (a + z4 * (b + z4 * (1.0 / 19.0)));
    return k * WG_LN2_HIGH + (2.0 * s + (2.0 * s * series + k * WG_LN2_LOW));
}

/** exp(x) - 1, accurate to the last place even for small x. */
static inline double wg_expm1(double x) {
    if (x > -0.3465 && x < 0.3465)
        return x + x * x * wg_exp_remainder(x);
    if (x < -40.0)
        return -1.0;
    const struct wg_exp_parts parts = wg_exp_parts(x > 710.0 ? 710.0 : x, 0.0);
    const double top = 2.0 * parts.top * parts.scale, rest = 2.0 * parts.rest * parts.scale;
    const double difference = top - 1.0;
    const double lost = x < 0.0 ? top - (difference + 1.0) : (top - difference) - 1.0;
    return difference > 0x1p1000 ? difference + rest : difference + (lost + rest);
}

#endif
