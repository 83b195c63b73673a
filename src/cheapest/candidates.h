/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Makes the plans that a search tries, from a scenario with openings.
 */
#ifndef WG_CHEAPEST_CANDIDATES_H
#define WG_CHEAPEST_CANDIDATES_H

#include "scenario/scenario.h"
#include "search/plan_lives.h"

/** A scenario and what holds for all its candidates. Zero-initialise; owns the scenario. */
struct wg_candidates {
    struct wg_scenario base;
    int opened;          /* enum wg_usual_part: what was opened because the keeper opened nothing; 0: the keeper did */
    bool has_own_goal;   /* else the goal below is assumed */
    struct wg_goal goal; /* of all candidates, if the plan has none */
    bool has_unpriced_energy; /* a source of power without a price, which counts as free */
};

/**
 * Opens what usually decides in a scenario that was read if it leaves nothing open, checks that something has a price, and
 * assumes a goal if it has none. `seed`: NULL, or in place of the scenario's. Returns 0, or a negative error with any mistakes
 * in *mistakes.
 */
int wg_candidates_open(struct wg_candidates *candidates, const uint64_t *seed, struct wg_mistakes *mistakes,
                       struct wg_error *err);
void wg_candidates_free(struct wg_candidates *candidates);

/** Reads the candidate of some levels. Returns 0, WG_SEARCH_NO_PLAN or a negative error. Free *scenario in every case. */
int wg_candidates_read(const struct wg_candidates *candidates, const int *level, struct wg_scenario *scenario,
                       struct wg_error *err);
/** Makes the candidates for a search. Borrows *candidates. */
struct wg_search_maker wg_candidates_maker(const struct wg_candidates *candidates);

#endif
