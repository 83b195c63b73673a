/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Records the random draws of a replicate and repeats them without the colony.
 *
 * The linker redirects every call of wg_binomial() and wg_losses() from outside their own file to the recorder
 * (--wrap).
 */
#ifndef WG_BENCH_DRAWS_H
#define WG_BENCH_DRAWS_H

#include <gsl/gsl_rng.h>
#include <stddef.h>
#include <stdint.h>

struct draw {
    int64_t n; /* negative: -n of wg_losses */
    double p;
};

struct draws {
    struct draw *draw;
    size_t n, capacity;
    size_t cohort_steps; /* calls of wg_losses: one for each cohort and step */
    int only_steps;      /* do not record the draws themselves */
};

/** Records all draws from now on, until draws_stop(). Exits the program without memory. */
void draws_note(struct draws *draws);
/** Counts only the cohort-steps. */
void draws_count(struct draws *draws);
void draws_stop(void);
void draws_free(struct draws *draws);
/** Repeats all draws; returns their sum, so that the compiler cannot omit any. */
int64_t draws_repeat(const struct draws *draws, gsl_rng *rng);

#endif
