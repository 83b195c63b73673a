/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Compares two HDF5 files chunk by chunk, so that memory use does not grow with the number of replicates.
 */
#include "storage/hdf5_handle.h"

#include <hdf5.h>
#include <stdlib.h>
#include <string.h>

#define BLOCK_BYTES ((size_t)1048576) /* judgement: bytes of a variable per read, unless a chunk or a row is larger */

/* A file and its current object. */
struct file_side {
    struct wg_h5 *file;
    hid_t id, type, space;
    int rank;
    hsize_t dims[H5S_MAX_RANK];
};

struct hdf5_comparison {
    struct file_side side[2];
    struct wg_h5_comparator judge;
    const char *object, *attribute; /* current object and attribute: "count", "units" */
    struct wg_error *err;
    int result; /* the judge's result, or an error: HDF5 does not pass our code through */
};

static int report_mismatch(struct hdf5_comparison *c, enum wg_h5_mismatch mismatch, int is_text, int64_t row) {
    const struct wg_h5_difference difference = {c->object, c->attribute, mismatch, is_text, row};
    return c->result = c->judge.judge(c->judge.self, &difference);
}

/* Records a read error of either file, or damage. */
static int fail_comparison(struct hdf5_comparison *c) {
    for (int i = 0; i < 2; i++)
        if (wg_h5_read_failed(c->side[i].file))
            return c->result = wg_h5_failed(c->side[i].file, c->err);
    return c->result = wg_h5_damaged(c->side[0].file->where, c->err);
}

/* ---- one variable or attribute ---- */

static void close_side(struct file_side *side) {
    wg_h5_close(side->space);
    wg_h5_close(side->type);
    wg_h5_close(side->id);
    side->id = side->type = side->space = -1;
}

/* Takes ownership of `id`. */
static int open_side(struct file_side *side, hid_t id) {
    const int is_attribute = id >= 0 && H5Iget_type(id) == H5I_ATTR;
    side->id = id;
    side->type = id < 0 ? -1 : is_attribute ? H5Aget_type(id) : H5Dget_type(id);
    side->space = id < 0 ? -1 : is_attribute ? H5Aget_space(id) : H5Dget_space(id);
    side->rank = side->space < 0 ? -1 : H5Sget_simple_extent_dims(side->space, side->dims, NULL);
    return side->type >= 0 && side->rank >= 0;
}

/* nccopy makes an attribute of one value an array of one value. */
static int is_same_shape(const struct file_side *a, const struct file_side *b) {
    const int is_one = H5Iget_type(a->id) == H5I_ATTR && H5Sget_simple_extent_npoints(a->space) == 1 &&
                       H5Sget_simple_extent_npoints(b->space) == 1;
    return H5Tget_class(a->type) == H5Tget_class(b->type) && H5Tget_size(a->type) == H5Tget_size(b->type) &&
           (is_one || (a->rank == b->rank && memcmp(a->dims, b->dims, (size_t)a->rank * sizeof *a->dims) == 0));
}

/* Reads the selected values, in the memory type of the first file. */
static int read_into(const struct hdf5_comparison *c, int i, hid_t memory, void *out) {
    const struct file_side *const side = &c->side[i];
    const hid_t type = c->side[0].type;
    return H5Iget_type(side->id) == H5I_ATTR ? H5Aread(side->id, type, out) >= 0
                                             : H5Dread(side->id, type, memory, side->space, H5P_DEFAULT, out) >= 0;
}

/* Compares all strings at once: names, sentences, a scenario. */
static void compare_texts(struct hdf5_comparison *c) {
    const hid_t type = c->side[0].type, space = c->side[0].space;
    const hssize_t n = H5Sget_simple_extent_npoints(space);
    char **const text = calloc(2 * (size_t)(n < 0 ? 0 : n) + 1, sizeof *text);
    if (text == NULL) {
        c->result = wg_no_memory(c->err, c->side[0].file->where);
        return;
    }
    if (n < 0 || !read_into(c, 0, space, text) || !read_into(c, 1, space, text + n))
        (void)fail_comparison(c);
    for (hssize_t i = 0; i < n && c->result == 0; i++) {
        const char *const a = text[i], *const b = text[n + i];
        if ((a == NULL) != (b == NULL) || (a != NULL && strcmp(a, b) != 0)) {
            (void)report_mismatch(c, WG_H5_OTHER_VALUE, 1, n == 1 ? -1 : i);
            break;
        }
    }
    (void)H5Dvlen_reclaim(type, space, H5P_DEFAULT, text);
    if (n > 0)
        (void)H5Dvlen_reclaim(type, space, H5P_DEFAULT, text + n);
    free(text);
}

