/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Opens and closes HDF5 files through a file driver of our own, which keeps HDF5 from crashing when a disk fails, and
 * reports errors for hdf5_write.c and hdf5_read.c.
 */
#include "storage/hdf5_handle.h"

#include <errno.h>
#include <hdf5.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TEXT_BUFFER ((size_t)16384) /* bytes; judgement */
#define MAX_TRIES 5                 /* of a failing read: judgement */

/* ---- the driver -------------------------------------------------------------
 *
 * HDF5 does not survive a failing write: on a full disk closing the file fails
 * and a later one crashes (seen with 1.10.8). So this driver never reports a
 * failing write to HDF5: it records the first error and discards all later
 * bytes; callers check for the error after each call and discard the file.
 *
 * Nor does HDF5 survive every failing read: after an error it may free memory
 * twice, with zeros instead it may loop for ever. seal.c has read the whole file
 * before, so the driver retries a failing read; if it still fails, it reports the
 * error to HDF5 and keeps the reason for our message.
 */
static H5FD_t *disk_open(const char *name, unsigned flags, hid_t access, haddr_t max_address) {
    (void)name, (void)flags, (void)max_address;
    struct wg_h5_disk *const *const driver_info = H5Pget_driver_info(access);
    struct stat status;
    if (driver_info == NULL || fstat((*driver_info)->fd, &status) != 0)
        return NULL;
    struct wg_h5_disk *const disk = *driver_info;
    memset(&disk->base, 0, sizeof disk->base);
    disk->eoa = 0;
    disk->eof = (haddr_t)status.st_size;
    return &disk->base;
}

static herr_t disk_close(H5FD_t *base) {
    (void)base; /* part of struct wg_h5, which outlives it */
    return 0;
}

static int disk_compare(const H5FD_t *a, const H5FD_t *b) {
    const int x = ((const struct wg_h5_disk *)a)->fd, y = ((const struct wg_h5_disk *)b)->fd;
    return (x > y) - (x < y);
}

static herr_t disk_query(const H5FD_t *base, unsigned long *flags) {
    (void)base;
    if (flags != NULL)
        *flags = H5FD_FEAT_AGGREGATE_METADATA | H5FD_FEAT_ACCUMULATE_METADATA | H5FD_FEAT_DATA_SIEVE |
                 H5FD_FEAT_AGGREGATE_SMALLDATA;
    return 0;
}

static haddr_t disk_get_eoa(const H5FD_t *base, H5FD_mem_t type) {
    (void)type;
    return ((const struct wg_h5_disk *)base)->eoa;
}

static herr_t disk_set_eoa(H5FD_t *base, H5FD_mem_t type, haddr_t eoa) {
    (void)type;
    ((struct wg_h5_disk *)base)->eoa = eoa;
    return 0;
}

static haddr_t disk_get_eof(const H5FD_t *base, H5FD_mem_t type) {
    (void)type;
    return ((const struct wg_h5_disk *)base)->eof;
}

/* Bytes beyond the end of the file read as zeros, as HDF5 expects. */
static herr_t disk_read(H5FD_t *base, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t size, void *out) {
    (void)type, (void)transfer;
    struct wg_h5_disk *const disk = (struct wg_h5_disk *)base;
    int tries = 0;
    for (size_t done = 0; done < size;) {
        const ssize_t n = pread(disk->fd, (char *)out + done, size - done, (off_t)(at + done));
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 && tries++ < MAX_TRIES)
            continue;
        if (n < 0) {
            disk->error = errno;
            return -1;
        }
        if (n == 0) {
            memset((char *)out + done, 0, size - done);
            return 0;
        }
        done += (size_t)n;
    }
    return 0;
}

static herr_t disk_write(H5FD_t *base, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t size, const void *bytes) {
    (void)type, (void)transfer;
    struct wg_h5_disk *const disk = (struct wg_h5_disk *)base;
    for (size_t done = 0; done < size && disk->error == 0;) {
        const ssize_t n = pwrite(disk->fd, (const char *)bytes + done, size - done, (off_t)(at + done));
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            disk->error = n < 0 ? errno : ENOSPC;
        else
            done += (size_t)n;
    }
    if (at + size > disk->eof)
        disk->eof = at + size;
    return 0;
}

static herr_t disk_truncate(H5FD_t *base, hid_t transfer, hbool_t closing) {
    (void)transfer, (void)closing;
    struct wg_h5_disk *const disk = (struct wg_h5_disk *)base;
    if (disk->eoa != disk->eof && disk->error == 0 && ftruncate(disk->fd, (off_t)disk->eoa) != 0)
        disk->error = errno;
    disk->eof = disk->eoa;
    return 0;
}

