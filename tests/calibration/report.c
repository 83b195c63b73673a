/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Summarises chains, draws and chosen animals. */
#include "calibration/report.h"

#include "calibration/choose.h"
#include "calibration/quantities.h"

#include <float.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PRIOR_ANIMALS = 4000, MOST_CHAINS = 16 };

static double *column(size_t n) {
    double *const values = calloc(n, sizeof(double));
    if (values == NULL) {
        (void)fprintf(stderr, "calibrate: not enough memory\n");
        exit(3);
    }
    return values;
}

static FILE *open_in(const char *folder, const char *name) {
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *const file = fopen(path, "w");
    if (file == NULL) {
        (void)fprintf(stderr, "calibrate: %s cannot be written\n", path);
        exit(4);
    }
    return file;
}

static void close_written(FILE *file) {
    if (fclose(file) != 0) {
        (void)fprintf(stderr, "calibrate: a table cannot be written\n");
        exit(4);
    }
}

/* ---- how well the chains mixed ---- */

/* Number j of all chains, one after another. */
static void fill_number(const struct calibration *calibration, int j, double *to) {
    for (int c = 0; c < calibration->n_chains; c++) {
        const struct chain *const chain = &calibration->chain[c];
        for (int64_t i = 0; i < chain->kept; i++)
            *to++ = chain->state[i * chain->n + j];
    }
}

struct mixing {
    double r_hat, effective;
};

static struct mixing mixing_of(const struct calibration *calibration, const double *values) {
    const int64_t kept = calibration->chain[0].kept;
    const double *start[MOST_CHAINS];
    for (int c = 0; c < calibration->n_chains; c++)
        start[c] = values + c * kept;
    return (struct mixing){.r_hat = r_hat(calibration->n_chains, kept, start),
                           .effective = effective_size(calibration->n_chains, kept, start)};
}

static size_t states_of(const struct calibration *calibration) {
    return (size_t)(calibration->n_chains * calibration->chain[0].kept);
}

void report_mixing(struct calibration *calibration) {
    double *const values = column(states_of(calibration));
    calibration->r_hat = 0.0;
    calibration->least_effective = HUGE_VAL;
    for (int j = 0; j < calibration->priors->n_z; j++) {
        fill_number(calibration, j, values);
        const struct mixing mixing = mixing_of(calibration, values);
        calibration->r_hat = fmax(calibration->r_hat, mixing.r_hat);
        calibration->least_effective = fmin(calibration->least_effective, mixing.effective);
    }
    free(values);
}

double report_effective(const struct calibration *calibration, bool by_day, bool june) {
    double *const weight = column((size_t)calibration->n_draws);
    for (int i = 0; i < calibration->n_draws; i++) {
        const struct draw *const draw = &calibration->draw[i];
        if ((draw->species.dorm_by_day > 0.5) == by_day)
            weight[i] = june ? draw->weight : draw->weight_no_june;
    }
    const double effective = effective_weights(calibration->n_draws, weight);
    free(weight);
    return effective;
}

/* ---- the table ---- */

void report_animals(const struct calibration *calibration, const char *folder) {
    FILE *const file = open_in(folder, "plausible_animals.tsv");
    const struct wg_parameter *const table = wg_species_parameters();
    for (const struct wg_parameter *number = table; number->name != NULL; number++)
        (void)fprintf(file, "%s\t", number->name);
    (void)fprintf(file, "weight_without_june\n");
    for (int i = 0; i < calibration->n_animals; i++) {
        const struct choice *const choice = &calibration->choice[i];
        for (const struct wg_parameter *number = table; number->name != NULL; number++) {
            char text[32];
            animal_number_text(&calibration->draw[choice->draw].species, number, text);
            (void)fprintf(file, "%s\t", text);
        }
        (void)fprintf(file, "%.4g\n", choice->without_june);
    }
    close_written(file);
}

/* ---- findings ---- */

struct quantiles {
    double low, middle, high; /* 16, 50, 84 % */
};

static struct quantiles quantiles_of(double *values, size_t n) {
    for (size_t i = 0; i < n; i++)
        values[i] = fmax(values[i], -DBL_MAX); /* the logarithm of 0: GSL multiplies it by 0, and that is no number */
    gsl_sort(values, 1, n);
    return (struct quantiles){.low = gsl_stats_quantile_from_sorted_data(values, 1, n, 0.16),
                              .middle = gsl_stats_quantile_from_sorted_data(values, 1, n, 0.5),
                              .high = gsl_stats_quantile_from_sorted_data(values, 1, n, 0.84)};
}

