/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The file of a result: writing, reading and comparing it.
 */
#ifndef WG_RESULTS_RESULT_FILE_H
#define WG_RESULTS_RESULT_FILE_H

#include "analysis/goal_tally.h"
#include "data/result_data.h"
#include "forecast/ensemble.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"
#include "storage/stored_file.h"

/* ---- writes the result file: HDF5 that is also netCDF-4/CF, renamed into place only when complete ---- */

struct wg_result_writer;

/**
 * Opens a new result for `path`. Returns WG_ERR_EXISTS for an existing file unless `force`, and WG_ERR_FILE for a
 * folder, a device, or a missing or unwritable folder. Until wg_result_close() the file is ".NAME.HOST.PID.N.part"
 * beside `path`. Symbolic links are followed. On failure *out is NULL and no file is left. Use one thread for all
 * functions here. `scenario` is borrowed until the writer is freed.
 */
int wg_result_create(struct wg_result_writer **out, const char *path, int force, const struct wg_scenario *scenario,
                     const struct wg_provenance *provenance, struct wg_error *err);
/**
 * Does the same for a known existing file: replaces this file but no other (WG_ERR_EXISTS), and not if it has changed
 * by the time of wg_result_close().
 */
int wg_result_create_over(struct wg_result_writer **out, const char *path, const struct wg_file_identity *over,
                          const struct wg_scenario *scenario, const struct wg_provenance *provenance,
                          struct wg_error *err);
/** Returns the observer that writes replicates; it must be given all replicates of the provenance in order, from 0. */
struct wg_observer wg_result_observer(struct wg_result_writer *writer);
/** Stores the reasons in words, which `run` finds after the last replicate; others leave them out. */
void wg_result_explain(struct wg_result_writer *writer, const char *why, const char *checked);
/**
 * Finishes the file (means by generation, flush, fsync, close, rename, fsync of the folder) and frees the writer. A
 * file that has appeared under the name meanwhile is kept unless `force` (WG_ERR_EXISTS); too few replicates are
 * WG_ERR_INTERNAL. On failure an old file is unchanged and no temporary file is left. The program should ignore
 * SIGXFSZ, so that too large a file is only an error.
 */
int wg_result_close(struct wg_result_writer *writer, struct wg_error *err);
/** Removes the unfinished file and frees the writer. NULL is allowed. */
void wg_result_abandon(struct wg_result_writer *writer);

/*
 * Reads a result back from its file.
 *
 * By variable, as a chart asks for it, memory holds one series at a time. By replicate, wg_result_data_replay() passes
 * diaries to the same observers as the run, so that a report has the same numbers as the forecast.
 */

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

/* ---- compares two results bit for bit ---- */

/** The outcome of wg_result_compare(). */
enum { WG_RESULT_SAME = 0, WG_RESULT_DIFFERENT = 1, WG_RESULT_SAME_NUMBERS = 2 };
/**
 * Compares two open results bit for bit: all variables and attributes in the order of their creation, the data before
 * the provenance, without the start time, the command line, the reasons in words and the versions of the software. Returns DIFFERENT, with
 * the first number that differs in `what` (size bytes), such as "count at 17" (replicate 17) or "seed of provenance";
 * SAME_NUMBERS if descriptions differ, another program added to the first file or the second holds more, with the first
 * such in `what`; WG_ERR_FILE,
 * WG_ERR_FORMAT or WG_ERR_MEMORY. Memory does not grow with the number of replicates.
 */
int wg_result_compare(const struct wg_stored_file *first, const struct wg_stored_file *second, char *what, size_t size,
                      struct wg_error *err);

#endif
