/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Picks plans among those tried that are worth fresh years beside the winner (private to search/).
 */
#ifndef WG_SEARCH_CHOOSE_H
#define WG_SEARCH_CHOOSE_H

#include "search/tried.h"

#define WG_PICKED_MOST 8

/**
 * Picks plans for the line of money around one that meets the goals: cheaper ones with the best odds, dearer ones that take out
 * more. Lets them live more years of the search for that. Returns 0, WG_STOPPED or a negative error.
 */
int wg_pick_line(struct wg_tried *tried, int around, int picked[WG_PICKED_MOST], int *n);
/** Picks the plans nearest to the goals where none meets them, at most `most`. */
int wg_pick_nearest(struct wg_tried *tried, int most, int *picked, int *n);

#endif
