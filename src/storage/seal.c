/*
 * Are these still the bytes that were written?
 *
 * HDF5 1.10 can crash, or never come back, when it reads a file that was damaged
 * in its middle (seen with single bytes changed), so a file is looked at before
 * HDF5 sees it. A last line with the SHA-256 of all bytes before it is the
 * simplest that holds: HDF5, and with it h5py, xarray and netCDF, read no further
 * than the end that their own header names. Weighed against it: checksums of
 * HDF5's own (its latest format, Fletcher32) leave the heap of texts and the
 * index of chunks unguarded, and are checked by the very code that crashes; a
 * block in front of the file moves HDF5's signature to where not every reader
 * looks for it.
 *
 * It finds damage: of a disk, of a copy, of an editor. It does not stop an
 * enemy, who can write a right line below a wicked file. Files of strangers are
 * as safe as the HDF5 library that reads them.
 */
#include "storage/seal.h"

#include "storage/sha256.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MARK "wintergrub sha256 "
_Static_assert(sizeof MARK - 1 + WG_SHA256_TEXT_SIZE == WG_SEAL_SIZE, "mark, digits, end of line");

int wg_seal_add(int fd) {
    struct stat about;
    char digest[WG_SHA256_TEXT_SIZE], line[WG_SEAL_SIZE + 1];
    if (fstat(fd, &about) != 0)
        return errno;
    const int why = wg_sha256_file(fd, about.st_size, digest);
    if (why != 0)
        return why;
    (void)snprintf(line, sizeof line, MARK "%s\n", digest);
    for (size_t done = 0; done < WG_SEAL_SIZE;) {
        const ssize_t n = pwrite(fd, line + done, WG_SEAL_SIZE - done, about.st_size + (off_t)done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n < 0 ? errno : ENOSPC;
        done += (size_t)n;
    }
    return 0;
}

static int cannot_read(int why, const char *where, struct wg_error *err) {
    return wg_fail(err, WG_ERR_FILE, where, "This file cannot be read: %s.", strerror(why));
}

int wg_seal_check(int fd, const char *where, struct wg_error *err) {
    struct stat about;
    char digest[WG_SHA256_TEXT_SIZE], line[WG_SEAL_SIZE + 1] = "";
    if (fstat(fd, &about) != 0)
        return cannot_read(errno, where, err);
    const off_t size = about.st_size - WG_SEAL_SIZE;
    if (size >= 0 && pread(fd, line, WG_SEAL_SIZE, size) < 0)
        return cannot_read(errno, where, err);
    if (strncmp(line, MARK, sizeof MARK - 1) != 0)
        return wg_fail(err, WG_ERR_FORMAT, where,
                       "This is no file of this wintergrub, or it is damaged: the checksum at its end is missing. It "
                       "was cut short, or changed or made by another program or an older wintergrub. Copy it again, or "
                       "make it again from its scenario.");
    const int why = wg_sha256_file(fd, size, digest);
    if (why != 0)
        return cannot_read(why, where, err);
    line[WG_SEAL_SIZE - 1] = '\0'; /* the new line */
    if (strcmp(line + sizeof MARK - 1, digest) != 0)
        return wg_fail(err, WG_ERR_FORMAT, where,
                       "This file is damaged: its bytes are not those that were written (SHA-256). Copy it again, or "
                       "make it again from its scenario.");
    return 0;
}
