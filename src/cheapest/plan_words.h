/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what a search varies of a plan: its heat, its lamps, and any other open value.
 */
#ifndef WG_CHEAPEST_PLAN_WORDS_H
#define WG_CHEAPEST_PLAN_WORDS_H

#include "scenario/scenario.h"

#define WG_PLAN_WORDS 400

/**
 * Words a plan made from levels of the openings: "heated to 45 °F, 75 °F from 25 Apr; lamps 12 hours, 15 Mar to 30 Sep". `base`: the
 * scenario with the openings; temperatures are in the unit that it uses more often.
 */
void wg_plan_words(const struct wg_scenario *base, const struct wg_plan *plan, const int *level,
                   char out[WG_PLAN_WORDS]);
/** Words a value to try: "45 °F", "25 Apr", "R-11". */
void wg_level_text(const struct wg_opening *opening, int level, char out[WG_PLAN_WORDS]);
/** Words a value to try with what it is: "set point 45 °F". */
void wg_level_words(const struct wg_opening *opening, int level, char out[WG_PLAN_WORDS]);

#endif
