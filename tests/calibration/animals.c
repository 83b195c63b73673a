/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

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

static double season_of(const struct seasons *seasons, const struct findings *findings, enum season_quantity quantity) {
    return season_log_likelihood(seasonal_finding(findings, quantity), seasons, quantity);
}

static void weigh(struct draw *draw, const struct findings *findings) {
    double sum = 0.0;
    for (int i = 0; i < N_SEASONS; i++) {
        const enum season_quantity quantity = (enum season_quantity)i;
        if (quantity != SEASON_JUNE)
            sum += season_of(season_is_wild(quantity) ? &draw->wild : &draw->home, findings, quantity);
    }
    draw->weight_no_june = wg_exp(sum);
    draw->weight = wg_exp(sum + season_of(&draw->wild, findings, SEASON_JUNE));
    draw->weight_home_june = wg_exp(sum + season_of(&draw->home, findings, SEASON_JUNE));
}

void draws_live(struct draw *draw, int n, const struct wg_scenario *home, const struct wg_scenario *wild,
                const struct findings *findings, int years) {
    for (int i = 0; i < n; i++) {
        seasons_live(&draw[i].home, home, &draw[i].species, (int64_t)i * years, years);
        seasons_live(&draw[i].wild, wild, &draw[i].species, (int64_t)i * years, years);
        weigh(&draw[i], findings);
    }
}

/* A linear score of survival and harvest; both vary between animals by about as much on these scales. */
static double score_of(double alive, double harvest_kg) {
    return alive + harvest_kg / 30.0;
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
        kind->score[i] = score_of(draw[i].home.alive, draw[i].home.harvest_kg);
    }
}

static double *animal_column(int n) {
    double *const values = calloc((size_t)n, sizeof(double));
    if (values == NULL) {
        (void)fprintf(stderr, "calibrate: not enough memory\n");
        exit(3);
    }
    return values;
}

static void choose_kind(const struct kind *kind, int n, gsl_rng *rng, int chosen, struct choice *choice) {
    int *const picked = calloc((size_t)chosen, sizeof(int));
    double *const mass = animal_column(chosen);
    double sum = 0.0;
    if (picked == NULL)
        exit(3);
    choose_systematic(n, kind->weight, kind->score, gsl_rng_uniform(rng), chosen, picked);
    slice_other(n, kind->weight, kind->no_june, kind->score, chosen, mass);
    for (int i = 0; i < chosen; i++)
        sum += mass[i] / chosen;
    for (int i = 0; i < chosen; i++)
        choice[i] = (struct choice){.draw = picked[i], .without_june = mass[i] / sum};
    free(picked);
    free(mass);
}

void draws_choose(const struct draw *draw, int n, unsigned long seed, int chosen, struct choice *choice) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    double *const columns = animal_column(3 * n);
    struct kind kind = {.weight = columns, .no_june = columns + n, .score = columns + 2 * (ptrdiff_t)n};
    gsl_rng_set(rng, seed);
    for (int half = 0; half < 2; half++) {
        fill_kind(&kind, draw, n, half == 0);
        choose_kind(&kind, n, rng, chosen / 2, choice + half * (ptrdiff_t)(chosen / 2));
    }
    free(columns);
    gsl_rng_free(rng);
}

/* Years that no draw has lived: the weights favour draws that were lucky in theirs. */
static const int64_t first_other_year = 1000000;

void choices_live(struct choice *choice, int chosen, const struct draw *draw, const struct wg_scenario *scenario,
                  int years) {
    for (int i = 0; i < chosen; i++)
        seasons_live(&choice[i].at_home, scenario, &draw[choice[i].draw].species, first_other_year + (int64_t)i * years,
                     years);
}

static int compare_choices(const void *a, const void *b) {
    const struct choice *const x = a, *const y = b;
    const double p = score_of(x->at_home.alive, x->at_home.harvest_kg),
                 q = score_of(y->at_home.alive, y->at_home.harvest_kg);
    return p != q ? (p > q) - (p < q) : (x->draw > y->draw) - (x->draw < y->draw);
}

/* Neighbours get their mean weight. */
static void level_weights(struct choice *choice, int n) {
    for (int i = 0; i < n; i += ALIKE) {
        double sum = 0.0;
        for (int k = i; k < i + ALIKE; k++)
            sum += choice[k].without_june;
        for (int k = i; k < i + ALIKE; k++)
            choice[k].without_june = sum / ALIKE;
    }
}

void choices_order(struct choice *choice, int chosen) {
    const int half = chosen / 2;
    struct choice *const sorted = calloc((size_t)chosen, sizeof *sorted);
    int *const order = calloc((size_t)half, sizeof(int));
    double *const rank = animal_column(half);
    if (sorted == NULL || order == NULL)
        exit(3);
    for (int i = 0; i < half; i++)
        rank[i] = i;
    order_fairly(half, rank, order);
    for (int kind = 0; kind < 2; kind++) {
        struct choice *const mine = choice + kind * (ptrdiff_t)half;
        qsort(mine, (size_t)half, sizeof *mine, compare_choices);
        level_weights(mine, half);
        for (int i = 0; i < half; i++)
            sorted[2 * i + kind] = mine[order[i]];
    }
    memcpy(choice, sorted, (size_t)chosen * sizeof *choice);
    free(sorted);
    free(order);
    free(rank);
}
