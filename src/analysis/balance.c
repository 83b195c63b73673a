/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds the mean balance of a plan and the odds that it is above zero.
 */
#include "analysis/odds.h"

#include "analysis/cells.h"

#include <stdlib.h>

int wg_balance_find(struct wg_balance *balance, const struct wg_plan *plan, const struct wg_summary *summary,
                    struct wg_error *err) {
    const double *const amount = wg_summary_outcome(summary, WG_OUTCOME_balance);
    struct wg_split_value *cells;
    *balance = (struct wg_balance){0};
    int code = wg_cells_of(&cells, plan, summary->n, err);
    for (int64_t k = 0; code == 0 && k < summary->n; k++)
        cells[k].value = amount[k];
    if (code == 0)
        code = wg_variance_split(&balance->amount, cells, summary->n, WG_SPLIT_AMOUNT, WG_ODDS_CONFIDENCE, err);
    for (int64_t k = 0; code == 0 && k < summary->n; k++)
        cells[k].value = amount[k] > 0;
    if (code == 0)
        code = wg_variance_split(&balance->above_zero, cells, summary->n, WG_SPLIT_SHARE, WG_ODDS_CONFIDENCE, err);
    free(cells);
    return code;
}
