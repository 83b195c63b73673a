/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What share of a cohort is still in its stage at development x?
 *
 *     gamma       S(x) = Q(k, k x),  k = 1/c^2            mean 1, coefficient of variation c
 *     lognormal   S(x) = erfc(ln x / (sigma sqrt 2)) / 2   median 1
 *
 * The incomplete gamma function is evaluated here, as a series left of the mean and
 * as a continued fraction right of it (Abramowitz & Stegun 1964, 6.5.29 and 6.5.31;
 * the fraction by the method of Lentz 1976, Appl. Opt. 15:668), because that yields
 * ln S even where S underflows.
 */
#include "species/survival_curve.h"

#include "base/elementary.h"

#include <gsl/gsl_math.h>
#include <math.h>

/* sum over n of y^n / ((k+1) ... (k+n)), for y < k + 1 */
static double series(double k, double y) {
    double term = 1.0, sum = 1.0;
    for (double n = 1.0; term > sum * 1e-17; n += 1.0) {
        term *= y / (k + n);
        sum += term;
    }
    return sum;
}

/* y + 1 - k - 1(1-k)/(y + 3 - k - 2(2-k)/(...)), for y >= k + 1 */
static double fraction(double k, double y) {
    double b = y + 1.0 - k;
    double value = b, c = b, d = 0.0, ratio = 0.0;
    for (double n = 1.0; fabs(ratio - 1.0) > 2e-16 && n < 1e5; n += 1.0) {
        const double a = n * (k - n);
        b += 2.0;
        d = 1.0 / (b + a * d);
        c = b + a / c;
        ratio = c * d;
        value *= ratio;
    }
    return value;
}

struct wg_gamma wg_gamma_of(double k) {
    /* ln of k^k e^-k / Gamma(k+1): the leading terms of Stirling's formula cancel */
    return (struct wg_gamma){.k = k, .log_top = -0.5 * wg_log(2.0 * M_PI * k) - wg_stirling_remainder(k)};
}

/* ln of y^k e^-y / Gamma(k+1) at y = k x, grouped so that the large terms cancel first */
static double log_front(const struct wg_gamma *gamma, double x) {
    return gamma->log_top + gamma->k * (wg_log(x) - (x - 1.0));
}

/* The slope is minus the density over the survival, front k/x / S; right of the mean S = front k / fraction. */
struct wg_curve_point wg_gamma_at(const struct wg_gamma *gamma, double x) {
    if (!(x > 0.0)) {
        return (struct wg_curve_point){0.0, 0.0};
    }
    const double k = gamma->k, y = k * x;
    if (y < k + 1.0) {
        const double front = wg_exp(log_front(gamma, x)), cdf = front * series(k, y);
        return (struct wg_curve_point){.log_s = wg_log1p(-cdf), .slope = -front * k / (x * (1.0 - cdf))};
    }
    const double below = fraction(k, y);
    return (struct wg_curve_point){.log_s = log_front(gamma, x) + wg_log(k / below), .slope = -below / x};
}

struct wg_curve_point wg_gamma_point(double k, double x) {
    const struct wg_gamma gamma = wg_gamma_of(k);
    return wg_gamma_at(&gamma, x);
}

struct wg_curve_point wg_lognormal_point(double sigma, double x) {
    struct wg_curve_point at = {0.0, 0.0};
    if (!(x > 0.0)) {
        return at;
    }
    const double z = wg_log(x) / sigma;
    if (z < 0.0) {
        at.log_s = wg_log1p(-0.5 * wg_erfc(-z * M_SQRT1_2));
    } else {
        at.log_s = wg_log_erfc(z * M_SQRT1_2) - M_LN2;
    }
    at.slope = -wg_exp(-0.5 * z * z - at.log_s) / (sigma * x * sqrt(2.0 * M_PI));
    return at;
}

double wg_gamma_mean_done(double k, double x) {
    /*
     * x times the mean is the integral of F, x F(x) - E[D; D < x]; the last term
     * is P(k+1, k x) = P(k, k x) - front, by the recurrence in k.
     */
    if (!(x > 0.0)) {
        return 0.0;
    }
    const struct wg_gamma gamma = wg_gamma_of(k);
    const double cdf = -wg_expm1(wg_gamma_at(&gamma, x).log_s);
    return cdf - (cdf - wg_exp(log_front(&gamma, x))) / x;
}
