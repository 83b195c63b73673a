/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The checksum line at the end of each HDF5 file: the SHA-256 of all bytes before it.
 *
 *     wintergrub sha256 e3b0c442...b855
 *
 * If `wintergrub seal` has added it, the second word is "sealed": another program has opened the file for writing, and
 * what it holds may be somebody's work.
 * Other readers stop at the end of HDF5's own bytes. By hand: `tail -c 83 FILE` prints it,
 * `head -c -83 FILE | sha256sum` must print the same digest.
 */
#ifndef WG_STORAGE_SEAL_H
#define WG_STORAGE_SEAL_H

#include "base/error.h"
#include "base/sha256.h"

#include <sys/types.h>

#include <stdbool.h>

#define WG_SEAL_SIZE 83 /* bytes of the line, with its newline */

/** Appends the line to a complete file, open for reading and writing; `again` for "sealed". Returns 0 or an errno. */
int wg_seal_add(int fd, bool again);
/** What wg_seal_is_missing() finds: the line is there and right. */
#define WG_SEAL_WHOLE 1
/**
 * Tells whether the line of a file may be added again. Returns 0: it is missing, and the file ends where HDF5 ended it;
 * WG_SEAL_WHOLE: nothing to do; WG_ERR_FORMAT: damaged; WG_ERR_FILE.
 */
int wg_seal_is_missing(int fd, const char *where, struct wg_error *err);
/** What wg_seal_check() finds besides 0: the line is right, and `wintergrub seal` has added it. */
#define WG_SEAL_AGAIN 1
/**
 * Verifies the line. Returns 0 or WG_SEAL_AGAIN; WG_ERR_FORMAT: the line is missing or does not match; WG_ERR_FILE: the
 * file is unreadable. `where` names the file in the message.
 */
int wg_seal_check(int fd, const char *where, struct wg_error *err);

/* ---- sHA-256 of a file, by which it shows damage ---- */

/** Writes the digest of the first `size` bytes of an open file. Returns 0 or an errno (EIO: the file is shorter). */
int wg_sha256_file(int fd, off_t size, char out[WG_SHA256_TEXT_SIZE]);

#endif
