/**
 * A small vocabulary over HDF5: files that are netCDF-4 and follow CF as well.
 *
 * Everything the project knows of HDF5 is in hdf5_file.c (the file and the
 * disk), hdf5_write.c, _read.c and _compare.c. Writing is sticky: after
 * the first failure every call returns that failure at once and does nothing, so
 * a caller may make many calls and look at the last one. One thread only: HDF5
 * keeps state of its own.
 *
 * What makes netCDF readers accept a file (tried with h5py, xarray, ncdump):
 * creation order kept on the file and every group, a scale attached to every
 * dimension, strings of variable length, _FillValue on reals only.
 */
#ifndef WG_STORAGE_HDF5_FILE_H
#define WG_STORAGE_HDF5_FILE_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

struct wg_h5;

#define WG_H5_MAX_DIMS 3

enum wg_h5_kind {
    WG_H5_COUNT,    /* int64_t */
    WG_H5_REAL,     /* double; NaN is the fill value */
    WG_H5_BYTE,     /* unsigned char */
    WG_H5_STRING,   /* const char *, UTF-8 */
    WG_H5_NO_VALUES /* a dimension without values of its own */
};

struct wg_h5_variable {
    const char *name;
    const char *unit, *text; /* for udunits; the long name */
    enum wg_h5_kind kind;
    int n_dims;                      /* 0: one value */
    const char *dim[WG_H5_MAX_DIMS]; /* names of dimensions made before */
};

/** "1.10.8": the HDF5 library at run time. */
void wg_h5_version(char *out, size_t size);

/* ---- writing ---- */

/**
 * A new file on an open descriptor (read and write, empty). `where` names it in
 * messages and is borrowed, as is fd; both must last until wg_h5_finish().
 * *out is freed by wg_h5_finish() or wg_h5_free().
 */
int wg_h5_create(struct wg_h5 **out, int fd, const char *where, struct wg_error *err);
/**
 * A dimension of `size` > 0 and its coordinate: `variable` is one-dimensional. Returns its number as a variable. Names
 * are borrowed until the file is finished.
 */
int wg_h5_dimension(struct wg_h5 *file, const struct wg_h5_variable *variable, int64_t size, const void *values);
/** A variable over dimensions made before; large ones are compressed. Returns its number (>= 0) for wg_h5_write_rows(). */
int wg_h5_variable(struct wg_h5 *file, const struct wg_h5_variable *variable);
/** All values of a variable. STRING: an array of const char *. */
int wg_h5_write(struct wg_h5 *file, int variable, const void *values);
/**
 * The values at `n` > 0 places from `row` along the first dimension. Rows come in order from 0, and once one has come all
 * must before wg_h5_finish() (wg_assert). They are written later than this call, a chunk at a time.
 */
int wg_h5_write_rows(struct wg_h5 *file, int variable, int64_t row, int64_t n, const void *values);
/** An attribute of variable `variable`, or with -1 of the group that was begun last (the file itself at first). */
int wg_h5_attribute(struct wg_h5 *file, int variable, const char *name, const char *text);
int wg_h5_attribute_number(struct wg_h5 *file, const char *name, uint64_t value);
/** Begins a group of the file: what is made from now on goes into it. */
int wg_h5_group(struct wg_h5 *file, const char *name);
/** The failure so far: 0, or its code with the reason in *err. */
int wg_h5_failed(const struct wg_h5 *file, struct wg_error *err);
/** Writes out, closes (not the descriptor), adds the checksum (seal.h), frees, and tells of any failure since the file was made. */
int wg_h5_finish(struct wg_h5 *file, struct wg_error *err);
/** Closes and frees whatever is open. NULL is allowed. */
void wg_h5_free(struct wg_h5 *file);

/* ---- reading ---- */

/**
 * Opens for reading a descriptor that this call takes over: it is closed in every case, at the latest by wg_h5_free().
 * `where` names the file in messages and is borrowed. WG_ERR_FORMAT: damaged, cut short, not written by wg_h5_finish()
 * (seal.h: looked at before HDF5 reads a byte, so what follows need not fear damage; nor does it withstand an enemy).
 */
int wg_h5_open(struct wg_h5 **out, int fd, const char *where, struct wg_error *err);
/** 1 and the value of an attribute of group `group`, or 0: there is none that fits. Text is malloc'ed and the caller's. */
int wg_h5_find_attribute(struct wg_h5 *file, const char *group, const char *name, char **text);
int wg_h5_find_number(struct wg_h5 *file, const char *group, const char *name, uint64_t *value);
/** The text of an attribute, "" where there is none (or it cannot be read: wg_h5_failed()); malloc'ed, NULL: no memory. */
char *wg_h5_attribute_or_empty(struct wg_h5 *file, const char *group, const char *name);
/** 1 and the text of a dataset (one string, or bytes), malloc'ed, ended by a zero beyond *size; 0: there is none that fits. */
int wg_h5_find_text(struct wg_h5 *file, const char *path, char **text, size_t *size);

/** 1 and the value of a variable of no dimension, a number; 0: there is none that fits. */
int wg_h5_find_real(struct wg_h5 *file, const char *path, double *value);

/** The sizes of a variable. */
struct wg_h5_shape {
    int n_dims;
    int64_t size[WG_H5_MAX_DIMS];
};
/** 1 and the shape of a variable of numbers (or of texts, `kind` STRING) with at most WG_H5_MAX_DIMS dimensions; 0: none. */
int wg_h5_find_shape(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, struct wg_h5_shape *shape);
/**
 * A block of a variable of numbers, `count` values from `from` along each of its dimensions, as int64_t (COUNT) or
 * double (REAL), whichever is asked for. The block must lie inside (wg_assert). 0 or WG_ERR_FORMAT.
 */
int wg_h5_read_block(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, const struct wg_h5_shape *from,
                     const struct wg_h5_shape *count, void *out, struct wg_error *err);
/** All n texts of a one-dimensional variable of exactly n, each malloc'ed; out[i] are NULL at first. 0, WG_ERR_FORMAT, WG_ERR_MEMORY. */
int wg_h5_read_texts(struct wg_h5 *file, const char *path, int64_t n, char **out, struct wg_error *err);

/* ---- comparing ---- */

enum wg_h5_mismatch { WG_H5_OTHER_SHAPE, WG_H5_OTHER_VALUE, WG_H5_ONLY_IN_FIRST, WG_H5_ONLY_IN_SECOND };
/** Something that is not the same in two files. */
struct wg_h5_difference {
    const char *object; /* path of the variable or group, "" for the file */
    const char *note;   /* of the attribute, NULL for a variable */
    enum wg_h5_mismatch mismatch;
    int is_text;
    int64_t row; /* the first that differs along the first dimension, -1: there is but one, or one dimension */
};
struct wg_h5_comparator {
    int (*judge)(void *self, const struct wg_h5_difference *difference); /* not 0 ends it and is returned */
    void *self;
};
/**
 * Compares all values and attributes, in the order in which those of the first file were made, but not how dimensions are
 * attached (addresses). A few chunks are held at a time, however large the files. 0, the judge's answer, WG_ERR_FORMAT
 * (damaged), WG_ERR_FILE, WG_ERR_MEMORY.
 */
int wg_h5_compare(struct wg_h5 *first, struct wg_h5 *second, struct wg_h5_comparator judge, struct wg_error *err);

#endif
