/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A forecast as text for the screen.
 */
#ifndef WG_REPORT_FORECAST_TEXT_H
#define WG_REPORT_FORECAST_TEXT_H

#include "report/forecast_facts.h"

/** Prints one screen of 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_forecast_print(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);
/**
 * Prints the odds and the harvest once more, in two lines below an empty one: on a terminal of 24 rows the forecast's top has
 * scrolled away. Returns 0 or an error.
 */
int wg_forecast_print_short(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);

#endif
