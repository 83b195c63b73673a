/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes the table of plausible animals.
 *
 *     1  adaptive Metropolis over priors and findings in closed form, four chains
 *     2  the chains thinned to some 3,000 draws, each lived for years of a mild site outdoors, with harvest and without:
 *        seasonal findings are importance weights
 *     3  systematic resampling to 256 animals of equal weight, ordered by survival and harvest in other years
 *
 *     calibrate SOURCE OUT     reads findings, priors and the scenario below SOURCE; writes plausible_animals.tsv and tables
 *                              of what was found (report.h) into the folder OUT
 */
#include "calibration/report.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum {
    CHAINS = 4,
    STEPS = 500000,
    WARMUP = 200000,
    THIN = 100,
    DRAWS = 3072,
    YEARS = 8,
    ANIMALS = 256,
    HOME_YEARS = 16
};
static const unsigned long seed = 2026;

static const double most_r_hat = 1.01, least_effective = 400.0;

static char *path_of(const char *folder, const char *name, char path[1024]) {
    (void)snprintf(path, 1024, "%s/%s", folder, name);
    return path;
}

/* A start from the priors that is possible at all. */
static void draw_start(const struct posterior *posterior, unsigned long chain_seed, double *z) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct wg_species species;
    gsl_rng_set(rng, chain_seed);
    do {
        for (int i = 0; i < posterior->priors->n_z; i++)
            z[i] = gsl_ran_gaussian_ratio_method(rng, 1.0);
    } while (!priors_animal(posterior->priors, z, &species));
    gsl_rng_free(rng);
}

static void run_chains(struct posterior *posterior, struct chain *chain) {
    struct target target = posterior_target(posterior);
    for (int c = 0; c < CHAINS; c++) {
        double start[MAX_PRIORS];
        const struct chain_plan plan = {
            .steps = STEPS, .warmup = WARMUP, .thin = THIN, .seed = seed + (unsigned long)c};
        draw_start(posterior, plan.seed + 100, start);
        if (!chain_run(&chain[c], &target, &plan, start))
            exit(3);
        (void)fprintf(stderr, "chain %d: %.3f accepted\n", c + 1, chain[c].accepted);
    }
}

static void thin_to_draws(const struct priors *priors, const struct chain *chain, struct draw *draw) {
    const int64_t kept = chain[0].kept;
    for (int i = 0; i < DRAWS; i++) {
        const int64_t at = (int64_t)i * CHAINS * kept / DRAWS;
        const struct chain *const from = &chain[at / kept];
        if (!priors_animal(priors, from->state + at % kept * from->n, &draw[i].species))
            exit(3);
        draw[i].species.dorm_by_day = i % 2 == 0;
        animal_round(&draw[i].species);
    }
}

/* True if the sample is good enough to be committed. */
static bool is_good(const struct calibration *calibration) {
    bool good = calibration->r_hat < most_r_hat && calibration->least_effective >= least_effective;
    for (int by_day = 0; by_day < 2; by_day++)
        good = good && report_effective(calibration, by_day == 1, true) >= least_effective;
    return good;
}

static void make_animals(struct posterior *posterior, const struct findings *findings, const char *path,
                         struct calibration *calibration) {
    struct wg_scenario wild, home;
    static struct draw draw[DRAWS];
    static struct choice choice[ANIMALS];
    static struct chain chain[CHAINS];
    run_chains(posterior, chain);
    *calibration = (struct calibration){.priors = posterior->priors,
                                        .findings = findings,
                                        .posterior = posterior,
                                        .n_chains = CHAINS,
                                        .n_draws = DRAWS,
                                        .n_animals = ANIMALS,
                                        .years = YEARS,
                                        .chain = chain,
                                        .draw = draw,
                                        .choice = choice};
    report_mixing(calibration);
    thin_to_draws(posterior->priors, chain, draw);
    seasons_scenario(&wild, path);
    seasons_stop_harvest(&wild);
    seasons_scenario(&home, path);
    draws_live(draw, DRAWS, &home, &wild, findings, YEARS);
    draws_choose(draw, DRAWS, seed, ANIMALS, choice);
    choices_live(choice, ANIMALS, draw, &home, HOME_YEARS);
    choices_order(choice, ANIMALS);
    wg_scenario_free(&wild);
    wg_scenario_free(&home);
}

int main(int argc, char **argv) {
    static struct priors priors;
    static struct findings findings;
    static struct posterior posterior;
    struct calibration calibration;
    char path[1024];
    if (argc != 3) {
        (void)fprintf(stderr, "calibrate SOURCE OUT\n");
        return 2;
    }
    priors_read(&priors, path_of(argv[1], "tests/calibration/priors.tsv", path));
    findings_read(&findings, path_of(argv[1], "tests/verify/findings.tsv", path));
    posterior_make(&posterior, &priors, &findings);
    make_animals(&posterior, &findings, path_of(argv[1], "scenarios/harrow-hill-outdoors.yaml", path), &calibration);
    report_animals(&calibration, argv[2]);
    report_tables(&calibration, seed, argv[2]);
    if (!is_good(&calibration)) {
        (void)fprintf(stderr, "calibrate: the sample is not good enough: see run.tsv\n");
        return 1;
    }
    return 0;
}
