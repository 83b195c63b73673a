/*
 * Computes elementary effects and variance shares of a function.
 *
 *   effect       (y(x + 2/3 in input i) - y(x)) / (2/3)
 *   first order  mean(y_B (y_ABi - y_A)) / V
 *   total        mean((y_A - y_ABi)^2) / (2 V)
 *
 * A and B are the two halves of the Sobol' points, ABi is A with input i from B. Sources:
 * Morris 1991, Technometrics 33:161; Campolongo, Cariboni & Saltelli 2007, Environ.
 * Model. Softw. 22:1509; Saltelli et al. 2010, Comput. Phys. Commun. 181:259;
 * Jansen 1999, Comput. Phys. Commun. 117:35.
 */
#include "analysis/sensitivity.h"
#include "base/random.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BOOTSTRAPS 500
#define LEVELS 4
#define STEP (2.0 / 3.0) /* levels / (2 (levels - 1)) */

/* ---- elementary effects ---- */

/* Draws a random permutation (Fisher & Yates). */
static void shuffle(gsl_rng *rng, int n, int *order) {
    for (int i = 0; i < n; i++)
        order[i] = i;
    for (int i = n - 1; i > 0; i--) {
        const int j = (int)(wg_uniform(rng) * (i + 1)), swap = order[i];
        order[i] = order[j];
        order[j] = swap;
    }
}

/* Draws a start on the grid, then moves one input after the other by the step, up or down. */
static void draw_walk(gsl_rng *rng, int d, const int *order, double *x) {
    for (int i = 0; i < d; i++)
        x[i] = floor(wg_uniform(rng) * LEVELS) / (LEVELS - 1);
    for (int k = 0; k < d; k++) {
        double *const next = x + (ptrdiff_t)(k + 1) * d;
        memcpy(next, next - d, (size_t)d * sizeof *x);
        next[order[k]] += next[order[k]] < 0.5 ? STEP : -STEP;
    }
}

static void accumulate_effect(struct wg_effect *effect, double value) {
    effect->mean += value;
    effect->mean_size += fabs(value);
    effect->sd += value * value;
}

static void finish_effect(struct wg_effect *effect, int n) {
    effect->mean /= n;
    effect->mean_size /= n;
    effect->sd = n > 1 ? sqrt(fmax(0, (effect->sd - n * effect->mean * effect->mean) / (n - 1))) : 0;
}

static void add_walk_effects(int d, const int *order, const double *x, const double *y, struct wg_effect *effect) {
    for (int k = 0; k < d; k++) {
        const ptrdiff_t from = (ptrdiff_t)k * d + order[k];
        accumulate_effect(&effect[order[k]], (y[k + 1] - y[k]) / (x[from + d] - x[from]));
    }
}

int wg_effects(const struct wg_study *study, int walks, uint64_t seed, struct wg_effect *effect, struct wg_error *err) {
    const int d = study->n_inputs;
    wg_assert(d >= 1 && walks >= 1);
    const size_t points = (size_t)walks * (size_t)(d + 1);
    double *const x = calloc(points * (size_t)d, sizeof *x), *const y = calloc(points, sizeof *y);
    int *const order = calloc((size_t)walks * (size_t)d, sizeof *order);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    int code = x == NULL || y == NULL || order == NULL || rng == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        wg_rng_start(rng, seed, 0, WG_PURPOSE_PARAMETERS);
        for (int w = 0; w < walks; w++) {
            shuffle(rng, d, order + (ptrdiff_t)w * d);
            draw_walk(rng, d, order + (ptrdiff_t)w * d, x + (ptrdiff_t)w * (d + 1) * d);
        }
        code = study->evaluate(study->self, (int64_t)points, x, y, err);
    }
    memset(effect, 0, (size_t)d * sizeof *effect);
    for (int w = 0; w < walks && code == 0; w++)
        add_walk_effects(d, order + (ptrdiff_t)w * d, x + (ptrdiff_t)w * (d + 1) * d, y + (ptrdiff_t)w * (d + 1),
                         effect);
    for (int i = 0; i < d && code == 0; i++)
        finish_effect(&effect[i], walks);
    if (rng != NULL)
        gsl_rng_free(rng);
    free(order);
    free(y);
    free(x);
    return code;
}

/* ---- shares of the variance ---- */

/* Points and function values; block 0 is A, 1 is B, 2 + i is A with input i from B. */
struct sample_table {
    int d;
    int64_t n;
    double *x, *y; /* [block][n][d], [block][n] */
};

static double *sample_point(const struct sample_table *t, int block, int64_t row) {
    return t->x + ((ptrdiff_t)block * t->n + row) * t->d;
}

static double y_of(const struct sample_table *t, int block, int64_t row) {
    return t->y[(ptrdiff_t)block * t->n + row];
}

static int fill_sobol_points(struct sample_table *t) {
    gsl_qrng *const sobol = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)(2 * t->d));
    if (sobol == NULL)
        return -1;
    double point[2 * WG_MAX_SHARED_INPUTS];
    for (int64_t k = 0; k < t->n; k++) {
        (void)gsl_qrng_get(sobol, point);
        memcpy(sample_point(t, 0, k), point, (size_t)t->d * sizeof *point);
        memcpy(sample_point(t, 1, k), point + t->d, (size_t)t->d * sizeof *point);
        for (int i = 0; i < t->d; i++) {
            memcpy(sample_point(t, 2 + i, k), point, (size_t)t->d * sizeof *point);
            sample_point(t, 2 + i, k)[i] = point[t->d + i];
        }
    }
    gsl_qrng_free(sobol);
    return 0;
}

