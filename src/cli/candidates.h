/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads the scenario of a search for the cheapest plan.
 */
#ifndef WG_CLI_CANDIDATES_H
#define WG_CLI_CANDIDATES_H

#include "cheapest/candidates.h"

/** Reads a scenario and opens it (wg_candidates_open()). Returns 0, or the exit status after printing the reason. */
int wg_candidates_load(struct wg_candidates *candidates, const char *path, const uint64_t *seed);

#endif
