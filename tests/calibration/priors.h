/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What is held plausible of the animal before any finding is used: one standard normal deviate for each number.
 */
#ifndef WG_TESTS_CALIBRATION_PRIORS_H
#define WG_TESTS_CALIBRATION_PRIORS_H

#include "species/species.h"

#include <stdbool.h>

enum prior_scale { PRIOR_PLAIN, PRIOR_LN, PRIOR_LOGIT, PRIOR_FIXED };

enum { MAX_PRIORS = 160, PRIOR_NAME = 40 };

/** One line of priors.tsv. */
struct prior {
    char name[PRIOR_NAME];
    enum prior_scale scale;
    double centre, sd;                 /* on the scale; of a fixed number the value and 0 */
    double most;                       /* draws above are refused; HUGE_VAL: the limit of the species table alone */
    int z;                             /* its deviate, or -1 */
    const struct wg_parameter *number; /* of the species; NULL for a line that makes others */
    char why[400];
};

/** The lines that make others, by their place. */
struct prior_lines {
    int days[WG_N_CLOCKS], t0, tm, m, clutch, half_width, heat;
};

struct priors {
    int n, n_z;
    struct prior row[MAX_PRIORS];
    struct prior_lines at;
};

/** Reads priors.tsv; exits with a message if it and the table of the species do not name the same numbers. */
void priors_read(struct priors *priors, const char *path);
/** Value of a line at its deviate, on the number's own scale. */
double prior_at(const struct prior *prior, double deviate);
/**
 * Makes an animal of n_z deviates. False if a number is outside the limits of the species table, or numbers
 * contradict each other.
 */
bool priors_animal(const struct priors *priors, const double *z, struct wg_species *species);

#endif
