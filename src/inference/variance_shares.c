/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes variance shares from a given sample.
 *
 *   basis    P1, P2, P3 (Legendre) of the rank, -1..1, of each number of a group
 *   between  variance of the animals' means - mean variance of luck in them
 *   share    (SS - d s^2)/((n - 1) between),  SS: sum of squares of the group's d terms, the leading groups' terms
 *            removed; s^2: residual mean square with them
 *   range    bias-corrected percentiles of a bootstrap over animals
 *
 * Leading groups are chosen one by one, each with the smallest chance that an F this large is accidental, while that is
 * below LEADS. Sources: shares from a given sample by regression, Lewandowski, Cooke & Duintjer Tebbens 2007, ACM Trans.
 * Model. Comput. Simul. 17:1 (MEMORY); subtraction of d s^2, Ezekiel's adjusted R^2 (1930, MEMORY); bias-corrected
 * percentiles, Efron 1981, Can. J. Stat. 9:139 (MEMORY).
 */
#include "inference/variance_shares.h"

#include "base/random.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ORDER 3
#define LEADS 0.001     /* of a hundred numbers without effect one leads in one forecast of ten */
#define LARGEST_GROUP 8 /* n / this: terms that one group may have */
#define LARGEST_MODEL 3 /* n / this: terms that the leading groups may have */
#define RESAMPLES 1000
#define LEAST_NORM 1e-6   /* of a column, after those before it are removed: below, it is one of their sums */
#define LEAST_BETWEEN 0.1 /* of the estimate, in a resample */

struct share_work {
    const struct wg_sample *sample;
    int n, n_groups;
    int member[WG_MAX_NUMBERS], start[WG_MAX_NUMBERS + 1]; /* numbers by group; where each group begins */
    bool leads[WG_MAX_NUMBERS];
    double *basis;     /* [number][ORDER][n] */
    double *column;    /* [term][n]: the model, orthonormal in the weighted animals */
    double *root;      /* [n]: square root of each animal's weight */
    double *y;         /* [n]: answer less its mean, times root */
    double luck;       /* weighted mean */
    double *resampled; /* [estimate][RESAMPLES] */
};

/* ---- groups ---- */

static int compare_ranked(const void *left, const void *right) {
    const double a = **(const double *const *)left, b = **(const double *const *)right;
    return (a > b) - (a < b);
}

/* Sets rank[n] in -1..1, ties sharing their mean. `order` is scratch. */
static void rank_values(const double *x, int n, const double **order, double *rank) {
    for (int a = 0; a < n; a++)
        order[a] = &x[a];
    qsort(order, (size_t)n, sizeof *order, compare_ranked);
    for (int from = 0, to; from < n; from = to) {
        for (to = from; to < n && *order[to] == *order[from];)
            to++;
        for (int i = from; i < to; i++)
            rank[order[i] - x] = (from + to) / (double)n - 1;
    }
}

