/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Builds text in a growing buffer, and escapes text from outside for pages (XML 1.0, section 2.2; UTF-8 as in RFC 3629).
 */
#include "text/bytes.h"

#include "base/utf8.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void wg_bytes_add(struct wg_bytes *bytes, const void *data, size_t size) {
    if (bytes->failed)
        return;
    if (bytes->capacity - bytes->size <= size) {
        const size_t capacity = 2 * bytes->capacity + size + 4096;
        char *const grown = realloc(bytes->data, capacity);
        if (grown == NULL) {
            bytes->failed = true;
            return;
        }
        bytes->data = grown;
        bytes->capacity = capacity;
    }
    memcpy(bytes->data + bytes->size, data, size);
    bytes->size += size;
    bytes->data[bytes->size] = '\0';
}

void wg_bytes_put(struct wg_bytes *bytes, const char *text) {
    wg_bytes_add(bytes, text, strlen(text));
}

void wg_bytes_printf(struct wg_bytes *bytes, const char *format, ...) {
    char text[2048];
    va_list list;
    va_start(list, format);
    const int n = vsnprintf(text, sizeof text, format, list);
    va_end(list);
    wg_assert(n >= 0 && (size_t)n < sizeof text);
    wg_bytes_add(bytes, text, (size_t)n);
}

void wg_bytes_escape(struct wg_bytes *bytes, const char *text) {
    const char *const end = text + strlen(text);
    while (text < end) {
        char shown[4];
        const bool is_break = *text == '\n' || *text == '\t';
        const char special = is_break || strchr("&<>\"'", *text) != NULL ? *text : '\0';
        const size_t n = wg_utf8_show(&text, end, shown);
        if (special != '\0' && !is_break)
            wg_bytes_printf(bytes, "&#%d;", special);
        else
            wg_bytes_add(bytes, is_break ? &special : shown, n);
    }
}

int wg_bytes_failed(const struct wg_bytes *bytes, struct wg_error *err) {
    return bytes->failed ? wg_no_memory(err, NULL) : 0;
}

void wg_bytes_free(struct wg_bytes *bytes) {
    free(bytes->data);
    memset(bytes, 0, sizeof *bytes);
}
