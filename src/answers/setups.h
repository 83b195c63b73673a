/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Makes the setups of a comparison from one scenario and lists of values, KEY=VALUE,VALUE,...
 */
#ifndef WG_ANSWERS_SETUPS_H
#define WG_ANSWERS_SETUPS_H

#include "data/comparison_words.h"
#include "scenario/scenario.h"

/** One number and the values that it takes. */
struct wg_varied_number {
    struct wg_vary vary;
    int n;
    double value[WG_COMPARE_MAX];
};

/** Reads KEY=VALUE,VALUE,... of a scenario. Returns 0, WG_ERR_USAGE (the list) or WG_ERR_INPUT (the key). */
int wg_setups_read_list(const char *written, const struct wg_scenario *base, struct wg_varied_number *number,
                        struct wg_error *err);
/**
 * Reads the scenario once for each value of a number, or each pair of values of two, into scenario[*n], with titles that name
 * the values. Returns 0; WG_ERR_USAGE: too few or too many; or a negative error of setup *at, with any mistakes in *mistakes.
 * Every scenario must be freed in every case.
 */
int wg_setups_make(const struct wg_scenario *base, const struct wg_varied_number *number, int n_numbers,
                   struct wg_varied *varied, struct wg_scenario *const *scenario, int *n, int *at,
                   struct wg_mistakes *mistakes, struct wg_error *err);

#endif
