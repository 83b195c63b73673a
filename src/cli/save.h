/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Saves pictures, pages and other texts as files.
 */
#ifndef WG_CLI_SAVE_H
#define WG_CLI_SAVE_H

#include "cli/args.h"
#include "text/bytes.h"

#include <stdatomic.h>

struct wg_figures;

/** Writes a file atomically. WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err);
/** The same for a page, whose buffer may have failed (WG_ERR_MEMORY). WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_page_save(const struct wg_bytes *page, const char *path, int force, struct wg_error *err);

/**
 * Writes NAME.svg, NAME.pdf and NAME.png of each figure into a folder, which it creates if needed. Unless `force`, an
 * existing file is WG_ERR_EXISTS, and no file is written. Writes each file atomically. Starts no further file once *stop
 * is nonzero: WG_STOPPED. WG_ERR_FILE, WG_ERR_MEMORY.
 *
 * The SVG has <title>, <desc> and, in <metadata>, the numbers as CSV: the day or name of each row, columns
 * "NAME [UNIT]", without unit for counts; an empty field is a missing value.
 */
int wg_figures_save(const struct wg_figures *figures, const char *folder, int force, const atomic_int *stop,
                    struct wg_error *err);
/**
 * Checks that none of those files is an argument or, unless it is NULL, a file that the scenario names; `option` names
 * the folder. Returns 0, or the exit status after printing one line.
 */
int wg_figures_check_paths(const struct wg_args *args, const char *option, const struct wg_figures *figures,
                           const char *folder, const struct wg_scenario *scenario);

#endif
