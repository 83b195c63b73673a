/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Keeps a run in memory as its file would, for charts and pages without a file.
 *
 * It keeps the outcomes, the mean numbers by generation, and of the daily series only those that are asked for, in 32 bits
 * while these hold every value exactly. Daily real numbers are rounded as in a file (WG_SERIES_BITS), so that a picture has
 * the same bytes from memory and from the file.
 */
#ifndef WG_DATA_RESULT_MEMORY_H
#define WG_DATA_RESULT_MEMORY_H

#include "data/result_data.h"

struct wg_result_memory;

/** What to keep. */
struct wg_keep {
    const char *const *series; /* names of daily series, NULL-terminated */
    size_t bytes;              /* of all series; beyond it only the first replicates are kept, at least
                                  WG_RESULT_MIN_READ; 0: no limit */
    /** Observers that see each replicate as a file gives it back. Borrowed until the last replicate. */
    const struct wg_observer *observers;
    int n_observers;
};

/**
 * Begins to keep a run. `scenario` and `keep->series` are borrowed until wg_result_memory_free(); provenance->replicates will
 * be kept; a run that is stopped has fewer. Returns 0 or WG_ERR_MEMORY; on failure *out is NULL.
 */
int wg_result_memory_new(struct wg_result_memory **out, const struct wg_scenario *scenario,
                         const struct wg_provenance *provenance, const struct wg_keep *keep, struct wg_error *err);
/** Returns the observer that keeps replicates; it must see the replicates in order, from 0. */
struct wg_observer wg_result_memory_observer(struct wg_result_memory *memory);
/**
 * Opens what is kept, after the last replicate; `memory` must outlive the data. Returns 0 or WG_ERR_MEMORY; free the data in
 * every case.
 */
int wg_result_memory_open(struct wg_result_memory *memory, struct wg_result_data *data, struct wg_error *err);
/** Returns the bytes that the series take. */
size_t wg_result_memory_size(const struct wg_result_memory *memory);
/** NULL is allowed. */
void wg_result_memory_free(struct wg_result_memory *memory);

#endif
