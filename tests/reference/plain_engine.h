/**
 * The same cohort model in the plainest way: what a careful C programmer writes first.
 *
 * GSL's binomial sampler and Mersenne twister, the gamma distribution function asked once for a cohort and step, where
 * larvae feed twice, and kept; no tables of it, one draw for deaths and one for those who are done. It knows nothing of weather and housing: the hours
 * are given. It shares with the engine the numbers of the animal (species/) and the growth curve of the average larva,
 * but no line of src/colony. It serves as the engine's yardstick, for what comes out and for the time it takes.
 *
 * One place with one bin or two, both as warm as the recorded one; of the keeper's actions starters of eggs and larvae, feeding, collecting crawl-off, egg traps
 * and pulling them. What heaters, lamps and power cuts do is in the hours; no wild flies, no raids.
 */
#ifndef WG_TESTS_PLAIN_ENGINE_H
#define WG_TESTS_PLAIN_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

#include <gsl/gsl_rng.h>

#define PLAIN_MOST_BINS 2

/** What came of it; the totals are over all days. */
struct plain_outcome {
    int n_days, n_generations;
    int64_t *count;                   /* [day][stage], at the end of the day */
    int64_t *by_generation;           /* [day][stage][generation] */
    int64_t *in_traps;                /* [day]: of the eggs, those in traps at the end of the day */
    int64_t *in_bin[PLAIN_MOST_BINS]; /* [day]: larvae */
    int64_t dead[WG_N_CAUSES];
    int64_t eggs_laid, eggs_trapped, emerged, crawled;
    double crawled_kg, eaten_kg;
    int64_t cohort_steps; /* how often a cohort was asked who dies and who is done */
    int64_t asked;        /* how often a distribution function was */
};

/** Memory for a plan's outcome; ends the program without. */
void plain_outcome_init(struct plain_outcome *outcome, const struct wg_plan *plan);
void plain_outcome_free(struct plain_outcome *outcome);

/** One replicate in the given hours, which must cover the plan's days. Ends the program on what it does not know. */
void plain_live(const struct wg_plan *plan, const struct wg_cohort_growth *growth, const struct recorded_hours *hours,
                gsl_rng *rng, struct plain_outcome *outcome);

#endif
