/*
 * What stands in this HDF5 file?
 *
 * Asked for by name, a part at a time, or all of it in order of creation. The checksum is looked at first (seal.c).
 */
#include "io/result_hdf5_handle.h"
#include "io/seal.h"

#include <hdf5.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int damaged(const char *where, struct wg_error *err) {
    char reason[200];
    wg_h5_reason(reason);
    return wg_fail(err, WG_ERR_FORMAT, where, "This file is damaged or cut short (%s).", reason);
}

/* After every call of HDF5 while reading: was all of it from the disk? If not, that is the file's failure. */
static int read_failed(struct wg_h5 *file) {
    if (file->disk.error == 0)
        return 0;
    (void)wg_fail(&file->err, WG_ERR_FILE, file->where, "This file cannot be read: %s.", strerror(file->disk.error));
    return 1;
}

int wg_h5_open(struct wg_h5 **out, int fd, const char *where, struct wg_error *err) {
    *out = NULL;
    struct wg_h5 *const file = wg_h5_new(fd, where, err);
    if (file == NULL) {
        (void)close(fd);
        return WG_ERR_MEMORY;
    }
    file->owns_fd = 1;
    int code = wg_seal_check(fd, where, err); /* before HDF5, which may not survive a damaged file */
    const hid_t access = code == 0 ? wg_h5_access(file) : -1;
    if (access >= 0)
        file->file = H5Fopen(where, H5F_ACC_RDONLY, access);
    if (code == 0 && read_failed(file))
        code = wg_h5_failed(file, err);
    if (code == 0 && file->file <= 0)
        code = damaged(where, err);
    wg_h5_close(access);
    if (code == 0)
        *out = file;
    else
        wg_h5_free(file);
    return code;
}

int wg_h5_find_number(struct wg_h5 *file, const char *group, const char *name, uint64_t *value) {
    const hid_t note = H5Aopen_by_name(file->file, group, name, H5P_DEFAULT, H5P_DEFAULT);
    const hid_t space = note < 0 ? -1 : H5Aget_space(note);
    const int fits =
        space >= 0 && H5Sget_simple_extent_npoints(space) == 1 && H5Aread(note, H5T_NATIVE_UINT64, value) >= 0;
    wg_h5_close(space);
    wg_h5_close(note);
    return fits && !read_failed(file);
}

static int no_memory(struct wg_h5 *file) {
    return wg_fail(&file->err, WG_ERR_MEMORY, file->where, "There is not enough memory to read this result.");
}

static herr_t read_values(hid_t id, hid_t type, hid_t memory, hid_t space, void *out) {
    return H5Iget_type(id) == H5I_ATTR ? H5Aread(id, type, out) : H5Dread(id, type, memory, space, H5P_DEFAULT, out);
}

/* One string as a copy, because HDF5 hands it out in memory of its own; or bytes, ended by a zero. */
static void take_text(struct wg_h5 *file, hid_t id, hid_t type, hid_t space, char **text, size_t *size) {
    const hssize_t n = space < 0 ? -1 : H5Sget_simple_extent_npoints(space);
    char *from = NULL, *taken = NULL;
    if (n == 1 && H5Tis_variable_str(type) > 0) {
        if (read_values(id, type, H5S_ALL, H5S_ALL, &from) < 0 || from == NULL)
            return;
        *size = strlen(from);
        taken = read_failed(file) ? NULL : strdup(from);
        (void)H5Dvlen_reclaim(type, space, H5P_DEFAULT, &from);
    } else if (n >= 0 && H5Tget_class(type) == H5T_INTEGER && H5Tget_size(type) == 1) {
        *size = (size_t)n;
        taken = calloc(*size + 1, 1);
        if (taken != NULL && (read_values(id, type, H5S_ALL, H5S_ALL, taken) < 0 || read_failed(file))) {
            free(taken);
            return;
        }
    } else {
        return;
    }
    *text = taken;
    if (taken == NULL)
        (void)no_memory(file); /* unless a failure is noted already */
}

int wg_h5_find_note(struct wg_h5 *file, const char *group, const char *name, char **text) {
    size_t size;
    *text = NULL;
    const hid_t note = H5Aopen_by_name(file->file, group, name, H5P_DEFAULT, H5P_DEFAULT);
    const hid_t type = note < 0 ? -1 : H5Aget_type(note), space = note < 0 ? -1 : H5Aget_space(note);
    take_text(file, note, type, space, text, &size);
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(note);
    return *text != NULL;
}

char *wg_h5_note_or_nothing(struct wg_h5 *file, const char *group, const char *name) {
    char *text;
    return wg_h5_find_note(file, group, name, &text) ? text : calloc(1, 1);
}

int wg_h5_find_text(struct wg_h5 *file, const char *path, char **text, size_t *size) {
    *text = NULL;
    *size = 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const hid_t type = dataset < 0 ? -1 : H5Dget_type(dataset), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    take_text(file, dataset, type, space, text, size);
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(dataset);
    return *text != NULL;
}