/* Returns the rows per read: as many whole chunks as fit into BLOCK_BYTES, at least one. */
static hsize_t rows_of_block(const struct file_side *side, size_t row_bytes) {
    hsize_t chunk[H5S_MAX_RANK] = {1};
    const hid_t list = H5Iget_type(side->id) == H5I_DATASET ? H5Dget_create_plist(side->id) : -1;
    if (list >= 0 && H5Pget_layout(list) == H5D_CHUNKED)
        (void)H5Pget_chunk(list, H5S_MAX_RANK, chunk);
    wg_h5_close(list);
    const hsize_t fit = BLOCK_BYTES / (row_bytes > 0 ? row_bytes : 1);
    return fit > chunk[0] ? fit / chunk[0] * chunk[0] : chunk[0];
}

/* Returns 1 if the block of rows from `first` is equal. */
static int compare_block(struct hdf5_comparison *c, hsize_t first, hsize_t rows, size_t row_bytes, char *bytes) {
    hsize_t start[H5S_MAX_RANK] = {first}, count[H5S_MAX_RANK];
    const int rank = c->side[0].rank;
    const size_t size = (size_t)rows * row_bytes;
    memcpy(count, c->side[0].dims, sizeof count);
    count[0] = rows;
    const hid_t memory = rank > 0 ? H5Screate_simple(rank, count, NULL) : H5Screate(H5S_SCALAR);
    int ok = memory >= 0;
    for (int i = 0; i < 2 && ok; i++)
        ok = (rank == 0 || H5Iget_type(c->side[i].id) == H5I_ATTR ||
              H5Sselect_hyperslab(c->side[i].space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0) &&
             read_into(c, i, memory, bytes + (size_t)i * size);
    wg_h5_close(memory);
    if (!ok)
        return fail_comparison(c), 0;
    if (memcmp(bytes, bytes + size, size) == 0)
        return 1;
    hsize_t row = 0;
    while (memcmp(bytes + row * row_bytes, bytes + size + row * row_bytes, row_bytes) == 0)
        row++;
    (void)report_mismatch(c, WG_H5_OTHER_VALUE, H5Tget_class(c->side[0].type) == H5T_STRING,
                          rank > 1 ? (int64_t)(first + row) : -1);
    return 0;
}

static void compare_value_blocks(struct hdf5_comparison *c) {
    const struct file_side *const side = &c->side[0];
    size_t row_bytes = H5Tget_size(side->type);
    for (int i = 1; i < side->rank; i++)
        row_bytes *= (size_t)side->dims[i];
    const hsize_t all = side->rank > 0 ? side->dims[0] : 1;
    hsize_t rows = H5Iget_type(side->id) == H5I_ATTR ? all : rows_of_block(side, row_bytes);
    if (rows > all)
        rows = all;
    char *const bytes = calloc(2 * (size_t)rows + 1, row_bytes);
    if (bytes == NULL) {
        c->result = wg_no_memory(c->err, c->side[0].file->where);
        return;
    }
    for (hsize_t first = 0; first < all && c->result == 0; first += rows)
        if (!compare_block(c, first, all - first < rows ? all - first : rows, row_bytes, bytes))
            break;
    free(bytes);
}

/* Both sides are open. Skips lists and pairs: they attach scales by addresses within a file. */
static void compare_values(struct hdf5_comparison *c) {
    const H5T_class_t class = H5Tget_class(c->side[0].type);
    const int are_texts = class == H5T_STRING && H5Tget_class(c->side[1].type) == H5T_STRING;
    if (c->attribute != NULL && (class == H5T_VLEN || class == H5T_COMPOUND))
        return;
    if (!is_same_shape(&c->side[0], &c->side[1]))
        (void)report_mismatch(c, WG_H5_OTHER_SHAPE, are_texts, -1);
    else if (H5Tis_variable_str(c->side[0].type) > 0)
        compare_texts(c);
    else
        compare_value_blocks(c);
}

/* Takes ownership of both. */
static void compare_pair(struct hdf5_comparison *c, hid_t a, hid_t b) {
    const int ok = open_side(&c->side[0], a);
    if (!open_side(&c->side[1], b) || !ok)
        (void)fail_comparison(c);
    else
        compare_values(c);
    close_side(&c->side[0]);
    close_side(&c->side[1]);
}

/* ---- attributes ---- */

/* The attributes of one object; `other` is its counterpart in the other file. */
struct attribute_scan {
    struct hdf5_comparison *c;
    hid_t other;
    int is_second; /* scans the second file, for attributes that the first lacks */
};

static int is_text_attribute(hid_t object, const char *name) {
    const hid_t attribute = H5Aopen(object, name, H5P_DEFAULT), type = attribute < 0 ? -1 : H5Aget_type(attribute);
    const int is_text = type >= 0 && H5Tget_class(type) == H5T_STRING;
    wg_h5_close(type);
    wg_h5_close(attribute);
    return is_text;
}

static herr_t visit_attribute(hid_t object, const char *name, const H5A_info_t *info, void *self) {
    (void)info;
    const struct attribute_scan *const scan = self;
    struct hdf5_comparison *const c = scan->c;
    c->attribute = name;
    if (H5Aexists(scan->other, name) <= 0)
        (void)report_mismatch(c, scan->is_second ? WG_H5_ONLY_IN_SECOND : WG_H5_ONLY_IN_FIRST,
                              is_text_attribute(object, name), -1);
    else if (!scan->is_second)
        compare_pair(c, H5Aopen(object, name, H5P_DEFAULT), H5Aopen(scan->other, name, H5P_DEFAULT));
    c->attribute = NULL;
    return c->result;
}

static void compare_attributes(struct hdf5_comparison *c, hid_t a, hid_t b) {
    const hid_t object[] = {a, b};
    for (int i = 0; i < 2 && c->result == 0; i++) {
        struct attribute_scan scan = {c, object[1 - i], i};
        if (H5Aiterate2(object[i], H5_INDEX_CRT_ORDER, H5_ITER_INC, NULL, visit_attribute, &scan) < 0 && c->result == 0)
            (void)fail_comparison(c);
    }
}

/* ---- variables and groups ---- */

static int is_text_variable(hid_t object) {
    const hid_t type = H5Iget_type(object) == H5I_DATASET ? H5Dget_type(object) : -1;
    const int is_text = type >= 0 && H5Tget_class(type) == H5T_STRING;
    wg_h5_close(type);
    return is_text;
}

static hid_t open_object(struct hdf5_comparison *c, int i, const char *name) {
    return H5Oopen(c->side[i].file->file, name, H5P_DEFAULT);
}

/* Works even if the parent group is missing. */
static int has_object(struct hdf5_comparison *c, int i, const char *name) {
    const hid_t object = open_object(c, i, name);
    wg_h5_close(object);
    return object >= 0;
}

static herr_t visit_object(hid_t root, const char *name, const H5L_info_t *info, void *self) {
    (void)root;
    struct hdf5_comparison *const c = self;
    c->object = name;
    const hid_t a = info->type == H5L_TYPE_HARD ? open_object(c, 0, name) : -1, b = open_object(c, 1, name);
    if (a < 0) {
        (void)fail_comparison(c);
    } else if (b < 0) {
        (void)report_mismatch(c, WG_H5_ONLY_IN_FIRST, is_text_variable(a), -1);
    } else {
        const int are_variables = (H5Iget_type(a) == H5I_DATASET) + (H5Iget_type(b) == H5I_DATASET);
        if (are_variables == 1)
            (void)report_mismatch(c, WG_H5_OTHER_SHAPE, 0, -1);
        if (are_variables == 2)
            compare_pair(c, H5Oopen(a, ".", H5P_DEFAULT), H5Oopen(b, ".", H5P_DEFAULT));
        if (c->result == 0)
            compare_attributes(c, a, b);
    }
    wg_h5_close(b);
    wg_h5_close(a);
    return c->result;
}

static herr_t visit_object_of_second(hid_t root, const char *name, const H5L_info_t *info, void *self) {
    (void)info;
    struct hdf5_comparison *const c = self;
    c->object = name;
    if (has_object(c, 0, name))
        return 0;
    const hid_t object = H5Oopen(root, name, H5P_DEFAULT);
    (void)report_mismatch(c, WG_H5_ONLY_IN_SECOND, is_text_variable(object), -1);
    wg_h5_close(object);
    return c->result;
}

int wg_h5_compare(struct wg_h5 *first, struct wg_h5 *second, struct wg_h5_comparator judge, struct wg_error *err) {
    struct hdf5_comparison c = {.side = {{.file = first}, {.file = second}}, .judge = judge, .object = "", .err = err};
    compare_attributes(&c, first->file, second->file);
    if (c.result == 0 && H5Lvisit(first->file, H5_INDEX_CRT_ORDER, H5_ITER_INC, visit_object, &c) < 0 && c.result == 0)
        (void)fail_comparison(&c);
    if (c.result == 0 && H5Lvisit(second->file, H5_INDEX_CRT_ORDER, H5_ITER_INC, visit_object_of_second, &c) < 0 &&
        c.result == 0)
        (void)fail_comparison(&c);
    return c.result != 0 ? c.result : wg_h5_read_failed(first) || wg_h5_read_failed(second) ? fail_comparison(&c) : 0;
}
