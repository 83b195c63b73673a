/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Builds the command that repeats a call of the page in the program.
 */
#ifndef WG_BROWSER_COMMAND_LINE_H
#define WG_BROWSER_COMMAND_LINE_H

#include "text/bytes.h"

#include <stdint.h>

/** Begins a line: wintergrub, the command and the file of the plan. */
void wg_command_begin(struct wg_bytes *line, const char *command, const char *file);
/** Adds a word, in single quotes where a shell needs them. */
void wg_command_add(struct wg_bytes *line, const char *word);
/** Adds an option with a whole number. */
void wg_command_add_count(struct wg_bytes *line, const char *option, uint64_t value);

#endif