static int is_of_kind(hid_t type, enum wg_h5_kind kind) {
    const H5T_class_t class = type < 0 ? H5T_NO_CLASS : H5Tget_class(type);
    return kind == WG_H5_STRING ? H5Tis_variable_str(type) > 0 : class == H5T_INTEGER || class == H5T_FLOAT;
}

int wg_h5_find_shape(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, struct wg_h5_shape *shape) {
    hsize_t dims[H5S_MAX_RANK] = {0};
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const hid_t type = dataset < 0 ? -1 : H5Dget_type(dataset), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    shape->n_dims = space < 0 ? -1 : H5Sget_simple_extent_dims(space, dims, NULL);
    const int fits = shape->n_dims >= 0 && shape->n_dims <= WG_H5_MOST_DIMS && is_of_kind(type, kind);
    for (int i = 0; fits && i < shape->n_dims; i++)
        shape->size[i] = (int64_t)dims[i];
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(dataset);
    return fits && !read_failed(file);
}

int wg_h5_find_real(struct wg_h5 *file, const char *path, double *value) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file, path, WG_H5_REAL, &shape) || shape.n_dims != 0)
        return 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const int well = dataset >= 0 && H5Dread(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, value) >= 0;
    wg_h5_close(dataset);
    return well;
}

int wg_h5_read_block(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, const struct wg_h5_shape *from,
                     const struct wg_h5_shape *count, void *out, struct wg_error *err) {
    wg_assert(from->n_dims == count->n_dims && from->n_dims > 0 && from->n_dims <= WG_H5_MOST_DIMS);
    hsize_t start[WG_H5_MOST_DIMS], size[WG_H5_MOST_DIMS];
    for (int i = 0; i < from->n_dims; i++) {
        start[i] = (hsize_t)from->size[i];
        size[i] = (hsize_t)count->size[i];
    }
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    const hid_t memory = H5Screate_simple(from->n_dims, size, NULL);
    const int well =
        space >= 0 && memory >= 0 && H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, size, NULL) >= 0 &&
        H5Sselect_valid(space) > 0 && H5Dread(dataset, wg_h5_type(file, kind), memory, space, H5P_DEFAULT, out) >= 0;
    const int code = read_failed(file) ? wg_h5_failed(file, err) : well ? 0 : damaged(file->where, err);
    wg_h5_close(memory);
    wg_h5_close(space);
    wg_h5_close(dataset);
    return code;
}

int wg_h5_read_texts(struct wg_h5 *file, const char *path, int64_t n, char **out, struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file, path, WG_H5_STRING, &shape) || shape.n_dims != 1 || shape.size[0] != n)
        return read_failed(file)
                   ? wg_h5_failed(file, err)
                   : wg_fail(err, WG_ERR_FORMAT, file->where, "This file is damaged: it has no %s.", path);
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT), space = H5Dget_space(dataset);
    char **const from = calloc((size_t)n + 1, sizeof *from);
    int code = 0;
    if (from == NULL) {
        code = no_memory(file);
    } else if (H5Dread(dataset, file->string, H5S_ALL, H5S_ALL, H5P_DEFAULT, from) < 0) {
        code = read_failed(file) ? WG_ERR_FILE : damaged(file->where, err);
    } else {
        for (int64_t i = 0; code == 0 && i < n; i++) {
            out[i] = strdup(from[i] != NULL ? from[i] : "");
            if (out[i] == NULL)
                code = no_memory(file);
        }
        (void)H5Dvlen_reclaim(file->string, space, H5P_DEFAULT, from);
    }
    free(from);
    wg_h5_close(space);
    wg_h5_close(dataset);
    return code == WG_ERR_MEMORY || read_failed(file) ? wg_h5_failed(file, err) : code;
}

/* ---- walking ---- */

struct walk {
    struct wg_h5_visitor visitor;
    const char *object, *note; /* where we are: "count", "units" */
    struct wg_h5 *file;
    int result; /* what the visitor said, or a failure of ours: HDF5 does not hand our code through */
    struct wg_error *err;
};

static int walk_failed(struct walk *walk) {
    const int code = wg_h5_failed(walk->file, walk->err);
    return walk->result = code < 0 ? code : damaged(walk->file->where, walk->err);
}

static int show(struct walk *walk, int is_shape, int64_t row, const void *bytes, size_t size) {
    const struct wg_h5_piece piece = {walk->object, walk->note, is_shape, row, bytes, size};
    return walk->result = walk->visitor.see(walk->visitor.self, &piece);
}

