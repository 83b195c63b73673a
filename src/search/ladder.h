/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The ladder: climbs from the cheapest plan up and finds plans that meet the goals (private to search/).
 */
#ifndef WG_SEARCH_LADDER_H
#define WG_SEARCH_LADDER_H

#include "search/tried.h"

#define WG_LADDER_GROUP 5
#define WG_LADDER_WINDOW 256 /* plans that are looked at together, at most */

struct wg_ladder {
    struct wg_tried *tried;
    bool adds_neighbours; /* of a plan that passes: after a race, which did not see all plans */
    int n_passed, n_given;
    int passed[WG_LADDER_WINDOW + 1]; /* plans that passed, in the order in which they are to be judged */
};

/**
 * Finds the next group of plans that meet the goals in the search's years: the cheapest that was not given before and those
 * that cost hardly more, by the rule for equal plans within steps of 1 %. Only a plan that costs less than plan `than` begins one (-1: any).
 * *n is 0 if none is left. Returns 0, WG_STOPPED or a negative error.
 */
int wg_ladder_next(struct wg_ladder *ladder, int than, int group[WG_LADDER_GROUP], int *n);

#endif