static struct wg_species *prior_animals(const struct priors *priors, unsigned long seed) {
    struct wg_species *const animals = calloc(PRIOR_ANIMALS, sizeof *animals);
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    if (animals == NULL || rng == NULL)
        exit(3);
    gsl_rng_set(rng, seed);
    for (int i = 0; i < PRIOR_ANIMALS;) {
        double z[MAX_PRIORS];
        for (int j = 0; j < priors->n_z; j++)
            z[j] = gsl_ran_gaussian_ratio_method(rng, 1.0);
        i += priors_animal(priors, z, &animals[i]);
    }
    gsl_rng_free(rng);
    return animals;
}

static const struct wg_species *chosen_species(const struct calibration *calibration, int i) {
    return &calibration->draw[calibration->choice[i].draw].species;
}

static void write_set(FILE *file, const struct closed_row *row, const char *set) {
    struct wg_species species;
    (void)wg_species_set(&species, set);
    const double value = quantity_of(&species, row->quantity);
    (void)fprintf(file, "\t%.4g\t%.2f", value, finding_pull(row->finding, finding_scaled(row->finding, value)));
}

/* A closed row: prior, the chosen animals, and the two committed sets. */
static void write_closed(FILE *file, const struct calibration *calibration, const struct closed_row *row,
                         const struct wg_species *prior) {
    double *const before = column(PRIOR_ANIMALS), *const after = column((size_t)calibration->n_animals);
    double pull = 0.0;
    for (int i = 0; i < PRIOR_ANIMALS; i++)
        before[i] = quantity_of(&prior[i], row->quantity);
    for (int i = 0; i < calibration->n_animals; i++) {
        after[i] = quantity_of(chosen_species(calibration, i), row->quantity);
        pull += finding_pull(row->finding, finding_scaled(row->finding, after[i])) / calibration->n_animals;
    }
    const struct quantiles a = quantiles_of(before, PRIOR_ANIMALS),
                           b = quantiles_of(after, (size_t)calibration->n_animals);
    (void)fprintf(file, "%s\t%.4g\t%.4g\t%.4g\t%.4g\t%.4g\t%.4g\t%.2f", row->finding->key, a.low, a.middle, a.high,
                  b.low, b.middle, b.high, pull);
    write_set(file, row, "keepers");
    write_set(file, row, "laboratory");
    (void)fprintf(file, "\n");
    free(before);
    free(after);
}

static size_t measured(const struct calibration *calibration, enum season_quantity q, bool chosen, double *values) {
    size_t n = 0;
    const int all = chosen ? calibration->n_animals : calibration->n_draws;
    for (int i = 0; i < all; i++) {
        const struct draw *const draw = &calibration->draw[chosen ? calibration->choice[i].draw : i];
        const double value = (season_is_wild(q) ? &draw->wild : &draw->home)->quantity[q];
        if (!isnan(value))
            values[n++] = value;
    }
    return n;
}

/* A seasonal row: the draws before the weights, and the chosen. */
static void write_seasonal(FILE *file, const struct calibration *calibration, enum season_quantity q,
                           const struct finding *finding) {
    double *const values = column((size_t)calibration->n_draws), pull = 0.0;
    const struct quantiles a = quantiles_of(values, measured(calibration, q, false, values));
    const size_t n = measured(calibration, q, true, values);
    for (size_t i = 0; i < n; i++)
        pull += finding_pull(finding, finding_scaled(finding, values[i])) / (double)n;
    const struct quantiles b = quantiles_of(values, n);
    (void)fprintf(file, "%s\t%.4g\t%.4g\t%.4g\t%.4g\t%.4g\t%.4g\t%.2f\t-\t-\t-\t-\n", finding->key, a.low, a.middle,
                  a.high, b.low, b.middle, b.high, pull);
    free(values);
}

