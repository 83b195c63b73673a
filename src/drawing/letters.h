/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The width of text: from a table, so that a layout is the same on a machine without the font.
 */
#ifndef WG_DRAWING_LETTERS_H
#define WG_DRAWING_LETTERS_H

#include <stdbool.h>

/** Returns the width of a line of UTF-8 in DejaVu Sans of that size, without kerning; an estimate outside Latin. */
double wg_letters_width(const char *text, double size, bool is_bold);

#endif
