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

/**
 * Prints an error of setups made from one scenario: of the command line, of the scenario with the values of a setup, which it
 * frees, or any other. Returns the exit status; 0 without an error.
 */
int wg_vary_report(const struct wg_args *args, const struct wg_varied *varied, const struct wg_varied_number *number,
                   int setup, int code, struct wg_mistakes *mistakes, const struct wg_error *err);

/**
 * Reads the scenario of args->argument[0] once for each value of --vary (for each pair of values, if it is given twice),
 * into scenario[*n], with titles that name the values. Returns 0, or the exit status after printing the reason; every
 * scenario must be freed in every case.
 */
int wg_vary_setups(const struct wg_args *args, struct wg_varied *varied, struct wg_scenario *const *scenario, int *n);

#endif
