/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The density that the sampler explores: priors times the findings in closed form.
 */
#ifndef WG_TESTS_CALIBRATION_POSTERIOR_H
#define WG_TESTS_CALIBRATION_POSTERIOR_H

#include "calibration/findings.h"
#include "calibration/priors.h"
#include "calibration/sampler.h"

/** A finding in closed form and its quantity. */
struct closed_row {
    const struct finding *finding;
    int quantity;
};

struct posterior {
    const struct priors *priors;
    int n;
    struct closed_row row[MAX_FINDINGS]; /* in the order of the quantities: the quick ones first */
};

/** Exits with a message if findings and quantities do not match. */
void posterior_make(struct posterior *posterior, const struct priors *priors, const struct findings *findings);
/** The target of the sampler. */
struct target posterior_target(struct posterior *posterior);
/** Log likelihood of an animal by all rows. */
double posterior_log_likelihood(const struct posterior *posterior, const struct wg_species *species);

#endif
