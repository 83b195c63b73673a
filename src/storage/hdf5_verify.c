/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Verifies the numbers of a file that other programs may have repacked or annotated, and reads everything in a file whose
 * origin is not known.
 */
#include "storage/hdf5_handle.h"

#include <hdf5.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BLOCK_VALUES ((hsize_t)131072) /* judgement: a megabyte */

struct verification {
    struct wg_h5 *file;
    int n;
    char *changed;
    bool is_damaged, has_no_memory;
};

/* Reads rows first .. first + rows - 1 and continues the checksum. */
static bool add_row_values(hid_t dataset, hid_t type, int rank, const hsize_t *dims, hsize_t first, hsize_t rows,
                           void *values, uint32_t *crc) {
    hsize_t start[H5S_MAX_RANK] = {first}, count[H5S_MAX_RANK] = {0};
    size_t n = (size_t)rows;
    for (int i = 1; i < rank; i++)
        n *= (size_t)(count[i] = dims[i]);
    count[0] = rows;
    const hid_t space = H5Dget_space(dataset), memory = H5Screate_simple(rank, count, NULL);
    const bool is_read = space >= 0 && memory >= 0 &&
                         H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0 &&
                         H5Dread(dataset, type, memory, space, H5P_DEFAULT, values) >= 0;
    wg_h5_close(memory);
    wg_h5_close(space);
    if (is_read)
        *crc = wg_pack_crc(*crc, values, WG_PACK_VALUE * n);
    return is_read;
}

/* Computes the checksum of all values of a variable. */
static bool checksum_of(struct verification *v, hid_t dataset, hid_t type, uint32_t *crc) {
    hsize_t dims[H5S_MAX_RANK] = {0};
    const hid_t space = H5Dget_space(dataset);
    const int rank = space < 0 ? -1 : H5Sget_simple_extent_dims(space, dims, NULL);
    wg_h5_close(space);
    *crc = 0;
    if (rank < 0)
        return false;
    double one;
    if (rank == 0) {
        const bool is_read = H5Dread(dataset, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, &one) >= 0;
        *crc = is_read ? wg_pack_crc(0, &one, sizeof one) : 0;
        return is_read;
    }
    hsize_t row = 1;
    for (int i = 1; i < rank; i++)
        row *= dims[i];
    if (row == 0 || row > SIZE_MAX / WG_PACK_VALUE / BLOCK_VALUES)
        return false;
    const hsize_t rows = row < BLOCK_VALUES ? BLOCK_VALUES / row : 1;
    void *const values = malloc((size_t)(rows * row) * WG_PACK_VALUE);
    v->has_no_memory = v->has_no_memory || values == NULL;
    bool is_read = values != NULL;
    for (hsize_t first = 0; first < dims[0] && is_read; first += rows)
        is_read = add_row_values(dataset, type, rank, dims, first, dims[0] - first < rows ? dims[0] - first : rows,
                                 values, crc);
    free(values);
    return is_read;
}

static herr_t verify_object(hid_t root, const char *name, const H5L_info_t *info, void *self) {
    struct verification *const v = self;
    char *stored = NULL, text[16];
    uint32_t crc;
    if (info->type != H5L_TYPE_HARD || !wg_h5_find_attribute(v->file, name, WG_H5_CRC_ATTRIBUTE, &stored))
        return 0;
    const hid_t dataset = H5Dopen2(root, name, H5P_DEFAULT), type = dataset < 0 ? -1 : H5Dget_type(dataset);
    const bool is_real = type >= 0 && H5Tget_class(type) == H5T_FLOAT;
    v->is_damaged = type < 0 || !checksum_of(v, dataset, wg_h5_type(v->file, is_real ? WG_H5_REAL : WG_H5_COUNT), &crc);
    wg_h5_close(type);
    wg_h5_close(dataset);
    (void)snprintf(text, sizeof text, "%08lx", v->is_damaged ? 0UL : (unsigned long)crc);
    v->n++;
    if (!v->is_damaged && strcmp(text, stored) != 0) {
        v->changed = strdup(name);
        v->has_no_memory = v->changed == NULL;
    }
    free(stored);
    return v->is_damaged || v->changed != NULL || v->has_no_memory;
}

int wg_h5_was_written(struct wg_h5 *file, const char *variable) {
    char *list;
    if (!wg_h5_find_attribute(file, ".", WG_H5_LIST_ATTRIBUTE, &list))
        return -1;
    const size_t length = strlen(variable);
    const char *at = list;
    while (strcspn(at, " ") != length || memcmp(at, variable, length) != 0) {
        at += strcspn(at, " ");
        if (*at == '\0')
            break;
        at++;
    }
    const int found = *at != '\0';
    free(list);
    return found;
}

