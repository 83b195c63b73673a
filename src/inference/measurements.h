/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds what a keeper could measure to know an answer better, and by how much.
 *
 * A measurement is an experiment or a count whose true value differs between plausible animals. Suppose that the keeper's
 * animal is one of them: the measurement is simulated with its error, the other animals are weighted by how well they agree
 * with it, and the answer that they then predict is compared with that animal's own. The mean gain over all animals is the
 * preposterior reduction of the variance (Raiffa & Schlaifer 1961, Applied Statistical Decision Theory, MEMORY). Since an
 * animal never predicts itself, a measurement that tells nothing gains 0 or less.
 */
#ifndef WG_INFERENCE_MEASUREMENTS_H
#define WG_INFERENCE_MEASUREMENTS_H

#include "colony/diary.h"
#include "inference/variance_shares.h"
#include "plan/plan.h"

#define WG_MAX_MEASUREMENTS 24
#define WG_MEASUREMENTS_TOGETHER 3

/** One row of the table of measurements. */
struct wg_measurement {
    const char *name; /* in files: "jar_in_the_cold" */
    const char *text; /* what to do, as an order */
    /** The true value on a scale on which the error is a standard deviation. One of the two is NULL. */
    double (*of_animal)(const struct wg_species *species);
    double (*of_year)(const struct wg_plan *plan, const struct wg_diary *diary); /* NaN: outside the period */
    double error;       /* standard deviation, all judgement but for what counting has (1/(2 sqrt n) of an arcsine) */
    const char *source; /* of the error */
};
/** The table, ended by name == NULL. */
const struct wg_measurement *wg_measurements(void);

/** Values of a sample of n animals in two halves of their years, which have no luck in common. */
struct wg_halves {
    const double *half[2]; /* [n] each */
};

/** What the animals say about one measurement. */
struct wg_measured {
    struct wg_halves value; /* the same in both halves if it is the animal's, not the year's */
    double error;           /* of the keeper's one value for its animal: the measurement's, and the year's luck */
};

/** What one or several measurements would do. */
struct wg_gain {
    struct wg_estimate share;  /* of the variance between animals that they would remove */
    double sd;                 /* between animals that is left */
    struct wg_interval answer; /* 5 to 95 of 100 animals, luck out, averaged over what may be measured */
};
/**
 * Computes the gain of `k` measurements together, 1 .. WG_MEASUREMENTS_TOGETHER; with k = 0 the state before. `answer` has
 * the animals' mean answers, `between` and `luck` their variances (luck: of the mean of both halves).
 */
int wg_measurements_gain(int n, struct wg_halves answer, double between, double luck,
                         const struct wg_measured *const *measured, int k, struct wg_gain *gain, struct wg_error *err);

#endif
