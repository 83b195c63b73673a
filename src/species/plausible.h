/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The plausible animals: sets of the species' numbers that agree with what is published, in place of one best set.
 *
 * What is not known of the animal is shown by the spread of a forecast over them. The table, plausible_animals.tsv, has a
 * row for each animal and a column for each number; it is part of the library. Its order is fair: the first 32, 64 or 128
 * animals are a cross-section of all, and so is each later group of 64.
 */
#ifndef WG_SPECIES_PLAUSIBLE_H
#define WG_SPECIES_PLAUSIBLE_H

#include "species/species.h"

/** Returns the number of plausible animals, a power of two and at least 64. */
int wg_plausible_count(void);
/** Fills *out with animal i, from 0. Each passes wg_species_problem(). */
void wg_plausible_animal(int i, struct wg_species *out);
/**
 * Returns the relative weight of animal i if the finding "flies are seen in June in most years" is left out; the animals
 * have equal weights with it.
 */
double wg_plausible_weight_without_june(int i);

#endif
