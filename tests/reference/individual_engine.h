/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * An individual-based version of the model: every egg, larva, prepupa, pupa and fly is a record that draws its own
 * need of development, and its own death every step.
 *
 * A laboratory with unlimited feed, where larvae of one age have equal mass and none go dormant; the hours are given.
 * It is the reference for the cohorts, and shows what they save.
 */
#ifndef WG_TESTS_INDIVIDUAL_ENGINE_H
#define WG_TESTS_INDIVIDUAL_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

#include <gsl/gsl_rng.h>

#define INDIVIDUALS_MAX_BINS 2

struct individual_outcome {
    int64_t in_bin[INDIVIDUALS_MAX_BINS]; /* larvae at the end */
    int64_t count[WG_N_STAGES];           /* at the end */
    int64_t eggs_laid, emerged, crawled;
    int64_t individual_steps; /* individuals times steps */
};

/**
 * `days` days of a plan with one or two equal bins, at plan->steps_per_day, with its starters of eggs and larvae on the
 * first day and at most `capacity` individuals at a time. Exits the program beyond that.
 */
void individuals_run(const struct wg_plan *plan, const struct recorded_hours *hours, int days, int64_t capacity,
                     gsl_rng *rng, struct individual_outcome *outcome);

#endif
