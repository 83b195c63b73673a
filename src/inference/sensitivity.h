/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Sensitivity analysis: which uncertain numbers of the animal move a plan's answer, and what would narrow it.
 *
 * The plausible animals live the plan, each a few years of the lattice. Their numbers and answers are the sample from which
 * variance_shares.h and measurements.h estimate; no further runs are needed.
 */
#ifndef WG_INFERENCE_SENSITIVITY_H
#define WG_INFERENCE_SENSITIVITY_H

#include "forecast/ensemble.h"
#include "inference/measurements.h"
#include "inference/variance_shares.h"

#define WG_SENSITIVITY_REPLICATES 2048 /* all animals, eight years each */

/** The answer to study. */
enum wg_sensitivity_outcome { WG_SENSITIVITY_CHOOSE, WG_SENSITIVITY_SURVIVAL, WG_SENSITIVITY_CRAWL_OFF };

struct wg_sensitivity_options {
    enum wg_sensitivity_outcome
        outcome;        /* CHOOSE: survival if animals differ in it by more than luck, else crawl-off */
    int64_t replicates; /* at most; at least WG_LATTICE_BLOCK. Used in whole blocks */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

/** A number in which the animals differ. */
struct wg_unknown {
    const struct wg_parameter *parameter;
    double low, high; /* 5 and 95 of 100 animals */
    int group;        /* in shares.share */
    double trend;     /* rank correlation of the number and the answer */
};

struct wg_measurement_gain {
    const struct wg_measurement *measurement;
    struct wg_gain gain;
};

struct wg_measurement_step {
    int measurement;     /* in `measurement` */
    struct wg_gain gain; /* of it and those before it */
};

struct wg_sensitivity {
    enum wg_sensitivity_outcome outcome;
    int64_t replicates;
    int n_animals;
    struct wg_variance_shares shares; /* its `group` and `trend` are in the order of the species table */
    struct wg_gain before;   /* nothing measured: `answer` has 5 to 95 of 100 animals, luck out. Gains are NaN unless
                                         animals differ by more than luck */
    int n_unknowns, n_fixed; /* n_fixed: numbers that are the same in all animals */
    struct wg_unknown unknown[WG_MAX_NUMBERS];                   /* by group, then by the size of the trend */
    int n_measurements;                                          /* that the plan allows */
    struct wg_measurement_gain measurement[WG_MAX_MEASUREMENTS]; /* by descending gain */
    int n_steps; /* the measurements that narrow the answer most, each with those before it */
    struct wg_measurement_step step[WG_MEASUREMENTS_TOGETHER];
};
/**
 * Lives the plan with the plausible animals, whatever plan->animals says, and studies their answers. Numbers that the plan
 * gives are the same in all of them. Returns 0, WG_STOPPED or an error.
 */
int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *sensitivity, struct wg_error *err);
/** Returns the outcome whose mean was studied. */
enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *sensitivity);

#endif
