/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A forecast as text for the screen.
 */
#ifndef WG_REPORT_FORECAST_TEXT_H
#define WG_REPORT_FORECAST_TEXT_H

#include "report/forecast_facts.h"
#include "json/json.h"

/** Prints one screen of 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_forecast_print(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);
/**
 * Prints the odds and the harvest once more, in two lines below an empty one: on a terminal of 24 rows the forecast's top has
 * scrolled away. Returns 0 or an error.
 */
int wg_forecast_print_short(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);

/* ---- a forecast as JSON, and the parts that comparisons and sweeps share ---- */

/** Prints the whole document. Returns 0, or an error as wg_cells_init(). */
int wg_forecast_print_json(const struct wg_forecast *forecast, FILE *to, struct wg_error *err);

void wg_forecast_put_period(struct wg_json *json, const struct wg_plan *plan);
/**
 * Writes the days over which spring flies are counted, whether that is the whole spring, and of a forecast (or NULL) the
 * replicates with and without a date.
 */
void wg_forecast_put_spring(struct wg_json *json, const struct wg_plan *plan, const struct wg_forecast *forecast);
/**
 * Writes which animals were simulated, survival and harvest with their intervals and bands, and survival by winter where a
 * record is replayed. Returns 0, or an error as wg_cells_init().
 */
int wg_forecast_put_odds(struct wg_json *json, const struct wg_plan *plan, const struct wg_summary *summary,
                         struct wg_error *err);
/** Writes every outcome of the table. Returns 0 or WG_ERR_MEMORY. */
int wg_forecast_put_outcomes(struct wg_json *json, const struct wg_plan *plan, const struct wg_summary *summary);

#endif
