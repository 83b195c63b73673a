/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes a file atomically: to a temporary file in the same folder, renamed into place when complete.
 *
 * On any failure the previous file is unchanged and no temporary file remains. If the process is killed, a hidden
 * file ".NAME.HOST.PID.N.part" remains; the next run for the same name on the same host removes it (but not those of
 * runs still in progress).
 */
#ifndef WG_STORAGE_ATOMIC_FILE_H
#define WG_STORAGE_ATOMIC_FILE_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

/** A file's identity and state at one time. */
struct wg_file_identity {
    uint64_t device, number;       /* device and inode */
    int64_t size;                  /* bytes */
    int64_t changed_s, changed_ns; /* modification time */
};
/** Gets the identity of a file, following links. Returns 0, or -1 if it does not exist or is inaccessible. */
int wg_file_identify(const char *path, struct wg_file_identity *identity);

/** Zero-initialise it. Owns its strings, the open file and, until the commit, the temporary file. */
struct wg_atomic_file {
    char *path;   /* the final name */
    char *folder; /* its folder */
    char *part;   /* path of the temporary file; NULL once renamed or removed */
    int fd;       /* of the temporary file, for reading and writing; valid while `open` */
    int open;
    int force;   /* 1: may replace an existing file */
    int is_over; /* 1: may replace only the file `over` */
    struct wg_file_identity over;
    int is_replacing; /* 1: replaces a file with mode old_mode */
    unsigned old_mode;
};

/** Creates a folder unless it exists. Returns 0 or WG_ERR_FILE. */
int wg_atomic_file_make_folder(const char *folder, struct wg_error *err);

/**
 * Checks that `path` can be written and opens the temporary file beside it. WG_ERR_EXISTS if it exists without `force`;
 * WG_ERR_FILE for a folder, a missing or unwritable parent folder, a read-only file, anything but a regular file.
 * A file that replaces another keeps its permissions. Free with wg_atomic_file_free() in every case.
 */
int wg_atomic_file_open(struct wg_atomic_file *file, const char *path, int force, struct wg_error *err);
/** The same; an existing file must be `over`, now and at the commit, which replaces it. */
int wg_atomic_file_open_over(struct wg_atomic_file *file, const char *path, const struct wg_file_identity *over,
                             struct wg_error *err);

/** Writes all bytes, or returns WG_ERR_FILE. */
int wg_atomic_file_write(struct wg_atomic_file *file, const void *data, size_t size, struct wg_error *err);

/**
 * Syncs and closes the temporary file, renames it, syncs the folder. Without `force` it keeps a file that has appeared
 * under the name since: WG_ERR_EXISTS. Removes the temporary file on failure.
 */
int wg_atomic_file_commit(struct wg_atomic_file *file, struct wg_error *err);

/** Removes the temporary file, if any, and frees. Safe on a zeroed struct, after a commit, and twice. */
void wg_atomic_file_free(struct wg_atomic_file *file);

#endif