/* Computes mean and variance of A and B together; `row` selects the base points (NULL: each once). */
static void sample_moments(const struct sample_table *t, const int64_t *row, double *mean, double *variance) {
    struct wg_sum sum = {0}, squares = {0};
    for (int64_t k = 0; k < 2 * t->n; k++)
        wg_sum_add(&sum, y_of(t, (int)(k % 2), row != NULL ? row[k / 2] : k / 2));
    *mean = wg_sum_total(&sum) / (double)(2 * t->n);
    for (int64_t k = 0; k < 2 * t->n; k++) {
        const double off = y_of(t, (int)(k % 2), row != NULL ? row[k / 2] : k / 2) - *mean;
        wg_sum_add(&squares, off * off);
    }
    *variance = wg_sum_total(&squares) / (double)(2 * t->n - 1);
}

static void shares_of(const struct sample_table *t, const int64_t *row, int i, double mean, double variance,
                      double *first, double *total) {
    struct wg_sum alone = {0}, all = {0};
    for (int64_t k = 0; k < t->n; k++) {
        const int64_t at = row != NULL ? row[k] : k;
        const double a = y_of(t, 0, at), b = y_of(t, 1, at), ab = y_of(t, 2 + i, at);
        wg_sum_add(&alone, (b - mean) * (ab - a));
        wg_sum_add(&all, (a - ab) * (a - ab));
    }
    *first = wg_sum_total(&alone) / (double)t->n / variance;
    *total = wg_sum_total(&all) / (double)(2 * t->n) / variance;
}

static double correlation(const struct sample_table *t, int i, double mean, double variance) {
    struct wg_sum product = {0}, x_sum = {0}, x_squares = {0};
    for (int64_t k = 0; k < 2 * t->n; k++) {
        const double x = sample_point(t, (int)(k % 2), k / 2)[i] - 0.5;
        wg_sum_add(&x_sum, x);
        wg_sum_add(&x_squares, x * x);
        wg_sum_add(&product, x * (y_of(t, (int)(k % 2), k / 2) - mean));
    }
    const double n = (double)(2 * t->n), x_mean = wg_sum_total(&x_sum) / n;
    const double x_variance = wg_sum_total(&x_squares) / n - x_mean * x_mean;
    return wg_sum_total(&product) / n / sqrt(x_variance * variance);
}

/* Computes 95 % bootstrap intervals of the shares by resampling base points. `resampled` is scratch. */
static void bootstrap(const struct sample_table *t, gsl_rng *rng, int64_t *row, double *resampled,
                      struct wg_variance_share *share) {
    for (int b = 0; b < BOOTSTRAPS; b++) {
        for (int64_t k = 0; k < t->n; k++)
            row[k] = (int64_t)(wg_uniform(rng) * (double)t->n);
        double mean, variance;
        sample_moments(t, row, &mean, &variance);
        for (int i = 0; i < t->d; i++)
            shares_of(t, row, i, mean, variance, &resampled[2 * i * BOOTSTRAPS + b],
                      &resampled[(2 * i + 1) * BOOTSTRAPS + b]);
    }
    for (int i = 0; i < 2 * t->d; i++) {
        double *const values = resampled + (ptrdiff_t)i * BOOTSTRAPS;
        wg_sort(values, BOOTSTRAPS);
        *(i % 2 == 0 ? &share[i / 2].first_range : &share[i / 2].total_range) = (struct wg_interval){
            wg_quantile_sorted(values, BOOTSTRAPS, 0.025), wg_quantile_sorted(values, BOOTSTRAPS, 0.975)};
    }
}

static int bootstrap_shares(const struct sample_table *t, uint64_t seed, struct wg_variance_share *share, double *mean,
                            double *variance) {
    int64_t *const row = calloc((size_t)t->n, sizeof *row);
    double *const resampled = calloc((size_t)(2 * t->d) * BOOTSTRAPS, sizeof *resampled);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    const int code = row == NULL || resampled == NULL || rng == NULL ? -1 : 0;
    if (code == 0) {
        sample_moments(t, NULL, mean, variance);
        for (int i = 0; i < t->d; i++) {
            shares_of(t, NULL, i, *mean, *variance, &share[i].first, &share[i].total);
            share[i].slope = correlation(t, i, *mean, *variance);
        }
        wg_rng_start(rng, seed, 1, WG_PURPOSE_PARAMETERS);
        bootstrap(t, rng, row, resampled, share);
    }
    if (rng != NULL)
        gsl_rng_free(rng);
    free(resampled);
    free(row);
    return code;
}

int wg_variance_shares(const struct wg_study *study, int64_t n, uint64_t seed, struct wg_variance_share *share,
                       double *mean, double *variance, struct wg_error *err) {
    wg_assert(study->n_inputs >= 1 && study->n_inputs <= WG_MAX_SHARED_INPUTS && n >= 2);
    struct sample_table t = {.d = study->n_inputs, .n = n};
    const size_t points = (size_t)n * (size_t)(t.d + 2);
    t.x = calloc(points * (size_t)t.d, sizeof *t.x);
    t.y = calloc(points, sizeof *t.y);
    int code = t.x == NULL || t.y == NULL || fill_sobol_points(&t) < 0 ? wg_no_memory(err, NULL) : 0;
    if (code == 0)
        code = study->evaluate(study->self, (int64_t)points, t.x, t.y, err);
    if (code == 0 && bootstrap_shares(&t, seed, share, mean, variance) < 0)
        code = wg_no_memory(err, NULL);
    free(t.y);
    free(t.x);
    return code;
}
