/* layer: base */
/**
 * The hat of the binomial rejection sampler, apart from its dice, so that a test can see that it covers.
 * Private to base. Names a and b, and all constants: Hoermann 1993, J. Stat. Comput. Simul. 46:101.
 */
#ifndef WINTERGRUB_BASE_BINOMIAL_H
#define WINTERGRUB_BASE_BINOMIAL_H

/** Set up by wg_hat_over(). */
struct wg_hat {
    double n, odds;        /* the law: p/(1 - p) */
    double mode;           /* its likeliest count */
    double a, b, centre;   /* the shape of the hat */
    double scale, squeeze; /* its height, and the share of it that is surely below the law near the centre */
};

/** Fewer than this expected: the hat is not proven to cover. */
#define WG_HAT_FROM_MEAN 10.0
/** Nearer to the edge than this, the squeeze does not hold. */
#define WG_SQUEEZE_FROM_EDGE 0.07

/** The hat over Binomial(n, p), p <= 1/2 and n p >= WG_HAT_FROM_MEAN. */
struct wg_hat wg_hat_over(double n, double p);

/** The candidate count of u in (-1/2, 1/2), edge = 1/2 - |u|: whole, but perhaps below 0 or above n. */
double wg_hat_candidate(const struct wg_hat *hat, double u, double edge);

/** The height of the hat over that candidate, in units of the law's highest probability. */
double wg_hat_height(const struct wg_hat *hat, double edge);

/** log f(k) - log f(mode), 0 <= k <= n whole, to within 1e-6 for all n to 2^62. */
double wg_hat_law_log_height(const struct wg_hat *hat, double k);

#endif
