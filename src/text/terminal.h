/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Terminal output: colours where supported.
 */
#ifndef WG_TEXT_TERMINAL_H
#define WG_TEXT_TERMINAL_H

#include <stdbool.h>
#include <stdio.h>

/** True if the stream is a terminal and TERM is neither "dumb" nor empty nor unset. */
bool wg_can_draw(FILE *stream);

/** Text styles on a terminal. */
enum wg_terminal_style { WG_STYLE_PLAIN, WG_STYLE_STRONG, WG_STYLE_WARN };
/**
 * Returns the escape sequence of a style (WG_STYLE_PLAIN resets it): "" if NO_COLOR is set or wg_can_draw() is false.
 */
const char *wg_terminal_style(FILE *stream, enum wg_terminal_style style);

#endif
