/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a result back from its file.
 *
 * By variable, as a chart asks for it, memory holds one series at a time. By replicate, wg_result_data_replay() passes
 * diaries to the same observers as the run, so that a report has the same numbers as the forecast.
 */
#ifndef WG_RESULTS_RESULT_READ_H
#define WG_RESULTS_RESULT_READ_H

#include "analysis/goal_tally.h"
#include "data/result_data.h"
#include "storage/stored_file.h"

/**
 * Opens a result. Returns 0, WG_ERR_FILE (cannot be read), WG_ERR_FORMAT (not a result, other version, damaged,
 * truncated) or WG_ERR_MEMORY. Use one thread for all functions here.
 */
int wg_result_data_open(struct wg_result_data *data, const char *path, struct wg_error *err);
/** Does the same with an open file; takes ownership of it and zeroes it. */
int wg_result_data_take(struct wg_result_data *data, struct wg_stored_file *file, struct wg_error *err);
/** Returns the file of data that were opened here. */
struct wg_stored_file *wg_result_data_file(const struct wg_result_data *data);

/**
 * Computes the summary and the goals' odds of the run from the outcomes alone, much faster than
 * wg_result_data_replay(). Initialises both for `plan`, the result's plan; free both in every case.
 */
int wg_result_data_summary(struct wg_result_data *data, const struct wg_plan *plan, struct wg_summary *summary,
                           struct wg_goal_tally *odds, struct wg_error *err);

/**
 * Passes all replicates in order to the observers. The diaries hold the series and outcomes, but no numbers by
 * generation, of which the file has only means. `plan` comes from the result's scenario; WG_ERR_FORMAT if its places,
 * bins or days differ from the file's. Stops at the first nonzero code of an observer and returns it.
 */
int wg_result_data_replay(struct wg_result_data *data, const struct wg_plan *plan, const struct wg_observer *observers,
                          int n_observers, struct wg_error *err);

#endif
