/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes text of manual pages in the macros of man(7).
 */
#include "text/roff.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

void wg_roff_title(FILE *to, const char *name, int section, const char *version, const char *manual) {
    (void)fputs(".TH \"", to);
    for (; *name != '\0'; name++)
        (void)fputc(toupper((unsigned char)*name), to);
    (void)fprintf(to, "\" \"%d\" \"\" \"wintergrub %s\" \"%s\"\n", section, version, manual);
}

/* Writes one character; `first` of a line, a dot or an apostrophe would begin a request. */
static void put_character(FILE *to, char c, bool first) {
    if (first && (c == '.' || c == '\''))
        (void)fputs("\\&", to);
    if (c == '\\')
        (void)fputs("\\e", to);
    else if (c == '-')
        (void)fputs("\\-", to);
    else if (c == '\'' || c == '`')
        (void)fputs(c == '`' ? "\\(ga" : "\\(aq", to);
    else if (c == '^' || c == '~')
        (void)fputs(c == '^' ? "\\(ha" : "\\(ti", to);
    else
        (void)fputc(c, to);
}

void wg_roff_text(FILE *to, const char *text) {
    for (const char *c = text; *c != '\0'; c++)
        put_character(to, *c, c == text || c[-1] == '\n');
}

static void put_line(FILE *to, const char *line, size_t length) {
    for (size_t i = 0; i < length; i++)
        put_character(to, line[i], i == 0);
    (void)fputc('\n', to);
}

void wg_roff_paragraphs(FILE *to, const char *text) {
    bool is_literal = false;
    while (*text != '\0') {
        const size_t length = strcspn(text, "\n");
        const bool is_indented = *text == ' ';
        if (is_indented != is_literal)
            (void)fputs(is_indented ? ".PP\n.nf\n" : ".fi\n.PP\n", to);
        is_literal = is_indented;
        if (length == 0)
            (void)fputs(".PP\n", to);
        else
            put_line(to, text, length);
        text += length + (text[length] == '\n');
    }
    (void)fputs(is_literal ? ".fi\n" : "", to);
}

void wg_roff_tagged(FILE *to, const char *tag, const char *text) {
    (void)fputs(".TP\n\\fB", to);
    wg_roff_text(to, tag);
    (void)fputs("\\fR\n", to);
    wg_roff_text(to, text);
    (void)fputc('\n', to);
}
