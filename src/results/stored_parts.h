/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Parts of a file of results: the animals, their numbers, the warnings.
 */
#ifndef WG_RESULTS_STORED_PARTS_H
#define WG_RESULTS_STORED_PARTS_H

#include "data/result_data.h"
#include "data/stored_warnings.h"
#include "storage/hdf5_file.h"
#include "storage/stored_file.h"

/*
 * Stores which animal lived which winter in each replicate of a result, and the numbers of those animals.
 */

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

/* ---- replaces today's numbers of the animal by those stored in a result ---- */

#define WG_STORED_NUMBERS_SIZE 512

/** How the file's numbers differ from those of this program. Zero-initialise. */
struct wg_stored_numbers {
    int n_changed, n_gone, n_new;
    int n_animals; /* plausible animals with numbers other than today's */
    /* the first few of each, separated by commas */
    char changed[WG_STORED_NUMBERS_SIZE], gone[WG_STORED_NUMBERS_SIZE], new[WG_STORED_NUMBERS_SIZE];
};
/**
 * Sets the animals of a plan to the stored ones: the choice, the middle animal's numbers, and those of the plausible
 * animals. Returns 0, WG_ERR_MEMORY, or WG_ERR_FORMAT if a number is out of range or an animal is inconsistent.
 */
int wg_stored_numbers_apply(const struct wg_result_data *data, struct wg_plan *plan, struct wg_stored_numbers *numbers,
                            struct wg_error *err);
/** Returns how many of the stored plausible animals differ from those of a plan. */
int wg_stored_animals_changed(const struct wg_result_data *data, const struct wg_plan *plan);

/*
 * Writes warnings and cautions to the file of a comparison or an answer and reads them back, for the report made from
 * it.
 *
 * notes of the group provenance   numbers of warnings and cautions; absent in files of older versions
 * dimension warning               its sentence; warning_kind(warning), warning_about(warning) (a place or bin),
 * warning_replicates(warning), and in a comparison warning_scenario(warning)
 * dimension caution               its sentence
 * attribute comment of the file   all of these sentences, a line each (results have only this)
 */

/** Writes the attribute `comment` of the file (CF-1.10, section 2.6.2), as the next does. Returns 0 or WG_ERR_MEMORY. */
int wg_stored_warnings_comment(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                               const struct wg_warnings *const *warnings, struct wg_error *err);
/**
 * Writes the warnings of n setups (NULL: not checked); call before the group provenance. Returns 0 or WG_ERR_MEMORY.
 */
int wg_stored_warnings_put(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                           const struct wg_warnings *const *warnings, struct wg_error *err);
/** Writes their numbers into the group provenance. */
void wg_stored_warnings_put_counts(struct wg_h5 *file, int n, const struct wg_plan *const *plan,
                                   const struct wg_warnings *const *warnings);
/** Reads them. Returns 0, WG_ERR_FORMAT or WG_ERR_MEMORY; free *warned in every case. */
int wg_stored_warnings_read(struct wg_h5 *file, struct wg_stored_warnings *warned, struct wg_error *err);

#endif
