/**
 * The same cohort model in Python with numpy, all replicates at once: tests/bench/cohorts_numpy.py.
 *
 * It knows the plans of the plain engine where starters come on the first day and standing orders hold throughout.
 */
#ifndef WG_TESTS_NUMPY_ENGINE_H
#define WG_TESTS_NUMPY_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

/** In the order in which the program prints them. */
enum numpy_quantity {
    NUMPY_EGGS,
    NUMPY_EMERGED,
    NUMPY_CRAWLED,
    NUMPY_CRAWLED_KG,
    NUMPY_EATEN_KG,
    NUMPY_LARVAE_60, /* at the end of day 60, and so on */
    NUMPY_EGGS_100,
    NUMPY_PUPAE_60,
    NUMPY_DORMANT_END,
    NUMPY_ALIVE_END,
    NUMPY_TRAPPED_SHARE, /* of the eggs laid */
    NUMPY_IN_TRAPS_101,  /* eggs */
    NUMPY_IN_LAST_101,   /* larvae in the last bin */
    NUMPY_QUANTITIES
};

struct numpy_job {
    const struct wg_plan
        *plan; /* one place with one bin, or with two as warm as each other; starters go into the first */
    const struct wg_cohort_growth *growth;
    const struct recorded_hours *hours; /* n_recordings of them: 1, or one for each replicate */
    int n_recordings, replicates;
    unsigned seed;
};

/**
 * Runs it: seconds of processor time, and value[quantity][replicate]. 0, or -1 with a line on standard error: it did not
 * answer, or does not know what the plan asks for.
 */
int numpy_live(const struct numpy_job *job, double *seconds, double *value[NUMPY_QUANTITIES]);

#endif
