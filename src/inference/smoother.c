/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Moves an ensemble by noted things.
 *
 *   D: scores of what was simulated, averaged over each member's replicates; W = L L'
 *   directions V: the first eigenvectors of cov(L^-1 D); z = V' L^-1 D, with variances s
 *   x += cov(x, z) (s + a - 1 / m)^-1 (z of the notes + e - z),  e ~ N(0, a - 1 / m)
 *   for luck, within members: t += cov(t, d) W^-1 (y - d)
 */
#include "inference/smoother.h"

#include "base/random.h"
#include "inference/scores.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_RIDGE 0.02 /* of the variance of a score, 1: things that never vary have none (judgement) */
#define TURNS 60         /* of the orthogonal iteration: the first directions differ in variance by far */
#define NOISES 32        /* rows of noise that measure the narrowing: their mean is then known to 2 % */
#define CLEARLY 1.2      /* a direction is kept if it varies by so much more than luck alone can (judgement) */

/* ---- parts ---- */

static double row_mean(const double *values, int64_t n) {
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += values[k];
    return sum / (double)n;
}

static double products_of(const double *a, const double *b, int64_t n) {
    const double mean_a = row_mean(a, n), mean_b = row_mean(b, n);
    double sum = 0;
    for (int64_t k = 0; k < n; k++)
        sum += (a[k] - mean_a) * (b[k] - mean_b);
    return sum;
}

double wg_covariance(const double *a, const double *b, int64_t columns, int64_t group) {
    double sum = 0;
    wg_assert(group >= 2 && columns % group == 0);
    for (int64_t k = 0; k < columns; k += group)
        sum += products_of(a + k, b + k, group);
    return sum / (double)(columns - columns / group);
}

/* Row by row (Golub & Van Loan 2013, Matrix Computations, section 4.2), in one order everywhere: the page must answer alike. */
int wg_cholesky(double *matrix, int n, struct wg_error *err) {
    const size_t width = (size_t)n;
    for (size_t i = 0; i < width; i++)
        for (size_t j = 0; j <= i; j++) {
            double rest = matrix[i * width + j];
            for (size_t k = 0; k < j; k++)
                rest -= matrix[i * width + k] * matrix[j * width + k];
            if (i == j && !(rest > 0))
                return wg_fail(err, WG_ERR_INTERNAL, NULL, "A covariance of the fit is not positive definite.");
            matrix[i * width + j] = i == j ? sqrt(rest) : rest / matrix[j * width + j];
        }
    return 0;
}

/* Solves L w = v for all columns in place. */
static void solve_lower(const double *factor, int n, int64_t columns, double *v) {
    for (int i = 0; i < n; i++) {
        const double *const row = factor + (size_t)i * (size_t)n;
        for (int j = 0; j < i; j++)
            for (int64_t k = 0; k < columns; k++)
                v[i * columns + k] -= row[j] * v[j * columns + k];
        for (int64_t k = 0; k < columns; k++)
            v[i * columns + k] /= row[i];
    }
}

/* Solves L' w = v for all columns in place. */
static void solve_upper(const double *factor, int n, int64_t columns, double *v) {
    for (int i = n - 1; i >= 0; i--) {
        for (int j = i + 1; j < n; j++)
            for (int64_t k = 0; k < columns; k++)
                v[i * columns + k] -= factor[(size_t)j * (size_t)n + (size_t)i] * v[j * columns + k];
        for (int64_t k = 0; k < columns; k++)
            v[i * columns + k] /= factor[(size_t)i * (size_t)n + (size_t)i];
    }
}

double wg_squared_distance(const double *factor, int n, double *vector) {
    double sum = 0;
    solve_lower(factor, n, 1, vector);
    for (int i = 0; i < n; i++)
        sum += vector[i] * vector[i];
    return sum;
}

/* ---- memory ---- */

static double *alloc_table(int64_t rows, int64_t columns) {
    return calloc((size_t)(rows * columns), sizeof(double));
}

