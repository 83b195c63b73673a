/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Appends a checksum to HDF5 files and verifies it before HDF5 reads a byte.
 *
 * HDF5 1.10 can crash or hang when it reads a damaged file (seen with single bytes changed), so the check comes first.
 * A last line with the SHA-256 of all bytes before it is the simplest solution: HDF5, and with it h5py, xarray and
 * netCDF, read no further than the end of file that the HDF5 header names. Rejected alternatives: HDF5's own checksums
 * (latest format, Fletcher32) do not cover the heap of strings and the chunk index, and the code that crashes verifies
 * them; a user block in front moves HDF5's signature to where not every reader looks for it.
 *
 * It detects accidental damage by a disk, a copy or an editor, not tampering: an attacker can append a valid line to a
 * malicious file. Untrusted files are as safe as the HDF5 library that reads them.
 */
#include "storage/seal.h"

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MARK "wintergrub sha256 "
#define MARK_AGAIN "wintergrub sealed "
_Static_assert(sizeof MARK - 1 + WG_SHA256_TEXT_SIZE == WG_SEAL_SIZE, "mark, digits, end of line");
_Static_assert(sizeof MARK_AGAIN == sizeof MARK, "one size of line");

static bool has_mark(const char *line, const char *mark) {
    return strncmp(line, mark, sizeof MARK - 1) == 0;
}

static bool is_line(const char *line) {
    return (has_mark(line, MARK) || has_mark(line, MARK_AGAIN)) && line[WG_SEAL_SIZE - 1] == '\n';
}

int wg_seal_add(int fd, bool again) {
    struct stat status;
    char digest[WG_SHA256_TEXT_SIZE], line[WG_SEAL_SIZE + 1];
    if (fstat(fd, &status) != 0)
        return errno;
    const int error = wg_sha256_file(fd, status.st_size, digest);
    if (error != 0)
        return error;
    (void)snprintf(line, sizeof line, "%s%s\n", again ? MARK_AGAIN : MARK, digest);
    for (size_t done = 0; done < WG_SEAL_SIZE;) {
        const ssize_t n = pwrite(fd, line + done, WG_SEAL_SIZE - done, status.st_size + (off_t)done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n < 0 ? errno : ENOSPC;
        done += (size_t)n;
    }
    return 0;
}

/*
 * True if the file ends where the superblock of HDF5 says (file format specification, II.A, version 2 and 3: the
 * end-of-file address is 28 bytes from the beginning, if addresses have 8 bytes; version 0: 40).
 */
static bool is_complete(int fd, off_t size) {
    unsigned char head[48];
    if (pread(fd, head, sizeof head, 0) != (ssize_t)sizeof head)
        return false;
    const bool is_old = head[8] < 2;
    if (head[is_old ? 13 : 9] != 8)
        return false;
    uint64_t end = 0;
    for (int i = 7; i >= 0; i--)
        end = end << 8 | head[(is_old ? 40 : 28) + i];
    return end == (uint64_t)size;
}

static int fail_unreadable(int error, const char *where, struct wg_error *err) {
    return wg_fail(err, WG_ERR_FILE, where, "This file cannot be read: %s.", strerror(error));
}

/* Reads the size of a file and its last line, "" in a file that is too short for one. */
static int read_end(int fd, const char *where, off_t *size, char line[WG_SEAL_SIZE + 1], struct wg_error *err) {
    struct stat status;
    memset(line, 0, WG_SEAL_SIZE + 1);
    if (fstat(fd, &status) != 0 ||
        (status.st_size >= WG_SEAL_SIZE && pread(fd, line, WG_SEAL_SIZE, status.st_size - WG_SEAL_SIZE) < 0))
        return fail_unreadable(errno, where, err);
    *size = status.st_size;
    return 0;
}

int wg_seal_is_missing(int fd, const char *where, struct wg_error *err) {
    char line[WG_SEAL_SIZE + 1];
    off_t size;
    int code = read_end(fd, where, &size, line, err);
    if (code < 0)
        return code;
    if (is_line(line)) {
        code = wg_seal_check(fd, where, err);
        return code < 0 ? code : WG_SEAL_WHOLE;
    }
    if (!is_complete(fd, size))
        return wg_fail(err, WG_ERR_FORMAT, where, "This is not a complete HDF5 file: it is damaged or truncated.");
    return 0;
}

static bool has_name(const char *block, size_t n, const char *name) {
    const size_t length = strlen(name);
    for (const char *at = block; at + length <= block + n; at++) {
        at = memchr(at, name[0], (size_t)(block + n - at) - length + 1);
        if (at == NULL)
            return false;
        if (memcmp(at, name, length) == 0)
            return true;
    }
    return false;
}

/*
 * Tells without HDF5, which may crash on a stranger's file, whether an attribute of ours can be in it: HDF5 stores their
 * names as they are.
 */
static bool has_our_names(int fd, off_t size) {
    static const char name[] = "wintergrub_";
    const size_t overlap = sizeof name - 2;
    char block[16384];
    for (off_t offset = 0; offset < size;) {
        const ssize_t n = pread(fd, block, sizeof block, offset);
        if (n <= 0)
            return n < 0; /* unreadable: the reader that follows reports it */
        if (has_name(block, (size_t)n, name))
            return true;
        offset += n > (ssize_t)overlap ? n - (ssize_t)overlap : n;
    }
    return false;
}

static int fail_without_line(int fd, off_t size, const char *where, struct wg_error *err) {
    if (is_complete(fd, size) && !has_our_names(fd, size))
        return wg_fail(err, WG_ERR_FORMAT, where, "This HDF5 file is not from wintergrub.");
    if (is_complete(fd, size))
        return wg_fail(err, WG_ERR_FORMAT, where,
                       "Another program has opened this file for writing since, which removes the checksum at its end. "
                       "If it did what you wanted, run: wintergrub seal %s",
                       where);
    return wg_fail(err, WG_ERR_FORMAT, where,
                   "This is not a file of this version of wintergrub, or it is damaged: the checksum at its end is "
                   "missing. It was truncated, or changed or made by another program or an older wintergrub. Copy it "
                   "again, or run its scenario again.");
}

int wg_seal_check(int fd, const char *where, struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE], line[WG_SEAL_SIZE + 1];
    off_t size;
    const int code = read_end(fd, where, &size, line, err);
    if (code < 0)
        return code;
    if (!is_line(line))
        return fail_without_line(fd, size, where, err);
    const int error = wg_sha256_file(fd, size - WG_SEAL_SIZE, digest);
    if (error != 0)
        return fail_unreadable(error, where, err);
    line[WG_SEAL_SIZE - 1] = '\0'; /* the newline */
    if (strcmp(line + sizeof MARK - 1, digest) != 0)
        return wg_fail(
            err, WG_ERR_FORMAT, where,
            "This file is damaged: its checksum (SHA-256) does not match. Copy it again, or run its scenario "
            "again.");
    return has_mark(line, MARK_AGAIN) ? WG_SEAL_AGAIN : 0;
}
