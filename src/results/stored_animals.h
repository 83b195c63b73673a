/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Stores which animal lived which winter in each replicate of a result, and the numbers of those animals.
 */
#ifndef WG_RESULTS_STORED_ANIMALS_H
#define WG_RESULTS_STORED_ANIMALS_H

#include "data/result_data.h"
#include "storage/stored_file.h"

/** The variables `animal` and `winter`, over replicates. */
struct wg_cell_columns {
    int animal, winter; /* numbers of the variables in the file */
};
/** Defines them. The file remembers failures (wg_h5_failed()), as below. */
struct wg_cell_columns wg_cell_columns_add(struct wg_h5 *file);
/** Writes those of a replicate; in order. */
void wg_cell_columns_write(struct wg_h5 *file, const struct wg_cell_columns *columns, int64_t replicate,
                           struct wg_cell cell);

/** Writes the numbers of all animals that `replicates` replicates live, after wg_provenance_write(). 0 or WG_ERR_MEMORY. */
int wg_stored_animals_write(struct wg_h5 *file, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);

/** Reads the animals of a result; n_parameters is the length of the file's list. Returns 0, WG_ERR_FORMAT or WG_ERR_MEMORY. */
int wg_stored_animals_read(struct wg_stored_file *file, int n_parameters, struct wg_stored_animals *animals,
                           struct wg_error *err);

#endif
