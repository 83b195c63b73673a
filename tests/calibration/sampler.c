/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Adaptive Metropolis: the proposal is normal around the state, its covariance that of the chain so far.
 *
 *     x' ~ N(x, s (C + e I)),   s = 2.38^2 / n          Haario, Saksman & Tamminen 2001, Bernoulli 7:223
 *
 * The scale is that of Gelman, Roberts & Gilks 1996 (Bayesian Statistics 5:599, MEMORY). Normals come from GSL's ratio
 * method, whose results are quotients of uniforms, and logarithms are the model's own, so that a seed gives the same chain
 * with every C library and processor.
 */
#include "calibration/sampler.h"

#include "base/elementary.h"

#include <gsl/gsl_matrix.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum {
    RENEW = 1000,
    LEARN = 2
}; /* steps between two factors of the covariance, and between two states it learns from */
enum { STATES_PER_NUMBER = 40 }; /* as many make a covariance: with fewer the chain can stick in a direction for long */

static const double ridge = 1e-6;
static const double first_sd = 0.25; /* of the proposal, before there is a covariance */

struct adaptation {
    int n;
    int64_t seen;
    double *mean;
    gsl_matrix *scatter; /* sum of squares about the mean, lower triangle */
    gsl_matrix *factor;  /* of the proposal, transposed: row j is what deviate j moves */
    double *off;         /* scratch */
};

static bool adaptation_new(struct adaptation *adaptation, int n) {
    const size_t size = (size_t)n;
    *adaptation = (struct adaptation){.n = n,
                                      .mean = calloc(size, sizeof(double)),
                                      .scatter = gsl_matrix_calloc(size, size),
                                      .factor = gsl_matrix_alloc(size, size),
                                      .off = calloc(size, sizeof(double))};
    if (adaptation->mean == NULL || adaptation->scatter == NULL || adaptation->factor == NULL ||
        adaptation->off == NULL)
        return false;
    gsl_matrix_set_identity(adaptation->factor);
    gsl_matrix_scale(adaptation->factor, first_sd * 2.38 / sqrt((double)n));
    return true;
}

static void adaptation_free(struct adaptation *adaptation) {
    free(adaptation->mean);
    free(adaptation->off);
    gsl_matrix_free(adaptation->scatter);
    gsl_matrix_free(adaptation->factor);
}

/* Welford's recursion, for a vector. */
static void learn(struct adaptation *adaptation, const double *x) {
    const int n = adaptation->n;
    double *const off = adaptation->off;
    const double share = 1.0 / (double)++adaptation->seen;
    for (int i = 0; i < n; i++)
        off[i] = x[i] - adaptation->mean[i];
    for (int i = 0; i < n; i++) {
        double *const row = gsl_matrix_ptr(adaptation->scatter, (size_t)i, 0);
        const double weight = off[i] * (1.0 - share);
        for (int j = 0; j <= i; j++)
            row[j] += weight * off[j];
    }
    for (int i = 0; i < n; i++)
        adaptation->mean[i] += share * off[i];
}

/* What was learnt on the way in says little about the place itself. */
static void forget(struct adaptation *adaptation) {
    adaptation->seen = 0;
    gsl_matrix_set_zero(adaptation->scatter);
    for (int i = 0; i < adaptation->n; i++)
        adaptation->mean[i] = 0.0;
}

/* Cholesky's factor of the lower triangle, in place, row by row: the same bits with every version of GSL. */
static void factorise(gsl_matrix *matrix, int n) {
    for (int i = 0; i < n; i++) {
        double *const row = gsl_matrix_ptr(matrix, (size_t)i, 0);
        for (int j = 0; j <= i; j++) {
            const double *const other = gsl_matrix_const_ptr(matrix, (size_t)j, 0);
            double sum = row[j];
            for (int k = 0; k < j; k++)
                sum -= row[k] * other[k];
            row[j] = j < i ? sum / other[j] : sqrt(fmax(sum, ridge * ridge));
        }
    }
}

static void renew_proposal(struct adaptation *adaptation) {
    const int n = adaptation->n;
    if (adaptation->seen < STATES_PER_NUMBER * n)
        return;
    const double scale = 2.38 * 2.38 / n;
    gsl_matrix_memcpy(adaptation->factor, adaptation->scatter);
    gsl_matrix_scale(adaptation->factor, scale / (double)(adaptation->seen - 1));
    gsl_matrix_add_diagonal(adaptation->factor, scale * ridge);
    factorise(adaptation->factor, n);
    gsl_matrix_transpose(adaptation->factor);
}

static void propose(const struct adaptation *adaptation, gsl_rng *rng, const double *x, double *to) {
    const int n = adaptation->n;
    for (int i = 0; i < n; i++)
        to[i] = x[i];
    for (int j = 0; j < n; j++) {
        const double *const row = gsl_matrix_const_ptr(adaptation->factor, (size_t)j, 0);
        const double deviate = gsl_ran_gaussian_ratio_method(rng, 1.0);
        for (int i = j; i < n; i++)
            to[i] += row[i] * deviate;
    }
}

