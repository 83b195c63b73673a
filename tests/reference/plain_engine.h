/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The cohort model in plain C: what a careful C programmer writes first.
 *
 * GSL's binomial sampler and Mersenne Twister; the gamma distribution function once per cohort and step, where larvae
 * feed twice, and cached; no tables of it; one draw for deaths and one for exits. No weather and housing: the hours
 * are given. It shares with the engine the parameters (species/) and the growth curve of the average larva, but no
 * line of src/colony. It is the reference of the engine for results and for speed.
 *
 * One place with one or two bins of the recorded temperature; of the keeper's actions starters of eggs and larvae,
 * feeding, collecting crawl-off, egg traps and pulling them. Effects of heaters, lamps and power cuts are in the
 * hours; no wild flies, no raids.
 */
#ifndef WG_TESTS_PLAIN_ENGINE_H
#define WG_TESTS_PLAIN_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

#include <gsl/gsl_rng.h>

#define PLAIN_MAX_BINS 2

/** Results; totals are over all days. */
struct plain_outcome {
    int n_days, n_generations;
    int64_t *count;                  /* [day][stage], at the end of the day */
    int64_t *by_generation;          /* [day][stage][generation] */
    int64_t *in_traps;               /* [day]: eggs in traps at the end of the day */
    int64_t *in_bin[PLAIN_MAX_BINS]; /* [day]: larvae */
    int64_t dead[WG_N_CAUSES];
    int64_t eggs_laid, eggs_trapped, emerged, crawled;
    double crawled_kg, eaten_kg;
    int64_t cohort_steps; /* cohorts times steps */
    int64_t evaluations;  /* evaluations of a distribution function */
};

/** Allocates for a plan's outcome; exits the program without memory. */
void plain_outcome_init(struct plain_outcome *outcome, const struct wg_plan *plan);
void plain_outcome_free(struct plain_outcome *outcome);

/**
 * Simulates one replicate in the given hours, which must cover the plan. Exits the program on what it does not
 * support.
 */
void plain_run(const struct wg_plan *plan, const struct wg_cohort_growth *growth, const struct recorded_hours *hours,
               gsl_rng *rng, struct plain_outcome *outcome);

#endif
