/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what the keeper's moves carried.
 */
#ifndef WG_REPORT_MOVES_TEXT_H
#define WG_REPORT_MOVES_TEXT_H

#include "forecast/work.h"
#include "report/forecast_facts.h"
#include "text/when_text.h"

/** Returns true, with the condition, if the moves of an entry wait for one. */
bool wg_move_waits_for(const struct wg_work *work, int move, char out[WG_WHEN_TEXT]);
/**
 * "Moved on 10 Jan 2027: 1,200 larvae (0 to 2,300), 40 pupae (0 to 90); nothing in 3 of 64 years", of an entry of moves;
 * "Moved once, when ours died out (1 Mar 2027 to 19 Jun 2027): ..." of one that waits.
 */
void wg_move_text(const struct wg_work *work, int move, char out[WG_SENTENCE_SIZE]);

#endif
