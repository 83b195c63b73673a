/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The work calendar as text and JSON: what the plan has the keeper do, feed, traps and crawl-off.
 */
#ifndef WG_REPORT_CALENDAR_TEXT_H
#define WG_REPORT_CALENDAR_TEXT_H

#include "forecast/work.h"
#include "report/json.h"

/** Prints tables with a line for each week or month, 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_work_print(const struct wg_work *work, FILE *to, struct wg_error *err);
/** Writes the same as arrays, one value a week, under the key "weeks". */
void wg_work_put_json(const struct wg_work *work, struct wg_json *json);

#endif
