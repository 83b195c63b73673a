/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * `run --what-matters`.
 */
#ifndef WG_COMMANDS_COMMAND_WHAT_MATTERS_H
#define WG_COMMANDS_COMMAND_WHAT_MATTERS_H

#include "cli/args.h"
#include "inference/sensitivity.h"
#include "scenario/scenario.h"

/** Analyses the plan with at most so many replicates and prints the ranking. Returns the exit status. */
int wg_sensitivity_command(const struct wg_args *args, const struct wg_scenario *scenario, int threads,
                           int64_t replicates);

#endif