static void write_findings(const struct calibration *calibration, unsigned long seed, const char *folder) {
    FILE *const file = open_in(folder, "findings.tsv");
    struct wg_species *const prior = prior_animals(calibration->priors, seed);
    (void)fprintf(
        file, "key\tprior_16\tprior_50\tprior_84\tlow_16\tmiddle\thigh_84\tpull\tkeepers\tkeepers_pull\tlaboratory\t"
              "laboratory_pull\n");
    for (int i = 0; i < calibration->posterior->n; i++)
        write_closed(file, calibration, &calibration->posterior->row[i], prior);
    for (int i = 0; i < calibration->findings->n; i++)
        for (int q = 0; q < N_SEASONS; q++)
            if (strcmp(calibration->findings->row[i].key, season_key((enum season_quantity)q)) == 0)
                write_seasonal(file, calibration, (enum season_quantity)q, &calibration->findings->row[i]);
    free(prior);
    close_written(file);
}

/* ---- numbers ---- */

static void write_numbers(const struct calibration *calibration, const char *folder) {
    FILE *const file = open_in(folder, "numbers.tsv");
    const size_t n = states_of(calibration);
    double *const values = column(n);
    (void)fprintf(file,
                  "number\tprior_5\tprior_50\tprior_95\tmean_z\tsd_z\tpost_16\tpost_50\tpost_84\tr_hat\teffective\n");
    for (int i = 0; i < calibration->priors->n; i++) {
        const struct prior *const prior = &calibration->priors->row[i];
        if (prior->z < 0)
            continue;
        fill_number(calibration, prior->z, values);
        const struct mixing mixing = mixing_of(calibration, values);
        const double mean = gsl_stats_mean(values, 1, n), sd = gsl_stats_sd(values, 1, n);
        const struct quantiles q = quantiles_of(values, n);
        (void)fprintf(file, "%s\t%.4g\t%.4g\t%.4g\t%.3f\t%.3f\t%.4g\t%.4g\t%.4g\t%.4f\t%.0f\n", prior->name,
                      prior_at(prior, -1.6448536), prior_at(prior, 0.0), prior_at(prior, 1.6448536), mean, sd,
                      prior_at(prior, q.low), prior_at(prior, q.middle), prior_at(prior, q.high), mixing.r_hat,
                      mixing.effective);
    }
    free(values);
    close_written(file);
}

static void write_correlations(const struct calibration *calibration, const char *folder) {
    FILE *const file = open_in(folder, "correlations.tsv");
    const size_t n = states_of(calibration);
    const struct priors *const priors = calibration->priors;
    double *const all = column(n * (size_t)priors->n_z);
    for (int j = 0; j < priors->n_z; j++)
        fill_number(calibration, j, all + (size_t)j * n);
    (void)fprintf(file, "one\tother\tcorrelation\n");
    for (int i = 0; i < priors->n; i++)
        for (int k = 0; k < i; k++) {
            const int a = priors->row[i].z, b = priors->row[k].z;
            if (a < 0 || b < 0)
                continue;
            const double r = gsl_stats_correlation(all + (size_t)a * n, 1, all + (size_t)b * n, 1, n);
            if (fabs(r) > 0.35)
                (void)fprintf(file, "%s\t%s\t%.2f\n", priors->row[k].name, priors->row[i].name, r);
        }
    free(all);
    close_written(file);
}

/* ---- odds outdoors, and how fair the order is ---- */

struct group {
    double alive, harvest_kg; /* means */
    double low, middle, high; /* 5, 50, 95 % of the animals' chance to be alive at the end */
};

static double weighted_quantile(const double *sorted, const size_t *order, const double *weight, int n, double share) {
    double sum = 0.0, passed = 0.0;
    for (int i = 0; i < n; i++)
        sum += weight[i];
    for (int i = 0; i < n; i++) {
        passed += weight[order[i]];
        if (passed >= share * sum)
            return sorted[order[i]];
    }
    return sorted[order[n - 1]];
}

static struct group group_of(const double *alive, const double *harvest_kg, const double *weight, int n) {
    size_t *const order = calloc((size_t)n, sizeof *order);
    if (order == NULL)
        exit(3);
    gsl_sort_index(order, alive, 1, (size_t)n);
    const struct group group = {.alive = gsl_stats_wmean(weight, 1, alive, 1, (size_t)n),
                                .harvest_kg = gsl_stats_wmean(weight, 1, harvest_kg, 1, (size_t)n),
                                .low = weighted_quantile(alive, order, weight, n, 0.05),
                                .middle = weighted_quantile(alive, order, weight, n, 0.5),
                                .high = weighted_quantile(alive, order, weight, n, 0.95)};
    free(order);
    return group;
}

