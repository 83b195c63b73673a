/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The cohort model in Python with numpy, all replicates at once: tests/bench/cohorts_numpy.py.
 *
 * It supports the plans of the plain engine in which starters come on the first day and standing orders hold
 * throughout.
 */
#ifndef WG_TESTS_NUMPY_ENGINE_H
#define WG_TESTS_NUMPY_ENGINE_H

#include "colony/colony.h"
#include "reference/recorded_hours.h"

/** In the order of the program's output. */
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
        *plan; /* one place with one bin, or with two of equal temperature; starters go into the first */
    const struct wg_cohort_growth *growth;
    const struct recorded_hours *hours; /* n_recordings of them: 1, or one per replicate */
    int n_recordings, replicates;
    unsigned seed;
};

/**
 * Runs the job: CPU seconds, and value[quantity][replicate]. Returns 0, or -1 with a line on standard error if the
 * program did not answer or does not support the plan.
 */
int numpy_run(const struct numpy_job *job, double *seconds, double *value[NUMPY_QUANTITIES]);

#endif
