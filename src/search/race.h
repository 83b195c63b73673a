/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The race: improves a population of plans where there are too many to look at all (private to search/).
 */
#ifndef WG_SEARCH_RACE_H
#define WG_SEARCH_RACE_H

#include "search/tried.h"

/**
 * Fills a table, which has the own plan only, with plans that are cheap and good, each with its pilot years. Returns 0,
 * WG_STOPPED or a negative error.
 */
int wg_race_run(struct wg_tried *tried);

#endif
