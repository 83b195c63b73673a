/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Doubtful numbers of the animal, on which a cheap winter may depend, and the ends of what they may be.
 */
#ifndef WG_SEARCH_DOUBTS_H
#define WG_SEARCH_DOUBTS_H

#include "plan/plan.h"

#define WG_MAX_DOUBTS 8
#define WG_DOUBT_NUMBERS 2 /* most numbers that change together */

/** One doubt: one or two numbers of the species table, all at the low or all at the high end of their ranges. */
struct wg_doubt {
    const char *what; /* "temperature from which flies mate and lay" */
    int n;
    const struct wg_parameter *number[WG_DOUBT_NUMBERS]; /* name, unit, low, high, source: the table's */
};

struct wg_doubts {
    int n;
    struct wg_doubt doubt[WG_MAX_DOUBTS];
};

/** Lists the doubts of a plan: those of whose numbers it gives none. */
void wg_doubts_of(struct wg_doubts *doubts, const struct wg_plan *plan);
/**
 * Puts a doubt at one end into a plan (a copy): every animal of the plan then has these numbers; what contradicts them in an
 * animal is adapted as in wg_lattice_species(). A middle animal whose own numbers they contradict stays as it is.
 */
void wg_doubt_apply(const struct wg_doubt *doubt, bool high, struct wg_plan *plan);

#endif
