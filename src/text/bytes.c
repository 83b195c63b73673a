/*
 * Builds text in a growing buffer, and escapes text from outside for pages (XML 1.0, section 2.2; UTF-8 as in RFC 3629).
 */
#include "text/bytes.h"

#include <stdarg.h>
#include <stdint.h>
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

/* The value of a well-formed character of `n` bytes, or -1. */
static int32_t decode_utf8(const unsigned char *text, size_t n) {
    static const unsigned char lead[] = {0, 0x7F, 0x1F, 0x0F, 0x07};
    static const int32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    int32_t value = text[0] & lead[n];
    for (size_t i = 1; i < n; i++) {
        if ((text[i] & 0xC0) != 0x80)
            return -1;
        value = value << 6 | (text[i] & 0x3F);
    }
    return value >= least[n] ? value : -1;
}

size_t wg_character_size(const char *text) {
    const unsigned char *const at = (const unsigned char *)text;
    const size_t n = at[0] < 0x80 ? 1 : at[0] < 0xC0 ? 0 : at[0] < 0xE0 ? 2 : at[0] < 0xF0 ? 3 : at[0] < 0xF8 ? 4 : 0;
    const int32_t c = n == 0 ? -1 : decode_utf8(at, n);
    const bool fits = c == '\n' || c == '\t' || (c >= 0x20 && c < 0x7F) || (c >= 0xA0 && c < 0xD800) ||
                      (c >= 0xE000 && c < 0xFFFE) || (c >= 0x10000 && c <= 0x10FFFF);
    return fits ? n : 0;
}

void wg_bytes_escape(struct wg_bytes *bytes, const char *text) {
    while (*text != '\0') {
        const size_t n = wg_character_size(text);
        const char *const special = n == 1 ? strchr("&<>\"'", *text) : NULL;
        if (special != NULL)
            wg_bytes_printf(bytes, "&#%d;", *special);
        else if (n > 0)
            wg_bytes_add(bytes, text, n);
        else
            wg_bytes_put(bytes, "?");
        text += n > 0 ? n : 1;
    }
}

int wg_bytes_failed(const struct wg_bytes *bytes, struct wg_error *err) {
    return bytes->failed ? wg_no_memory(err, NULL) : 0;
}

void wg_bytes_free(struct wg_bytes *bytes) {
    free(bytes->data);
    memset(bytes, 0, sizeof *bytes);
}
