/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What does the average larva of a cohort weigh, and how much does it gain in a step?
 *
 *     mean(x) = E[G(x/D) | D > x],   D ~ the larva's stage clock
 *     reached(x + dx) = stay mean(x + dx) + (1 - stay),   stay = S(x + dx)/S(x),   gain = reached(x + dx) - mean(x)
 *                     = mean(x) + integral of S(y) A(y) dy / S(x),   A(y) = E[G'(y/D)/D | D > y]
 *
 * Each larva grows with its own development x/D, so that fast and slow ones all
 * leave full-grown. (Derived. With one curve G(x) for all, fast larvae would leave
 * half-grown and slow ones would stop eating early, which keepers do not see.)
 * The expectations are Gauss-Legendre quadratures over ln D, on which the density is nearly symmetric and the growth
 * curves of fast and slow larvae are equally wide. The table is interpolated linearly.
 */
#include "base/elementary.h"
#include "species/growth.h"
#include "species/survival_curve.h"

#include <math.h>
#include <stdlib.h>

static const double top_x = 3.0; /* beyond, almost no larva remains and the curves are flat */
static const int per_unit = 128; /* nodes per unit of x: interpolation error below 3e-4 of the final mass */
/* Quadrature error of the mean: below 1e-7 for spreads up to 0.22, below 4e-5 for the widest that may be set. */
enum { POINTS = 32 };

struct quadrature {
    double at[POINTS], weight[POINTS]; /* over 0..1 */
};

/*
 * The integral over D runs from `near` to `far`: below lie e^-30 of all larvae, above e^-30 of those still in the
 * stage.
 */
static const double negligible = 30.0;

struct integration_range {
    struct wg_gamma gamma;
    double step; /* of the search for the ends */
    double near, far;
};

static struct integration_range need_of(const struct wg_clock *clock) {
    struct integration_range need = {.gamma = wg_gamma_of(clock->a), .step = 0.25 / sqrt(clock->a), .near = 1e-6};
    while (wg_clock_log_survival(clock, need.near + need.step) > -wg_exp(-negligible))
        need.near += need.step;
    need.far = need.near;
    return need;
}

/* Constants of the growth curve of growth.c, G = K g0 exp(r x) / (K - g0 + g0 exp(r x)). */
struct logistic {
    double g0, limit, rate;
};

static struct logistic logistic_of(const struct wg_species *species) {
    const double g0 = species->hatch_mass_g / species->final_mass_g, rate = species->growth_rate;
    return (struct logistic){.g0 = g0, .limit = g0 * wg_expm1(rate) / (g0 * wg_exp(rate) - 1.0), .rate = rate};
}

static void fill_growth_node(struct wg_cohort_growth *growth, int i, const struct logistic *curve,
                             const struct integration_range *need, double log_s, const struct quadrature *rule) {
    const double x = (double)i / growth->per_step, k = need->gamma.k, capacity = curve->limit - curve->g0;
    const double from = wg_log(fmax(x, need->near)), width = wg_log(need->far) - from;
    const double log_front = need->gamma.log_top + k + wg_log(k) - log_s;
    double mean = 0.0, slope = 0.0, weight = 0.0;
    for (int j = 0; j < POINTS; j++) {
        const double log_d = from + width * rule->at[j], d = wg_exp(log_d);
        const double p = rule->weight[j] * wg_exp(log_front + k * (log_d - d)); /* density x d, as d ln D = dD/D */
        const double rise = curve->g0 * wg_exp(curve->rate * x / d);
        weight += p;
        mean += p * curve->limit * rise / (capacity + rise);
        slope += p * curve->limit * rise * capacity * curve->rate / ((capacity + rise) * (capacity + rise) * d);
    }
    growth->mean[i] = mean / weight;
    growth->appetite[i] = slope / weight;
}

static void fill_growth_table(struct wg_cohort_growth *growth, const struct wg_species *species,
                              const struct wg_clock *larva, const struct quadrature *rule) {
    const struct logistic curve = logistic_of(species);
    struct integration_range need = need_of(larva);
    for (int i = 0; i < growth->n; i++) {
        const double log_s = wg_clock_log_survival(larva, (double)i / growth->per_step);
        while (wg_clock_log_survival(larva, need.far) > log_s - negligible)
            need.far += need.step;
        fill_growth_node(growth, i, &curve, &need, log_s, rule);
    }
}

/* Replaces A(x) by A(x + ahead) S(x + ahead)/S(x). In place, ascending: it reads only nodes not yet overwritten. */
static void shift_to_gain(struct wg_cohort_growth *growth, const struct wg_clock *larva, double ahead) {
    for (int i = 0; i < growth->n; i++) {
        const double x = (double)i / growth->per_step;
        const double stay = wg_exp(wg_clock_log_survival(larva, x + ahead) - wg_clock_log_survival(larva, x));
        growth->appetite[i] = stay * wg_cohort_appetite(growth, x + ahead);
    }
}

int wg_cohort_growth_init(struct wg_cohort_growth *growth, const struct wg_species *species,
                          const struct wg_clock *larva, double ahead, struct wg_error *err) {
    struct quadrature rule;
    *growth = (struct wg_cohort_growth){.n = (int)(top_x * per_unit) + 2, .per_step = per_unit};
    growth->mean = malloc((size_t)growth->n * sizeof *growth->mean);
    growth->appetite = malloc((size_t)growth->n * sizeof *growth->appetite);
    if (growth->mean == NULL || growth->appetite == NULL) {
        wg_cohort_growth_free(growth);
        return wg_no_memory(err, NULL);
    }
    wg_gauss_legendre(POINTS, rule.at, rule.weight);
    fill_growth_table(growth, species, larva, &rule);
    shift_to_gain(growth, larva, ahead);
    return 0;
}

void wg_cohort_growth_free(struct wg_cohort_growth *growth) {
    free(growth->mean);
    free(growth->appetite);
    growth->mean = growth->appetite = NULL;
    growth->n = 0;
}

/* Linear interpolation; constant beyond both ends. */
static inline double interpolate_table(const struct wg_cohort_growth *growth, const double *table, double x) {
    const double position = x * growth->per_step;
    if (!(position > 0.0)) {
        return table[0];
    }
    if (position >= growth->n - 1) {
        return table[growth->n - 1];
    }
    const int i = (int)position;
    return table[i] + (table[i + 1] - table[i]) * (position - i);
}

double wg_cohort_mean_share(const struct wg_cohort_growth *growth, double x) {
    return interpolate_table(growth, growth->mean, x);
}

double wg_cohort_appetite(const struct wg_cohort_growth *growth, double x) {
    return interpolate_table(growth, growth->appetite, x);
}
