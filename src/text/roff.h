/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes text of manual pages in the macros of man(7).
 */
#ifndef WG_TEXT_ROFF_H
#define WG_TEXT_ROFF_H

#include <stdio.h>

/** Writes the title of a page: name in capitals, section, version, name of the manual. No date: pages stay reproducible. */
void wg_roff_title(FILE *to, const char *name, int section, const char *version, const char *manual);
/** Writes text so that no character of it is a request or an escape, and that each - is the ASCII one. */
void wg_roff_text(FILE *to, const char *text);
/** Writes paragraphs: lines are filled, indented ones stay as they are. */
void wg_roff_paragraphs(FILE *to, const char *text);
/** Writes a tagged paragraph, the tag in bold. */
void wg_roff_tagged(FILE *to, const char *tag, const char *text);

#endif
