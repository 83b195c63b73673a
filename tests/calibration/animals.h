/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

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
    struct seasons home, wild; /* in the scenario, and in the scenario without harvest */
    double weight;             /* by the seasonal findings */
    double weight_no_june;     /* the same without june_flies */
    double weight_home_june;   /* the same with june_flies lived at home, harvest and all: shown, not used */
};

/** Rounds numbers to what the table holds: spreads to two decimals, the rest to five digits. */
void animal_round(struct wg_species *species);
/** The text of a number in the table. */
void animal_number_text(const struct wg_species *species, const struct wg_parameter *number, char text[32]);
/** Lives all draws in years of their own, and weighs them: keepers' findings at home, those of wild flies without harvest. */
void draws_live(struct draw *draw, int n, const struct wg_scenario *home, const struct wg_scenario *wild,
                const struct findings *findings, int years);

/** A chosen animal. */
struct choice {
    int draw;
    double without_june;    /* its weight among the chosen without june_flies; mean 1 */
    struct seasons at_home; /* in the scenario as it is, harvest and all, in other years */
};

/** Animals of neighbouring scores share a weight, so that every group of a fourth of the places has the same weights. */
enum { ALIKE = 4 };

/** Chooses `chosen` animals, first half dormant by day length, second half by cold only, each in the order of scores. */
void draws_choose(const struct draw *draw, int n, unsigned long seed, int chosen, struct choice *choice);
/** Lives the chosen in other years of the scenario. */
void choices_live(struct choice *choice, int chosen, const struct draw *draw, const struct wg_scenario *scenario,
                  int years);
/**
 * Orders the chosen: the two kinds of dormancy in turn, each in the order of order_fairly() by survival and harvest at
 * home.
 */
void choices_order(struct choice *choice, int chosen);

#endif
