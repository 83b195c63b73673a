/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what a keeper does, and on which days, for the description of a plan and for its calendar.
 */
#ifndef WG_TEXT_ACTION_TEXT_H
#define WG_TEXT_ACTION_TEXT_H

#include "housing/when.h"
#include "plan/plan.h"
#include "text/quantity.h"

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

/* ---- reads and words the conditions on which a keeper acts ---- */

#define WG_WHEN_TEXT 80

/** Returns the words of all conditions, terminated by NULL: "always", "flies are about", ... */
const char *const *wg_when_words(void);
/**
 * Reads a condition: one of the words, or "a night below 40 degF". Returns 0, or -1 and sets `message` to sentences on how
 * to write it.
 */
int wg_when_read(const char *text, struct wg_when *when, char message[WG_QUANTITY_MESSAGE]);
/** "flies are about", "a night below 4.4 degC (40 degF) is forecast" */
void wg_when_text(const struct wg_when *when, char out[WG_WHEN_TEXT]);

#endif
