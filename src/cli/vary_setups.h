/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Makes the setups of a comparison from one scenario and the options --vary KEY=VALUE,VALUE,...
 */
#ifndef WG_CLI_VARY_SETUPS_H
#define WG_CLI_VARY_SETUPS_H

#include "answers/setups.h"
#include "cli/command.h"
#include "results/comparison_file.h"

/** Reads KEY=VALUE,VALUE,... of a scenario. Returns 0, or the exit status after printing the reason. */
int wg_vary_read_list(const struct wg_args *args, const char *written, const struct wg_scenario *base,
                      struct wg_varied_number *number);
/** Makes a setup for each value, or pair of values, of n_numbers numbers; the rest as wg_vary_setups(). */
int wg_vary_make_setups(const struct wg_args *args, const struct wg_scenario *base,
                        const struct wg_varied_number *number, int n_numbers, struct wg_varied *varied,
                        struct wg_scenario *const *scenario, int *n);

/**
 * Reads the scenario of args->argument[0] once for each value of --vary (for each pair of values, if it is given twice),
 * into scenario[*n], with titles that name the values. Returns 0, or the exit status after printing the reason; every
 * scenario must be freed in every case.
 */
int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n);

#endif
