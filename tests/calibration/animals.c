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

/* Survival and harvest have about the same spread between animals on these scales. */
double draw_score(const struct draw *draw) {
    return draw->seasons.alive + draw->seasons.harvest_kg / 10.0;
}

/* The draws that are dormant by day length, or those that are not. */
static void choose_kind(const struct draw *draw, int n, bool by_day, gsl_rng *rng, int chosen, int *choice) {
    double *const weight = calloc(2 * (size_t)n, sizeof(double)), *const score = weight + n;
    int *const picked = calloc(2 * (size_t)chosen, sizeof(int)), *const order = picked + chosen;
    if (weight == NULL || picked == NULL)
        exit(3);
    for (int i = 0; i < n; i++) {
        weight[i] = (draw[i].species.dorm_by_day > 0.5) == by_day ? draw[i].weight : 0.0;
        score[i] = draw_score(&draw[i]);
    }
    choose_systematic(n, weight, score, gsl_rng_uniform(rng), chosen, picked);
    for (int i = 0; i < chosen; i++)
        weight[i] = score[picked[i]];
    order_fairly(chosen, weight, order);
    for (int i = 0; i < chosen; i++)
        choice[2 * i + !by_day] = picked[order[i]];
    free(weight);
    free(picked);
}

void draws_choose(const struct draw *draw, int n, unsigned long seed, int chosen, int *choice) {
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, seed);
    choose_kind(draw, n, true, rng, chosen / 2, choice);
    choose_kind(draw, n, false, rng, chosen / 2, choice);
    gsl_rng_free(rng);
}
