/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Styles terminal output.
 */
#include "text/terminal.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool wg_can_draw(FILE *stream) {
    const char *const terminal = getenv("TERM");
    return terminal != NULL && *terminal != '\0' && strcmp(terminal, "dumb") != 0 && isatty(fileno(stream));
}

/* NO_COLOR counts if set and not empty (no-color.org). */
static bool has_colour(FILE *stream) {
    const char *const no_colour = getenv("NO_COLOR");
    return (no_colour == NULL || *no_colour == '\0') && wg_can_draw(stream);
}

const char *wg_terminal_style(FILE *stream, enum wg_terminal_style style) {
    static const char *const code[] = {
        [WG_STYLE_PLAIN] = "\033[0m", [WG_STYLE_STRONG] = "\033[1m", [WG_STYLE_WARN] = "\033[1;33m"};
    return has_colour(stream) ? code[style] : "";
}
