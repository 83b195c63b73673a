/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads an answer back from its file (answer_file.h describes the layout).
 */
#ifndef WG_RESULTS_ANSWER_READ_H
#define WG_RESULTS_ANSWER_READ_H

#include "data/answer_data.h"
#include "storage/stored_file.h"

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not an answer, other version, damaged) or
 * WG_ERR_MEMORY.
 */
int wg_answer_data_take(struct wg_answer_data *data, struct wg_stored_file *file, struct wg_error *err);
/** Reads an open file of the kind SIZE; any other kind is WG_ERR_FORMAT. */
int wg_answer_data_size(struct wg_answer_data *data, struct wg_answer_size *to, struct wg_error *err);
/**
 * Reads an open file of the kind SENSITIVITY, but for the variance between animals (0: they do not differ) and what is not
 * stored. WG_ERR_FORMAT also if this program knows a number or a measurement no longer.
 */
int wg_answer_data_sensitivity(struct wg_answer_data *data, struct wg_sensitivity *to, struct wg_error *err);

/** Returns the file that an answer is read from. */
static inline struct wg_stored_file *wg_answer_file_of(const struct wg_answer_data *data) {
    return data->file;
}

#endif