static const H5FD_class_t disk_class = {
#ifdef H5FD_CLASS_VERSION
    .version = H5FD_CLASS_VERSION,
    .value = 511, /* in the range that HDF5 reserves for applications */
#endif
    .name = "wintergrub",
    .maxaddr = INT64_MAX,
    .fc_degree = H5F_CLOSE_STRONG,
    .fapl_size = sizeof(struct wg_h5_disk *),
    .open = disk_open,
    .close = disk_close,
    .cmp = disk_compare,
    .query = disk_query,
    .get_eoa = disk_get_eoa,
    .set_eoa = disk_set_eoa,
    .get_eof = disk_get_eof,
    .read = disk_read,
    .write = disk_write,
    .truncate = disk_truncate,
    .fl_map = H5FD_FLMAP_DICHOTOMY,
};

/* ---- errors ---- */

static herr_t first_reason(unsigned n, const H5E_error2_t *error, void *out) {
    if (n == 0)
        (void)snprintf(out, 200, "%s", error->desc);
    return 0;
}

void wg_h5_reason(char out[200]) {
    (void)snprintf(out, 200, "no reason given");
    (void)H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, first_reason, out);
    for (char *c = out; *c != '\0'; c++)
        if (*c == '\n')
            *c = ' ';
}

int wg_h5_check(struct wg_h5 *file, int well, const char *what) {
    if (file->disk.error != 0)
        return wg_fail(&file->err, WG_ERR_FILE, file->where, "The result could not be written: %s.",
                       strerror(file->disk.error));
    if (well)
        return 0;
    char reason[200];
    wg_h5_reason(reason);
    return wg_fail(&file->err, WG_ERR_FILE, file->where, "The result could not be written (%s: %s).", what, reason);
}

void wg_h5_version(char *out, size_t size) {
    unsigned major = 0, minor = 0, patch = 0;
    (void)H5get_libversion(&major, &minor, &patch);
    (void)snprintf(out, size, "%u.%u.%u", major, minor, patch);
}

int wg_h5_failed(const struct wg_h5 *file, struct wg_error *err) {
    return file->err.code == 0 ? 0 : wg_fail(err, file->err.code, file->err.where, "%s", file->err.text);
}

/* ---- opening and closing ---- */

void wg_h5_close(hid_t id) {
    if (id > 0)
        (void)H5Idec_ref(id);
}

hid_t wg_h5_access(struct wg_h5 *file) {
    struct wg_h5_disk *const disk = &file->disk;
    file->driver = H5FDregister(&disk_class);
    const hid_t list = H5Pcreate(H5P_FILE_ACCESS);
    if (file->driver < 0 || list < 0 || H5Pset_driver(list, file->driver, &disk) < 0) {
        wg_h5_close(list);
        return -1;
    }
    return list;
}

struct wg_h5 *wg_h5_new(int fd, const char *where, struct wg_error *err) {
    struct wg_h5 *const file = calloc(1, sizeof *file);
    if (file == NULL) {
        (void)wg_no_memory(err, NULL);
        return NULL;
    }
    file->disk.fd = fd;
    file->where = where;
    /* we report errors from HDF5's stack; HDF5 must not print them */
    (void)H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    file->string = H5Tcopy(H5T_C_S1);
    if (file->string < 0 || H5Tset_size(file->string, H5T_VARIABLE) < 0 || H5Tset_cset(file->string, H5T_CSET_UTF8) < 0)
        (void)wg_h5_check(file, 0, "string type");
    /* by default strings go through a buffer of a megabyte that is cleared each time: a tenth of a short run (measured) */
    file->transfer = H5Pcreate(H5P_DATASET_XFER);
    if (file->transfer < 0 || H5Pset_buffer(file->transfer, TEXT_BUFFER, NULL, NULL) < 0)
        (void)wg_h5_check(file, 0, "buffer");
    return file;
}

void wg_h5_free(struct wg_h5 *file) {
    if (file == NULL)
        return;
    if (file->file > 0)
        (void)H5Fclose(file->file); /* closes all its objects too: H5F_CLOSE_STRONG */
    for (int i = 0; i < file->n_variables; i++)
        free(file->variable[i].buffer.planes);
    wg_pack_free(file->pack);
    wg_h5_close(file->string);
    wg_h5_close(file->transfer);
    wg_h5_close(file->driver);
    if (file->owns_fd)
        (void)close(file->disk.fd);
    free(file);
}

hid_t wg_h5_type(const struct wg_h5 *file, enum wg_h5_kind kind) {
    const hid_t type[] = {[WG_H5_COUNT] = H5T_NATIVE_INT64,
                          [WG_H5_REAL] = H5T_NATIVE_DOUBLE,
                          [WG_H5_BYTE] = H5T_NATIVE_UCHAR,
                          [WG_H5_STRING] = file->string,
                          [WG_H5_NO_VALUES] = H5T_IEEE_F32BE}; /* as netCDF writes a dimension without a variable */
    return type[kind];
}
