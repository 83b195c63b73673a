/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Odds that the colony lives in the keeper's own places, in a neighbour's, or in at least one, under the same weather.
 */
#ifndef WG_ANALYSIS_RESERVE_H
#define WG_ANALYSIS_RESERVE_H

#include "analysis/variance_split.h"
#include "forecast/summary.h"

struct wg_reserve {
    struct wg_variance_split ours, neighbours, any;
};
/**
 * Finds them from the replicates 0 .. n - 1 of a plan with a neighbour, at the confidence of the odds. Returns 0, or an
 * error as wg_cells_init().
 */
int wg_reserve_find(struct wg_reserve *reserve, const struct wg_plan *plan, const struct wg_summary *summary,
                    struct wg_error *err);

#endif
