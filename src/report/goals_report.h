/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Goals and their odds as text and JSON, shared by `run`, `size` and `fit`.
 */
#ifndef WG_REPORT_GOALS_REPORT_H
#define WG_REPORT_GOALS_REPORT_H

#include "analysis/goal_tally.h"
#include "scenario/scenario.h"
#include "json/json.h"

/** The confidence of every interval shown. */
#define WG_GOALS_CONFIDENCE 0.95

/** Shows "97 %", with decimals if rounding would give 0 or 100. */
void wg_goals_text_chance(double share, char out[16]);
/** Shows "94 to 97 %". */
void wg_goals_text_interval(struct wg_interval interval, char out[24]);

/** Prints the goals with their wanted chances, numbered, a paragraph each. */
void wg_goals_list(const struct wg_plan *plan, FILE *to);
/**
 * Prints a paragraph for each goal, its odds and whether they are enough, and a line on all together if there are
 * several. Returns 0, or an error as wg_cells_init().
 */
int wg_goals_text_print(const struct wg_goal_tally *odds, const char *noun, FILE *to, struct wg_error *err);
/** Writes the same as a list under "goals", and as "all_goals". Returns 0, or an error as wg_cells_init(). */
int wg_goals_json_put(struct wg_json *json, const struct wg_goal_tally *odds, struct wg_error *err);
/** Writes kind, text, by, amount and wanted chance of a goal into the open object. */
void wg_goals_json_put_one(struct wg_json *json, const struct wg_goal *goal, const char *currency);
/** Writes share, low and high into the open object. */
void wg_goals_json_put_chance(struct wg_json *json, double share, struct wg_interval interval);

#endif