/* The walk itself; `to` is scratch. */
static void walk(struct chain *chain, const struct target *target, const struct chain_plan *plan, gsl_rng *rng,
                 struct adaptation *adaptation, double *x, double *to) {
    const int n = target->n;
    int64_t accepted = 0;
    double now = target->log_density(target->self, x, -HUGE_VAL);
    for (int64_t step = -plan->warmup; step < plan->steps; step++) {
        propose(adaptation, rng, x, to);
        const double enough = now + wg_log(1.0 - gsl_rng_uniform(rng));
        const double there = target->log_density(target->self, to, enough);
        if (there >= enough) {
            for (int i = 0; i < n; i++)
                x[i] = to[i];
            now = there;
            accepted += step >= 0;
        }
        if (step % LEARN == 0)
            learn(adaptation, x);
        if (step % RENEW == 0)
            renew_proposal(adaptation);
        if (step == -plan->warmup / 2 || step == -plan->warmup / 4)
            forget(adaptation);
        if (step >= 0 && (step + 1) % plan->thin == 0) {
            double *const state = chain->state + chain->kept++ * n;
            for (int i = 0; i < n; i++)
                state[i] = x[i];
        }
    }
    chain->accepted = (double)accepted / (double)plan->steps;
}

bool chain_run(struct chain *chain, const struct target *target, const struct chain_plan *plan, const double *start) {
    const size_t n = (size_t)target->n;
    struct adaptation adaptation;
    *chain = (struct chain){.n = target->n, .state = calloc((size_t)(plan->steps / plan->thin) * n, sizeof(double))};
    double *const both = calloc(2 * n, sizeof(double));
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    const bool made = adaptation_new(&adaptation, target->n) && chain->state != NULL && both != NULL && rng != NULL;
    if (made) {
        gsl_rng_set(rng, plan->seed);
        for (size_t i = 0; i < n; i++)
            both[i] = start[i];
        walk(chain, target, plan, rng, &adaptation, both, both + n);
    }
    adaptation_free(&adaptation);
    gsl_rng_free(rng);
    free(both);
    return made;
}

void chain_free(struct chain *chain) {
    free(chain->state);
    *chain = (struct chain){0};
}

/* ---- mixing ---- */

static double mean_of(const double *value, int64_t n) {
    double sum = 0.0;
    for (int64_t i = 0; i < n; i++)
        sum += value[i];
    return sum / (double)n;
}

/* Autocovariance of a series at a lag, divided by n. */
static double autocovariance(const double *value, int64_t n, double mean, int64_t lag) {
    double sum = 0.0;
    for (int64_t i = 0; i + lag < n; i++)
        sum += (value[i] - mean) * (value[i + lag] - mean);
    return sum / (double)n;
}

/* Mean variance within the series, and the variance that the mixture of all has. */
struct variances {
    double within, all;
};

static struct variances variances_of(int n_series, int64_t n, const double *const *value) {
    double within = 0.0, sum = 0.0, squares = 0.0;
    for (int c = 0; c < n_series; c++) {
        const double mean = mean_of(value[c], n);
        within += autocovariance(value[c], n, mean, 0) * (double)n / (double)(n - 1) / n_series;
        sum += mean;
        squares += mean * mean;
    }
    const double between = n_series > 1 ? (squares - sum * sum / n_series) / (n_series - 1) : 0.0;
    return (struct variances){.within = within, .all = within * (double)(n - 1) / (double)n + between};
}

enum { MOST_SERIES = 32 };

double r_hat(int n_chains, int64_t n, const double *const *value) {
    const double *half[MOST_SERIES];
    for (int c = 0; c < n_chains; c++) {
        half[2 * c] = value[c];
        half[2 * c + 1] = value[c] + n - n / 2;
    }
    const struct variances v = variances_of(2 * n_chains, n / 2, half);
    return sqrt(v.all / v.within);
}

double effective_size(int n_chains, int64_t n, const double *const *value) {
    const struct variances v = variances_of(n_chains, n, value);
    double mean[MOST_SERIES], time = -1.0, least = HUGE_VAL;
    for (int c = 0; c < n_chains; c++)
        mean[c] = mean_of(value[c], n);
    for (int64_t lag = 0; lag + 1 < n; lag += 2) {
        double pair = 0.0;
        for (int64_t k = lag; k < lag + 2; k++) {
            double covariance = 0.0;
            for (int c = 0; c < n_chains; c++)
                covariance += autocovariance(value[c], n, mean[c], k) / n_chains;
            pair += 1.0 - (v.within - covariance) / v.all;
        }
        if (pair <= 0.0)
            break;
        least = fmin(least, pair);
        time += 2.0 * least;
    }
    return (double)n_chains * (double)n / fmax(time, 1.0 / (double)n);
}
