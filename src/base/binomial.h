/**
 * The hat of the binomial rejection sampler, apart from its dice, so that a test can see that it covers.
 * Private to base. Names a and b, and all constants: Hoermann 1993, J. Stat. Comput. Simul. 46:101.
 */
#ifndef WG_BASE_BINOMIAL_H
#define WG_BASE_BINOMIAL_H

#include <math.h>
#include <stdint.h>

/** Set up by wg_hat_over(): what nearly every draw needs. The rest is worked out by those few that the squeeze leaves open. */
struct wg_hat {
    double n, p;         /* the law */
    double a, b, centre; /* the shape of the hat */
    double deviation;    /* of the law */
    double squeeze;      /* the share of the hat's height that is surely below the law near the centre */
};

/** Fewer than this expected: the hat is not proven to cover. */
#define WG_HAT_FROM_MEAN 10.0
/** Nearer to the edge than this, the squeeze does not hold. */
#define WG_SQUEEZE_FROM_EDGE 0.07

/** The hat over Binomial(n, p), p <= 1/2 and n p >= WG_HAT_FROM_MEAN. */
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

/** The candidate of u in (-1/2, 1/2), edge = 1/2 - |u|, before it is rounded down: perhaps below 0, or n + 1 and more. */
static inline double wg_hat_candidate(const struct wg_hat *hat, double u, double edge) {
    return (2 * hat->a / edge + hat->b) * u + hat->centre;
}

/** Rounded down, 0 <= x < 2^62. floor() is a call where the processor's own rounding is not taken for granted. */
static inline double wg_floor(double x) {
    return (double)(int64_t)x;
}

static inline double wg_hat_mode(const struct wg_hat *hat) {
    return wg_floor((hat->n + 1) * hat->p);
}

/** So near to the mode probabilities are multiplied up. */
#define WG_NEAR_MODE 15.0
/**
 * How far the logarithm of f(k)/f(mode) is from -off^2 / (2 variance) at most, off = |k - mode|, for
 * WG_NEAR_MODE < off <= variance/2 - 1. Kachitvichyanukul & Schmeiser 1988, Commun. ACM 31:216 (step 5.2 of BTPE, MEMORY;
 * tests/base/test_binomial.c holds it against the law).
 */
static inline double wg_hat_margin(double variance, double off) {
    return off / variance * ((off * (off / 3 + 0.625) + 1.0 / 6) / variance + 0.5);
}

/** The height of the hat over that candidate, in units of the law's highest probability. */
double wg_hat_height(const struct wg_hat *hat, double edge);

/** log f(k) - log f(mode), 0 <= k <= n whole, to within 1e-6 for all n to 2^62. */
double wg_hat_law_log_height(const struct wg_hat *hat, double k);

#endif
