/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The sampler on densities whose moments are known, and the measures of mixing on series whose answer is known.
 */
#include "calibration/sampler.h"

#include <criterion/criterion.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum { N = 4 };

static const double centre[N] = {1.0, -2.0, 0.0, 3.0};
/* Lower factor of the covariance: scales from 0.1 to 3, correlations to 0.95. */
static const double factor[N][N] = {{1.0, 0, 0, 0}, {2.85, 0.94, 0, 0}, {0.02, -0.05, 0.084, 0}, {0.5, 0.0, -0.5, 0.7}};

/* Solves factor y = x - centre: the log density is -|y|^2/2. */
static double normal_density(void *self, const double *x, double enough) {
    (void)self;
    (void)enough;
    double y[N], sum = 0.0;
    for (int i = 0; i < N; i++) {
        y[i] = x[i] - centre[i];
        for (int j = 0; j < i; j++)
            y[i] -= factor[i][j] * y[j];
        y[i] /= factor[i][i];
        sum -= 0.5 * y[i] * y[i];
    }
    return sum;
}

static double covariance_of(int i, int j) {
    double sum = 0.0;
    for (int k = 0; k < N; k++)
        sum += factor[i][k] * factor[j][k];
    return sum;
}

/* A series' effective number of values, from its column of the chain. */
static double column_size(const struct chain *chain, int i, double *store) {
    for (int64_t k = 0; k < chain->kept; k++)
        store[k] = chain->state[k * N + i];
    const double *const value[1] = {store};
    return effective_size(1, chain->kept, value);
}

/* Fixed seed; with 4.5 standard errors the 14 moments fail together with probability below 1e-4. */
Test(sampler, a_normal_gives_its_mean_and_covariance) {
    const struct target target = {.n = N, .log_density = normal_density};
    const struct chain_plan plan = {.steps = 400000, .warmup = 50000, .thin = 10, .seed = 5};
    const double start[N] = {8.0, 8.0, 8.0, 8.0};
    struct chain chain;
    cr_assert(chain_run(&chain, &target, &plan, start));
    cr_assert_eq(chain.kept, plan.steps / plan.thin);
    cr_expect(chain.accepted > 0.2 && chain.accepted < 0.5, "%g accepted", chain.accepted);
    double *const store = calloc((size_t)chain.kept, sizeof(double)), size[N], mean[N];
    for (int i = 0; i < N; i++) {
        size[i] = column_size(&chain, i, store);
        mean[i] = 0.0;
        for (int64_t k = 0; k < chain.kept; k++)
            mean[i] += store[k] / (double)chain.kept;
        cr_expect_geq(size[i], 3000.0, "number %d: effective size %g", i, size[i]);
        const double error = sqrt(covariance_of(i, i) / size[i]);
        cr_expect_float_eq(mean[i], centre[i], 4.5 * error, "mean %d: %g", i, mean[i]);
    }
    for (int i = 0; i < N; i++)
        for (int j = 0; j <= i; j++) {
            double sum = 0.0;
            for (int64_t k = 0; k < chain.kept; k++)
                sum += (chain.state[k * N + i] - mean[i]) * (chain.state[k * N + j] - mean[j]) / (double)chain.kept;
            const double c = covariance_of(i, j), both = covariance_of(i, i) * covariance_of(j, j);
            const double error = sqrt((both + c * c) / fmin(size[i], size[j]));
            cr_expect_float_eq(sum, c, 4.5 * error, "covariance %d, %d: %g, not %g", i, j, sum, c);
        }
    free(store);
    chain_free(&chain);
}

/* A target that stops early may only be refused: the same chain as one that computes everything. */
static double early_density(void *self, const double *x, double enough) {
    const double whole = normal_density(self, x, enough);
    return whole < enough ? enough - 1.0 : whole;
}

Test(sampler, stopping_early_changes_nothing) {
    const struct chain_plan plan = {.steps = 2000, .warmup = 500, .thin = 1, .seed = 9};
    const struct target whole = {.n = N, .log_density = normal_density}, early = {.n = N, .log_density = early_density};
    struct chain a, b;
    cr_assert(chain_run(&a, &whole, &plan, centre));
    cr_assert(chain_run(&b, &early, &plan, centre));
    for (int64_t i = 0; i < a.kept * N; i++)
        cr_assert_eq(a.state[i], b.state[i]);
    chain_free(&a);
    chain_free(&b);
}

enum { LENGTH = 40000, CHAINS = 4 };

/* x' = phi x + noise has (1 - phi)/(1 + phi) as many effective values (Priestley 1981, Spectral Analysis, MEMORY). */
static void fill_autoregression(double *value, double phi, double shift, unsigned long seed) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, seed);
    double x = gsl_ran_ugaussian(rng);
    for (int i = 0; i < LENGTH; i++) {
        x = phi * x + sqrt(1 - phi * phi) * gsl_ran_ugaussian(rng);
        value[i] = x + shift;
    }
    gsl_rng_free(rng);
}

Test(sampler, the_effective_size_of_autoregressions_is_known) {
    static double store[CHAINS][LENGTH];
    const double *const value[CHAINS] = {store[0], store[1], store[2], store[3]};
    static const double phis[] = {0.0, 0.5, 0.9};
    for (int k = 0; k < 3; k++) {
        for (int c = 0; c < CHAINS; c++)
            fill_autoregression(store[c], phis[k], 0.0, 11 + (unsigned long)c);
        const double known = (double)CHAINS * LENGTH * (1 - phis[k]) / (1 + phis[k]);
        const double found = effective_size(CHAINS, LENGTH, value);
        cr_expect_float_eq(found, known, 0.1 * known, "phi %g: %g, not %g", phis[k], found, known);
        cr_expect_leq(r_hat(CHAINS, LENGTH, value), 1.002);
    }
}

Test(sampler, chains_in_different_places_are_noticed) {
    static double store[CHAINS][LENGTH];
    const double *const value[CHAINS] = {store[0], store[1], store[2], store[3]};
    for (int c = 0; c < CHAINS; c++)
        fill_autoregression(store[c], 0.5, c == 0 ? 1.0 : 0.0, 21 + (unsigned long)c);
    /* between-chain variance 1/4, within 1: R-hat = sqrt(1 + 2/7) if all halves count */
    cr_expect_geq(r_hat(CHAINS, LENGTH, value), 1.08);
    cr_expect_leq(effective_size(CHAINS, LENGTH, value), 200.0);
}
