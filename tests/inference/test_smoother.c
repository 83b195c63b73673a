/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the ensemble smoother against posteriors known in closed form, and its parts against hand-made cases.
 */
#include "base/elementary.h"
#include "base/random.h"
#include "inference/scores.h"
#include "inference/smoother.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- parts ---- */

/* Phi^-1 of 0.1, 0.4, 0.4 and 0.8 (any table of the normal distribution): 1 is below four of five, 2 ties share a rank. */
Test(smoother, scores_are_normal_deviates_of_ranks) {
    double values[] = {3, 1, 2, 5, 2}, sorted[5];
    wg_scores(values, 5, sorted);
    cr_expect_float_eq(values[1], -1.2816, 1e-4, "lowest: (0 + 1) / 2 of 5");
    cr_expect_float_eq(values[2], -0.2533, 1e-4, "tied: (1 + 3) / 2 of 5");
    cr_expect_float_eq(values[4], -0.2533, 1e-4);
    cr_expect_float_eq(values[0], 0.5244, 1e-4, "(3 + 4) / 2 of 5");
    cr_expect_float_eq(wg_score_of(sorted, 5, 9), 1.2816, 1e-4, "beyond the sample: its end");
    cr_expect_eq(wg_value_of_score(sorted, 5, 0), 2, "the middle of 1 2 2 3 5");
    cr_expect_eq(wg_value_of_score(sorted, 5, 9), 5);
}

Test(smoother, covariance_within_groups_leaves_the_groups_out) {
    /* two groups far apart, in each the deviations -1, 1 and -2, 2: products 2 + 2 + 2 + 2, over 4 - 2 */
    const double a[] = {9, 11, -101, -99}, b[] = {-2, 2, 48, 52};
    cr_expect_float_eq(wg_covariance(a, b, 4, 2), 4, 1e-12);
    cr_expect_float_eq(wg_covariance(a, a, 4, 4), 2 * (54 * 54 + 56 * 56) / 3.0, 1e-9, "about the mean of -45");
}

Test(smoother, distance_is_that_of_mahalanobis) {
    double matrix[] = {4, 0, 0, 9}, vector[] = {2, 3};
    cr_assert_eq(wg_cholesky(matrix, 2, NULL), 0);
    cr_expect_float_eq(wg_squared_distance(matrix, 2, vector), 2, 1e-12, "one standard deviation each");
}

/* ---- a linear model ---- */

/*
 * Causes x1, x2, x3 ~ N(0, 1); noted are x1 + e and x1 + x2 + e, with luck and errors e ~ N(0, s2 = 0.25). Closed form:
 * precision I + H'H / s2, H = (1 0 0; 1 1 0), mean = its inverse H'y / s2. x3 stays N(0, 1).
 */
#define MEMBERS 1024
#define M 3
#define S 0.5

static void simulate(const double *x, gsl_rng *rng, double *simulated) {
    for (int64_t k = 0; k < MEMBERS * M; k++) {
        const double x1 = x[k / M], x2 = x[MEMBERS + k / M];
        simulated[k] = x1 + S * wg_normal(rng);
        simulated[MEMBERS * M + k] = x1 + x2 + S * wg_normal(rng);
    }
}

static double mean_of_row(const double *x) {
    double sum = 0;
    for (int k = 0; k < MEMBERS; k++)
        sum += x[k] / MEMBERS;
    return sum;
}

/* Moves an ensemble by two notes in so many passes. */
static void fit_linear(int passes, const double noted[2], double *x, uint64_t seed) {
    double *const simulated = calloc(2 * MEMBERS * M, sizeof *simulated);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, seed, 0, WG_PURPOSE_PARAMETERS);
    for (int k = 0; k < 3 * MEMBERS; k++)
        x[k] = wg_normal(rng);
    for (int pass = 0; pass < passes; pass++) {
        struct wg_smoother s;
        simulate(x, rng, simulated);
        cr_assert_eq(wg_smoother_init(&s, 2, MEMBERS, M, NULL), 0);
        cr_assert_eq(wg_smoother_take(&s, simulated, noted, NULL), 0);
        wg_smoother_move(&s, passes, x, 3, rng);
        wg_smoother_free(&s);
    }
    gsl_rng_free(rng);
    free(simulated);
}

static void check_linear(int passes, uint64_t seed) {
    const double noted[2] = {0.8, -0.5};
    /* precision (9 4 0; 4 5 0; 0 0 1), its inverse (5 -4; -4 9) / 29, H'y / s2 = (1.2, -2.0) */
    const double mean[3] = {(5 * 1.2 + 4 * 2.0) / 29, (-4 * 1.2 - 9 * 2.0) / 29, 0};
    const double variance[3] = {5.0 / 29, 9.0 / 29, 1};
    double *const x = calloc(3 * MEMBERS, sizeof *x);
    fit_linear(passes, noted, x, seed);
    for (int i = 0; i < 3; i++) {
        const double found = wg_covariance(x + i * MEMBERS, x + i * MEMBERS, MEMBERS, MEMBERS);
        /*
         * A mean of 1,024 has sd 0.03 of that of the posterior, a gain from 1,024 members 0.03 of the prior's: 0.15 is more
         * than 4 sd in all. A variance has 0.04 and the ridge of 2 %; 0.2 of it is more than 4 sd.
         */
        cr_expect_float_eq(mean_of_row(x + i * MEMBERS), mean[i], 0.15, "%d passes, mean of x%d: %g, not %g", passes,
                           i + 1, mean_of_row(x + i * MEMBERS), mean[i]);
        cr_expect_float_eq(found, variance[i], 0.2 * variance[i], "%d passes, variance of x%d: %g, not %g", passes,
                           i + 1, found, variance[i]);
    }
    free(x);
}

