/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Signals that end the program: Ctrl-C and similar.
 */
#ifndef WG_CLI_STOP_H
#define WG_CLI_STOP_H

#include <stdatomic.h>

/**
 * Makes SIGINT, SIGTERM and SIGHUP set a flag (SIGHUP unless it is ignored, as under nohup), and a closed pipe or an
 * exceeded file size limit a failed write instead of the end of the program.
 */
void wg_stop_install(void);
/** Returns the flag: the signal received, 0 if none. */
const atomic_int *wg_stop_flag(void);
/** Returns the exit status after a signal: 128 plus its number. */
int wg_stop_status(void);

/** What to print and remove when a signal ends the program at once. Borrows its texts, which may be NULL. */
struct wg_exit_cleanup {
    const char *line;          /* for standard error, with its end of line */
    const char *file, *folder; /* removed, in this order */
};
/**
 * Makes a signal end the program at once, for times when it only reads or compares files, which may take minutes and
 * leaves nothing behind; a signal already received ends it now. NULL: signals set the flag again. Borrows *cleanup
 * until then.
 */
void wg_stop_immediately(const struct wg_exit_cleanup *cleanup);

#endif
