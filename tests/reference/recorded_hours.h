/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Records the hourly conditions of a replicate and plays them back.
 *
 * The linker redirects every call of wg_place_run() to the recorder (--wrap): it records the hours that the housing
 * computed, or returns the recorded ones instead. So the engine and the reference engines have exactly the same hours
 * and differ only in the animals. One place; the first bin is recorded, and played back for all.
 */
#ifndef WG_TESTS_RECORDED_HOURS_H
#define WG_TESTS_RECORDED_HOURS_H

#include "forecast/ensemble.h"
#include "housing/housing.h"

/** Days recorded before the first one: the engine's spin-up, which fills its means of the last week. */
#define HOURS_LEAD_DAYS 10

struct day_hours {
    double bin_c[24], ground_c[24], air_c[24], light_w_m2[24];
    double day_length_h;
};

/** day[0] is HOURS_LEAD_DAYS before the plan's first day. */
struct recorded_hours {
    int n_days; /* lead included */
    struct day_hours *day;
};

/** Simulates a replicate of a plan with one place and records its hours. Exits the program on failure. */
void hours_record(struct recorded_hours *hours, const struct wg_plan *plan, int64_t replicate);
void hours_free(struct recorded_hours *hours);

/** From now on every replicate has these hours, whatever its weather; NULL: its own again. Borrowed. */
void hours_play(const struct recorded_hours *hours);

#endif