/* Four sums, which a processor adds at the same time. */
static double product(const double *a, const double *b, int n) {
    double sum[4] = {0};
    int i = 0;
    for (; i + 4 <= n; i += 4)
        for (int k = 0; k < 4; k++)
            sum[k] += a[i + k] * b[i + k];
    for (; i < n; i++)
        sum[0] += a[i] * b[i];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

static double rank_correlation(const double *a, const double *b, int n) {
    return product(a, b, n) / sqrt(product(a, a, n) * product(b, b, n));
}

static const double *ranks_of(const struct share_work *w, int number) {
    return w->basis + (ptrdiff_t)number * ORDER * w->n;
}

/* Groups numbers whose ranks are correlated, also through others; numbers the groups by their first member. */
static void find_groups(struct share_work *w, int *group) {
    const int d = w->sample->n_numbers;
    for (int i = 0; i < d; i++) {
        group[i] = i;
        for (int k = 0; k < i; k++) {
            const int other = group[k], own = group[i];
            if (other == own || fabs(rank_correlation(ranks_of(w, i), ranks_of(w, k), w->n)) <= WG_TIED)
                continue;
            for (int j = 0; j <= i; j++)
                group[j] = group[j] == other || group[j] == own ? (other < own ? other : own) : group[j];
        }
    }
    for (int first = 0; first < d; first++) {
        if (group[first] != first)
            continue;
        w->start[w->n_groups + 1] = w->start[w->n_groups];
        for (int i = first; i < d; i++)
            if (group[i] == first)
                w->member[w->start[w->n_groups + 1]++] = i;
        w->n_groups++;
    }
}

static void fill_basis(struct share_work *w, const double **order) {
    const int n = w->n;
    for (int i = 0; i < w->sample->n_numbers; i++) {
        double *const p1 = w->basis + (ptrdiff_t)i * ORDER * n;
        rank_values(w->sample->x + (ptrdiff_t)i * n, n, order, p1);
        for (int a = 0; a < n; a++) {
            p1[n + a] = (3 * p1[a] * p1[a] - 1) / 2;
            p1[2 * n + a] = (5 * p1[a] * p1[a] - 3) * p1[a] / 2;
        }
    }
}

/* ---- the model ---- */

static double *term_at(const struct share_work *w, int term) {
    return w->column + (ptrdiff_t)term * w->n;
}

/* Adds a column, less its projection on the `terms` before it. Returns the new number of terms. */
static int add_term(struct share_work *w, int terms, const double *values) {
    double *const added = term_at(w, terms);
    for (int a = 0; a < w->n; a++)
        added[a] = values[a] * w->root[a];
    const double whole = product(added, added, w->n);
    for (int k = 0; k < terms; k++) {
        const double *const before = term_at(w, k), along = product(added, before, w->n);
        for (int a = 0; a < w->n; a++)
            added[a] -= along * before[a];
    }
    const double left = product(added, added, w->n);
    if (!(left > LEAST_NORM * LEAST_NORM * whole))
        return terms;
    for (int a = 0; a < w->n; a++)
        added[a] /= sqrt(left);
    return terms + 1;
}

/* Adds a group: a cubic in each number; of a large group a parabola or a line. */
static int add_group_terms(struct share_work *w, int terms, int g) {
    const int n_members = w->start[g + 1] - w->start[g], most = w->n / LARGEST_GROUP, before = terms;
    for (int order = 0; order < ORDER && (order == 0 || n_members * (order + 1) <= most); order++)
        for (int i = w->start[g]; i < w->start[g + 1] && terms - before < most; i++)
            terms = add_term(w, terms, ranks_of(w, w->member[i]) + (ptrdiff_t)order * w->n);
    return terms;
}

/* Builds the model of the mean and the chosen groups, without one of them (-1: all). */
static int build_model(struct share_work *w, const bool *chosen, int without) {
    memcpy(w->column, w->root, (size_t)w->n * sizeof *w->column);
    for (int a = 0; a < w->n; a++)
        w->column[a] /= sqrt(w->n); /* the weights add up to n */
    int terms = 1;
    for (int g = 0; g < w->n_groups; g++)
        if (chosen[g] && g != without)
            terms = add_group_terms(w, terms, g);
    return terms;
}

static double squares_of(const struct share_work *w, int from, int to) {
    double sum = 0;
    for (int k = from; k < to; k++) {
        const double along = product(term_at(w, k), w->y, w->n);
        sum += along * along;
    }
    return sum;
}

/* What the terms from `from` on add to a model. */
struct addition {
    double squares, residual; /* sum of squares; residual mean square of the whole model */
    int terms, freedom;
};

static struct addition addition_of(const struct share_work *w, int from, int to) {
    const double rest = product(w->y, w->y, w->n) - squares_of(w, 1, to);
    return (struct addition){squares_of(w, from, to), fmax(rest, 0) / (w->n - to), to - from, w->n - to};
}

/* Returns the variance that an addition explains, less what as many terms explain by chance. */
static double variance_added(const struct share_work *w, const struct addition *added) {
    return (added->squares - added->terms * added->residual) / (w->n - 1);
}

static double between_of(const struct share_work *w) {
    return product(w->y, w->y, w->n) / (w->n - 1) - w->luck;
}

/* Weights the animals and centres their answers. */
static void weight_animals(struct share_work *w, const int *count) {
    double sum = 0;
    w->luck = 0;
    for (int a = 0; a < w->n; a++) {
        sum += count[a] * w->sample->y[a];
        w->luck += count[a] * w->sample->luck[a] / w->n;
    }
    for (int a = 0; a < w->n; a++) {
        w->root[a] = sqrt(count[a]);
        w->y[a] = w->root[a] * (w->sample->y[a] - sum / w->n);
    }
}

static void choose_leading_groups(struct share_work *w) {
    for (;;) {
        const int terms = build_model(w, w->leads, -1);
        double least = LEADS;
        int best = -1;
        for (int g = 0; g < w->n_groups; g++) {
            const struct addition added = addition_of(w, terms, w->leads[g] ? terms : add_group_terms(w, terms, g));
            if (added.terms == 0 || terms + added.terms > w->n / LARGEST_MODEL)
                continue;
            const double f = added.squares / added.terms / added.residual;
            const double chance = gsl_cdf_fdist_Q(f, added.terms, added.freedom);
            best = chance < least ? g : best;
            least = chance < least ? chance : least;
        }
        if (best < 0)
            return;
        w->leads[best] = true;
    }
}

/* ---- estimates ---- */

static void estimate_shares(struct share_work *w, double between, double *share) {
    for (int g = 0; g < w->n_groups; g++)
        if (w->leads[g]) {
            const int terms = build_model(w, w->leads, g);
            const struct addition added = addition_of(w, terms, add_group_terms(w, terms, g));
            share[g] = variance_added(w, &added) / between;
        }
    const int terms = build_model(w, w->leads, -1);
    for (int g = 0; g < w->n_groups; g++)
        if (!w->leads[g]) {
            const struct addition added = addition_of(w, terms, add_group_terms(w, terms, g));
            share[g] = variance_added(w, &added) / between;
        }
}

static double share_together(struct share_work *w, const bool *chosen, double between) {
    const struct addition all = addition_of(w, 1, build_model(w, chosen, -1));
    return variance_added(w, &all) / between;
}

/*
 * Sets the range of an estimate from its resampled values, which it sorts. Where these are larger than the estimate, because
 * a resample repeats animals and so fits them better, only the lower end is corrected; the upper end then errs upwards.
 */
static void set_range(struct wg_estimate *estimate, double *values) {
    double below = 0.5; /* of RESAMPLES + 1: never none, never all */
    wg_sort(values, RESAMPLES);
    for (int b = 0; b < RESAMPLES; b++)
        below += values[b] < estimate->value ? 1 : values[b] == estimate->value ? 0.5 : 0;
    const double twice_bias = 2 * gsl_cdf_ugaussian_Pinv(below / (RESAMPLES + 1)), z = gsl_cdf_ugaussian_Pinv(0.975);
    estimate->range =
        (struct wg_interval){wg_quantile_sorted(values, RESAMPLES, gsl_cdf_ugaussian_P(fmin(twice_bias, 0) - z)),
                             wg_quantile_sorted(values, RESAMPLES, gsl_cdf_ugaussian_P(fmax(twice_bias, 0) + z))};
}

/* Weights each animal by how often it is drawn. Resample b is the same for every estimate. */
static void resample_animals(struct share_work *w, gsl_rng *rng, uint64_t seed, int b, int *count) {
    wg_rng_start(rng, seed, (uint64_t)b, WG_PURPOSE_PARAMETERS);
    memset(count, 0, (size_t)w->n * sizeof *count);
    for (int a = 0; a < w->n; a++)
        count[(int)(wg_uniform(rng) * w->n)]++;
    weight_animals(w, count);
}

static void bootstrap_shares(struct share_work *w, gsl_rng *rng, uint64_t seed, int *count,
                             struct wg_variance_shares *out) {
    double share[WG_MAX_NUMBERS];
    for (int b = 0; b < RESAMPLES; b++) {
        resample_animals(w, rng, seed, b, count);
        estimate_shares(w, fmax(between_of(w), LEAST_BETWEEN * out->between.value), share);
        for (int g = 0; g < w->n_groups; g++)
            w->resampled[(ptrdiff_t)g * RESAMPLES + b] = share[g];
    }
    for (int g = 0; g < w->n_groups; g++)
        set_range(&out->share[g], w->resampled + (ptrdiff_t)g * RESAMPLES);
}

static void bootstrap_together(struct share_work *w, gsl_rng *rng, uint64_t seed, int *count,
                               struct wg_variance_shares *out) {
    bool chosen[WG_MAX_NUMBERS];
    for (int g = 0; g < w->n_groups; g++)
        chosen[g] = wg_is_above_luck(&out->share[g]);
    out->together.value = share_together(w, chosen, out->between.value);
    for (int b = 0; b < RESAMPLES; b++) {
        resample_animals(w, rng, seed, b, count);
        w->resampled[b] = share_together(w, chosen, fmax(between_of(w), LEAST_BETWEEN * out->between.value));
    }
    set_range(&out->together, w->resampled);
}

static void bootstrap_between(struct share_work *w, gsl_rng *rng, uint64_t seed, int *count,
                              struct wg_variance_shares *out) {
    for (int b = 0; b < RESAMPLES; b++) {
        resample_animals(w, rng, seed, b, count);
        w->resampled[b] = between_of(w);
    }
    set_range(&out->between, w->resampled);
}

/* ---- the answer ---- */

/* Those above luck first, then by share. */
static bool is_ahead(const struct wg_estimate *a, const struct wg_estimate *b) {
    return wg_is_above_luck(a) != wg_is_above_luck(b) ? wg_is_above_luck(a) : a->value > b->value;
}

static void number_groups(const struct share_work *w, struct wg_variance_shares *out) {
    struct wg_estimate sorted[WG_MAX_NUMBERS];
    bool taken[WG_MAX_NUMBERS] = {false};
    for (int rank = 0; rank < w->n_groups; rank++) {
        int best = -1;
        for (int g = 0; g < w->n_groups; g++)
            if (!taken[g] && (best < 0 || is_ahead(&out->share[g], &out->share[best])))
                best = g;
        taken[best] = true;
        sorted[rank] = out->share[best];
        for (int i = w->start[best]; i < w->start[best + 1]; i++)
            out->group[w->member[i]] = rank;
    }
    memcpy(out->share, sorted, (size_t)w->n_groups * sizeof *sorted);
}

static void study_sample(struct share_work *w, gsl_rng *rng, uint64_t seed, int *count,
                         struct wg_variance_shares *out) {
    for (int a = 0; a < w->n; a++)
        count[a] = 1;
    weight_animals(w, count);
    out->mean = w->sample->y[0] - w->y[0];
    out->luck = w->luck;
    out->between.value = between_of(w);
    bootstrap_between(w, rng, seed, count, out);
    if (wg_is_above_luck(&out->between)) {
        for (int a = 0; a < w->n; a++)
            count[a] = 1;
        weight_animals(w, count);
        choose_leading_groups(w);
        double share[WG_MAX_NUMBERS];
        estimate_shares(w, out->between.value, share);
        for (int g = 0; g < w->n_groups; g++)
            out->share[g].value = share[g];
        bootstrap_shares(w, rng, seed, count, out);
        for (int a = 0; a < w->n; a++)
            count[a] = 1;
        weight_animals(w, count);
        bootstrap_together(w, rng, seed, count, out);
    }
    number_groups(w, out);
}

static void find_trends(const struct share_work *w, const double **order, double *rank,
                        struct wg_variance_shares *out) {
    rank_values(w->sample->y, w->n, order, rank);
    for (int i = 0; i < w->sample->n_numbers; i++)
        out->trend[i] = product(rank, rank, w->n) > 0 ? rank_correlation(ranks_of(w, i), rank, w->n) : 0;
}

int wg_variance_shares(const struct wg_sample *sample, uint64_t seed, struct wg_variance_shares *out,
                       struct wg_error *err) {
    const size_t n = (size_t)sample->n, d = (size_t)sample->n_numbers;
    wg_assert(sample->n >= 32 && sample->n_numbers >= 1 && sample->n_numbers <= WG_MAX_NUMBERS);
    struct share_work w = {.sample = sample, .n = sample->n};
    w.basis = calloc(d * ORDER * n, sizeof *w.basis);
    w.column = calloc((n / LARGEST_MODEL + n / LARGEST_GROUP + 2) * n, sizeof *w.column);
    w.root = calloc(n, sizeof *w.root);
    w.y = calloc(n, sizeof *w.y);
    w.resampled = calloc(d * RESAMPLES, sizeof *w.resampled);
    const double **const order = calloc(n, sizeof *order);
    int *const count = calloc(n, sizeof *count);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    const int code = w.basis == NULL || w.column == NULL || w.root == NULL || w.y == NULL || w.resampled == NULL ||
                             order == NULL || count == NULL || rng == NULL
                         ? wg_no_memory(err, NULL)
                         : 0;
    *out = (struct wg_variance_shares){0};
    if (code == 0) {
        fill_basis(&w, order);
        find_trends(&w, order, w.root, out);
        find_groups(&w, out->group);
        out->n_groups = w.n_groups;
        study_sample(&w, rng, seed, count, out);
    }
    if (rng != NULL)
        gsl_rng_free(rng);
    free(count);
    free(order);
    free(w.resampled);
    free(w.y);
    free(w.root);
    free(w.column);
    free(w.basis);
    return code;
}
