/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Internal faults: one sentence, no unfinished files, exit status 5.
 */
#ifndef WG_CLI_INTERNAL_FAULT_H
#define WG_CLI_INTERNAL_FAULT_H

/**
 * Makes signals that only a programming error raises (SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT) end the program as
 * wg_assert() does. Keeps handlers that are installed already, such as a sanitizer's.
 */
void wg_fault_install(void);

/** A temporary file and its folder, to be removed however the command ends. */
struct wg_cleanup_paths {
    const char *file, *folder;
};
/** Sets the paths to remove, one set at a time; borrows *paths until the next call. NULL: none. */
void wg_fault_set_cleanup(const struct wg_cleanup_paths *paths);

#endif
