/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Survival by winter where the weather replays a record: replicates of one winter are not independent of each other.
 */
#ifndef WG_ANALYSIS_WINTERS_H
#define WG_ANALYSIS_WINTERS_H

#include "forecast/summary.h"

#define WG_MAX_WINTERS 200

/** The replicates that replay one year of the record. */
struct wg_winter {
    int year; /* of the record in which it begins */
    int64_t n, alive;
};
/** Zero-initialise. */
struct wg_winters {
    int n;
    struct wg_winter winter[WG_MAX_WINTERS]; /* in order of years, each replayed at least once */
};

/**
 * Groups the replicates of a summary (numbers 0 .. n - 1 of the plan's seed) by the year that they replay. n = 0 if none
 * does (wg_plan_replays_winters()). Returns 0, WG_ERR_MEMORY, or WG_ERR_INPUT as wg_climate_new().
 */
int wg_winters_count(struct wg_winters *winters, const struct wg_plan *plan, const struct wg_summary *summary,
                     struct wg_error *err);

#endif
