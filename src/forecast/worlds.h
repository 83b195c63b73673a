/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The worlds of all animals of a plan, each built when a replicate first lives it (private to forecast/ and library/).
 *
 * Climate and places are the same for all animals, and animals of the same spread share its clock: the plausible animals
 * have spreads of two decimals, so at most 205 clocks exist (20 MB; 64 animals need about 8 MB), beside 10 kB for each
 * animal. Threads share the worlds; what they contain does not depend on which thread came first.
 */
#ifndef WG_FORECAST_WORLDS_H
#define WG_FORECAST_WORLDS_H

#include "colony/colony.h"

struct wg_worlds;
/** Checks the plan and builds the world of the middle animal. Borrows the plan. *worlds is NULL after a failure. */
int wg_worlds_new(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_error *err);
/**
 * Does the same for another plan and shares the clocks of `lender`, which must outlive it: for studies of many plans, for which
 * building clocks would take more time than a few replicates. The replicates are the same to the last bit.
 */
int wg_worlds_new_beside(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_worlds *lender,
                         struct wg_error *err);
void wg_worlds_free(struct wg_worlds *worlds);
/** Gets the world of an animal of wg_lattice_species(), built if it is the first time. Any thread may call it. */
int wg_worlds_get(struct wg_worlds *worlds, int animal, const struct wg_world **world, struct wg_error *err);

#endif
