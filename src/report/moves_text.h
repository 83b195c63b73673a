/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words what the keeper's moves carried.
 */
#ifndef WG_REPORT_MOVES_TEXT_H
#define WG_REPORT_MOVES_TEXT_H

#include "forecast/work.h"
#include "report/forecast_facts.h"

/** "Moved on 10 Jan 2027: 1,200 larvae (0 to 2,300), 40 pupae (0 to 90); nothing in 3 of 64 years", of a day of moves. */
void wg_move_text(const struct wg_work *work, int move, char out[WG_SENTENCE_SIZE]);

#endif
