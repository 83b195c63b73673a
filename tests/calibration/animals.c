/* Rounds, lives, weighs and chooses the draws. */
#include "calibration/animals.h"

#include "base/elementary.h"
#include "calibration/choose.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Two decimals for the spreads of clocks, so that animals can share clocks; their tables take longest to make. */
static bool is_spread(const char *name) {
    return strstr(name, "_spread") != NULL || strcmp(name, "dormancy_heat_sigma") == 0;
}

void animal_number_text(const struct wg_species *species, const struct wg_parameter *number, char text[32]) {
    (void)snprintf(text, 32, is_spread(number->name) ? "%.2f" : "%.5g", wg_species_get(species, number));
}

void animal_round(struct wg_species *species) {
    for (const struct wg_parameter *number = wg_species_parameters(); number->name != NULL; number++) {
        char text[32];
        animal_number_text(species, number, text);
        wg_species_put(species, number, strtod(text, NULL));
    }
}

static const struct finding *seasonal_finding(const struct findings *findings, enum season_quantity quantity) {
    for (int i = 0; i < findings->n; i++)
        if (findings->row[i].seasonal && strcmp(findings->row[i].key, season_key(quantity)) == 0)
            return &findings->row[i];
    (void)fprintf(stderr, "findings: there is no seasonal row %s\n", season_key(quantity));
    exit(3);
}

static void weigh(struct draw *draw, const struct findings *findings) {
    double sum = 0.0;
    for (int q = 0; q < N_SEASONS; q++)
        if (q != SEASON_JUNE)
            sum += season_log_likelihood(seasonal_finding(findings, (enum season_quantity)q), &draw->seasons,
                                         (enum season_quantity)q);
    draw->weight_no_june = wg_exp(sum);
    draw->weight = draw->weight_no_june *
                   wg_exp(season_log_likelihood(seasonal_finding(findings, SEASON_JUNE), &draw->seasons, SEASON_JUNE));
}

void draws_live(struct draw *draw, int n, const struct wg_scenario *scenario, const struct findings *findings, int years) {
    for (int i = 0; i < n; i++) {
        seasons_live(&draw[i].seasons, scenario, &draw[i].species, (int64_t)i * years, years);
        weigh(&draw[i], findings);
    }
}

/* Both vary between animals by about as much on these scales. */
double draw_score(const struct draw *draw) {
    return draw->seasons.alive + draw->seasons.harvest_kg / 30.0;
}

/* Columns of the draws of one kind; the other kind weighs nothing. */
struct kind {
    double *weight, *no_june, *score;
};

static void fill_kind(struct kind *kind, const struct draw *draw, int n, bool by_day) {
    for (int i = 0; i < n; i++) {
        const bool belongs = (draw[i].species.dorm_by_day > 0.5) == by_day;
        kind->weight[i] = belongs ? draw[i].weight : 0.0;
        kind->no_june[i] = belongs ? draw[i].weight_no_june : 0.0;
        kind->score[i] = draw_score(&draw[i]);
    }
}

/* Neighbours get their mean, and all a mean of 1. */
static void level(double *mass, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += mass[i];
    for (int i = 0; i < n; i += ALIKE) {
        double group = 0.0;
        for (int k = 0; k < ALIKE; k++)
            group += mass[i + k];
        for (int k = 0; k < ALIKE; k++)
            mass[i + k] = group / sum * n / ALIKE;
    }
}

/* The picked are in the order of their scores, so picked i has rank i. */
static void choose_kind(const struct kind *kind, int n, bool by_day, gsl_rng *rng, int chosen, struct choice *choice) {
    int *const picked = calloc(2 * (size_t)chosen, sizeof(int)), *const order = picked + chosen;
    double *const mass = calloc(2 * (size_t)chosen, sizeof(double)), *const rank = mass + chosen;
    if (picked == NULL || mass == NULL)
        exit(3);
    choose_systematic(n, kind->weight, kind->score, gsl_rng_uniform(rng), chosen, picked);
    slice_other(n, kind->weight, kind->no_june, kind->score, chosen, mass);
    level(mass, chosen);
    for (int i = 0; i < chosen; i++)
        rank[i] = i;
    order_fairly(chosen, rank, order);
    for (int i = 0; i < chosen; i++)
        choice[2 * i + !by_day] = (struct choice){.draw = picked[order[i]], .without_june = mass[order[i]]};
    free(picked);
    free(mass);
}

void draws_choose(const struct draw *draw, int n, unsigned long seed, int chosen, struct choice *choice) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    double *const columns = calloc(3 * (size_t)n, sizeof(double));
    if (rng == NULL || columns == NULL)
        exit(3);
    struct kind kind = {.weight = columns, .no_june = columns + n, .score = columns + 2 * (ptrdiff_t)n};
    gsl_rng_set(rng, seed);
    for (int by_day = 1; by_day >= 0; by_day--) {
        fill_kind(&kind, draw, n, by_day == 1);
        choose_kind(&kind, n, by_day == 1, rng, chosen / 2, choice);
    }
    free(columns);
    gsl_rng_free(rng);
}
