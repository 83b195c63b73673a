/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Tells whether a value is the last of those tried, so that others beyond it may be better.
 */
#ifndef WG_CHEAPEST_ENDS_H
#define WG_CHEAPEST_ENDS_H

#include "cheapest/cheapest_text.h"

/** An end of the values tried. */
struct wg_tried_end {
    const char *which;  /* "lowest", "highest", "earliest", "latest" */
    const char *beyond; /* "lower", "higher", "earlier", "later" */
    const char *noun;   /* "value", "date" */
};

/**
 * Finds the end at which the value of an open number of a judged plan stands. Days of the year go round: they are ordered by the
 * plan's period, and have no end where they lie evenly all round the year, or where a season that begins or ends with them
 * already lasts all year. Returns false where it stands at none, or has no order.
 */
bool wg_cheapest_end(const struct wg_cheapest *cheapest, const struct wg_search_judged *judged, int number,
                     struct wg_tried_end *end);

#endif
