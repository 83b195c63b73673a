/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Years of animals and winters from laws whose mean is known.
 */
#include "support/clustered_years.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdbool.h>

/* ---- designs ---- */

void place_in_lattice(struct wg_split_value *v, int64_t k) {
    const int64_t block = k / 512, in = k % 512;
    *v = (struct wg_split_value){0, 1, 64 * block + in % 64, 64 * block + (in % 64 + 9 * (in / 64)) % 64};
}

void place_in_three_winters(struct wg_split_value *v, int64_t k) {
    *v = (struct wg_split_value){0, 1, k % 64, (7 * k / 64 + k) % 3};
}

void place_one_animal_in_three_winters(struct wg_split_value *v, int64_t k) {
    *v = (struct wg_split_value){0, 1, -1, k % 3};
}

/* ---- effects ---- */

/* Deviates of animals, winters and pairs of both; pairs repeat in three winters only. */
struct population {
    double animal[CLUSTERED_MAX], winter[CLUSTERED_MAX], both[64][3];
};

static void draw_population(struct population *p, const struct year_effects *effects, gsl_rng *rng) {
    for (int i = 0; i < CLUSTERED_MAX; i++) {
        p->animal[i] = gsl_ran_gaussian(rng, effects->animal);
        p->winter[i] = gsl_ran_gaussian(rng, effects->winter);
    }
    for (int i = 0; i < 64 * 3; i++)
        p->both[i / 3][i % 3] = gsl_ran_gaussian(rng, effects->both);
}

static double effect_of(const struct population *p, const struct year_design *design,
                        const struct year_effects *effects, const struct wg_split_value *v, gsl_rng *rng) {
    const bool repeats = design->place != place_in_lattice;
    const int64_t animal = v->animal < 0 ? 0 : v->animal;
    const double both = repeats ? p->both[animal][v->winter] : gsl_ran_gaussian(rng, effects->both);
    return (v->animal < 0 ? 0 : p->animal[animal]) + p->winter[v->winter] + both;
}

void draw_years(const struct year_design *design, const struct year_effects *effects, struct wg_split_value *v,
                gsl_rng *rng) {
    static struct population p;
    draw_population(&p, effects, rng);
    for (int64_t k = 0; k < design->n; k++) {
        design->place(&v[k], k);
        v[k].value = effect_of(&p, design, effects, &v[k], rng);
    }
}

/* Of all years of the design: one animal has no variance of its own. */
static double variance_of_effects(const struct year_design *design, const struct year_effects *effects) {
    struct wg_split_value first;
    design->place(&first, 0);
    const double animal = first.animal < 0 ? 0 : effects->animal;
    return animal * animal + effects->winter * effects->winter + effects->both * effects->both;
}

/* ---- coverage ---- */

static bool holds(struct wg_interval interval, double truth) {
    return interval.low <= truth && truth <= interval.high;
}

static void count_interval(struct coverage *c, const struct wg_split_value *v, int64_t n, enum wg_split_kind kind,
                           double truth, int trials) {
    struct wg_variance_split s;
    const int code = wg_variance_split(&s, v, n, kind, 0.95, NULL);
    wg_assert(code == 0);
    c->split += holds(s.interval, truth) / (double)trials;
    c->plain += holds(s.luck, truth) / (double)trials;
    c->width += (s.interval.high - s.interval.low) / trials;
    c->degenerate += !(s.interval.high > s.interval.low);
}

struct coverage coverage_of_share(const struct year_design *design, const struct year_effects *effects, double share,
                                  int trials, gsl_rng *rng) {
    static struct wg_split_value v[CLUSTERED_MAX];
    struct coverage c = {0};
    const double middle = gsl_cdf_ugaussian_Pinv(share) * sqrt(1 + variance_of_effects(design, effects));
    for (int t = 0; t < trials; t++) {
        draw_years(design, effects, v, rng);
        for (int64_t k = 0; k < design->n; k++)
            v[k].value = gsl_rng_uniform(rng) < gsl_cdf_ugaussian_P(middle + v[k].value);
        count_interval(&c, v, design->n, WG_SPLIT_SHARE, share, trials);
    }
    return c;
}

struct coverage coverage_of_difference(const struct year_design *design, const struct year_effects *effects,
                                       const double share[2], int trials, gsl_rng *rng) {
    static struct wg_split_value v[CLUSTERED_MAX];
    struct coverage c = {0};
    const double sd = sqrt(2 + variance_of_effects(design, effects)); /* luck of its own and shared luck */
    const double a = gsl_cdf_ugaussian_Pinv(share[0]) * sd, b = gsl_cdf_ugaussian_Pinv(share[1]) * sd;
    for (int t = 0; t < trials; t++) {
        draw_years(design, effects, v, rng);
        for (int64_t k = 0; k < design->n; k++) {
            const double both = v[k].value + gsl_ran_gaussian(rng, 1);
            v[k].value = (b + both + gsl_ran_gaussian(rng, 1) > 0) - (a + both + gsl_ran_gaussian(rng, 1) > 0);
        }
        count_interval(&c, v, design->n, WG_SPLIT_SHARE_DIFFERENCE, share[1] - share[0], trials);
    }
    return c;
}

struct coverage coverage_of_amount(const struct year_design *design, const struct year_effects *effects, double luck_sd,
                                   int trials, gsl_rng *rng) {
    static struct wg_split_value v[CLUSTERED_MAX];
    struct coverage c = {0};
    const double truth = exp((variance_of_effects(design, effects) + luck_sd * luck_sd) / 2);
    for (int t = 0; t < trials; t++) {
        draw_years(design, effects, v, rng);
        for (int64_t k = 0; k < design->n; k++)
            v[k].value = exp(v[k].value + gsl_ran_gaussian(rng, luck_sd));
        count_interval(&c, v, design->n, WG_SPLIT_AMOUNT, truth, trials);
    }
    return c;
}
