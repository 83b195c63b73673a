/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Replaces today's numbers of the animal by those stored in a result.
 */
#ifndef WG_RESULTS_STORED_NUMBERS_H
#define WG_RESULTS_STORED_NUMBERS_H

#include "data/result_data.h"

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

#endif
