/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * UTF-8 against the grammar of RFC 3629 (section 4), and what may be shown against the Unicode Character Database as
 * Python's unicodedata has it.
 */
#include "base/utf8.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(utf8);

#define LAST 0x10FFFF

/* ---- decoding ---- */

static bool is_in(unsigned char byte, int low, int high) {
    return byte >= low && byte <= high;
}

/* UTF8-char of RFC 3629, section 4, rule by rule. */
static size_t by_grammar(const unsigned char *b, size_t n) {
    const bool tail[4] = {false, n > 1 && is_in(b[1], 0x80, 0xBF), n > 2 && is_in(b[2], 0x80, 0xBF),
                          n > 3 && is_in(b[3], 0x80, 0xBF)};
    if (b[0] <= 0x7F)
        return 1;
    if (is_in(b[0], 0xC2, 0xDF))
        return tail[1] ? 2 : 0;
    if (is_in(b[0], 0xE0, 0xEF)) {
        const int low = b[0] == 0xE0 ? 0xA0 : 0x80, high = b[0] == 0xED ? 0x9F : 0xBF;
        return tail[1] && tail[2] && is_in(b[1], low, high) ? 3 : 0;
    }
    if (is_in(b[0], 0xF0, 0xF4)) {
        const int low = b[0] == 0xF0 ? 0x90 : 0x80, high = b[0] == 0xF4 ? 0x8F : 0xBF;
        return tail[1] && tail[2] && tail[3] && is_in(b[1], low, high) ? 4 : 0;
    }
    return 0;
}

/* All pairs of first bytes, with third and fourth bytes of every kind, whole and cut. */
Test(utf8, characters_are_those_of_the_grammar) {
    static const unsigned char kinds[] = {0x00, 0x41, 0x7F, 0x80, 0x8F, 0x90, 0x9F, 0xA0, 0xBF, 0xC0, 0xC2, 0xFF};
    enum { N_KINDS = sizeof kinds };
    long wrong = 0;
    for (long i = 0; i < 256L * 256 * N_KINDS * N_KINDS; i++) {
        const unsigned char bytes[4] = {(unsigned char)(i & 0xFF), (unsigned char)(i >> 8 & 0xFF),
                                        kinds[(i >> 16) % N_KINDS], kinds[(i >> 16) / N_KINDS]};
        const char *const text = (const char *)bytes;
        for (size_t n = 0; n <= 4; n++) {
            uint32_t code = 0;
            wrong += wg_utf8_decode(text, text + n, &code) != (n == 0 ? 0 : by_grammar(bytes, n));
        }
    }
    cr_expect_eq(wrong, 0);
}

/* The table of RFC 3629, section 3: the bits of a number in its bytes. */
static size_t encode(uint32_t code, char out[4]) {
    const size_t n = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    static const unsigned char lead[] = {0, 0x00, 0xC0, 0xE0, 0xF0};
    for (size_t i = n - 1; i > 0; i--, code >>= 6)
        out[i] = (char)(0x80 | (code & 0x3F));
    out[0] = (char)(lead[n] | code);
    return n;
}

Test(utf8, every_number_comes_back) {
    for (uint32_t code = 0; code <= LAST; code++) {
        char text[4];
        uint32_t back = 0;
        const bool is_half = code >= 0xD800 && code <= 0xDFFF; /* of a UTF-16 pair */
        const size_t n = encode(code, text);
        cr_assert_eq(wg_utf8_decode(text, text + n, &back), is_half ? 0 : n, "U+%04X", code);
        cr_assert(is_half || back == code, "U+%04X became U+%04X", code, back);
    }
}

/* ---- what may be shown ---- */

/*
 * Python writes a letter for each number: y, n, or - where the standard has assigned nothing yet in a range that it
 * reserves for invisible characters. Of category Cf pass the two joiners and the signs of four scripts, which are seen.
 */
static const char by_unicode[] =
    "import sys, unicodedata\n"
    "def fit(c):\n"
    "    kind, name = unicodedata.category(chr(c)), unicodedata.name(chr(c), '')\n"
    "    seen = name.startswith(('ARABIC ', 'SYRIAC ', 'KAITHI ', 'EGYPTIAN ')) and name != 'ARABIC LETTER MARK'\n"
    "    if kind == 'Cf': return 'y' if seen or c in (0x200C, 0x200D) else 'n'\n"
    "    if kind in ('Cc', 'Cs', 'Zl', 'Zp'): return 'n'\n"
    "    if c & 0xFFFE == 0xFFFE or 0xFDD0 <= c <= 0xFDEF: return 'n'\n"
    "    if kind == 'Cn' and (c == 0x2065 or 0xE0000 <= c < 0xE0080): return '-'\n"
    "    return 'y'\n"
    "sys.stdout.write(''.join(map(fit, range(0x110000))))\n";

