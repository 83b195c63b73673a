/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the result file: HDF5 that is also netCDF-4/CF, renamed into place only when complete.
 */
#ifndef WG_RESULTS_RESULT_WRITE_H
#define WG_RESULTS_RESULT_WRITE_H

#include "forecast/ensemble.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"

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

#endif
