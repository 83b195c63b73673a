/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the numbers of a run as CSV (RFC 4180, but lines end in \n), for spreadsheets. An empty field is a missing value.
 */
#ifndef WG_FIGURES_RUN_CSV_H
#define WG_FIGURES_RUN_CSV_H

#include "data/result_data.h"
#include "text/bytes.h"

/**
 * Writes a row for each day: its date, then the 5 %, 50 % and 95 % quantiles over replicates of the numbers alive by stage,
 * the crawl-off, and the temperatures outdoors, of each place, its ground and each bin. Returns 0 or a negative error.
 */
int wg_run_days_csv(struct wg_result_data *data, struct wg_bytes *out, struct wg_error *err);
/**
 * Writes a row for each replicate: its number, animal and winter, then every outcome that `plan`, that of the run, has; days of
 * the period are dates. Returns 0 or a negative error.
 */
int wg_run_years_csv(struct wg_result_data *data, const struct wg_plan *plan, struct wg_bytes *out,
                     struct wg_error *err);

#endif