/* The values of an attribute, or of a part of a dataset, as bytes; strings one by one. row -1: these are all. */
static void show_values(struct walk *walk, hid_t id, hid_t type, hid_t memory, hid_t space, int64_t row) {
    const hssize_t n = H5Sget_simple_extent_npoints(memory);
    const size_t bytes = H5Tget_size(type);
    char *const values = calloc((size_t)(n < 0 ? 0 : n) + 1, bytes);
    if (values == NULL)
        (void)no_memory(walk->file);
    if (n < 0 || values == NULL || read_values(id, type, memory, space, values) < 0) {
        (void)walk_failed(walk);
    } else if (H5Tis_variable_str(type) <= 0) {
        (void)show(walk, 0, row, values, (size_t)n * bytes);
    } else {
        for (hssize_t i = 0; i < n && walk->result == 0; i++) {
            const char *text;
            memcpy(&text, values + (size_t)i * bytes, sizeof text);
            (void)show(walk, 0, n == 1 ? row : i, text, text == NULL ? 0 : strlen(text));
        }
        (void)H5Dvlen_reclaim(type, memory, H5P_DEFAULT, values);
    }
    free(values);
}

/* Shown first, so that files of other sizes differ even where their bytes agree. */
static int show_shape(struct walk *walk, hid_t type, hid_t space) {
    hsize_t dims[H5S_MAX_RANK + 2] = {(hsize_t)H5Tget_class(type), H5Tget_size(type)};
    const int rank = H5Sget_simple_extent_dims(space, dims + 2, NULL);
    return show(walk, 1, -1, dims, sizeof *dims * (size_t)(rank + 2));
}

/* Lists and pairs say how scales are attached, by addresses within this file: left out. */
static herr_t walk_note(hid_t object, const char *name, const H5A_info_t *info, void *self) {
    (void)info;
    struct walk *const walk = self;
    walk->note = name;
    const hid_t note = H5Aopen(object, name, H5P_DEFAULT);
    const hid_t type = note < 0 ? -1 : H5Aget_type(note), space = note < 0 ? -1 : H5Aget_space(note);
    const H5T_class_t class = type < 0 ? H5T_NO_CLASS : H5Tget_class(type);
    if (class == H5T_NO_CLASS || space < 0)
        (void)walk_failed(walk);
    else if (class != H5T_VLEN && class != H5T_COMPOUND && show_shape(walk, type, space) == 0)
        show_values(walk, note, type, space, space, -1);
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(note);
    walk->note = NULL;
    return walk->result;
}

/* One row of the first dimension, or all of a dataset of one dimension or none. */
static void walk_row(struct walk *walk, hid_t dataset, hid_t type, hid_t space, int rank, const hsize_t *count,
                     hsize_t row) {
    hsize_t start[H5S_MAX_RANK] = {row};
    const hid_t memory = rank > 0 ? H5Screate_simple(rank, count, NULL) : H5Screate(H5S_SCALAR);
    if (memory < 0 || (rank > 0 && H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) < 0))
        (void)walk_failed(walk);
    else
        show_values(walk, dataset, type, memory, space, rank > 1 ? (int64_t)row : -1);
    wg_h5_close(memory);
}

static void walk_dataset(struct walk *walk, hid_t dataset) {
    const hid_t type = H5Dget_type(dataset), space = H5Dget_space(dataset);
    hsize_t count[H5S_MAX_RANK] = {1};
    const int rank = type < 0 || space < 0 ? -1 : H5Sget_simple_extent_dims(space, count, NULL);
    const hsize_t rows = rank > 1 ? count[0] : 1;
    if (rank > 1)
        count[0] = 1;
    if (rank < 0)
        (void)walk_failed(walk);
    else
        (void)show_shape(walk, type, space);
    for (hsize_t row = 0; row < rows && walk->result == 0; row++)
        walk_row(walk, dataset, type, space, rank, count, row);
    wg_h5_close(space);
    wg_h5_close(type);
}

static herr_t walk_object(hid_t group, const char *name, const H5L_info_t *info, void *self) {
    struct walk *const walk = self;
    walk->object = name;
    const hid_t object = info->type == H5L_TYPE_HARD ? H5Oopen(group, name, H5P_DEFAULT) : -1;
    if (object < 0)
        (void)walk_failed(walk);
    else if (H5Iget_type(object) == H5I_DATASET)
        walk_dataset(walk, object);
    if (walk->result == 0 && H5Aiterate2(object, H5_INDEX_CRT_ORDER, H5_ITER_INC, NULL, walk_note, walk) < 0 &&
        walk->result == 0)
        (void)walk_failed(walk);
    wg_h5_close(object);
    return walk->result;
}

int wg_h5_walk(struct wg_h5 *file, struct wg_h5_visitor visitor, struct wg_error *err) {
    struct walk walk = {.visitor = visitor, .object = "", .file = file, .err = err};
    if ((H5Aiterate2(file->file, H5_INDEX_CRT_ORDER, H5_ITER_INC, NULL, walk_note, &walk) < 0 ||
         H5Lvisit(file->file, H5_INDEX_CRT_ORDER, H5_ITER_INC, walk_object, &walk) < 0) &&
        walk.result == 0)
        (void)walk_failed(&walk);
    return read_failed(file) ? wg_h5_failed(file, err) : walk.result;
}
