/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Coverage of the intervals over animals and winters: how often does the 95 % interval hold the mean of all animals and winters?
 *
 * The same laws as in tests/analysis/test_variance_split.c, every design with every share and effect, in more trials. An interval
 * that holds in 95 % falls below 92.5 % in 1,000 trials with a probability of 0.03 %; the least of seven shares is judged. Where
 * an interval is known to hold less often (few years of skewed amounts, three winters), its line is measured, not judged.
 *
 *   odds_coverage [trials, 1000 by default]
 */
#include "support/clustered_years.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define TRIALS 1000
#define LEAST 0.925

static const struct year_design design[] = {
    {"20 years in the lattice", place_in_lattice, 20},
    {"64 years in the lattice", place_in_lattice, 64},
    {"128 years in the lattice", place_in_lattice, 128},
    {"512 years in the lattice", place_in_lattice, 512},
    {"1,024 years in the lattice", place_in_lattice, 1024},
    {"512 years in 3 winters", place_in_three_winters, 512},
    {"200 years of one animal in 3 winters", place_one_animal_in_three_winters, 200}};
static const struct year_effects of_shares[] = {{0, 0, 0}, {0.7, 0.6, 0.9}, {1.5, 1.5, 1}};
static const char *const strength[] = {"no", "middling", "strong"};
static const double share[] = {0.005, 0.02, 0.1, 0.5, 0.9, 0.98, 0.995};
/* skewness 6 in all: log variance 1.429 */
static const struct year_effects of_amounts[] = {{0, 0, 0}, {0.6, 0.5, 0.7}, {1, 0.5, 0.3}};
static const double luck_sd[] = {1.19545, 0.5662, 0.3089};

enum { N_DESIGNS = sizeof design / sizeof *design, N_SHARES = sizeof share / sizeof *share };

static const char *verdict_of(bool is_judged, double least) {
    return !is_judged ? "measured" : least >= LEAST ? "holds" : "does not hold";
}

/* Prints the least and the most coverage over all shares. Returns 1 if a judged one is too low. */
static int check_share(const struct year_design *d, int s, int trials, gsl_rng *rng) {
    double least = 1, most = 0, plain = 1;
    for (int i = 0; i < N_SHARES; i++) {
        const struct coverage c = coverage_of_share(d, &of_shares[s], share[i], trials, rng);
        least = fmin(least, c.split), most = fmax(most, c.split), plain = fmin(plain, c.plain);
    }
    const bool is_judged = d->n >= 128 && d->place == place_in_lattice;
    printf("{\"check\": \"interval of a share of 0.005 to 0.995, %s, %s effects\", \"published\": \"95 %%\", "
           "\"simulated\": "
           "\"%.1f to %.1f %%; independent years from %.1f %%\", \"verdict\": \"%s\"}\n",
           d->name, strength[s], 100 * least, 100 * most, 100 * plain, verdict_of(is_judged, least));
    return is_judged && least < LEAST;
}

static void check_amount(const struct year_design *d, int s, int trials, gsl_rng *rng) {
    const struct coverage c = coverage_of_amount(d, &of_amounts[s], luck_sd[s], trials, rng);
    printf("{\"check\": \"interval of a mean of skewness 6, %s, %s effects\", \"published\": \"95 %%\", \"simulated\": "
           "\"%.1f %%; independent years %.1f %%\", \"verdict\": \"measured\"}\n",
           d->name, strength[s], 100 * c.split, 100 * c.plain);
}

int main(int argc, char **argv) {
    const int trials = argc > 1 ? atoi(argv[1]) : TRIALS;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    int failed = 0;
    for (int d = 0; d < N_DESIGNS; d++)
        for (int s = 0; s < 3; s++) {
            gsl_rng_set(rng, (unsigned long)(100 * d + s));
            failed += check_share(&design[d], s, trials, rng);
            check_amount(&design[d], s, trials, rng);
        }
    gsl_rng_free(rng);
    return failed > 0;
}
