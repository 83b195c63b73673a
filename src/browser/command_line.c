/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes command lines for a shell.
 */
#include "browser/command_line.h"

#include <ctype.h>
#include <inttypes.h>
#include <string.h>

static bool needs_quotes(const char *word) {
    for (const char *c = word; *c != '\0'; c++)
        if (!isalnum((unsigned char)*c) && strchr("-_./=:,+@%", *c) == NULL)
            return true;
    return *word == '\0';
}

void wg_command_begin(struct wg_bytes *line, const char *command, const char *file) {
    wg_bytes_put(line, "wintergrub ");
    wg_bytes_put(line, command);
    wg_command_add(line, file);
}

void wg_command_add(struct wg_bytes *line, const char *word) {
    const bool is_quoted = needs_quotes(word);
    wg_bytes_put(line, is_quoted ? " '" : " ");
    for (const char *c = word; *c != '\0'; c++)
        if (*c == '\'')
            wg_bytes_put(line, "'\\''");
        else
            wg_bytes_add(line, c, 1);
    wg_bytes_put(line, is_quoted ? "'" : "");
}

void wg_command_add_count(struct wg_bytes *line, const char *option, uint64_t value) {
    wg_bytes_printf(line, " %s %" PRIu64, option, value);
}
