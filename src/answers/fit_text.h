/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What `fit` found, as text and as JSON.
 */
#ifndef WG_ANSWERS_FIT_TEXT_H
#define WG_ANSWERS_FIT_TEXT_H

#include "answers/fit_tables.h"
#include "report/json.h"

/** Prints the tables in 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);
/** Prints the same as JSON. Returns 0 or WG_ERR_MEMORY. */
int wg_fit_output_print_json(const struct wg_fit_output *fitting, FILE *to, struct wg_error *err);

#endif
