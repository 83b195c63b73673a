/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Multiplies priors and likelihoods, and gives up as soon as a state is too unlikely. */
#include "calibration/posterior.h"

#include "calibration/quantities.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct finding *finding_named(const struct findings *findings, const char *key) {
    for (int i = 0; i < findings->n; i++)
        if (strcmp(findings->row[i].key, key) == 0)
            return &findings->row[i];
    (void)fprintf(stderr, "findings: there is no closed row %s\n", key);
    exit(3);
}

void posterior_make(struct posterior *posterior, const struct priors *priors, const struct findings *findings) {
    *posterior = (struct posterior){.priors = priors};
    for (int q = 0; quantity_key(q) != NULL; q++)
        posterior->row[posterior->n++] =
            (struct closed_row){.finding = finding_named(findings, quantity_key(q)), .quantity = q};
    for (int i = 0; i < findings->n; i++)
        if (!findings->row[i].seasonal && quantity_find(findings->row[i].key) < 0) {
            (void)fprintf(stderr, "findings: no quantity is called %s\n", findings->row[i].key);
            exit(3);
        }
}

static double add_rows(const struct posterior *posterior, const struct wg_species *species, double sum, double enough) {
    for (int i = 0; i < posterior->n && sum >= enough; i++) {
        const struct closed_row *const row = &posterior->row[i];
        sum += finding_log_likelihood(row->finding, finding_scaled(row->finding, quantity_of(species, row->quantity)));
    }
    return sum;
}

double posterior_log_likelihood(const struct posterior *posterior, const struct wg_species *species) {
    return add_rows(posterior, species, 0.0, -HUGE_VAL);
}

static double log_density(void *self, const double *z, double enough) {
    const struct posterior *const posterior = self;
    double sum = 0.0;
    for (int i = 0; i < posterior->priors->n_z; i++)
        sum -= 0.5 * z[i] * z[i];
    struct wg_species species;
    if (sum < enough || !priors_animal(posterior->priors, z, &species))
        return -HUGE_VAL;
    return add_rows(posterior, &species, sum, enough);
}

struct target posterior_target(struct posterior *posterior) {
    return (struct target){.n = posterior->priors->n_z, .log_density = log_density, .self = posterior};
}
