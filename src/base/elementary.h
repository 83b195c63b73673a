/**
 * The elementary functions of the model, private to its layers and to the forecast.
 *
 * The C library picks other code for exp, pow, sin and the like by processor, and the last digit differs: enough for
 * another count of animals. These give the same bits on every processor, with every compiler and in the browser, because
 * they add, multiply, divide and take square roots in the order that is written down, and call nothing. So everything that
 * reaches the state of a colony uses them, and no object of the model imports a function of the C library that could round
 * in another way (tests/layers/test_mathematics.sh).
 *
 * Within one unit in the last place, most of them within 0.7, where nothing else is said (tests/base/test_elementary.c
 * compares with MPFR). Results smaller than the smallest normal number may be 0.
 */
#ifndef WG_BASE_ELEMENTARY_H
#define WG_BASE_ELEMENTARY_H

#include "base/quick.h"

/** log x; -infinity of 0, NaN below. */
double wg_log(double x);
double wg_log1p(double x);
/** x to the y-th, x >= 0 (NaN below); 1 for y = 0 and for x = 1. */
double wg_pow(double x, double y);

/** Of an angle in radians, up to a million and a half; NaN beyond. */
double wg_sin(double x);
double wg_cos(double x);
double wg_tan(double x);

double wg_asin(double x);
double wg_acos(double x);
double wg_atan(double x);

/** 1 - erf(x). */
double wg_erfc(double x);
/** Its logarithm, also where it is smaller than any number; within 2 units in the last place for x >= 0. */
double wg_log_erfc(double x);

/** The chance that a standard normal number is at most z; within 2 units in the last place for |z| < 1, more in the tail. */
double wg_normal_cdf(double z);
/** The z above which a standard normal number lies with the chance q, 0 < q < 1; to 14 digits. */
double wg_normal_quantile_above(double q);

/** log Gamma(x) less Stirling's formula (x - 1/2) log x - x + log(2 pi)/2, x > 0; absolute error below 2e-14. */
double wg_stirling_remainder(double x);
/** log B(a, b) = log Gamma(a) + log Gamma(b) - log Gamma(a + b), a, b > 0. */
double wg_log_beta(double a, double b);

/** The n >= 2 points of the Gauss-Legendre rule over 0..1, ascending, and their weights; to 14 digits. */
void wg_gauss_legendre(int n, double *at, double *weight);

#endif
