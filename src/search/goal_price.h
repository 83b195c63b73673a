/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds what each of several goals costs (private to search/).
 */
#ifndef WG_SEARCH_GOAL_PRICE_H
#define WG_SEARCH_GOAL_PRICE_H

#include "search/judge.h"

/** Finds the cheapest plan without each goal: answer->without. Returns 0, WG_STOPPED or a negative error. */
int wg_goal_prices_find(struct wg_jury *jury);

#endif
