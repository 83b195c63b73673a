/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what a keeper does, and on which days, for the description of a plan and for its calendar.
 */
#ifndef WG_TEXT_ACTION_TEXT_H
#define WG_TEXT_ACTION_TEXT_H

#include "plan/plan.h"

#define WG_ACTION_TEXT_SIZE 384
#define WG_ACTION_WHEN_SIZE 160

/** Words an action without its days: "clear 100 % of the residue in "barrel"". */
void wg_action_text(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]);
/** Words a move of everything from one of its parts: "everything from "cellar" to "yard"". */
void wg_action_job_text(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]);
/** Words its days: "on 1 May 2026", "every 3 days, 1 May 2026 to 30 June 2026", "throughout". */
void wg_action_when(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_WHEN_SIZE]);
/** True for what holds on every day from its first to its last: collected crawl-off and traps that are set. */
bool wg_action_is_standing(const struct wg_action *action);

/** "open", "under a screen", "under a lid" */
const char *wg_lid_text(enum wg_lid lid);
/** Writes a day of a season, "31 March". */
void wg_season_day_text(int day, char out[24]);

#endif
