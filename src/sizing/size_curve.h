/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A monotone curve of the probability of success against a number, fitted to the successes at the values tried:
 *
 *   p(x) = top Phi(q + slope (x - crossing)),   Phi(q) = wanted / top
 *
 * a probit curve in a coordinate x of the number (mostly its logarithm) with an upper limit, `top`, written with the
 * place where it crosses the wanted probability as a parameter. Probit, because a normal random intercept leaves the
 * mean over animals a probit curve: if animal i has p(x) = top Phi(a + b x + sigma u_i), the mean over u_i is
 * top Phi((a + b x)/sqrt(1 + sigma^2)) (Zeger, Liang & Albert 1988, Biometrics 44:1049). So the curve of the mean needs
 * no model of the animals, only its interval does, and their spread turns it into the curve of one animal.
 *
 * Maximum likelihood. Golden sections, nested, on elementary functions: the same bits on every processor, since the fit
 * decides which values are tried next.
 */
#ifndef WG_SIZING_SIZE_CURVE_H
#define WG_SIZING_SIZE_CURVE_H

#include "base/stats.h"

#include <stdbool.h>

#define WG_CURVE_MAX_VALUES 16
#define WG_CURVE_MISFIT 0.01 /* judgement: one fit in a hundred is rejected though the curve is right */

/** A value tried: its coordinate, trials and successes. Values are ascending by coordinate. */
struct wg_curve_value {
    double x, n, hits;
};

struct wg_curve_limits {
    double from, to;           /* of the crossing */
    double flattest, steepest; /* of the slope; 0 < flattest < steepest */
};

struct wg_curve {
    double wanted, crossing, slope, top;
    double quantile; /* q in the formula above */
    double log_likelihood;
    int first,
        last;   /* values used for the fit: all of them, unless those far from the crossing do not follow the curve */
    double fit; /* probability of a worse fit than this, against isotonic regression, if the curve is right */
};

/** Returns the probability at a coordinate. */
double wg_curve_chance(const struct wg_curve *curve, double x);
/**
 * Fits the curve to n >= 1 values; with an upper limit below 1 only if the data ask for it. Leaves out those more than 1.5 standard deviations of the curve below the crossing, if
 * at least four remain: they say little about it, and the lower tail of the curve need not be a probit's (the upper one
 * bends by `top`). Leaves out the farthest as long as the curve does not fit (WG_CURVE_MISFIT) and more than four remain.
 */
void wg_curve_fit(struct wg_curve *curve, const struct wg_curve_value *value, int n, double wanted,
                  const struct wg_curve_limits *limits);
/**
 * Returns the interval of the crossing by profile likelihood: where twice the log-likelihood lies at most `below`
 * (`above`) under its maximum, on that side. An end is infinite if the data do not bound it. Where the curve rises steeply
 * between two values tried, its shape there is not known, and the interval includes both.
 */
struct wg_interval wg_curve_interval(const struct wg_curve *curve, const struct wg_curve_value *value,
                                     const struct wg_curve_limits *limits, double below, double above);
/**
 * Computes by how much one success more than expected at each value moves the crossing (0 at values not used). Returns
 * the variance of the crossing if all trials are independent; infinity without information.
 */
double wg_curve_influence(const struct wg_curve *curve, const struct wg_curve_value *value, int n,
                          double influence[WG_CURVE_MAX_VALUES]);
/** Returns where isotonic regression (pool adjacent violators), linear in between, reaches `wanted`; NaN if nowhere. */
double wg_isotonic_crossing(const struct wg_curve_value *value, int n, double wanted);

/** Trials and successes of one animal at each value. */
struct wg_curve_animal {
    int n[WG_CURVE_MAX_VALUES], hits[WG_CURVE_MAX_VALUES];
};
/** Returns the standard deviation sigma of the intercepts of animals, by maximum likelihood given the curve of the mean. */
double wg_curve_spread(const struct wg_curve *curve, const struct wg_curve_value *value,
                       const struct wg_curve_animal *animal, int n_animals);
/** Returns the crossing of the mean over the luckier (harder) half of animals: those with intercepts above (below) 0. */
double wg_curve_crossing_of_half(const struct wg_curve *curve, double spread, bool is_luckier);

#endif