Test(utf8, what_may_be_shown_is_what_the_unicode_database_says) {
    const char *const python = getenv("PYTHON");
    char command[2048];
    (void)snprintf(command, sizeof command, "%s -c \"%s\"", python != NULL ? python : "python3", by_unicode);
    FILE *const table = popen(command, "r");
    cr_assert_not_null(table);
    long n_denied = 0;
    for (uint32_t code = 0; code <= LAST; code++) {
        const int fit = fgetc(table);
        cr_assert(fit == 'y' || fit == 'n' || fit == '-', "the table ends at U+%04X", code);
        if (fit != '-' && (code < 0xD800 || code > 0xDFFF)) /* halves of pairs cannot be decoded */
            cr_expect_eq(wg_utf8_is_printable(code), fit == 'y', "U+%04X: the database says %c", code, fit);
        n_denied += fit == 'n';
    }
    cr_expect_eq(pclose(table), 0);
    cr_expect_gt(n_denied, 2048 + 65);
}

Test(utf8, a_clean_text_has_one_mark_for_each_thing_that_may_not_be_shown) {
    static const char *const pairs[][2] = {
        {"", ""},
        {"plain", "plain"},
        {"a\tb\nc\rd", "a b c d"},
        {"\x1b[2J\x7f", "?[2J?"},
        {"\xC2\x9B"
         "2J",
         "?2J"}, /* a control character of two bytes */
        {"\xE2\x80\xAE"
         "exe.txt",
         "?exe.txt"},                                         /* turns the direction of writing */
        {"\xD8\x9C\xEF\xBB\xBF\xE2\x80\x8B\xC2\xAD", "????"}, /* letter mark, byte order mark, two without width */
        {"K\xC3\xA4"
         "fer \xF0\x9F\xAA\xB0",
         "K\xC3\xA4"
         "fer \xF0\x9F\xAA\xB0"},
        {"\xED\xA0\x80\xFF\xC3", "?????"},                        /* half of a pair, a stray byte, a cut character */
        {"\xE2\x80\x8D\xEF\xB8\x8F", "\xE2\x80\x8D\xEF\xB8\x8F"}, /* joiner, variation selector: emoji need them */
        {"\xEF\xBF\xBE\xF0\x9F\xBF\xBF\xF3\xA0\x81\x81", "???"},  /* noncharacters, a tag */
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        char text[64];
        (void)snprintf(text, sizeof text, "%s", pairs[i][0]);
        wg_utf8_clean(text);
        cr_expect_str_eq(text, pairs[i][1], "number %zu", i);
        wg_utf8_clean(text);
        cr_expect_str_eq(text, pairs[i][1], "clean twice: number %zu", i);
    }
}

Test(utf8, a_cut_text_loses_its_unfinished_character_and_nothing_else) {
    static const char text[] = "a\xC3\xA4\xE2\x82\xAC\xF0\x9F\xAA\xB0z";
    static const size_t whole[] = {0, 1, 1, 3, 3, 3, 6, 6, 6, 6, 10, 11};
    for (size_t size = 0; size < sizeof text; size++) {
        char cut[sizeof text] = "";
        memcpy(cut, text, size);
        wg_utf8_trim(cut);
        cr_expect_eq(strlen(cut), whole[size], "of %zu bytes %zu are left", size, strlen(cut));
    }
    char stray[] = "\x80\x80";
    wg_utf8_trim(stray);
    cr_expect_str_eq(stray, "\x80\x80");
}

Test(utf8, the_byte_order_mark_is_found_at_the_start_alone) {
    cr_expect_eq(wg_utf8_mark("\xEF\xBB\xBFx", 4), 3);
    cr_expect_eq(wg_utf8_mark("\xEF\xBB", 2), 0);
    cr_expect_eq(wg_utf8_mark("x\xEF\xBB\xBF", 4), 0);
    cr_expect_eq(wg_utf8_mark("", 0), 0);
}
