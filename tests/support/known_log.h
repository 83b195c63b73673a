/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A keeper's log made by the simulator with a known animal.
 */
#ifndef WG_TESTS_KNOWN_LOG_H
#define WG_TESTS_KNOWN_LOG_H

#include "inference/fit.h"

#define MAX_NOTES 128

struct known_log {
    struct wg_plan plan;
    struct wg_log_entry note[MAX_NOTES];
    int n;
};

/**
 * Makes the plan of a fed bench with collecting and traps, at 27 degC or outdoors, over so many weeks (4 to 30) and five
 * more, and its entries without values: weekly weights and eggs, flies on Sundays, a temperature every third week. Free
 * log->plan.
 */
void known_log_make(struct known_log *log, int weeks, bool outdoors);
/** Fills the values from a replicate lived by an animal, with a keeper's errors; its diary stays in *diary (free it). */
void known_log_fill(struct known_log *log, const struct wg_species *animal, uint64_t replicate, struct wg_diary *diary);

#endif
