/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds the odds of survival in the places of two keepers.
 */
#include "analysis/odds.h"

#include "analysis/cells.h"

#include <stdlib.h>

int wg_reserve_find(struct wg_reserve *reserve, const struct wg_plan *plan, const struct wg_summary *summary,
                    struct wg_error *err) {
    const struct {
        enum wg_outcome_number outcome;
        struct wg_variance_split *split;
    } part[] = {{WG_OUTCOME_alive_ours, &reserve->ours},
                {WG_OUTCOME_alive_neighbours, &reserve->neighbours},
                {WG_OUTCOME_survived, &reserve->any}};
    struct wg_split_value *cells;
    *reserve = (struct wg_reserve){0};
    int code = wg_cells_of(&cells, plan, summary->n, err);
    for (size_t i = 0; i < sizeof part / sizeof *part && code == 0; i++) {
        const double *const alive = wg_summary_outcome(summary, part[i].outcome);
        for (int64_t k = 0; k < summary->n; k++)
            cells[k].value = alive[k];
        code = wg_variance_split(part[i].split, cells, summary->n, WG_SPLIT_SHARE, WG_ODDS_CONFIDENCE, err);
    }
    free(cells);
    return code;
}