static void write_group(FILE *file, const char *name, int n, const double *alive, const double *harvest_kg,
                        const double *weight) {
    const struct group g = group_of(alive, harvest_kg, weight, n);
    (void)fprintf(file, "%s\t%d\t%.0f\t%.3f\t%.2f\t%.2f\t%.2f\t%.2f\n", name, n, effective_weights(n, weight), g.alive,
                  g.low, g.middle, g.high, g.harvest_kg);
}

/* The draws before and after the weights. */
static void write_draw_groups(FILE *file, const struct calibration *calibration) {
    const int n = calibration->n_draws;
    double *const alive = column(6 * (size_t)n), *const harvest = alive + n, *const one = harvest + n,
                  *const june = one + n, *const without = june + n, *const home_june = without + n;
    for (int i = 0; i < n; i++) {
        const struct draw *const draw = &calibration->draw[i];
        alive[i] = draw->home.alive;
        harvest[i] = draw->home.harvest_kg;
        one[i] = 1.0;
        june[i] = draw->weight;
        without[i] = draw->weight_no_june;
        home_june[i] = draw->weight_home_june;
    }
    write_group(file, "draws, findings in closed form only", n, alive, harvest, one);
    write_group(file, "draws, all findings but June", n, alive, harvest, without);
    write_group(file, "draws, all findings", n, alive, harvest, june);
    write_group(file, "draws, all findings, but June with the harvest", n, alive, harvest, home_june);
    free(alive);
}

static void write_chosen_groups(FILE *file, const struct calibration *calibration) {
    const int n = calibration->n_animals;
    double *const alive = column(4 * (size_t)n), *const harvest = alive + n, *const one = harvest + n,
                  *const without = one + n;
    for (int i = 0; i < n; i++) {
        const struct choice *const choice = &calibration->choice[i];
        alive[i] = choice->at_home.alive;
        harvest[i] = choice->at_home.harvest_kg;
        one[i] = 1.0;
        without[i] = choice->without_june;
    }
    for (int first = 32; first <= n; first *= 2) {
        char name[64];
        (void)snprintf(name, sizeof name, "first %d animals", first);
        write_group(file, name, first, alive, harvest, one);
        (void)snprintf(name, sizeof name, "first %d animals, without June", first);
        write_group(file, name, first, alive, harvest, without);
    }
    for (int from = 64; from < n; from += 64) {
        char name[64];
        (void)snprintf(name, sizeof name, "animals %d to %d", from + 1, from + 64);
        write_group(file, name, 64, alive + from, harvest + from, one + from);
    }
    free(alive);
}

static void write_groups(const struct calibration *calibration, const char *folder) {
    FILE *const file = open_in(folder, "groups.tsv");
    (void)fprintf(file, "group\tanimals\teffective\talive\talive_5\talive_50\talive_95\tharvest_kg\n");
    write_draw_groups(file, calibration);
    write_chosen_groups(file, calibration);
    close_written(file);
}

static void write_run(const struct calibration *calibration, const char *folder) {
    FILE *const file = open_in(folder, "run.tsv");
    double accepted = 0.0;
    for (int c = 0; c < calibration->n_chains; c++)
        accepted += calibration->chain[c].accepted / calibration->n_chains;
    (void)fprintf(file, "what\tvalue\n");
    (void)fprintf(file, "numbers\t%d\nclosed findings\t%d\nchains\t%d\naccepted\t%.3f\n", calibration->priors->n_z,
                  calibration->posterior->n, calibration->n_chains, accepted);
    (void)fprintf(file, "R-hat, largest\t%.4f\neffective size, smallest\t%.0f\n", calibration->r_hat,
                  calibration->least_effective);
    (void)fprintf(file, "draws\t%d\nyears each\t%d\nanimals\t%d\n", calibration->n_draws, calibration->years,
                  calibration->n_animals);
    for (int by_day = 1; by_day >= 0; by_day--)
        for (int june = 1; june >= 0; june--)
            (void)fprintf(file, "effective draws, dormant by %s%s\t%.0f\n", by_day ? "day length" : "cold only",
                          june ? "" : ", without June", report_effective(calibration, by_day == 1, june == 1));
    close_written(file);
}

void report_tables(const struct calibration *calibration, unsigned long seed, const char *folder) {
    write_findings(calibration, seed, folder);
    write_numbers(calibration, folder);
    write_correlations(calibration, folder);
    write_groups(calibration, folder);
    write_run(calibration, folder);
}
