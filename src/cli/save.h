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

struct wg_args;
struct wg_figures;

/** Writes a file atomically. WG_ERR_EXISTS unless `force`, WG_ERR_FILE; WG_ERR_MEMORY if the buffer has failed. */
int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err);
/**
 * Copies a page that is part of the program to --output, or to standard output for "-". `example`: a name to suggest if
 * none is given. Returns the exit status after printing where the page is, or the reason.
 */
int wg_page_copy(const struct wg_args *args, const void *page, size_t size, const char *example);

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
