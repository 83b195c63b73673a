/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Pairs plausible animals with winters.
 *
 * An animal at position p of its block lives the winters (p + MARK[j]) mod 64. The differences of the marks are distinct
 * modulo 64 (a modular Golomb ruler, found by exhaustive search), so two animals share at most one winter. The seed
 * shifts the animals by an exclusive or (a digital shift, as in quasi-Monte Carlo: Owen 1995, MEMORY), which keeps groups
 * of a power of two together and so as fair as the table's order.
 */
#include "forecast/lattice.h"

#include "base/random.h"
#include "species/plausible.h"

#define ROUNDS (WG_LATTICE_BLOCK / WG_LATTICE_ANIMALS)
static const int mark[ROUNDS] = {0, 1, 3, 8, 19, 25, 29, 52};

struct wg_cell wg_lattice_cell(const struct wg_plan *plan, int64_t replicate) {
    wg_assert(replicate >= 0);
    if (plan->animals == WG_ANIMALS_MIDDLE)
        return (struct wg_cell){.animal = -1, .winter = replicate};
    const int64_t block = replicate / WG_LATTICE_BLOCK;
    const int within = (int)(replicate % WG_LATTICE_BLOCK);
    const int position = within % WG_LATTICE_ANIMALS, round = within / WG_LATTICE_ANIMALS;
    const uint64_t shift = wg_random_key(plan->seed, 0, WG_PURPOSE_ANIMALS);
    const uint64_t row = ((uint64_t)block * WG_LATTICE_ANIMALS + (uint64_t)position) ^ shift;
    const bool is_middle = plan->animals == WG_ANIMALS_MIDDLE_IN_LATTICE;
    return (struct wg_cell){.animal = is_middle ? -1 : (int)(row % (uint64_t)wg_plausible_count()),
                            .winter = block * WG_LATTICE_ANIMALS + (position + mark[round]) % WG_LATTICE_ANIMALS};
}

void wg_lattice_species(const struct wg_plan *plan, int animal, struct wg_species *species) {
    *species = plan->species;
    if (animal < 0)
        return;
    if (plan->plausible != NULL)
        *species = plan->plausible[animal];
    else
        wg_plausible_animal(animal, species);
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        if (plan->is_given[wg_parameter_index(p)])
            wg_species_put(species, p, wg_species_get(&plan->species, p));
    if (wg_species_problem(species) != NULL)
        wg_species_reconcile(species, &plan->species, plan->is_given);
}
