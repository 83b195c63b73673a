/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison as JSON.
 */
#ifndef WG_ANSWERS_COMPARISON_JSON_H
#define WG_ANSWERS_COMPARISON_JSON_H

#include "answers/comparison_facts.h"

/** Prints the whole document. Returns 0 or WG_ERR_MEMORY. */
int wg_comparison_print_json(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

#endif
