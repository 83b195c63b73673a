/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes warnings and cautions to the file of a comparison or an answer and reads them back, for the report made from
 * it.
 *
 *   notes of the group provenance   numbers of warnings and cautions; absent in files of older versions
 *   dimension warning               its sentence; warning_kind(warning), warning_about(warning) (a place or bin),
 *                                   warning_replicates(warning), and in a comparison warning_scenario(warning)
 *   dimension caution               its sentence
 *   attribute comment of the file   all of these sentences, a line each (results have only this)
 */
#ifndef WG_RESULTS_STORED_WARNINGS_WRITE_H
#define WG_RESULTS_STORED_WARNINGS_WRITE_H

#include "data/stored_warnings.h"
#include "storage/hdf5_file.h"

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
