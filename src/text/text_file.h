/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a text file, or standard input, into memory.
 */
#ifndef WG_TEXT_TEXT_FILE_H
#define WG_TEXT_TEXT_FILE_H

#include "base/error.h"

#include <stddef.h>

/** The name of standard input in messages and results. */
#define WG_STANDARD_INPUT "standard input"

/**
 * Reads at most `max_size` bytes; a larger file is WG_ERR_INPUT, an unreadable one WG_ERR_FILE with the system's reason,
 * both with `path` in err->where. A `path` of NULL is standard input, which can be read once. *text is malloc'ed, with a
 * NUL after its `size` bytes; NULL on failure.
 */
int wg_text_file_read(const char *path, size_t max_size, char **text, size_t *size, struct wg_error *err);

/** Texts that stand in for files, as on a page, which has no disk; ended by a NULL name. */
struct wg_text_given {
    const char *name; /* as a plan names it, a path below the plan's folder */
    const char *text;
    size_t size;
};
/** Reads one of the given texts, or the file if `given` is NULL; the contract is that of wg_text_file_read(). */
int wg_text_given_read(const struct wg_text_given *given, const char *path, size_t max_size, char **text, size_t *size,
                       struct wg_error *err);

#endif
