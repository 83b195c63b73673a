/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A comparison as text for the screen.
 */
#ifndef WG_ANSWERS_COMPARISON_TEXT_H
#define WG_ANSWERS_COMPARISON_TEXT_H

#include "answers/comparison_facts.h"

/**
 * Prints details if the comparison has them, reasons, warnings and cautions, then the verdict and its table: 80 columns.
 * Returns 0 or WG_ERR_MEMORY.
 */
int wg_comparison_print(const struct wg_comparison *comparison, FILE *to, struct wg_error *err);

#endif
