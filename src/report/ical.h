/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The work calendar as an iCalendar file (RFC 5545) for a phone: an all-day event for each week with work, and one for
 * each action of the plan.
 */
#ifndef WG_REPORT_ICAL_H
#define WG_REPORT_ICAL_H

#include "report/forecast_facts.h"
#include "text/bytes.h"

/**
 * Appends the calendar of a forecast. It depends on nothing but the forecast: the same plan gives the same bytes, and an
 * event keeps its UID when the plan changes, so that a phone replaces it. Returns 0 or WG_ERR_MEMORY.
 */
int wg_ical_write(const struct wg_forecast *forecast, struct wg_bytes *out, struct wg_error *err);

/** Appends a content line "NAME:value" with the value escaped as TEXT (3.3.11), folded after 75 bytes (3.1). */
void wg_ical_put_text(struct wg_bytes *out, const char *name, const char *value);

#endif
