/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Splits survival and harvest of a forecast into luck, animals and winters.
 */
#include "analysis/odds.h"

#include "analysis/cells.h"
#include "forecast/lattice.h"

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

/* Sets which replicates have an animal that goes dormant by day length. */
static void find_dormancy(const struct wg_plan *plan, const struct wg_split_value *cells, int64_t n, bool *by_day) {
    struct wg_species species;
    for (int64_t k = 0; k < n; k++) {
        wg_lattice_species(plan, (int)cells[k].animal, &species);
        by_day[k] = species.dorm_by_day > 0.5;
    }
}

/* Survival in the replicates of one kind, the only ones with a weight. */
static int find_odds_of_kind(struct wg_split_value *cells, const bool *by_day, int64_t n, bool kind,
                             struct wg_dormancy_odds *out, struct wg_error *err) {
    struct wg_variance_split split;
    for (int64_t k = 0; k < n; k++)
        cells[k].weight = by_day[k] == kind;
    const int code = wg_variance_split(&split, cells, n, WG_SPLIT_SHARE, WG_ODDS_CONFIDENCE, err);
    *out = (struct wg_dormancy_odds){split.n, split.mean, split.interval};
    return code;
}

/* The interval of a difference of two shares, from those of the shares (Newcombe 1998, Stat. Med. 17:873, method 10). */
static bool differs_beyond_luck(const struct wg_dormancy_odds *a, const struct wg_dormancy_odds *b) {
    const struct wg_dormancy_odds *const high = a->share > b->share ? a : b, *const low = high == a ? b : a;
    const double below = high->share - high->interval.low, above = low->interval.high - low->share;
    return a->n > 0 && b->n > 0 && high->share - low->share > sqrt(below * below + above * above);
}

/* Compares the two kinds of dormancy; leaves the cells with other values and weights. */
static int compare_dormancies(struct wg_odds *odds, const struct wg_plan *plan, const struct wg_summary *summary,
                              struct wg_split_value *cells, struct wg_error *err) {
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    bool *const by_day = malloc((size_t)(summary->n > 0 ? summary->n : 1) * sizeof *by_day);
    if (by_day == NULL)
        return wg_no_memory(err, NULL);
    find_dormancy(plan, cells, summary->n, by_day);
    for (int64_t k = 0; k < summary->n; k++)
        cells[k].value = survived[k];
    int code = find_odds_of_kind(cells, by_day, summary->n, true, &odds->by_day_length, err);
    if (code == 0)
        code = find_odds_of_kind(cells, by_day, summary->n, false, &odds->by_cold_only, err);
    odds->dormancy_decides = code == 0 && differs_beyond_luck(&odds->by_day_length, &odds->by_cold_only);
    free(by_day);
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
    if (code == 0 && odds->over_animals)
        code = compare_dormancies(odds, plan, summary, cells, err);
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
