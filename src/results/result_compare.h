/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Compares two results bit for bit.
 */
#ifndef WG_RESULTS_RESULT_COMPARE_H
#define WG_RESULTS_RESULT_COMPARE_H

#include "storage/stored_file.h"

/** The outcome of wg_result_compare(). */
enum { WG_RESULT_SAME = 0, WG_RESULT_DIFFERENT = 1, WG_RESULT_SAME_NUMBERS = 2 };
/**
 * Compares two open results bit for bit: all variables and attributes in the order of their creation, the data before
 * the provenance, without the start time, the command line, the reasons in words and the versions of the software. Returns DIFFERENT, with
 * the first number that differs in `what` (size bytes), such as "count at 17" (replicate 17) or "seed of provenance";
 * SAME_NUMBERS if descriptions differ or the second file holds more, with the first such in `what`; WG_ERR_FILE,
 * WG_ERR_FORMAT or WG_ERR_MEMORY. Memory does not grow with the number of replicates.
 */
int wg_result_compare(const struct wg_stored_file *first, const struct wg_stored_file *second, char *what, size_t size,
                      struct wg_error *err);

#endif
