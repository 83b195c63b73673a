/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes what the calibration found, as tables for calibration_page.py.
 */
#ifndef WG_TESTS_CALIBRATION_REPORT_H
#define WG_TESTS_CALIBRATION_REPORT_H

#include "calibration/animals.h"

/** All that a calibration produced. */
struct calibration {
    const struct priors *priors;
    const struct findings *findings;
    const struct posterior *posterior;
    int n_chains, n_draws, n_animals, years;
    const struct chain *chain;
    const struct draw *draw;
    const struct choice *choice;
    double r_hat, least_effective; /* over numbers and closed rows */
};

/** Sets r_hat and least_effective. */
void report_mixing(struct calibration *calibration);
/** The effective number of draws by the seasonal weights, of one kind of dormancy, with june_flies or without. */
double report_effective(const struct calibration *calibration, bool by_day, bool june);
/** Writes plausible_animals.tsv. */
void report_animals(const struct calibration *calibration, const char *folder);
/** Writes findings.tsv, numbers.tsv, correlations.tsv, run.tsv and groups.tsv. */
void report_tables(const struct calibration *calibration, unsigned long seed, const char *folder);

#endif
