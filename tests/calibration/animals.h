/**
 * The draws of the sampler as animals: rounded, lived outdoors, weighted, and the plausible ones chosen from them.
 */
#ifndef WG_TESTS_CALIBRATION_ANIMALS_H
#define WG_TESTS_CALIBRATION_ANIMALS_H

#include "calibration/posterior.h"
#include "calibration/seasons.h"

/** A draw. */
struct draw {
    struct wg_species species; /* rounded as in the table */
    struct seasons seasons;
    double weight;         /* by the seasonal findings */
    double weight_no_june; /* the same without june_flies */
};

/** Rounds numbers to what the table holds: spreads to two decimals, the rest to five digits. */
void animal_round(struct wg_species *species);
/** The text of a number in the table. */
void animal_number_text(const struct wg_species *species, const struct wg_parameter *number, char text[32]);
/** Lives all draws in years of their own, and weighs them. */
void draws_live(struct draw *draw, int n, const struct wg_scenario *scenario, const struct findings *findings, int years);
/** A chosen animal: its draw, and its weight among the chosen without june_flies (mean 1). */
struct choice {
    int draw;
    double without_june;
};

/** As many animals of neighbouring scores share a weight, so that any group of ANIMALS/4 places has the same weights. */
enum { ALIKE = 4 };

/**
 * Chooses `chosen` animals, half of them dormant by day length (even places) and half by cold only (odd), each half in
 * the order of order_fairly() by draw_score().
 */
void draws_choose(const struct draw *draw, int n, unsigned long seed, int chosen, struct choice *choice);
/** A linear score of survival and harvest, by which animals are ordered. */
double draw_score(const struct draw *draw);

#endif
