/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Splits survival and harvest of a forecast into luck, animals and winters.
 */
#include "analysis/odds.h"

#include "analysis/cells.h"

#include <math.h>
#include <stdlib.h>

/* One answer: its split, and its mean without the June finding. `cells` keep their weights of 1. */
static int find_answer(const double *outcome, struct wg_split_value *cells, int64_t n, enum wg_split_kind kind,
                       struct wg_variance_split *split, double *without_june, struct wg_error *err) {
    double total = 0, weight = 0;
    for (int64_t k = 0; k < n; k++)
        cells[k].value = outcome[k];
    const int code = wg_variance_split(split, cells, n, kind, WG_ODDS_CONFIDENCE, err);
    wg_cells_leave_out_june(cells, n);
    for (int64_t k = 0; k < n; k++) {
        total += isnan(outcome[k]) ? 0 : cells[k].weight * outcome[k];
        weight += isnan(outcome[k]) ? 0 : cells[k].weight;
        cells[k].weight = 1;
    }
    *without_june = total / weight;
    return code;
}

int wg_odds_find_of(struct wg_odds *odds, const struct wg_plan *plan, const struct wg_summary *summary,
                    enum wg_outcome_number harvest, struct wg_error *err) {
    struct wg_split_value *cells;
    *odds = (struct wg_odds){.over_animals = plan->animals == WG_ANIMALS_PLAUSIBLE, .harvest_outcome = harvest};
    int code = wg_cells_of(&cells, plan, summary->n, err);
    if (code == 0)
        code = find_answer(wg_summary_outcome(summary, WG_OUTCOME_survived), cells, summary->n, WG_SPLIT_SHARE,
                           &odds->survival, &odds->survival_without_june, err);
    if (code == 0)
        code = find_answer(wg_summary_outcome(summary, odds->harvest_outcome), cells, summary->n, WG_SPLIT_AMOUNT,
                           &odds->harvest, &odds->harvest_without_june, err);
    free(cells);
    if (!odds->over_animals)
        odds->survival_without_june = odds->harvest_without_june = (double)NAN;
    return code;
}

int wg_odds_find(struct wg_odds *odds, const struct wg_plan *plan, const struct wg_summary *summary,
                 struct wg_error *err) {
    const enum wg_outcome_number harvest =
        wg_plan_takes_out(plan) ? WG_OUTCOME_total_harvest_mass : WG_OUTCOME_total_crawl_off_mass;
    return wg_odds_find_of(odds, plan, summary, harvest, err);
}
