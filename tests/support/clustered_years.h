/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Years of animals and winters from laws whose mean is known, and how often the interval of a split holds it.
 */
#ifndef SUPPORT_CLUSTERED_YEARS_H
#define SUPPORT_CLUSTERED_YEARS_H

#include "analysis/variance_split.h"

#include <gsl/gsl_rng.h>

#define CLUSTERED_MAX 1024 /* years */

/** Where each year stands: sets animal, winter and the weight 1. */
typedef void place_year(struct wg_split_value *v, int64_t k);
/** Blocks of 512 years: 64 animals, each in 8 of 64 winters. */
place_year place_in_lattice;
/** 64 animals in 3 winters, each pair lived often. */
place_year place_in_three_winters;
/** One animal in 3 winters. */
place_year place_one_animal_in_three_winters;

struct year_design {
    const char *name;
    place_year *place;
    int64_t n;
};

/** Standard deviations of animals, of winters, and of pairs of both. */
struct year_effects {
    double animal, winter, both;
};

struct coverage {
    double split, plain; /* share of the trials whose interval holds the truth; of the interval of independent years */
    double width;        /* of the interval, mean */
    int degenerate;      /* intervals of width 0 */
};

/** Years alive: the effects move a probit, so the share is Phi(middle/sqrt(1 + all variances)). */
struct coverage coverage_of_share(const struct year_design *design, const struct year_effects *effects, double share,
                                  int trials, gsl_rng *rng);
/** Differences of years alive in two setups that share the effects and half of the luck. */
struct coverage coverage_of_difference(const struct year_design *design, const struct year_effects *effects,
                                       const double share[2], int trials, gsl_rng *rng);
/** Lognormal amounts; the effects and luck_sd are in the logarithm, the mean is exp(half of all variances). */
struct coverage coverage_of_amount(const struct year_design *design, const struct year_effects *effects, double luck_sd,
                                   int trials, gsl_rng *rng);

/** Fills v with normal values: the effects alone. */
void draw_years(const struct year_design *design, const struct year_effects *effects, struct wg_split_value *v,
                gsl_rng *rng);

#endif
