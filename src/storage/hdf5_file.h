/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A small interface to HDF5, for files that are also valid netCDF-4 and CF.
 *
 * Only hdf5_file.c (the file and the disk), hdf5_write.c, _read.c, _compare.c and _verify.c call HDF5. Write errors are sticky:
 * after the first error each call returns it at once and does nothing, so a caller may make many calls and check the
 * last. One thread only: HDF5 has global state.
 *
 * netCDF readers need (tried with h5py, xarray, ncdump): creation order tracked on the file and each group, a scale
 * attached to each dimension, variable-length strings, _FillValue only on reals.
 */
#ifndef WG_STORAGE_HDF5_FILE_H
#define WG_STORAGE_HDF5_FILE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct wg_h5;

#define WG_H5_MAX_DIMS 3

enum wg_h5_kind {
    WG_H5_COUNT,    /* int64_t */
    WG_H5_REAL,     /* double; NaN is the fill value */
    WG_H5_BYTE,     /* unsigned char */
    WG_H5_STRING,   /* const char *, UTF-8 */
    WG_H5_NO_VALUES /* a dimension without coordinate values */
};

struct wg_h5_variable {
    const char *name;
    const char *unit, *text; /* in udunits syntax, not of STRING; the long name */
    enum wg_h5_kind kind;
    int n_dims;                      /* 0: one value */
    const char *dim[WG_H5_MAX_DIMS]; /* names of existing dimensions */
    bool is_coordinate;              /* a single one, which is never missing; those of dimensions are known */
};

/** Writes the version of the HDF5 library at run time, such as "1.10.8". */
void wg_h5_version(char *out, size_t size);

/* ---- writing ---- */

/**
 * Creates a file on an open descriptor (read and write, empty). `where` names it in messages; it and fd are borrowed
 * until wg_h5_finish(). wg_h5_finish() or wg_h5_free() frees *out.
 */
int wg_h5_create(struct wg_h5 **out, int fd, const char *where, struct wg_error *err);
/**
 * Adds a dimension of `size` > 0 and its coordinate: `variable` is one-dimensional. Returns its number as a variable.
 * Names are borrowed until the file is finished.
 */
int wg_h5_dimension(struct wg_h5 *file, const struct wg_h5_variable *variable, int64_t size, const void *values);
/** Adds a variable over existing dimensions, compressed if large. Returns its number (>= 0) for wg_h5_write_rows(). */
int wg_h5_variable(struct wg_h5 *file, const struct wg_h5_variable *variable);
/** Writes all values of a variable. STRING: an array of const char *. */
int wg_h5_write(struct wg_h5 *file, int variable, const void *values);
/**
 * Writes `n` > 0 rows of values from `row` along the first dimension. Rows must come in order from 0 and be complete
 * before wg_h5_finish() (wg_assert). The call buffers them and writes whole chunks.
 */
int wg_h5_write_rows(struct wg_h5 *file, int variable, int64_t row, int64_t n, const void *values);
/** Adds an attribute to variable `variable`, or with -1 to the current group (at first the file itself). */
int wg_h5_attribute(struct wg_h5 *file, int variable, const char *name, const char *text);
int wg_h5_attribute_number(struct wg_h5 *file, const char *name, uint64_t value);
/** Adds a whole number to a variable. */
int wg_h5_variable_whole(struct wg_h5 *file, int variable, const char *name, int value);
/** Creates a group and makes it current: later objects go into it. */
int wg_h5_group(struct wg_h5 *file, const char *name);
/** Makes the file itself current again. */
void wg_h5_leave_group(struct wg_h5 *file);
/** Returns the first error: 0, or its code with the reason in *err. */
int wg_h5_failed(const struct wg_h5 *file, struct wg_error *err);
/** Flushes and closes the file (not the descriptor), appends the checksum (seal.h), frees; returns the first error of the file. */
int wg_h5_finish(struct wg_h5 *file, struct wg_error *err);
/** Closes and frees a file. NULL is allowed. */
void wg_h5_free(struct wg_h5 *file);

/* ---- reading ---- */

/**
 * Opens a file for reading and takes ownership of the descriptor, also on failure. `where` names the file in messages and
 * is borrowed. WG_ERR_FORMAT: damaged, truncated, or not written by wg_h5_finish() (seal.h verifies the checksum before
 * HDF5 reads a byte, so later calls meet no accidental damage; they are not safe against malicious files).
 */