/* Finds the first variable of the list that is missing or has no checksum any more. */
static void find_missing(struct verification *v) {
    char *list, *stored, *rest = NULL;
    if (!wg_h5_find_attribute(v->file, ".", WG_H5_LIST_ATTRIBUTE, &list))
        return;
    for (const char *name = strtok_r(list, " ", &rest); name != NULL && v->changed == NULL && !v->has_no_memory;
         name = strtok_r(NULL, " ", &rest)) {
        if (!wg_h5_find_attribute(v->file, name, WG_H5_CRC_ATTRIBUTE, &stored)) {
            v->changed = strdup(name);
            v->has_no_memory = v->changed == NULL;
        }
        free(stored);
    }
    free(list);
}

int wg_h5_verify_numbers(struct wg_h5 *file, int *n, char **changed, struct wg_error *err) {
    struct verification v = {.file = file};
    const herr_t visited = H5Lvisit(file->file, H5_INDEX_NAME, H5_ITER_INC, verify_object, &v);
    if (visited == 0)
        find_missing(&v);
    *n = v.n;
    *changed = v.changed;
    if (v.has_no_memory)
        return wg_no_memory(err, file->where);
    if (wg_h5_read_failed(file))
        return wg_h5_failed(file, err);
    return visited < 0 || v.is_damaged ? wg_h5_damaged(file->where, err) : 0;
}

/* ---- reading everything ---- */

#define MOST_PACKED 1032 /* RFC 1951 allows 258 bytes in two bits */

/* Returns the bytes that a variable or an attribute takes in memory; 0 if that cannot be. */
static size_t unpacked_size(const struct wg_h5 *file, hid_t type, hid_t space) {
    const hssize_t n = type < 0 || space < 0 ? -1 : H5Sget_simple_extent_npoints(space);
    const size_t each = n <= 0 ? 0 : H5Tget_size(type);
    const double most = (double)MOST_PACKED * (double)file->disk.eof;
    return n <= 0 || (double)n * (double)each > most ? 0 : (size_t)n * each;
}

/* Reads all values at once. Strings lie in memory of the library, which takes it back. Returns false on failure. */
static bool read_at_once(const struct wg_h5 *file, hid_t id, hid_t type, hid_t space) {
    const size_t size = unpacked_size(file, type, space);
    void *const values = size > 0 ? calloc(1, size) : NULL;
    if (size == 0)
        return type >= 0 && space >= 0;
    if (values == NULL)
        return false;
    const herr_t read = H5Iget_type(id) == H5I_ATTR ? H5Aread(id, type, values)
                                                    : H5Dread(id, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values);
    if (H5Tdetect_class(type, H5T_VLEN) > 0 || H5Tis_variable_str(type) > 0)
        (void)H5Dvlen_reclaim(type, space, H5P_DEFAULT, values);
    free(values);
    return read >= 0;
}

static herr_t read_attribute(hid_t object, const char *name, const H5A_info_t *info, void *self) {
    (void)info;
    const hid_t id = H5Aopen(object, name, H5P_DEFAULT);
    const hid_t type = id < 0 ? -1 : H5Aget_type(id), space = id < 0 ? -1 : H5Aget_space(id);
    const bool is_read = read_at_once(self, id, type, space);
    wg_h5_close(space);
    wg_h5_close(type);
    wg_h5_close(id);
    return is_read ? 0 : -1;
}

/* Numbers are read block by block, so that memory use does not grow with the number of replicates. */
static bool read_variable(struct wg_h5 *file, hid_t id) {
    struct verification v = {.file = file};
    uint32_t crc;
    const hid_t type = H5Dget_type(id), space = H5Dget_space(id);
    const H5T_class_t class = type < 0 ? H5T_NO_CLASS : H5Tget_class(type);
    const bool are_numbers = class == H5T_INTEGER || class == H5T_FLOAT;
    bool is_read = type >= 0 && space >= 0;
    if (is_read && !are_numbers)
        is_read = read_at_once(file, id, type, space);
    else if (is_read && unpacked_size(file, type, space) > 0)
        is_read = checksum_of(&v, id, wg_h5_type(file, class == H5T_FLOAT ? WG_H5_REAL : WG_H5_COUNT), &crc);
    wg_h5_close(space);
    wg_h5_close(type);
    return is_read;
}

static herr_t read_object(hid_t root, const char *name, const H5L_info_t *info, void *self) {
    if (info->type != H5L_TYPE_HARD)
        return 0;
    const hid_t object = H5Oopen(root, name, H5P_DEFAULT);
    bool is_read = object >= 0 && H5Aiterate2(object, H5_INDEX_NAME, H5_ITER_INC, NULL, read_attribute, self) >= 0;
    if (is_read && H5Iget_type(object) == H5I_DATASET)
        is_read = read_variable(self, object);
    wg_h5_close(object);
    return is_read ? 0 : -1;
}

int wg_h5_read_everything(struct wg_h5 *file, struct wg_error *err) {
    if (H5Aiterate2(file->file, H5_INDEX_NAME, H5_ITER_INC, NULL, read_attribute, file) >= 0 &&
        H5Lvisit(file->file, H5_INDEX_NAME, H5_ITER_INC, read_object, file) >= 0)
        return 0;
    return wg_h5_read_failed(file) ? wg_h5_failed(file, err) : wg_h5_damaged(file->where, err);
}
