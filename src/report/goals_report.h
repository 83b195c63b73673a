/**
 * Goals and odds as a keeper reads them, shared by `run`, `size` and `fit`.
 */
#ifndef WG_REPORT_GOALS_REPORT_H
#define WG_REPORT_GOALS_REPORT_H

#include "analysis/goal_tally.h"
#include "report/json.h"
#include "scenario/scenario.h"

/** The confidence of every interval that is shown. */
#define WG_GOALS_CONFIDENCE 0.95

/** "97 %", with a decimal where whole ones would say 0 or 100 of what is neither. */
void wg_goals_text_chance(double share, char out[16]);
/** "94 to 97 %" */
void wg_goals_text_interval(struct wg_interval interval, char out[24]);

/** A paragraph for each goal: its odds and whether they are enough; a line on all together where there are several. */
void wg_goals_text_print(const struct wg_goal_tally *odds, const char *noun, FILE *to);
/** The same as a list under "goals", and "all_goals". */
void wg_goals_json_put(struct wg_json *json, const struct wg_goal_tally *odds);
/** kind, text, by, amount and wanted chance of a goal, into the object that is open. */
void wg_goals_json_put_one(struct wg_json *json, const struct wg_goal *goal);
/** share, low, high into the object that is open. */
void wg_goals_json_put_chance(struct wg_json *json, double share, struct wg_interval interval);

#endif
