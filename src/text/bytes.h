/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A growing buffer in which SVG, HTML and CSV are built.
 *
 * Errors are sticky: once memory runs out it adds nothing more, and wg_bytes_failed() reports it, so callers need no
 * checks in between.
 */
#ifndef WG_TEXT_BYTES_H
#define WG_TEXT_BYTES_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/** Zero-initialise it. `data` has a NUL after its `size` bytes; NULL while empty. Free with wg_bytes_free(). */
struct wg_bytes {
    char *data;
    size_t size, capacity;
    bool failed;
};
void wg_bytes_add(struct wg_bytes *bytes, const void *data, size_t size);
void wg_bytes_put(struct wg_bytes *bytes, const char *text);
/** Appends at most 2047 bytes per call (wg_assert). */
void wg_bytes_printf(struct wg_bytes *bytes, const char *format, ...) __attribute__((format(printf, 2, 3)));
/**
 * A text from outside between tags or in quoted attributes: & < > " ' are escaped, what may not be shown becomes '?' as
 * wg_utf8_show() has it; newlines and tabs stay.
 */
void wg_bytes_escape(struct wg_bytes *bytes, const char *text);
/** Returns 0 or WG_ERR_MEMORY. */
int wg_bytes_failed(const struct wg_bytes *bytes, struct wg_error *err);
void wg_bytes_free(struct wg_bytes *bytes);

#endif
