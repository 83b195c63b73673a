/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Which bytes are a character of UTF-8 (RFC 3629, section 4), and which characters may be shown?
 */
#include "base/utf8.h"

#include <string.h>

/* Bytes of a character that begins with this one; 0: none does. */
static size_t size_by_lead(unsigned char lead) {
    return lead < 0x80 ? 1 : lead < 0xC2 ? 0 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : lead < 0xF5 ? 4 : 0;
}

size_t wg_utf8_decode(const char *text, const char *end, uint32_t *code) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000}; /* a smaller number is spelt too long */
    const size_t n = text < end ? size_by_lead((unsigned char)*text) : 0;
    if (n == 0 || n > (size_t)(end - text))
        return 0;
    uint32_t value = n == 1 ? (unsigned char)*text : (unsigned char)*text & (0x7Fu >> n);
    for (size_t i = 1; i < n; i++) {
        if (wg_utf8_starts(text[i]))
            return 0;
        value = value << 6 | ((unsigned char)text[i] & 0x3Fu);
    }
    if (value < least[n] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) /* halves of UTF-16 pairs */
        return 0;
    *code = value;
    return n;
}

bool wg_utf8_is_printable(uint32_t code) {
    /*
     * The Unicode Standard 14.0, UnicodeData.txt: general categories Cc, Zl, Zp, and Cf but for what joins letters
     * (U+200C, U+200D) and what is seen (Arabic, Syriac and Kaithi number signs, Egyptian joints); section 23.7: noncharacters.
     */
    static const struct {
        uint32_t first, last;
    } denied[] = {{0x00, 0x1F},     {0x7F, 0x9F},     {0xAD, 0xAD},       {0x61C, 0x61C},     {0x180E, 0x180E},
                  {0x200B, 0x200B}, {0x200E, 0x200F}, {0x2028, 0x202E},   {0x2060, 0x206F},   {0xFDD0, 0xFDEF},
                  {0xFEFF, 0xFEFF}, {0xFFF9, 0xFFFB}, {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE007F}};
    for (size_t i = 0; i < sizeof denied / sizeof *denied; i++)
        if (code >= denied[i].first && code <= denied[i].last)
            return false;
    return (code & 0xFFFE) != 0xFFFE;
}

size_t wg_utf8_show(const char **text, const char *end, char out[4]) {
    const char *const at = *text;
    uint32_t code = 0;
    const size_t n = wg_utf8_decode(at, end, &code);
    *text += n > 0 ? n : 1;
    if (n > 0 && wg_utf8_is_printable(code)) {
        memmove(out, at, n);
        return n;
    }
    *out = n == 1 && (*at == '\t' || *at == '\n' || *at == '\r') ? ' ' : '?';
    return 1;
}

void wg_utf8_clean(char *text) {
    const char *from = text, *const end = text + strlen(text);
    while (from < end)
        text += wg_utf8_show(&from, end, text);
    *text = '\0';
}

void wg_utf8_trim(char *text) {
    const size_t size = strlen(text);
    size_t last = size;
    while (last > 0 && !wg_utf8_starts(text[last - 1]))
        last--;
    if (last > 0 && size - (last - 1) < size_by_lead((unsigned char)text[last - 1]))
        text[last - 1] = '\0';
}

size_t wg_utf8_mark(const char *text, size_t size) {
    return size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
}
