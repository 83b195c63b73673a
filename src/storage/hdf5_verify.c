/*
 * Verifies the numbers of a file that other programs may have repacked or annotated.
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

int wg_h5_verify_numbers(struct wg_h5 *file, int *n, char **changed, struct wg_error *err) {
    struct verification v = {.file = file};
    const herr_t visited = H5Lvisit(file->file, H5_INDEX_NAME, H5_ITER_INC, verify_object, &v);
    *n = v.n;
    *changed = v.changed;
    if (v.has_no_memory)
        return wg_no_memory(err, file->where);
    if (wg_h5_read_failed(file))
        return wg_h5_failed(file, err);
    return visited < 0 || v.is_damaged ? wg_h5_damaged(file->where, err) : 0;
}
