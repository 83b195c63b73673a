/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Adaptive Metropolis (Haario, Saksman & Tamminen 2001, Bernoulli 7:223), and how well chains have mixed.
 */
#ifndef WG_TESTS_CALIBRATION_SAMPLER_H
#define WG_TESTS_CALIBRATION_SAMPLER_H

#include <stdbool.h>
#include <stdint.h>

/**
 * A density to sample: log density up to a constant. It may stop early and return any value below `enough`, which is
 * refused either way.
 */
struct target {
    int n;
    double (*log_density)(void *self, const double *x, double enough);
    void *self;
};

struct chain_plan {
    int64_t steps;  /* after the warm-up */
    int64_t warmup; /* discarded */
    int64_t thin;   /* every thin-th state is kept */
    unsigned long seed;
};

/** The kept states of a chain, [kept][n]. */
struct chain {
    int n;
    int64_t kept;
    double *state;
    double accepted; /* share of the steps after the warm-up */
};

/** Runs a chain from `start`. False if memory ran out. */
bool chain_run(struct chain *chain, const struct target *target, const struct chain_plan *plan, const double *start);
void chain_free(struct chain *chain);

/** Split R-hat of n_chains series of n values each, series c at value[c] (Gelman et al. 2013, Bayesian Data Analysis). */
double r_hat(int n_chains, int64_t n, const double *const *value);
/**
 * Effective number of values of those series together, by Geyer's initial monotone sequence (Geyer 1992, Stat. Sci.
 * 7:473).
 */
double effective_size(int n_chains, int64_t n, const double *const *value);

#endif