Test(smoother, one_pass_finds_the_posterior_of_a_linear_model) {
    check_linear(1, 1);
}

/* Shares that add up to 1 use the notes once: the same posterior. */
Test(smoother, several_passes_find_the_same) {
    check_linear(3, 2);
    check_linear(6, 3);
}

/*
 * Perturbed observations whose mean is zero (Burgers, van Leeuwen & Evensen 1998, Mon. Weather Rev. 126:1719) leave the mean of
 * the ensemble to least squares: it moves by cov(x, d) / (var d + (a - 1 / m) W) times the note less the mean of d, here
 * computed by hand for one note, whatever the random numbers are.
 */
Test(smoother, the_mean_moves_by_least_squares_whatever_the_noise) {
    enum { FEW = 40, COLUMNS = FEW * M };
    const double noted = 1, a = 2;
    double x[FEW], d[FEW] = {0}, score[COLUMNS], sorted[COLUMNS], simulated[COLUMNS];
    for (int k = 0; k < COLUMNS; k++) {
        x[k / M] = sin(k / M);
        simulated[k] = score[k] = 2 * sin(k / M) + 0.5 * cos(7 * k);
    }
    wg_scores(score, COLUMNS, sorted);
    for (int k = 0; k < COLUMNS; k++)
        d[k / M] += score[k] / M;
    double mean_x = 0, mean_d = 0, var_d = 0, cov = 0, within = 0;
    for (int i = 0; i < FEW; i++) {
        mean_x += x[i] / FEW;
        mean_d += d[i] / FEW;
    }
    for (int i = 0; i < FEW; i++) {
        var_d += (d[i] - mean_d) * (d[i] - mean_d) / (FEW - 1);
        cov += (x[i] - mean_x) * (d[i] - mean_d) / (FEW - 1);
    }
    for (int k = 0; k < COLUMNS; k++)
        within += (score[k] - d[k / M]) * (score[k] - d[k / M]) / (COLUMNS - FEW);
    within = 0.02 + (1 + 1.0 / (COLUMNS - FEW)) * within; /* the two ridges of smoother.c */
    const double y = wg_score_of(sorted, COLUMNS, noted);
    const double moved = mean_x + cov / (var_d + (a - 1.0 / M) * within) * (y - mean_d);
    for (uint64_t seed = 1; seed <= 3; seed++) {
        double found = 0, ensemble[FEW];
        struct wg_smoother s;
        gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
        wg_rng_start(rng, seed, 0, WG_PURPOSE_PARAMETERS);
        memcpy(ensemble, x, sizeof x);
        cr_assert_eq(wg_smoother_init(&s, 1, FEW, M, NULL), 0);
        cr_assert_eq(wg_smoother_take(&s, simulated, &noted, NULL), 0);
        wg_smoother_move(&s, a, ensemble, 1, rng);
        for (int i = 0; i < FEW; i++)
            found += ensemble[i] / FEW;
        cr_expect_float_eq(found, moved, 1e-9, "seed %d: %.12g, not %.12g", (int)seed, found, moved);
        wg_smoother_free(&s);
        gsl_rng_free(rng);
    }
}

/* A note far outside what any member leads to moves them no farther than the ends of what was simulated. */
Test(smoother, a_wild_note_does_not_throw_the_ensemble_away) {
    double *const x = calloc(3 * MEMBERS, sizeof *x);
    fit_linear(1, (const double[2]){1e9, 1e9}, x, 4);
    for (int k = 0; k < 3 * MEMBERS; k++)
        cr_assert_lt(fabs(x[k]), 10, "%g", x[k]);
    free(x);
}

/* ---- luck ---- */

/*
 * Within a member the noted thing is luck l + error, l ~ N(0, 1), error ~ N(0, 0.5^2); the value is l. Closed form: given a
 * note y, l ~ N(y / 1.25, 0.2).
 */
Test(smoother, luck_is_corrected_as_two_normal_variables_are) {
    const int64_t columns = MEMBERS * M;
    const double noted = 1.5;
    double *const simulated = calloc((size_t)columns, sizeof *simulated), *const value =
                                                                              calloc((size_t)columns, sizeof *value);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    struct wg_smoother s;
    double mean = 0;
    wg_rng_start(rng, 5, 0, WG_PURPOSE_PARAMETERS);
    for (int64_t k = 0; k < columns; k++) {
        value[k] = wg_normal(rng);
        simulated[k] = value[k] + 0.5 * wg_normal(rng);
    }
    cr_assert_eq(wg_smoother_init(&s, 1, MEMBERS, M, NULL), 0);
    cr_assert_eq(wg_smoother_take(&s, simulated, &noted, NULL), 0);
    wg_smoother_correct(&s, value, 1);
    for (int64_t k = 0; k < columns; k++)
        mean += value[k] / (double)columns;
    /* sd of the mean 0.45 / sqrt(3072) = 0.01, of the regression 0.02 x 1.5, and the ridge of 2 %: 0.1; of the variance 3 % */
    cr_expect_float_eq(mean, noted / 1.25, 0.1, "%g", mean);
    cr_expect_float_eq(wg_covariance(value, value, columns, columns), 0.2, 0.03);
    wg_smoother_free(&s);
    gsl_rng_free(rng);
    free(value);
    free(simulated);
}
