/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Opens a result, a comparison or an answer for reading. The file is opened and its checksum verified once; the reader
 * of its kind then takes it over.
 */
#ifndef WG_STORAGE_STORED_FILE_H
#define WG_STORAGE_STORED_FILE_H

#include "colony/diary.h"
#include "data/run_facts.h"
#include "storage/hdf5_file.h"

enum wg_stored_kind { WG_STORED_OTHER, WG_STORED_RESULT, WG_STORED_COMPARISON, WG_STORED_ANSWER };

/** Zero-initialise; owns all it points to. Use one thread for all functions here. */
struct wg_stored_file {
    struct wg_h5 *h5;
    enum wg_stored_kind kind;
    uint64_t format;           /* number of its format */
    struct wg_run_facts facts; /* the path; the rest is set by wg_stored_expect() */
};

/**
 * Opens an HDF5 file and finds its kind. Returns 0, WG_ERR_FILE (cannot be read), WG_ERR_FORMAT (damaged, not HDF5) or
 * WG_ERR_MEMORY.
 */
int wg_stored_open(struct wg_stored_file *file, const char *path, struct wg_error *err);
/**
 * Refuses a file of another kind or format (WG_ERR_FORMAT), then reads what all kinds have in common. Or
 * WG_ERR_MEMORY.
 */
int wg_stored_expect(struct wg_stored_file *file, enum wg_stored_kind kind, struct wg_error *err);
/** Frees the file; may be zeroed, half-opened or already freed. */
void wg_stored_free(struct wg_stored_file *file);

/** Reports "This result is damaged: WHAT cannot be read." (WG_ERR_FORMAT), or the failure that caused it. */
int wg_stored_damaged(const struct wg_stored_file *file, const char *what, struct wg_error *err);
/** Reads a whole variable of reals (or counts) that must have this shape into *values (malloc'ed; NULL on failure). */
int wg_stored_values(struct wg_stored_file *file, const char *name, enum wg_h5_kind kind,
                     const struct wg_h5_shape *must, void **values, struct wg_error *err);
/**
 * Does so for an outcome of replicates of `n_days`, with values that it can have; those of money, which only plans with
 * prices store, are NaN if not stored.
 */
int wg_stored_outcome(struct wg_stored_file *file, enum wg_outcome_number outcome, const struct wg_h5_shape *must,
                      int n_days, double **values, struct wg_error *err);

/** Reads the inputs from a result or an answer. Returns 0, WG_ERR_FORMAT (a text is missing or changed) or WG_ERR_MEMORY. */
int wg_stored_inputs_read(struct wg_stored_file *file, struct wg_run_inputs *inputs, struct wg_error *err);

#endif
