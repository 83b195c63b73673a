/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * UTF-8 (RFC 3629): decoding, and what of a text from outside may be shown.
 *
 * One list says what never reaches a terminal or a page: what cannot be seen but changes how other text is shown, read or
 * ordered. File names, titles and tables come from outside; each of them passes through wg_utf8_show() or
 * wg_utf8_clean() before it is printed.
 */
#ifndef WG_BASE_UTF8_H
#define WG_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** Returns the bytes of the character at `text` (1 to 4) and its number in *code; 0 if none is whole before `end`. */
size_t wg_utf8_decode(const char *text, const char *end, uint32_t *code);

/**
 * False for control characters (tab and line ends too), noncharacters, separators of lines and paragraphs, and
 * invisible format characters: those that turn the direction of writing, soft hyphens, spaces of no width. The joiners
 * U+200C and U+200D pass: Persian, Indic scripts and emoji need them.
 */
bool wg_utf8_is_printable(uint32_t code);

/**
 * Writes the next character of a text as it may be shown, moves *text behind it and returns the bytes written, never
 * more than were read. A tab or line end becomes a blank; what is not printable and each byte that is not UTF-8 become
 * '?'. `out` may be *text itself.
 */
size_t wg_utf8_show(const char **text, const char *end, char out[4]);

/** Does the same to a whole text, in place. */
void wg_utf8_clean(char *text);

/** Removes an unfinished character from the end of a text that was cut by its buffer. */
void wg_utf8_trim(char *text);

/** Returns the bytes of the byte order mark at the start of a text: 3 or 0. */
size_t wg_utf8_mark(const char *text, size_t size);

/** True for the first byte of a character (stray continuation bytes aside): counting those counts characters. */
static inline bool wg_utf8_starts(char byte) {
    return ((unsigned char)byte & 0xC0) != 0x80;
}

#endif
