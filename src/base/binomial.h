/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The hat function of the binomial rejection sampler, separate from the draws, so that a test can prove that it covers.
 * Private to base. Names a and b, and all constants: Hoermann 1993, J. Stat. Comput. Simul. 46:101.
 */
#ifndef WG_BASE_BINOMIAL_H
#define WG_BASE_BINOMIAL_H

#include <math.h>
#include <stdint.h>

/** What nearly every draw needs, from wg_hat_over(). The few draws that the squeeze leaves open compute the rest. */
struct wg_hat {
    double n, p;         /* of the distribution */
    double a, b, centre; /* the shape of the hat */
    double deviation;    /* standard deviation of the distribution */
    double squeeze;      /* fraction of the hat's height that is below the pmf near the centre */
};

/** Below this mean the hat is not proven to cover. */
#define WG_HAT_FROM_MEAN 10.0
/** Closer to the edge than this the squeeze does not hold. */
#define WG_SQUEEZE_FROM_EDGE 0.07

/** Returns the hat over Binomial(n, p), p <= 1/2 and n p >= WG_HAT_FROM_MEAN. */
static inline struct wg_hat wg_hat_over(double n, double p) {
    const double deviation = sqrt(n * p * (1 - p));
    const double b = 1.15 + 2.53 * deviation;
    return (struct wg_hat){
        .n = n,
        .p = p,
        .a = -0.0873 + 0.0248 * b + 0.01 * p,
        .b = b,
        .centre = n * p + 0.5,
        .deviation = deviation,
        .squeeze = 0.92 - 4.2 / b,
    };
}

/** Returns the unrounded candidate of u in (-1/2, 1/2), edge = 1/2 - |u|; it may be below 0, or n + 1 or more. */
static inline double wg_hat_candidate(const struct wg_hat *hat, double u, double edge) {
    return (2 * hat->a / edge + hat->b) * u + hat->centre;
}

/** Rounds down, 0 <= x < 2^62. floor() is a function call on targets without a guaranteed rounding instruction. */
static inline double wg_floor(double x) {
    return (double)(int64_t)x;
}

static inline double wg_hat_mode(const struct wg_hat *hat) {
    return wg_floor((hat->n + 1) * hat->p);
}

/** Within this distance of the mode probabilities are computed as products. */
#define WG_NEAR_MODE 15.0
/**
 * Bounds the distance of log f(k)/f(mode) from -off^2 / (2 variance), off = |k - mode|, for
 * WG_NEAR_MODE < off <= variance/2 - 1. Kachitvichyanukul & Schmeiser 1988, Commun. ACM 31:216 (step 5.2 of BTPE, MEMORY;
 * tests/base/test_binomial.c checks it against the pmf).
 */
static inline double wg_hat_margin(double variance, double off) {
    return off / variance * ((off * (off / 3 + 0.625) + 1.0 / 6) / variance + 0.5);
}

/** Returns the height of the hat over that candidate, in units of f(mode). */
double wg_hat_height(const struct wg_hat *hat, double edge);

/** Returns log f(k) - log f(mode), integer 0 <= k <= n, to within 1e-6 for all n up to 2^62. */
double wg_hat_log_pmf_ratio(const struct wg_hat *hat, double k);

#endif
