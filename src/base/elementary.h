/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The elementary functions of the model, private to its layers and to the forecast.
 *
 * The C library selects code for exp, pow, sin and the like by processor, and the last digit differs: enough to change a
 * count of animals. These functions give the same bits on every processor, with every compiler and in the browser,
 * because they only add, multiply, divide and take square roots in a fixed order. Everything that reaches the state of a
 * colony uses them, and no object of the model imports a C library function that could round differently
 * (tests/layers/test_mathematics.sh).
 *
 * Accurate to one unit in the last place, most to 0.7, unless stated otherwise (tests/base/test_elementary.c compares
 * with MPFR). Results smaller than the smallest normal number may be 0.
 */
#ifndef WG_BASE_ELEMENTARY_H
#define WG_BASE_ELEMENTARY_H

#include "base/quick.h"

/** log x; -infinity for 0, NaN below. */
double wg_log(double x);
double wg_log1p(double x);
/** x^y, x >= 0 (NaN below); 1 for y = 0 and for x = 1. */
double wg_pow(double x, double y);

/** Of an angle in radians, up to 1.5 million; NaN beyond. */
double wg_sin(double x);
double wg_cos(double x);
double wg_tan(double x);

double wg_asin(double x);
double wg_acos(double x);
double wg_atan(double x);

/** 1 - erf(x). */
double wg_erfc(double x);
/** log erfc(x), also where erfc(x) underflows; to 2 units in the last place for x >= 0. */
double wg_log_erfc(double x);

/** The standard normal distribution function; to 2 units in the last place for |z| < 1, more in the tail. */
double wg_normal_cdf(double z);
/** The upper q-quantile of the standard normal distribution, 0 < q < 1; to 14 digits. */
double wg_normal_quantile_above(double q);

/** log Gamma(x) minus Stirling's formula (x - 1/2) log x - x + log(2 pi)/2, x > 0; absolute error below 2e-14. */
double wg_stirling_remainder(double x);
/** log B(a, b) = log Gamma(a) + log Gamma(b) - log Gamma(a + b), a, b > 0. */
double wg_log_beta(double a, double b);

/** Computes the n >= 2 nodes of the Gauss-Legendre rule on 0..1, ascending, and their weights; to 14 digits. */
void wg_gauss_legendre(int n, double *at, double *weight);

#endif
