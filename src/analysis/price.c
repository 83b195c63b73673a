/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds what an extra kg costs: the ratio R = mean(cost) / mean(mass) of two paired differences. Fieller's limits are the
 * R at which mean(cost) - R mean(mass) is t standard errors from 0 (Fieller 1954, J. R. Stat. Soc. B 16:175).
 */
#include "analysis/compare.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

/* A replicate that buys energy without a price has no cost (NaN). */
static bool lacks_price(const struct wg_priced *of) {
    for (int64_t k = 0; k < of->n; k++)
        if (isnan(of->cost[0][k]) || isnan(of->cost[1][k]))
            return true;
    return false;
}

/* Returns Student's quantile for the mean of the differences; NaN for fewer than two. */
static double quantile_of_confidence(const struct wg_difference *d, double confidence) {
    return d->freedom > 0 ? gsl_cdf_tdist_Pinv((1 + confidence) / 2, d->freedom) : (double)NAN;
}

/* Solves a R^2 - 2 b R + c = 0; a > 0 because the mass differs significantly from 0. `cov` is that of the two means. */
static struct wg_interval fieller(const struct wg_difference *cost, const struct wg_difference *kg, double cov,
                                  double t) {
    const double a = kg->mean * kg->mean - t * t * kg->error * kg->error, b = cost->mean * kg->mean - t * t * cov;
    const double c = cost->mean * cost->mean - t * t * cost->error * cost->error;
    const double root = sqrt(fmax(b * b - a * c, 0));
    return (struct wg_interval){(b - root) / a, (b + root) / a};
}

static double covariance_of_means(const struct wg_priced *of, double mean_cost, double mean_kg) {
    struct wg_sum both = {0};
    for (int64_t k = 0; k < of->n; k++)
        wg_sum_add(&both, (of->cost[1][k] - of->cost[0][k] - mean_cost) * (of->kg[1][k] - of->kg[0][k] - mean_kg));
    return wg_sum_total(&both) / (double)(of->n - 1) / (double)of->n;
}

/* In cells: var(x + y) = var x + var y + 2 cov, x and y in units of their own errors. */
static int clustered_covariance(const struct wg_priced *of, const struct wg_difference *cost,
                                const struct wg_difference *kg, double *cov, struct wg_error *err) {
    struct wg_split_value *const values = calloc((size_t)of->n, sizeof *values);
    struct wg_variance_split sum;
    *cov = 0;
    const bool vary = cost->error > 0 && kg->error > 0;
    int code = values == NULL ? wg_no_memory(err, NULL) : 0;
    for (int64_t k = 0; k < of->n && code == 0 && vary; k++) {
        values[k] = of->cells[k];
        values[k].value = (of->cost[1][k] - of->cost[0][k]) / cost->error + (of->kg[1][k] - of->kg[0][k]) / kg->error;
    }
    if (code == 0 && vary)
        code = wg_variance_split(&sum, values, of->n, WG_SPLIT_AMOUNT, of->confidence, err);
    if (code == 0 && vary)
        *cov = fmin(fmax((sum.error * sum.error - 2) / 2, -1), 1) * cost->error * kg->error;
    free(values);
    return code;
}

/* Fieller's limits exist only if Student's interval excludes 0. */
static bool is_significant(const struct wg_difference *kg, double confidence) {
    return kg->mean > quantile_of_confidence(kg, confidence) * kg->error;
}

static enum wg_extra_status extra_status(const struct wg_priced *of, const struct wg_difference *cost,
                                         const struct wg_difference *kg) {
    if (!(kg->interval.low > 0 && is_significant(kg, of->confidence)))
        return WG_EXTRA_NONE;
    if (lacks_price(of))
        return WG_EXTRA_NO_PRICE;
    return cost->mean > 0 ? WG_EXTRA_PRICED : WG_EXTRA_FREE;
}

int wg_price_of(struct wg_extra_price *price, const struct wg_priced *of, const struct wg_difference *cost,
                const struct wg_difference *kg, struct wg_error *err) {
    const double none = (double)NAN;
    *price = (struct wg_extra_price){extra_status(of, cost, kg), none, {none, none}};
    if (price->why != WG_EXTRA_PRICED)
        return 0;
    double cov = covariance_of_means(of, cost->mean, kg->mean);
    const int code = of->cells != NULL ? clustered_covariance(of, cost, kg, &cov, err) : 0;
    price->per_kg = cost->mean / kg->mean;
    price->interval = fieller(cost, kg, cov, quantile_of_confidence(kg, of->confidence));
    return code;
}
