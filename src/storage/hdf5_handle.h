/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The internals of an open HDF5 file, private to hdf5_file.c, hdf5_write.c, _read.c, _compare.c and _verify.c (tests/layers checks);
 * hdf5_file.h is the interface.
 */
#ifndef WG_STORAGE_HDF5_HANDLE_H
#define WG_STORAGE_HDF5_HANDLE_H

#include "storage/hdf5_file.h"
#include "storage/pack.h"

#include <hdf5.h>

#if H5_VERSION_GE(1, 13, 0)
#include <H5FDdevelop.h> /* drivers moved there */
#endif

#define WG_H5_CRC_ATTRIBUTE "crc32" /* of the numbers of a variable, decoded, in the order of their indices */

#define WG_H5_FILE_DIMENSIONS 16 /* maximum in a file being written */
#define WG_H5_FILE_VARIABLES 256

/** The state of the file driver. */
struct wg_h5_disk {
    H5FD_t base; /* must come first, for HDF5 */
    int fd;
    int error; /* errno of the first failed read or write, or 0 */
    haddr_t eoa, eof;
};

/** A dimension of a file being written. */
struct wg_h5_dim {
    const char *name;
    hsize_t size;
    int scale; /* number of its coordinate variable */
};

/** The current chunk of a variable that is written row by row, in chunks of whole rows. */
struct wg_h5_chunk_buffer {
    size_t row_values, chunk_rows; /* chunk_rows 0: the variable has no buffer */
    hsize_t n_rows, next;
    unsigned char *planes; /* NULL before the first row and after the last */
};

/** A variable of a file being written. */
struct wg_h5_dataset {
    hid_t id;
    enum wg_h5_kind kind;
    int rank;
    hobj_ref_t reference;
    int along[WG_H5_MAX_DIMS]; /* numbers of its dimensions, unless it is a coordinate */
    int is_scale;
    uint32_t crc; /* of the numbers written so far */
    struct wg_h5_chunk_buffer buffer;
};

/** An open file. */
struct wg_h5 {
    struct wg_h5_disk disk;
    int owns_fd;
    bool is_resealed;
    const char *where; /* name in messages, borrowed */
    struct wg_error err;
    hid_t driver, file, group, string, transfer;
    int n_dimensions, n_variables;
    struct wg_h5_dim dimension[WG_H5_FILE_DIMENSIONS];
    struct wg_h5_dataset variable[WG_H5_FILE_VARIABLES];
    struct wg_pack *pack; /* allocated for the first chunk of rows */
};

/**
 * Allocates a file on a descriptor, not yet open; NULL and WG_ERR_MEMORY. Turns off HDF5's own error output. Other errors
 * stay in the file. Free with wg_h5_free().
 */
struct wg_h5 *wg_h5_new(int fd, const char *where, struct wg_error *err);
/** Returns an access list for H5Fcreate() and H5Fopen() with our driver. Close with wg_h5_close(); negative: an error. */
hid_t wg_h5_access(struct wg_h5 *file);
/** Closes an HDF5 object; ignores identifiers that are not positive. */
void wg_h5_close(hid_t id);
/** Returns the memory type of a kind. Borrowed. */
hid_t wg_h5_type(const struct wg_h5 *file, enum wg_h5_kind kind);
/** Checks the result of an HDF5 call and the driver while writing; records an error in the file. */
int wg_h5_check(struct wg_h5 *file, int well, const char *what);
/** Checks the driver after an HDF5 call while reading; returns 1 and records the error in the file if a read failed. */
int wg_h5_read_failed(struct wg_h5 *file);
/** Records WG_ERR_FORMAT with HDF5's own message. */
int wg_h5_damaged(const char *where, struct wg_error *err);
/** Writes HDF5's own message for the cause, in one line. Any later HDF5 call clears it: call this before closing. */
void wg_h5_reason(char out[200]);

#endif
