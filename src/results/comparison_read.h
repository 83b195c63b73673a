/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a comparison back from its file (comparison_file.h describes the layout).
 */
#ifndef WG_RESULTS_COMPARISON_READ_H
#define WG_RESULTS_COMPARISON_READ_H

#include "data/comparison_data.h"
#include "storage/stored_file.h"

/**
 * Takes ownership of an open file and zeroes it. Returns 0, WG_ERR_FORMAT (not a comparison, other version, damaged)
 * or WG_ERR_MEMORY.
 */
int wg_comparison_data_take(struct wg_comparison_data *data, struct wg_stored_file *file, struct wg_error *err);

#endif
