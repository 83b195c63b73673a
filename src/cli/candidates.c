/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the scenario of a search, and reports its mistakes.
 */
#include "cli/load_scenario.h"

int wg_candidates_load(struct wg_candidates *candidates, const char *path, const uint64_t *seed) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    const int status = wg_load_scenario(&candidates->base, path);
    if (status != 0)
        return status;
    const int code = wg_candidates_open(candidates, seed, &mistakes, &err);
    return wg_load_report(code, &mistakes, &err);
}
