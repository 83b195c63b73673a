/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Runs `size` over two numbers.
 */
#ifndef WG_COMMANDS_SIZE_GRID_H
#define WG_COMMANDS_SIZE_GRID_H

#include "cli/args.h"

/** Answers `size --vary KEY --vary KEY`. Returns the exit status. */
int wg_size_grid_run(const struct wg_args *args);

#endif
