/**
 * The same animals one at a time: every egg, larva, prepupa, pupa and fly is a record of its own that draws its own
 * need of development, and its own death every step.
 *
 * A laboratory with feed for all, where larvae of one age weigh alike and none go dormant; the hours are given. It
 * stands for what the cohorts stand for, and shows what they save.
 */
#ifndef WG_TESTS_INDIVIDUAL_ENGINE_H
#define WG_TESTS_INDIVIDUAL_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

#include <gsl/gsl_rng.h>

#define INDIVIDUALS_MOST_BINS 2

struct individual_outcome {
    int64_t in_bin[INDIVIDUALS_MOST_BINS]; /* larvae at the end */
    int64_t count[WG_N_STAGES];            /* at the end */
    int64_t eggs_laid, emerged, crawled;
    int64_t individual_steps; /* how often an individual was asked whether it dies or is done */
};

/**
 * `days` days of a plan with one bin or two, alike in all, at plan->steps_per_day, its starters of eggs and larvae in on the first day, at
 * most `room` individuals at a time. Ends the program beyond.
 */
void individuals_live(const struct wg_plan *plan, const struct recorded_hours *hours, int days, int64_t capacity,
                      gsl_rng *rng, struct individual_outcome *outcome);

#endif
