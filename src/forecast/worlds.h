/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The worlds of all animals of a plan, each built when a replicate first lives it (private to forecast/ and library/).
 *
 * Climate and places are the same for all animals; clocks and growth tables are lent (see tables.h). Threads share the worlds;
 * what they contain does not depend on which thread came first.
 */
#ifndef WG_FORECAST_WORLDS_H
#define WG_FORECAST_WORLDS_H

#include "colony/colony.h"
#include "forecast/tables.h"

struct wg_worlds;
/**
 * Checks the plan and builds the world of the middle animal. Borrows the plan, and the tables of `tables`; both must outlive it.
 * NULL: it has tables of its own. *worlds is NULL after a failure.
 */
int wg_worlds_new(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_tables *tables,
                  struct wg_error *err);
void wg_worlds_free(struct wg_worlds *worlds);
/** Gets the world of an animal of wg_lattice_species(), built if it is the first time. Any thread may call it. */
int wg_worlds_get(struct wg_worlds *worlds, int animal, const struct wg_world **world, struct wg_error *err);

#endif
