/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The numbers of an animal as coordinates without limits, in which animals can be mixed and moved.
 *
 * A coordinate is ln((v - least) / (most - v)): within the limits of a scenario, and near a small lower limit the
 * logarithm. Numbers that a plan gives, and switches (fewer than 8 values among the plausible animals), have none and
 * never move.
 */
#ifndef WG_INFERENCE_ANIMAL_NUMBERS_H
#define WG_INFERENCE_ANIMAL_NUMBERS_H

#include "plan/plan.h"

struct wg_animal_numbers {
    int n;
    const struct wg_parameter *row[WG_SPECIES_NUMBERS];
    double mean[WG_SPECIES_NUMBERS]; /* of the plausible animals' coordinates */
};
/** Finds the numbers of a plan's animals that can move. */
void wg_animal_numbers_init(struct wg_animal_numbers *numbers, const struct wg_plan *plan);
/** Reads the n coordinates of an animal. */
void wg_animal_numbers_get(const struct wg_animal_numbers *numbers, const struct wg_species *animal, double *x);
/**
 * Moves an animal to coordinates, or as far towards them, by halves, as its numbers do not contradict each other
 * (wg_species_problem()); an animal whose own numbers do not stays valid.
 */
void wg_animal_numbers_move(const struct wg_animal_numbers *numbers, const double *x, struct wg_species *animal);

/**
 * Fills *animal with the k-th animal that a plan allows, from 0. First the plausible animals with the numbers of the plan
 * that are given. For a plan with one animal (WG_ANIMALS_MIDDLE) their spread is moved so that its middle is that animal.
 * After the last plausible animal, and always where `jitter` is true, animals lie between and around the plausible ones,
 * with the same mean and covariance of the coordinates: x = m + a (x_k - m) + h (x_i - x_j) / sqrt(2), a^2 + h^2 = 1, with
 * i and j drawn by `seed` (kernel with shrinkage: Liu & West 2001, in Sequential Monte Carlo Methods in Practice, ch. 10).
 * Returns 0, or WG_ERR_INPUT where given numbers contradict a plausible animal.
 */
int wg_animal_numbers_draw(const struct wg_animal_numbers *numbers, const struct wg_plan *plan, int64_t k, bool jitter,
                           uint64_t seed, struct wg_species *animal, struct wg_error *err);

#endif