int wg_smoother_init(struct wg_smoother *s, int n, int64_t members, int64_t m, struct wg_error *err) {
    const int k = n < WG_SMOOTHER_DIRECTIONS ? n : WG_SMOOTHER_DIRECTIONS;
    wg_assert(n >= 1 && m >= 2);
    *s = (struct wg_smoother){.n = n,
                              .members = members,
                              .m = m,
                              .columns = members * m,
                              .score = alloc_table(n, members * m),
                              .y = alloc_table(n, 1),
                              .factor = alloc_table(n, n),
                              .along = alloc_table(k, members),
                              .y_along = alloc_table(k, 1),
                              .white = alloc_table(n, members),
                              .covariance = alloc_table(n, n),
                              .direction = alloc_table(k, n),
                              .next = alloc_table(k, n),
                              .sorted = alloc_table(members, m),
                              .scratch = alloc_table(members, m)};
    if (s->score == NULL || s->y == NULL || s->factor == NULL || s->along == NULL || s->y_along == NULL ||
        s->white == NULL || s->covariance == NULL || s->direction == NULL || s->next == NULL || s->sorted == NULL ||
        s->scratch == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

void wg_smoother_free(struct wg_smoother *s) {
    double *const owned[] = {s->score,      s->y,         s->factor, s->along,  s->y_along, s->white,
                             s->covariance, s->direction, s->next,   s->sorted, s->scratch};
    for (size_t i = 0; i < sizeof owned / sizeof *owned; i++)
        free(owned[i]);
    *s = (struct wg_smoother){.n = 0};
}

/* ---- the notes ---- */

static void take_scores(struct wg_smoother *s, const double *simulated, const double *noted) {
    memcpy(s->score, simulated, (size_t)(s->n * s->columns) * sizeof *simulated);
    for (int j = 0; j < s->n; j++) {
        wg_scores(s->score + j * s->columns, s->columns, s->sorted);
        s->y[j] = wg_score_of(s->sorted, s->columns, noted[j]);
    }
}

/* Factors W. The ridge grows with n: chance correlations of many things would be taken for real. */
static int factor_within(struct wg_smoother *s, struct wg_error *err) {
    const double ridge = s->n / (double)(s->columns - s->members);
    for (int i = 0; i < s->n; i++)
        for (int j = 0; j <= i; j++) {
            const double w = wg_covariance(s->score + i * s->columns, s->score + j * s->columns, s->columns, s->m);
            s->factor[(size_t)i * (size_t)s->n + (size_t)j] = s->factor[(size_t)j * (size_t)s->n + (size_t)i] =
                i == j ? LEAST_RIDGE + (1 + ridge) * w : w;
        }
    return wg_cholesky(s->factor, s->n, err);
}

/* Makes members' means white, less their mean over members; y likewise. */
static void whiten(struct wg_smoother *s, double *y) {
    for (int j = 0; j < s->n; j++) {
        double *const white = s->white + j * s->members;
        for (int64_t i = 0; i < s->members; i++)
            white[i] = row_mean(s->score + j * s->columns + i * s->m, s->m);
        const double mean = row_mean(white, s->members);
        for (int64_t i = 0; i < s->members; i++)
            white[i] -= mean;
        y[j] = s->y[j] - mean;
    }
    solve_lower(s->factor, s->n, s->members, s->white);
    solve_lower(s->factor, s->n, 1, y);
}

/* ---- directions ---- */

static double dot(const double *a, const double *b, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Makes the k rows orthonormal (modified Gram and Schmidt). A row that others span becomes 0. */
static void orthonormalise(double *rows, int k, int n) {
    for (int i = 0; i < k; i++) {
        double *const row = rows + (size_t)i * (size_t)n;
        const double before = dot(row, row, n);
        for (int j = 0; j < i; j++) {
            const double *const other = rows + (size_t)j * (size_t)n;
            const double share = dot(row, other, n);
            for (int l = 0; l < n; l++)
                row[l] -= share * other[l];
        }
        const double left = dot(row, row, n), scale = left > 1e-24 * before ? 1 / sqrt(left) : 0;
        for (int l = 0; l < n; l++)
            row[l] *= scale;
    }
}

/* Multiplies each of k rows by the symmetric matrix. */
static void multiply_rows(const double *matrix, const double *rows, int k, int n, double *out) {
    for (int i = 0; i < k; i++)
        for (int l = 0; l < n; l++)
            out[(size_t)i * (size_t)n + (size_t)l] =
                dot(matrix + (size_t)l * (size_t)n, rows + (size_t)i * (size_t)n, n);
}

/* Finds the first eigenvectors of the covariance of the white means (orthogonal iteration). Returns how many were sought. */
static int find_directions(struct wg_smoother *s) {
    const int n = s->n, k = n < WG_SMOOTHER_DIRECTIONS ? n : WG_SMOOTHER_DIRECTIONS;
    for (int i = 0; i < n; i++)
        for (int j = 0; j <= i; j++)
            s->covariance[(size_t)i * (size_t)n + (size_t)j] = s->covariance[(size_t)j * (size_t)n + (size_t)i] =
                wg_covariance(s->white + i * s->members, s->white + j * s->members, s->members, s->members);
    /* begin with rows of the matrix, evenly over the notes */
    for (int i = 0; i < k; i++)
        memcpy(s->direction + (size_t)i * (size_t)n, s->covariance + (size_t)(i * n / k) * (size_t)n,
               (size_t)n * sizeof *s->direction);
    orthonormalise(s->direction, k, n);
    for (int turn = 0; turn < TURNS; turn++) {
        multiply_rows(s->covariance, s->direction, k, n, s->next);
        memcpy(s->direction, s->next, (size_t)k * (size_t)n * sizeof *s->next);
        orthonormalise(s->direction, k, n);
    }
    multiply_rows(s->covariance, s->direction, k, n, s->next);
    return k;
}

/* Keeps the directions in which members differ by more than the largest that luck alone has (Marchenko & Pastur 1967). */
static void keep_directions(struct wg_smoother *s, int sought, const double *y) {
    const double root = 1 + sqrt((double)s->n / (double)s->members), luck = CLEARLY * root * root / (double)s->m;
    s->k = 0;
    for (int i = 0; i < sought; i++) {
        const double *const v = s->direction + (size_t)i * (size_t)s->n;
        const double strength = dot(v, s->next + (size_t)i * (size_t)s->n, s->n);
        if (strength <= luck)
            continue;
        double *const along = s->along + s->k * s->members;
        memset(along, 0, (size_t)s->members * sizeof *along);
        for (int j = 0; j < s->n; j++)
            for (int64_t c = 0; c < s->members; c++)
                along[c] += v[j] * s->white[j * s->members + c];
        s->y_along[s->k] = dot(v, y, s->n);
        s->strength[s->k++] = strength;
    }
}

int wg_smoother_take(struct wg_smoother *s, const double *simulated, const double *noted, struct wg_error *err) {
    take_scores(s, simulated, noted);
    const int code = factor_within(s, err);
    if (code < 0)
        return code;
    double *const y = s->scratch; /* columns >= 2 members; n may be larger */
    double *const whitened = s->n <= s->columns ? y : alloc_table(s->n, 1);
    if (whitened == NULL)
        return wg_no_memory(err, NULL);
    whiten(s, whitened);
    keep_directions(s, find_directions(s), whitened);
    if (whitened != y)
        free(whitened);
    return 0;
}

/* ---- moving ---- */

/* Moves one row of causes; misfit [k][members]. */
static void move_row(const struct wg_smoother *s, double a, const double *misfit, double *x, double *moved) {
    memcpy(moved, x, (size_t)s->members * sizeof *x);
    for (int i = 0; i < s->k; i++) {
        const double gain = wg_covariance(x, s->along + i * s->members, s->members, s->members) /
                            (s->strength[i] + a - 1 / (double)s->m);
        for (int64_t c = 0; c < s->members; c++)
            moved[c] += gain * misfit[i * s->members + c];
    }
}

/* Returns the factor by which noise, which the notes say nothing about, is narrower after a move. */
static double narrowing(const struct wg_smoother *s, double a, const double *misfit, gsl_rng *rng, double *noise) {
    double before = 0, after = 0, *const moved = noise + s->members;
    for (int i = 0; i < NOISES; i++) {
        for (int64_t c = 0; c < s->members; c++)
            noise[c] = wg_normal(rng);
        move_row(s, a, misfit, noise, moved);
        before += wg_covariance(noise, noise, s->members, s->members);
        after += wg_covariance(moved, moved, s->members, s->members);
    }
    return sqrt(after / before);
}

void wg_smoother_move(struct wg_smoother *s, double a, double *x, int p, gsl_rng *rng) {
    double *const misfit = s->white, *const moved = s->scratch; /* k <= n rows; columns >= 2 members */
    const double error = sqrt(a - 1 / (double)s->m);
    for (int i = 0; i < s->k; i++) {
        double *const row = misfit + i * s->members;
        for (int64_t c = 0; c < s->members; c++)
            row[c] = error * wg_normal(rng);
        const double mean = row_mean(row, s->members);
        for (int64_t c = 0; c < s->members; c++)
            row[c] += s->y_along[i] - mean - s->along[i * s->members + c];
    }
    const double wider = 1 / narrowing(s, a, misfit, rng, s->scratch);
    for (int i = 0; i < p; i++) {
        double *const row = x + i * s->members;
        move_row(s, a, misfit, row, moved);
        const double mean = row_mean(moved, s->members);
        for (int64_t c = 0; c < s->members; c++)
            row[c] = mean + wider * (moved[c] - mean);
    }
}

/* ---- luck ---- */

void wg_smoother_correct(struct wg_smoother *s, double *values, int rows) {
    double *const scores = s->scratch;
    /* covariances with d before d becomes W^-1 (y - d): s->white holds nothing any more */
    for (int i = 0; i < rows; i++) {
        double *const row = values + i * s->columns;
        memcpy(scores, row, (size_t)s->columns * sizeof *row);
        wg_scores(scores, s->columns, s->sorted);
        for (int j = 0; j < s->n; j++)
            s->covariance[j] = wg_covariance(scores, s->score + j * s->columns, s->columns, s->m);
        solve_lower(s->factor, s->n, 1, s->covariance);
        solve_upper(s->factor, s->n, 1, s->covariance);
        for (int j = 0; j < s->n; j++)
            for (int64_t c = 0; c < s->columns; c++)
                scores[c] += s->covariance[j] * (s->y[j] - s->score[j * s->columns + c]);
        for (int64_t c = 0; c < s->columns; c++)
            row[c] = wg_value_of_score(s->sorted, s->columns, scores[c]);
    }
}
