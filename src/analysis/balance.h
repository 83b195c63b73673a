/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The balance of a plan that keeps accounts, and the odds that it is above zero.
 */
#ifndef WG_ANALYSIS_BALANCE_H
#define WG_ANALYSIS_BALANCE_H

#include "analysis/variance_split.h"
#include "forecast/summary.h"

struct wg_balance {
    struct wg_variance_split amount;     /* over the period, in the plan's currency */
    struct wg_variance_split above_zero; /* share of the replicates */
};
/**
 * Finds it from the replicates 0 .. n - 1 of a plan that keeps accounts, at the confidence of the odds. Returns 0, or an
 * error as wg_cells_init().
 */
int wg_balance_find(struct wg_balance *balance, const struct wg_plan *plan, const struct wg_summary *summary,
                    struct wg_error *err);

#endif
