/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What luck, the animal and the winter do to the two main answers of a forecast: survival and harvest.
 */
#ifndef WG_ANALYSIS_ODDS_H
#define WG_ANALYSIS_ODDS_H

#include "analysis/variance_split.h"
#include "forecast/summary.h"

#define WG_ODDS_CONFIDENCE 0.95

/** Survival among the plausible animals of one kind of dormancy. */
struct wg_dormancy_odds {
    int64_t n; /* replicates with such an animal; 0: the rest is not set */
    double share;
    struct wg_interval interval;
};

struct wg_odds {
    bool over_animals;                      /* the plausible ones; else all is said of the middle animal */
    enum wg_outcome_number harvest_outcome; /* total harvest, or crawl-off if the plan takes nothing out */
    struct wg_variance_split survival, harvest;
    /* Means without the finding that flies are seen in June in most years; NaN without plausible animals. */
    double survival_without_june, harvest_without_june;
    /* Nobody knows which kind prepupae are, and half of the plausible animals are of each. */
    struct wg_dormancy_odds by_day_length, by_cold_only;
    bool dormancy_decides; /* they differ by more than luck: the 95 % interval of the difference leaves out 0 */
};

/**
 * Computes them from the replicates 0 .. n - 1 of the plan. Where replicates share nothing (middle animal, generated weather)
 * the intervals are those of independent years. Returns 0, or an error as wg_cells_init().
 */
int wg_odds_find(struct wg_odds *odds, const struct wg_plan *plan, const struct wg_summary *summary,
                 struct wg_error *err);
/** Does the same with another outcome as the harvest: that of a comparison is one for all setups. */
int wg_odds_find_of(struct wg_odds *odds, const struct wg_plan *plan, const struct wg_summary *summary,
                    enum wg_outcome_number harvest, struct wg_error *err);

/* ---- the balance of a plan that keeps accounts, and the odds that it is above zero ---- */

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

/*
 * Odds that the colony lives in the keeper's own places, in a neighbour's, or in at least one, under the same weather.
 */

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
