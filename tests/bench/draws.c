/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "bench/draws.h"

#include <stdio.h>
#include <stdlib.h>

/* The signature of a wrapped function is fixed, so this is a file-scope variable. One thread. */
static struct draws *notes;

int64_t __real_wg_binomial(gsl_rng *rng, int64_t n, double p);
int64_t __real_wg_losses(gsl_rng *rng, int64_t n, double log_keep);
int64_t __wrap_wg_binomial(gsl_rng *rng, int64_t n, double p);
int64_t __wrap_wg_losses(gsl_rng *rng, int64_t n, double log_keep);

static void note(int64_t n, double p) {
    if (notes->only_steps)
        return;
    if (notes->n == notes->capacity) {
        notes->capacity = 2 * notes->capacity + 100000;
        notes->draw = realloc(notes->draw, notes->capacity * sizeof *notes->draw);
        if (notes->draw == NULL) {
            (void)fputs("out of memory for the draws\n", stderr);
            exit(EXIT_FAILURE);
        }
    }
    notes->draw[notes->n++] = (struct draw){n, p};
}

int64_t __wrap_wg_binomial(gsl_rng *rng, int64_t n, double p) {
    if (notes != NULL && n > 0 && p > 0 && p < 1)
        note(n, p);
    return __real_wg_binomial(rng, n, p);
}

int64_t __wrap_wg_losses(gsl_rng *rng, int64_t n, double log_keep) {
    if (notes != NULL) {
        notes->cohort_steps++;
        if (n > 0 && log_keep < 0)
            note(-n, log_keep);
    }
    return __real_wg_losses(rng, n, log_keep);
}

static void begin(struct draws *draws, int only_steps) {
    draws->n = draws->cohort_steps = 0;
    draws->only_steps = only_steps;
    notes = draws;
}

void draws_note(struct draws *draws) {
    begin(draws, 0);
}

void draws_count(struct draws *draws) {
    begin(draws, 1);
}

void draws_stop(void) {
    notes = NULL;
}

void draws_free(struct draws *draws) {
    free(draws->draw);
    *draws = (struct draws){0};
}

int64_t draws_repeat(const struct draws *draws, gsl_rng *rng) {
    int64_t sum = 0;
    for (size_t i = 0; i < draws->n; i++) {
        const struct draw draw = draws->draw[i];
        sum += draw.n > 0 ? __real_wg_binomial(rng, draw.n, draw.p) : __real_wg_losses(rng, -draw.n, draw.p);
    }
    return sum;
}
