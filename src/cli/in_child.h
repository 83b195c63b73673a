/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Does work in a child process that may crash: the HDF5 library can, on a damaged file.
 */
#ifndef WG_CLI_IN_CHILD_H
#define WG_CLI_IN_CHILD_H

#include "base/error.h"

#include <stddef.h>

/** What a child may report besides its result. */
#define WG_CHILD_WORDS 512

/** Reports of the work: its result and an error, or words of its own. */
struct wg_child_report {
    int code; /* of the work: 0, a positive outcome or a WG_ERR_* */
    struct wg_error err;
    char words[WG_CHILD_WORDS];
};

/**
 * Runs work(self, report) in a child process, which prints nothing, and copies its report here. Returns 0, or
 * WG_ERR_INTERNAL if the process cannot be made or fails an assertion, or WG_ERR_FORMAT if it ended otherwise without a
 * report: it crashed, or took more CPU time than any intact file does. `path` names the file it was reading.
 */
int wg_in_child(void (*work)(void *self, struct wg_child_report *report), void *self, const char *path,
                struct wg_child_report *report, struct wg_error *err);

/**
 * Reads everything in a result, a comparison or an answer in a child process first, so that a file whose checksum is right
 * but which stops the HDF5 library, or keeps it busy for ever, ends in a sentence. Returns 0, WG_ERR_FILE or WG_ERR_FORMAT
 * (something cannot be read, or as above) or WG_ERR_MEMORY.
 */
int wg_read_in_child(const char *path, struct wg_error *err);

#endif
