/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What is in a colony, a world, a weather or a summary, in plain lines: for a debugger and for tests.
 *
 * In gdb, where a colony is at hand:   call (void)wg_colony_print_state(colony, stderr)
 * The first line says whether the state is sound (wg_colony_verify()).
 */
#ifndef WG_TEXT_PRINT_STATE_H
#define WG_TEXT_PRINT_STATE_H

#include "colony/colony.h"
#include "forecast/summary.h"

#include <stdio.h>

/** Prints the step, the ledger, and every bin and place with its temperatures and cohorts. */
void wg_colony_print_state(const struct wg_colony *colony, FILE *to);
/** Prints the sizes of a world's tables, and its places. */
void wg_world_print_state(const struct wg_world *world, FILE *to);
/** Prints each day's low and high of a weather drawn for a climate. */
void wg_weather_print_state(const struct wg_weather *weather, const struct wg_climate *climate, FILE *to);
/** Prints the outcomes, a row for each replicate. */
void wg_summary_print_state(const struct wg_summary *summary, FILE *to);

#endif
