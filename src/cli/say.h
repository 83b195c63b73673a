/* layer: cli, private */
/**
 * Words to the person at the terminal: on standard error, one line each, never a
 * control character that came from outside.
 */
#ifndef WG_CLI_SAY_H
#define WG_CLI_SAY_H

#include "cli/command.h"

#include <stdbool.h>
#include <wintergrub/error.h>

/** "wintergrub: ..." */
void wg_say(const char *format, ...) __attribute__((format(printf, 1, 2)));
/** An error as "wintergrub: place: text". Returns its exit status. */
int wg_say_error(const struct wg_error *err);
/** "wintergrub run: ... See 'wintergrub help run'." Returns WG_STATUS_USAGE. `command` may be NULL. */
int wg_say_usage(const struct wg_command *command, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** Writes out what is printed so far. `status`, or that of a file that could not be written, with the reason said once. */
int wg_say_output_end(int status);

/** Is the stream a terminal worth drawing on: TERM neither "dumb" nor empty nor missing? */
bool wg_can_draw(FILE *stream);

/** How text may look on a terminal. */
enum wg_ink { WG_INK_PLAIN, WG_INK_STRONG, WG_INK_WARN };
/**
 * What to print before inked text (WG_INK_PLAIN: after it): "" when NO_COLOR is not empty or wg_can_draw() says no.
 */
const char *wg_ink(FILE *stream, enum wg_ink ink);
/** Changes the control characters of a text into '?', those of one byte and those of two in UTF-8. Newlines stay. */
void wg_clean(char *text);

#endif
