/*
 * Makes the table of plausible animals.
 *
 *     1  adaptive Metropolis over priors and findings in closed form, four chains
 *     2  the chains thinned to some 2,000 draws, each lived for years of a mild site outdoors: seasonal findings are
 *        importance weights
 *     3  systematic resampling to 256 animals of equal weight
 *
 *     calibrate SOURCE OUT     reads findings, priors and the scenario below SOURCE; writes OUT/plausible_animals.tsv
 */
#include "calibration/animals.h"
#include "calibration/choose.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { CHAINS = 4, STEPS = 500000, WARMUP = 200000, THIN = 100, DRAWS = 2048, YEARS = 8, ANIMALS = 256 };
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
        const struct chain_plan plan = {.steps = STEPS, .warmup = WARMUP, .thin = THIN, .seed = seed + (unsigned long)c};
        draw_start(posterior, plan.seed + 100, start);
        if (!chain_run(&chain[c], &target, &plan, start))
            exit(3);
        (void)fprintf(stderr, "chain %d: %.3f accepted\n", c + 1, chain[c].accepted);
    }
}

/* One coordinate of all chains. */
struct series {
    double *store;
    const double *chain[CHAINS];
};

static void check_mixing(const struct chain *chain) {
    const int64_t kept = chain[0].kept;
    double *const store = calloc((size_t)(CHAINS * kept), sizeof(double));
    const double *value[CHAINS];
    double worst = 0.0, least = HUGE_VAL;
    for (int j = 0; j < chain[0].n; j++) {
        for (int c = 0; c < CHAINS; c++) {
            for (int64_t i = 0; i < kept; i++)
                store[c * kept + i] = chain[c].state[i * chain[c].n + j];
            value[c] = store + c * kept;
        }
        worst = fmax(worst, r_hat(CHAINS, kept, value));
        least = fmin(least, effective_size(CHAINS, kept, value));
    }
    (void)fprintf(stderr, "R-hat at most %.4f, effective size at least %.0f\n", worst, least);
    free(store);
    if (worst > most_r_hat || least < least_effective)
        (void)fprintf(stderr, "not good enough\n");
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

static void write_table(const char *path, const struct draw *draw, const int *choice) {
    FILE *const file = fopen(path, "w");
    if (file == NULL)
        exit(3);
    const struct wg_parameter *const table = wg_species_parameters();
    double sum = 0.0;
    for (int i = 0; i < ANIMALS; i++)
        sum += draw[choice[i]].weight_no_june / draw[choice[i]].weight;
    for (const struct wg_parameter *number = table; number->name != NULL; number++)
        (void)fprintf(file, "%s\t", number->name);
    (void)fprintf(file, "weight_without_june\n");
    for (int i = 0; i < ANIMALS; i++) {
        const struct draw *const one = &draw[choice[i]];
        for (const struct wg_parameter *number = table; number->name != NULL; number++) {
            char text[32];
            animal_number_text(&one->species, number, text);
            (void)fprintf(file, "%s\t", text);
        }
        (void)fprintf(file, "%.4g\n", one->weight_no_june / one->weight * ANIMALS / sum);
    }
    (void)fclose(file);
}

int main(int argc, char **argv) {
    static struct priors priors;
    static struct findings findings;
    static struct posterior posterior;
    static struct draw draw[DRAWS];
    static int choice[ANIMALS];
    struct wg_scenario scenario;
    struct chain chain[CHAINS];
    char path[1024];
    if (argc != 3)
        return 2;
    priors_read(&priors, path_of(argv[1], "tests/calibration/priors.tsv", path));
    findings_read(&findings, path_of(argv[1], "tests/verify/findings.tsv", path));
    posterior_make(&posterior, &priors, &findings);
    seasons_scenario(&scenario, path_of(argv[1], "scenarios/harrow-hill-outdoors.yaml", path));
    run_chains(&posterior, chain);
    check_mixing(chain);
    thin_to_draws(&priors, chain, draw);
    draws_live(draw, DRAWS, &scenario, &findings, YEARS);
    draws_choose(draw, DRAWS, seed, ANIMALS, choice);
    write_table(path_of(argv[2], "plausible_animals.tsv", path), draw, choice);
    FILE *f = fopen(path_of(argv[2], "draws.txt", path), "w");
    for (int i = 0; i < DRAWS; i++) {
        const struct draw *d = &draw[i];
        fprintf(f, "%g %.4f %.4f %.5g %.5g", d->species.dorm_by_day, d->seasons.alive, d->seasons.harvest_kg, d->weight, d->weight_no_june);
        for (int q = 0; q < N_SEASONS; q++) fprintf(f, " %.4f", d->seasons.quantity[q]);
        fprintf(f, "\n");
    }
    fclose(f);
    f = fopen(path_of(argv[2], "choice.txt", path), "w");
    for (int i = 0; i < ANIMALS; i++) fprintf(f, "%d\n", choice[i]);
    fclose(f);
    f = fopen(path_of(argv[2], "chains.bin", path), "w");
    for (int c = 0; c < CHAINS; c++) fwrite(chain[c].state, sizeof(double), (size_t)(chain[c].kept * chain[c].n), f);
    fclose(f);
    for (int c = 0; c < CHAINS; c++)
        chain_free(&chain[c]);
    wg_scenario_free(&scenario);
    return 0;
}
