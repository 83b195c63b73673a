/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The lattice: which animal lives which winter in a replicate.
 *
 * A forecast that varies both at once can tell them apart. Replicates form blocks of 512: 64 plausible animals, each in
 * 8 of the block's 64 winters, and each winter with 8 animals. Two animals of a block share at most one winter, so the
 * pairs that share something are as different as they can be. The next block has the next 64 animals and new winters.
 * Within a block each 64 replicates have every animal and every winter once.
 */
#ifndef WG_FORECAST_LATTICE_H
#define WG_FORECAST_LATTICE_H

#include "plan/plan.h"

#define WG_LATTICE_ANIMALS 64 /* of a block, and as many winters */
#define WG_LATTICE_BLOCK 512  /* replicates */

struct wg_cell {
    int animal;     /* of wg_plausible_animal(); -1: the middle animal, plan->species */
    int64_t winter; /* weather and mishaps are the streams (seed, winter) */
};
/**
 * Returns the cell of a replicate. Depends only on plan->animals, plan->seed and the replicate: compared plans share
 * cells, and more replicates add cells. With WG_ANIMALS_MIDDLE each replicate has a winter of its own, of its number.
 */
struct wg_cell wg_lattice_cell(const struct wg_plan *plan, int64_t replicate);

/**
 * Fills *species with an animal of the plan: its numbers, replaced by those that the plan gives. Where these contradict the
 * animal's other numbers (a smallest clutch above its largest), the others are the plan's as well.
 */
void wg_lattice_species(const struct wg_plan *plan, int animal, struct wg_species *species);

#endif
