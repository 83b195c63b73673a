/**
 * An open HDF5 file, as hdf5_file.c, hdf5_write.c, _read.c and _compare.c see it, and the small calls that both
 * sides need. No other file includes this (tests/layers): what they may ask for is in hdf5_file.h.
 */
#ifndef WG_STORAGE_HDF5_HANDLE_H
#define WG_STORAGE_HDF5_HANDLE_H

#include "storage/hdf5_file.h"
#include "storage/pack.h"

#include <hdf5.h>

#if H5_VERSION_GE(1, 13, 0)
#include <H5FDdevelop.h> /* drivers moved there */
#endif

#define WG_H5_FILE_DIMENSIONS 16 /* at most, in a file that is written */
#define WG_H5_FILE_VARIABLES 160

/** The bytes of a file, as the driver sees them. */
struct wg_h5_disk {
    H5FD_t base; /* first, as HDF5 demands */
    int fd;
    int error; /* errno of the first read or write that failed, 0 while all is well */
    haddr_t eoa, eof;
};

/** A dimension of a file that is written. */
struct wg_h5_dim {
    const char *name;
    hsize_t size;
    int scale; /* number of the variable that is its coordinate */
};

/** Of a variable in chunks of whole rows, written row by row: the chunk that is being filled. */
struct wg_h5_chunk_buffer {
    size_t row_values, chunk_rows; /* chunk_rows 0: not such a variable */
    hsize_t n_rows, next;
    unsigned char *planes; /* NULL before the first row and after the last */
};

/** A variable of a file that is written. */
struct wg_h5_dataset {
    hid_t id;
    enum wg_h5_kind kind;
    int rank;
    hobj_ref_t itself;
    int along[WG_H5_MAX_DIMS]; /* numbers of its dimensions, if it is no coordinate */
    int is_scale;
    struct wg_h5_chunk_buffer filling;
};

/** An open file. */
struct wg_h5 {
    struct wg_h5_disk disk;
    int owns_fd;
    const char *where; /* in messages, borrowed */
    struct wg_error err;
    hid_t driver, file, group, string, transfer;
    int n_dimensions, n_variables;
    struct wg_h5_dim dimension[WG_H5_FILE_DIMENSIONS];
    struct wg_h5_dataset variable[WG_H5_FILE_VARIABLES];
    struct wg_pack *pack; /* made for the first chunk of rows */
};

/**
 * A file that is not open yet, on a descriptor; NULL and WG_ERR_MEMORY. What HDF5 says is no longer printed. Another
 * failure stays in the file. Free with wg_h5_free().
 */
struct wg_h5 *wg_h5_new(int fd, const char *where, struct wg_error *err);
/** A list for H5Fcreate() and H5Fopen(): our driver on the descriptor. Close with wg_h5_close(); negative: a failure. */
hid_t wg_h5_access(struct wg_h5 *file);
/** Lets go of anything of HDF5's; what is not positive was never made. */
void wg_h5_close(hid_t id);
/** How values of a kind lie in memory. Borrowed. */
hid_t wg_h5_type(const struct wg_h5 *file, enum wg_h5_kind kind);
/** After every call of HDF5 while writing: did it go well, and did the disk take everything? Else the file has failed. */
int wg_h5_check(struct wg_h5 *file, int well, const char *what);
/** After every call of HDF5 while reading: was all of it from the disk? If not, 1, and that is the file's failure. */
int wg_h5_read_failed(struct wg_h5 *file);
/** WG_ERR_FORMAT, with HDF5's own words. */
int wg_h5_damaged(const char *where, struct wg_error *err);
/** HDF5's own words for the cause, in one line. Any later call of HDF5 forgets them: ask before closing things. */
void wg_h5_reason(char out[200]);

#endif
