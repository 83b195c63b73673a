/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The exact survival functions of the stage clocks (private to species).
 * Slow (about a microsecond), accurate in the far tail; pure.
 */
#ifndef WG_SPECIES_SURVIVAL_CURVE_H
#define WG_SPECIES_SURVIVAL_CURVE_H

/** ln S(x) and its slope, minus the hazard in x. Both 0 for x <= 0. */
struct wg_curve_point {
    double log_s, slope;
};

/** Gamma of mean 1 and shape k > 0 (spread = k^(-1/2)). */
struct wg_gamma {
    double k;
    double log_top; /* ln of k^k e^-k / Gamma(k+1); cached: it took a quarter of the time of a point */
};
struct wg_gamma wg_gamma_of(double k);
struct wg_curve_point wg_gamma_at(const struct wg_gamma *gamma, double x);
/** The same for a single point. */
struct wg_curve_point wg_gamma_point(double k, double x);

/** Lognormal of median 1. */
struct wg_curve_point wg_lognormal_point(double sigma, double x);

/** Mean of F over 0..x: the share that has left when ages are uniform on 0..x. */
double wg_gamma_mean_done(double k, double x);

#endif