int wg_h5_open(struct wg_h5 **out, int fd, const char *where, struct wg_error *err);
/** The same without its checksum. HDF5 may crash on a damaged file, so call it in a process that can be lost. */
int wg_h5_open_unsealed(struct wg_h5 **out, int fd, const char *where, struct wg_error *err);
/** Returns true if `wintergrub seal` has added the checksum of a file from wg_h5_open(): it may hold others' work. */
bool wg_h5_is_resealed(const struct wg_h5 *file);
/**
 * Compares the numbers of each variable with the checksum that was written with them, whatever became of the layout of
 * the file, its attributes and its further variables. Sets *changed to the name of the first variable that differs or is
 * missing (malloc'ed), or NULL; *n to the number of variables with a checksum. Returns 0, WG_ERR_FORMAT (damaged), WG_ERR_FILE
 * or WG_ERR_MEMORY.
 */
int wg_h5_verify_numbers(struct wg_h5 *file, int *n, char **changed, struct wg_error *err);
/** Returns 1 and the value of an attribute of group `group`, or 0 if none fits. The caller frees the text. */
int wg_h5_find_attribute(struct wg_h5 *file, const char *group, const char *name, char **text);
int wg_h5_find_number(struct wg_h5 *file, const char *group, const char *name, uint64_t *value);
/** Returns the text of an attribute, "" if it is missing or unreadable (wg_h5_failed()); malloc'ed, NULL: no memory. */
char *wg_h5_attribute_or_empty(struct wg_h5 *file, const char *group, const char *name);
/** Returns 1 and the text of a dataset (one string, or bytes), malloc'ed, NUL-terminated after *size; 0 if none fits. */
int wg_h5_find_text(struct wg_h5 *file, const char *path, char **text, size_t *size);

/**
 * Reads every attribute and variable once and keeps nothing, to see whether the library survives it. Skips variables
 * larger than what deflate could unpack from a file of this size. Returns 0, WG_ERR_FORMAT (something cannot be read) or
 * WG_ERR_FILE.
 */
int wg_h5_read_everything(struct wg_h5 *file, struct wg_error *err);

/** Returns 1 and the value of a scalar number; 0 if none fits. */
int wg_h5_find_real(struct wg_h5 *file, const char *path, double *value);

/** The shape of a variable. */
struct wg_h5_shape {
    int n_dims;
    int64_t size[WG_H5_MAX_DIMS];
};
/** Returns 1 and the shape of a variable of numbers (or strings, `kind` STRING) of at most WG_H5_MAX_DIMS dimensions; else 0. */
int wg_h5_find_shape(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, struct wg_h5_shape *shape);
/**
 * Reads a block of a variable of numbers, `count` values from `from` along each dimension, as int64_t (COUNT) or
 * double (REAL). The block must lie inside the variable (wg_assert). Returns 0 or WG_ERR_FORMAT.
 */
int wg_h5_read_block(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, const struct wg_h5_shape *from,
                     const struct wg_h5_shape *count, void *out, struct wg_error *err);
/** Reads a one-dimensional variable of exactly n strings, each malloc'ed; out[] is NULL on entry. 0, WG_ERR_FORMAT or WG_ERR_MEMORY. */
int wg_h5_read_texts(struct wg_h5 *file, const char *path, int64_t n, char **out, struct wg_error *err);

/** The attribute of a file that lists its variables with a checksum, "replicate time ... provenance/parameter_value". */
#define WG_H5_LIST_ATTRIBUTE "variables_with_crc32"
/** Returns 1 if wintergrub wrote numbers of this name into the file, 0 if not, -1 if the file has no list. */
int wg_h5_was_written(struct wg_h5 *file, const char *variable);

/* ---- comparing ---- */

enum wg_h5_mismatch { WG_H5_OTHER_SHAPE, WG_H5_OTHER_VALUE, WG_H5_ONLY_IN_FIRST, WG_H5_ONLY_IN_SECOND };
/** A difference between two files. */
struct wg_h5_difference {
    const char *object;    /* path of the variable or group, "" for the file */
    const char *attribute; /* name of the attribute, NULL for a variable */
    enum wg_h5_mismatch mismatch;
    int is_text;
    int64_t row; /* the first that differs along the first dimension, -1: a single row or dimension */
};
struct wg_h5_comparator {
    int (*judge)(void *self,
                 const struct wg_h5_difference *difference); /* a nonzero result ends the comparison and is returned */
    void *self;
};
/**
 * Compares all values and attributes, in the creation order of the first file, but not how dimensions are attached
 * (addresses). Holds a few chunks at a time, however large the files. Returns 0, the judge's result, WG_ERR_FORMAT
 * (damaged), WG_ERR_FILE or WG_ERR_MEMORY.
 */
int wg_h5_compare(struct wg_h5 *first, struct wg_h5 *second, struct wg_h5_comparator judge, struct wg_error *err);

#endif
