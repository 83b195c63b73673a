/**
 * Text that grows: SVG, HTML and CSV are put together in it.
 *
 * Sticky: after memory ran out nothing is added any more, and wg_bytes_failed()
 * tells. Nobody checks in between.
 */
#ifndef WG_TEXT_BYTES_H
#define WG_TEXT_BYTES_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/** Zero-initialise. `data` is ended by a NUL beyond `size`, NULL while empty. Free with wg_bytes_free(). */
struct wg_bytes {
    char *data;
    size_t size, capacity;
    bool failed;
};
void wg_bytes_add(struct wg_bytes *bytes, const void *data, size_t size);
void wg_bytes_put(struct wg_bytes *bytes, const char *text);
/** At most 2047 bytes at once (wg_assert). */
void wg_bytes_printf(struct wg_bytes *bytes, const char *format, ...) __attribute__((format(printf, 2, 3)));
/**
 * A text from outside between tags or in quoted attributes: & < > " ' are escaped, what may not be shown becomes '?' as
 * wg_utf8_show() has it; newlines and tabs stay.
 */
void wg_bytes_escape(struct wg_bytes *bytes, const char *text);
/** 0 or WG_ERR_MEMORY. */
int wg_bytes_failed(const struct wg_bytes *bytes, struct wg_error *err);
void wg_bytes_free(struct wg_bytes *bytes);

#endif
