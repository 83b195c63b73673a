/**
 * Words to the person at the terminal: on standard error, one line each, never a
 * control character that came from outside.
 */
#ifndef WG_CLI_MESSAGE_H
#define WG_CLI_MESSAGE_H

#include "base/error.h"
#include "cli/command.h"

#include <stdbool.h>

/** "wintergrub: ..." */
void wg_message(const char *format, ...) __attribute__((format(printf, 1, 2)));
/** An error as "wintergrub: place: text". Returns its exit status. */
int wg_message_error(const struct wg_error *err);
/** "wintergrub run: ... See 'wintergrub help run'." Returns WG_STATUS_USAGE. `command` may be NULL. */
int wg_message_usage(const struct wg_command *command, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** Writes out what is printed so far. `status`, or that of a file that could not be written, with the reason said once. */
int wg_output_finish(int status);

#endif
