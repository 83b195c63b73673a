/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads HDF5 files by name, a part at a time, after checking the checksum (seal.c).
 */
#include "storage/hdf5_handle.h"
#include "storage/seal.h"

#include <hdf5.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int wg_h5_damaged(const char *where, struct wg_error *err) {
    char reason[200];
    wg_h5_reason(reason);
    return wg_fail(err, WG_ERR_FORMAT, where, "This file is damaged or truncated (%s).", reason);
}

int wg_h5_read_failed(struct wg_h5 *file) {
    if (file->disk.error == 0)
        return 0;
    (void)wg_fail(&file->err, WG_ERR_FILE, file->where, "This file cannot be read: %s.", strerror(file->disk.error));
    return 1;
}

static int open_file(struct wg_h5 **out, int fd, const char *where, bool is_sealed, struct wg_error *err) {
    *out = NULL;
    struct wg_h5 *const file = wg_h5_new(fd, where, err);
    if (file == NULL) {
        (void)close(fd);
        return WG_ERR_MEMORY;
    }
    file->owns_fd = 1;
    int code = is_sealed ? wg_seal_check(fd, where, err) : 0; /* before HDF5, which may crash on a damaged file */
    file->is_resealed = code == WG_SEAL_AGAIN;
    code = file->is_resealed ? 0 : code;
    const hid_t access = code == 0 ? wg_h5_access(file) : -1;
    if (access >= 0)
        file->file = H5Fopen(where, H5F_ACC_RDONLY, access);
    if (code == 0 && wg_h5_read_failed(file))
        code = wg_h5_failed(file, err);
    if (code == 0 && file->file <= 0)
        code = wg_h5_damaged(where, err);
    wg_h5_close(access);
    if (code == 0)
        *out = file;
    else
        wg_h5_free(file);
    return code;
}

int wg_h5_open(struct wg_h5 **out, int fd, const char *where, struct wg_error *err) {
    return open_file(out, fd, where, true, err);
}

int wg_h5_open_unsealed(struct wg_h5 **out, int fd, const char *where, struct wg_error *err) {
    return open_file(out, fd, where, false, err);
}

bool wg_h5_is_resealed(const struct wg_h5 *file) {
    return file->is_resealed;
}

int wg_h5_find_number(struct wg_h5 *file, const char *group, const char *name, uint64_t *value) {
    const hid_t attribute = H5Aopen_by_name(file->file, group, name, H5P_DEFAULT, H5P_DEFAULT);
    const hid_t space = attribute < 0 ? -1 : H5Aget_space(attribute);
    const int fits =
        space >= 0 && H5Sget_simple_extent_npoints(space) == 1 && H5Aread(attribute, H5T_NATIVE_UINT64, value) >= 0;
    wg_h5_close(space);
    wg_h5_close(attribute);
    return fits && !wg_h5_read_failed(file);
}

static herr_t read_values(hid_t id, hid_t type, hid_t memory, hid_t space, void *out) {
    return H5Iget_type(id) == H5I_ATTR ? H5Aread(id, type, out) : H5Dread(id, type, memory, space, H5P_DEFAULT, out);
}

/* Copies one string, which HDF5 returns in its own memory, or bytes with a NUL at the end. */
static void copy_dataset_text(struct wg_h5 *file, hid_t id, hid_t type, hid_t space, char **text, size_t *size) {
    const hssize_t n = space < 0 ? -1 : H5Sget_simple_extent_npoints(space);
    char *from = NULL, *copy = NULL;
    if (n == 1 && H5Tis_variable_str(type) > 0) {
        if (read_values(id, type, H5S_ALL, H5S_ALL, &from) < 0 || from == NULL)
            return;
        *size = strlen(from);
        copy = wg_h5_read_failed(file) ? NULL : strdup(from);
        (void)H5Dvlen_reclaim(type, space, H5P_DEFAULT, &from);
    } else if (n >= 0 && H5Tget_class(type) == H5T_INTEGER && H5Tget_size(type) == 1) {
        *size = (size_t)n;
        copy = calloc(*size + 1, 1);
        if (copy != NULL && (read_values(id, type, H5S_ALL, H5S_ALL, copy) < 0 || wg_h5_read_failed(file))) {
            free(copy);
            return;
        }
    } else {
        return;
    }
    *text = copy;
    if (copy == NULL)
        (void)wg_no_memory(&file->err, file->where); /* keeps an earlier error */
}

