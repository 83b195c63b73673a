/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Messages to the user: on standard error, one line each, never with a control character from outside.
 */
#ifndef WG_CLI_MESSAGE_H
#define WG_CLI_MESSAGE_H

#include "base/error.h"
#include "cli/command.h"

#include <stdbool.h>
#include <stddef.h>

/** Prints "wintergrub: ...". */
void wg_message(const char *format, ...) __attribute__((format(printf, 1, 2)));
/** Prints an error as "wintergrub: place: text". Returns its exit status. */
int wg_message_error(const struct wg_error *err);
/** Prints "wintergrub run: ... See 'wintergrub help run'.". Returns WG_STATUS_USAGE. `command` may be NULL. */
int wg_message_usage(const struct wg_command *command, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** Flushes standard output. Returns `status`, or that of a failed write after printing the reason. */
int wg_output_finish(int status);
/** Writes a page or a text to standard output. Returns 0, or the exit status after printing the reason. */
int wg_output_write(const void *data, size_t size);

#endif
