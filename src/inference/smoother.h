/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An ensemble smoother: moves an ensemble of causes until what they lead to is what was noted.
 *
 * Each member of the ensemble is a column of coordinates and leads to m replicates of n noted things, which differ by luck.
 * Noted things enter as normal scores (scores.h). Their covariance within members, W, is that of luck and errors: of the
 * directions that W makes white, those are kept in which members differ by more than luck. Along them the causes take a
 * linear update (Evensen & van Leeuwen 2000, Mon. Weather Rev. 128:1852) by a share 1 / a of the notes; several passes,
 * each simulated anew, whose shares add up to 1, use the notes once (multiple data assimilation: Emerick & Reynolds 2013,
 * Comput. Geosci. 55:3). All members keep the same weight, so the ensemble cannot collapse on a few. A finite ensemble
 * takes chance correlations for real and narrows; noise that has nothing to do with the notes measures by how much, and
 * the ensemble is widened again (Evensen 2009, IEEE Control Syst. 29:83). Exact for linear models with normal errors and a
 * large ensemble.
 *
 * Tables are [row][column].
 */
#ifndef WG_INFERENCE_SMOOTHER_H
#define WG_INFERENCE_SMOOTHER_H

#include "base/error.h"

#include <gsl/gsl_rng.h>
#include <stdint.h>

#define WG_SMOOTHER_DIRECTIONS 24 /* at most (judgement: logs of a bench differ in five to ten) */

struct wg_smoother {
    int n;
    int64_t members, m, columns; /* columns = members m; the replicates of a member are neighbours */
    int k;                       /* directions kept */
    double *score, *y;           /* [n][columns], [n]: scores of what was simulated, and noted */
    double *factor;              /* [n][n]: Cholesky factor of W */
    double *along, *y_along;     /* [k][members], [k]: members' means and notes along the directions, less the mean */
    double strength[WG_SMOOTHER_DIRECTIONS]; /* variance of the members along them; that of luck and errors is 1 */
    double *white, *covariance, *direction, *next; /* scratch [n][members], [n][n], [k][n], [k][n] */
    double *sorted, *scratch;                      /* [columns] */
};
/** Allocates. m >= 2. Returns 0 or WG_ERR_MEMORY; free in every case. */
int wg_smoother_init(struct wg_smoother *s, int n, int64_t members, int64_t m, struct wg_error *err);
void wg_smoother_free(struct wg_smoother *s);

/** Takes what was simulated, errors of noting included, [n][columns], and what was noted. Returns 0 or WG_ERR_INTERNAL. */
int wg_smoother_take(struct wg_smoother *s, const double *simulated, const double *noted, struct wg_error *err);
/** Moves the coordinates x [p][members] by a share 1 / a, a >= 1, of the notes. */
void wg_smoother_move(struct wg_smoother *s, double a, double *x, int p, gsl_rng *rng);
/**
 * Corrects quantities of the same replicates [rows][columns] for luck that the notes tell: causes are taken to be what the
 * notes say already. Values stay within those simulated. Overwrites the scores.
 */
void wg_smoother_correct(struct wg_smoother *s, double *values, int rows);

/* ---- its parts ---- */

/**
 * Returns the covariance of two rows within groups of `group` consecutive columns (a divisor of `columns`, >= 2), pooled
 * over the groups: group = columns is the ordinary covariance.
 */
double wg_covariance(const double *a, const double *b, int64_t columns, int64_t group);
/** Replaces a positive definite n x n matrix by its Cholesky factor (lower triangle). Returns 0 or WG_ERR_INTERNAL. */
int wg_cholesky(double *matrix, int n, struct wg_error *err);
/** Returns the squared length of a vector of n in the metric of the matrix whose factor is given; overwrites it. */
double wg_squared_distance(const double *factor, int n, double *vector);

#endif