int wg_h5_find_attribute(struct wg_h5 *file, const char *group, const char *name, char **text) {
    size_t size;
    *text = NULL;
    const hid_t attribute = H5Aopen_by_name(file->file, group, name, H5P_DEFAULT, H5P_DEFAULT);
    const hid_t type = attribute < 0 ? -1 : H5Aget_type(attribute),
                space = attribute < 0 ? -1 : H5Aget_space(attribute);
    copy_dataset_text(file, attribute, type, space, text, &size);
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(attribute);
    return *text != NULL;
}

char *wg_h5_attribute_or_empty(struct wg_h5 *file, const char *group, const char *name) {
    char *text;
    return wg_h5_find_attribute(file, group, name, &text) ? text : calloc(1, 1);
}

int wg_h5_find_text(struct wg_h5 *file, const char *path, char **text, size_t *size) {
    *text = NULL;
    *size = 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const hid_t type = dataset < 0 ? -1 : H5Dget_type(dataset), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    copy_dataset_text(file, dataset, type, space, text, size);
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
    const int fits = shape->n_dims >= 0 && shape->n_dims <= WG_H5_MAX_DIMS && is_of_kind(type, kind);
    for (int i = 0; fits && i < shape->n_dims; i++)
        shape->size[i] = (int64_t)dims[i];
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(dataset);
    return fits && !wg_h5_read_failed(file);
}

int wg_h5_find_real(struct wg_h5 *file, const char *path, double *value) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file, path, WG_H5_REAL, &shape) || shape.n_dims != 0)
        return 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const int ok = dataset >= 0 && H5Dread(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, value) >= 0;
    wg_h5_close(dataset);
    return ok;
}

int wg_h5_read_block(struct wg_h5 *file, const char *path, enum wg_h5_kind kind, const struct wg_h5_shape *from,
                     const struct wg_h5_shape *count, void *out, struct wg_error *err) {
    wg_assert(from->n_dims == count->n_dims && from->n_dims > 0 && from->n_dims <= WG_H5_MAX_DIMS);
    hsize_t start[WG_H5_MAX_DIMS], size[WG_H5_MAX_DIMS];
    for (int i = 0; i < from->n_dims; i++) {
        start[i] = (hsize_t)from->size[i];
        size[i] = (hsize_t)count->size[i];
    }
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    const hid_t memory = H5Screate_simple(from->n_dims, size, NULL);
    const int ok =
        space >= 0 && memory >= 0 && H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, size, NULL) >= 0 &&
        H5Sselect_valid(space) > 0 && H5Dread(dataset, wg_h5_type(file, kind), memory, space, H5P_DEFAULT, out) >= 0;
    const int code = wg_h5_read_failed(file) ? wg_h5_failed(file, err) : ok ? 0 : wg_h5_damaged(file->where, err);
    wg_h5_close(memory);
    wg_h5_close(space);
    wg_h5_close(dataset);
    return code;
}

int wg_h5_read_texts(struct wg_h5 *file, const char *path, int64_t n, char **out, struct wg_error *err) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file, path, WG_H5_STRING, &shape) || shape.n_dims != 1 || shape.size[0] != n)
        return wg_h5_read_failed(file)
                   ? wg_h5_failed(file, err)
                   : wg_fail(err, WG_ERR_FORMAT, file->where, "This file is damaged: it has no %s.", path);
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT), space = H5Dget_space(dataset);
    char **const from = calloc((size_t)n + 1, sizeof *from);
    int code = 0;
    if (from == NULL) {
        code = wg_no_memory(&file->err, file->where);
    } else if (H5Dread(dataset, file->string, H5S_ALL, H5S_ALL, H5P_DEFAULT, from) < 0) {
        code = wg_h5_read_failed(file) ? WG_ERR_FILE : wg_h5_damaged(file->where, err);
    } else {
        for (int64_t i = 0; code == 0 && i < n; i++) {
            out[i] = strdup(from[i] != NULL ? from[i] : "");
            if (out[i] == NULL)
                code = wg_no_memory(&file->err, file->where);
        }
        (void)H5Dvlen_reclaim(file->string, space, H5P_DEFAULT, from);
    }
    free(from);
    wg_h5_close(space);
    wg_h5_close(dataset);
    return code == WG_ERR_MEMORY || wg_h5_read_failed(file) ? wg_h5_failed(file, err) : code;
}
