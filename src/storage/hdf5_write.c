/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes HDF5 files that are also netCDF-4 and CF-1.10.
 *
 * Sources: The HDF Group, HDF5 file format specification 3.0; Unidata, netCDF-4 file format (creation order); The HDF
 * Group, dimension scale specification.
 */
#include "base/utf8.h"
#include "storage/hdf5_handle.h"
#include "storage/seal.h"
#include "text/mistakes.h"

#include <hdf5.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHUNK_BYTES ((hsize_t)262144) /* judgement: 50 open variables hold 13 MB */
#define COMPRESS_FROM ((hsize_t)4096) /* bytes; judgement: below, the chunk index costs more than compression saves */
#define DEFLATE_LEVEL 1 /* measured: higher levels are slower and hardly smaller; pack.c compresses rows */

/* ---- creating a file ---- */

/* Properties of all objects: attributes in creation order, no times, so that equal runs give equal bytes. */
static int keep_order(hid_t list) {
    return list >= 0 && H5Pset_attr_creation_order(list, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0 &&
           H5Pset_obj_track_times(list, 0) >= 0;
}

static int keep_link_order(hid_t list) {
    return keep_order(list) && H5Pset_link_creation_order(list, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0;
}

int wg_h5_create(struct wg_h5 **out, int fd, const char *where, struct wg_error *err) {
    struct wg_h5 *const file = *out = wg_h5_new(fd, where, err);
    if (file == NULL)
        return WG_ERR_MEMORY;
    const hid_t access = wg_h5_access(file), list = H5Pcreate(H5P_FILE_CREATE);
    /*
     * A cache of one chunk per variable: the default of a megabyte for each of fifty variables was most of a run's memory
     * (measured). The 0.0 lets HDF5 evict chunks that are not full; with 1.0, in periods so long that a row takes several
     * chunks, the last chunk of each row stayed in memory.
     */
    const int kept = access >= 0 && H5Pset_cache(access, 0, 521, CHUNK_BYTES, 0.0) >= 0;
    /* the format of HDF5 1.8, as netCDF uses */
    if (kept && keep_link_order(list) && H5Pset_libver_bounds(access, H5F_LIBVER_V18, H5F_LIBVER_V18) >= 0)
        file->file = H5Fcreate(where, H5F_ACC_TRUNC, list, access);
    (void)wg_h5_check(file, file->file > 0, "new file");
    wg_h5_close(access);
    wg_h5_close(list);
    if (file->err.code == 0)
        return 0;
    *out = NULL;
    return wg_h5_finish(file, err); /* frees, and returns the error */
}

/* ---- attributes, groups, variables ---- */

/* Writes an attribute of n values; n 0: a scalar. */
static int put_list(struct wg_h5 *file, hid_t on, const char *name, hid_t type, hsize_t n, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    const hid_t space = n == 0 ? H5Screate(H5S_SCALAR) : H5Screate_simple(1, &n, NULL);
    const hid_t attribute = space < 0 || type < 0 ? -1 : H5Acreate2(on, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    const int code = wg_h5_check(file, attribute >= 0 && H5Awrite(attribute, type, values) >= 0, name);
    wg_h5_close(attribute);
    wg_h5_close(space);
    return code;
}

static int put_attribute(struct wg_h5 *file, hid_t on, const char *name, hid_t type, const void *value) {
    return put_list(file, on, name, type, 0, value);
}

/* ---- texts ----
 *
 * They are declared UTF-8, but file names may have other bytes: those become "%E4".
 */

/* Returns valid UTF-8, malloc'ed; NULL: no memory. */
static char *to_utf8(const char *text) {
    const char *const end = text + strlen(text);
    char *const out = malloc(3 * (size_t)(end - text) + 1), *to = out;
    for (const char *c = text; out != NULL && c < end;) {
        uint32_t code;
        const size_t n = wg_utf8_decode(c, end, &code);
        if (n == 0) {
            to += snprintf(to, 4, "%%%02X", (unsigned)(unsigned char)*c++);
        } else {
            memcpy(to, c, n);
            to += n;
            c += n;
        }
    }
    if (out != NULL)
        *to = '\0';
    return out;
}

static int write_strings(struct wg_h5 *file, const struct wg_h5_dataset *to, const char *const *texts) {
    const hid_t space = H5Dget_space(to->id);
    const hssize_t n = space < 0 ? 0 : H5Sget_simple_extent_npoints(space);
    char **const copy = calloc((size_t)n + 1, sizeof *copy);
    int whole = copy != NULL;
    for (hssize_t i = 0; i < n && whole; i++)
        whole = (copy[i] = to_utf8(texts[i])) != NULL;
    if (whole)
        (void)wg_h5_check(file, H5Dwrite(to->id, file->string, H5S_ALL, H5S_ALL, file->transfer, copy) >= 0, "texts");
    else
        (void)wg_no_memory(&file->err, file->where);
    for (hssize_t i = 0; i < n && copy != NULL; i++)
        free(copy[i]);
    free(copy);
    wg_h5_close(space);
    return file->err.code;
}

static hid_t current_group(const struct wg_h5 *file) {
    return file->group > 0 ? file->group : file->file;
}

int wg_h5_attribute(struct wg_h5 *file, int variable, const char *name, const char *text) {
    wg_assert(variable < file->n_variables);
    if (file->err.code != 0)
        return file->err.code;
    char *const value = to_utf8(text);
    const int code = value == NULL
                         ? wg_no_memory(&file->err, file->where)
                         : put_attribute(file, variable < 0 ? current_group(file) : file->variable[variable].id, name,
                                         file->string, &value);
    free(value);
    return code;
}

int wg_h5_attribute_number(struct wg_h5 *file, const char *name, uint64_t value) {
    return put_attribute(file, current_group(file), name, H5T_NATIVE_UINT64, &value);
}

int wg_h5_variable_whole(struct wg_h5 *file, int variable, const char *name, int value) {
    wg_assert(variable < file->n_variables);
    return file->err.code != 0 ? file->err.code
                               : put_attribute(file, file->variable[variable].id, name, H5T_NATIVE_INT, &value);
}

int wg_h5_group(struct wg_h5 *file, const char *name) {
    if (file->err.code != 0)
        return file->err.code;
    const hid_t list = H5Pcreate(H5P_GROUP_CREATE);
    hid_t group = -1;
    if (keep_link_order(list))
        group = H5Gcreate2(file->file, name, H5P_DEFAULT, list, H5P_DEFAULT);
    const int code = wg_h5_check(file, group >= 0, name);
    wg_h5_close(list);
    wg_h5_close(file->group);
    file->group = group < 0 ? 0 : group;
    return code;
}

void wg_h5_leave_group(struct wg_h5 *file) {
    wg_h5_close(file->group);
    file->group = 0;
}

/*
 * Sets the chunk size: as many whole rows of the first dimension as fit into CHUNK_BYTES, else a part of one row. Spreads
 * rows evenly over the chunks, so that the last one is not half empty.
 */
static void chunk_of(int rank, const hsize_t *dims, hsize_t value_bytes, hsize_t *chunk) {
    hsize_t left = CHUNK_BYTES / value_bytes;
    for (int i = rank - 1; i >= 0; i--) {
        chunk[i] = dims[i] < left ? dims[i] : left;
        left = left > chunk[i] ? left / chunk[i] : 1;
    }
    const hsize_t n_chunks = (dims[0] + chunk[0] - 1) / chunk[0];
    chunk[0] = (dims[0] + n_chunks - 1) / n_chunks;
}

/* Prepares the buffer of a variable of eight-byte numbers in chunks of whole rows. */
static void plan_chunk_rows(struct wg_h5_dataset *variable, const hsize_t *dims, const hsize_t *chunk) {
    struct wg_h5_chunk_buffer *const buffer = &variable->buffer;
    if (variable->kind != WG_H5_COUNT && variable->kind != WG_H5_REAL)
        return;
    buffer->row_values = 1;
    for (int i = 1; i < variable->rank; i++) {
        if (chunk[i] < dims[i])
            return;
        buffer->row_values *= (size_t)dims[i];
    }
    buffer->n_rows = dims[0];
    buffer->chunk_rows = (size_t)chunk[0];
}

static hid_t layout(const struct wg_h5 *file, struct wg_h5_dataset *variable, const hsize_t *dims) {
    const double fill_value = (double)NAN;
    const enum wg_h5_kind kind = variable->kind;
    const int rank = variable->rank;
    const hsize_t value_bytes = H5Tget_size(wg_h5_type(file, kind));
    hsize_t bytes = value_bytes, chunk[WG_H5_MAX_DIMS] = {0};
    for (int i = 0; i < rank; i++)
        bytes *= dims[i];
    const hid_t list = H5Pcreate(H5P_DATASET_CREATE);
    int ok = keep_order(list);
    if (ok && kind == WG_H5_REAL)
        ok = H5Pset_fill_value(list, H5T_NATIVE_DOUBLE, &fill_value) >= 0;
    if (ok && rank > 0 && bytes >= COMPRESS_FROM && kind < WG_H5_STRING) {
        chunk_of(rank, dims, value_bytes, chunk);
        plan_chunk_rows(variable, dims, chunk);
        ok = H5Pset_chunk(list, rank, chunk) >= 0 && H5Pset_shuffle(list) >= 0 &&
             H5Pset_deflate(list, DEFLATE_LEVEL) >= 0;
    }
    if (ok)
        return list;
    wg_h5_close(list);
    return -1;
}

/* Creates a variable without attributes. Returns its number or the error. */
static int add_dataset(struct wg_h5 *file, const struct wg_h5_variable *variable, const hsize_t *dims) {
    wg_assert(file->n_variables < WG_H5_FILE_VARIABLES && variable->n_dims <= WG_H5_MAX_DIMS);
    struct wg_h5_dataset *const new = &file->variable[file->n_variables];
    *new = (struct wg_h5_dataset){.kind = variable->kind, .rank = variable->n_dims};
    const hid_t list = layout(file, new, dims), type = wg_h5_type(file, variable->kind);
    const hid_t space = variable->n_dims == 0 ? H5Screate(H5S_SCALAR) : H5Screate_simple(variable->n_dims, dims, NULL);
    new->id = -1;
    if (list >= 0 && space >= 0)
        new->id = H5Dcreate2(current_group(file), variable->name, type, space, H5P_DEFAULT, list, H5P_DEFAULT);
    const int code = wg_h5_check(file, new->id >= 0, variable->name);
    wg_h5_close(list);
    wg_h5_close(space);
    if (code < 0 ||
        wg_h5_check(file, H5Rcreate(&new->reference, new->id, ".", H5R_OBJECT, -1) >= 0, variable->name) < 0)
        return file->err.code;
    return file->n_variables++;
}

/* Writes the attributes of a variable. A coordinate is never missing (CF-1.10, section 2.5.1), so it has no fill value. */
static void describe(struct wg_h5 *file, hid_t dataset, const struct wg_h5_variable *variable, bool is_coordinate) {
    const double fill_value = (double)NAN;
    (void)put_attribute(file, dataset, "long_name", file->string, &variable->text);
    if (variable->kind != WG_H5_STRING) /* a text has no unit */
        (void)put_attribute(file, dataset, "units", file->string, &variable->unit);
    if (variable->kind == WG_H5_REAL && !is_coordinate)
        (void)put_attribute(file, dataset, "_FillValue", H5T_NATIVE_DOUBLE, &fill_value);
}

/* ---- dimension scales ----
 *
 * A coordinate has attributes CLASS and NAME; each variable lists its coordinates, and each coordinate the variables and
 * which of their dimensions. The library's H5DSattach_scale() rewrites a coordinate's list for each variable, which took
 * a tenth of a short run (measured); this code writes it once, at the end.
 */

/* Writes text of fixed length, as the specification requires. */
static int put_fixed_text(struct wg_h5 *file, hid_t on, const char *name, const char *text) {
    const hid_t type = H5Tcopy(H5T_C_S1);
    const int ok = type >= 0 && H5Tset_size(type, strlen(text) + 1) >= 0;
    const int code = wg_h5_check(file, ok, name) == 0 ? put_attribute(file, on, name, type, text) : file->err.code;
    wg_h5_close(type);
    return code;
}

/* Writes the coordinates of a variable, each a list of one. */
static void put_scales(struct wg_h5 *file, struct wg_h5_dataset *variable) {
    hvl_t lists[WG_H5_MAX_DIMS];
    for (int i = 0; i < variable->rank; i++)
        lists[i] = (hvl_t){.len = 1, .p = &file->variable[file->dimension[variable->along[i]].scale].reference};
    const hid_t type = H5Tvlen_create(H5T_STD_REF_OBJ);
    if (variable->rank > 0)
        (void)put_list(file, variable->id, "DIMENSION_LIST", type, (hsize_t)variable->rank, lists);
    wg_h5_close(type);
}

struct dimension_user {
    hobj_ref_t dataset;
    int dimension;
};

static hid_t user_type(void) {
    const hid_t type = H5Tcreate(H5T_COMPOUND, sizeof(struct dimension_user));
    if (type >= 0 && H5Tinsert(type, "dataset", HOFFSET(struct dimension_user, dataset), H5T_STD_REF_OBJ) >= 0 &&
        H5Tinsert(type, "dimension", HOFFSET(struct dimension_user, dimension), H5T_NATIVE_INT) >= 0)
        return type;
    wg_h5_close(type);
    return -1;
}

/* Writes the list of variables along a dimension. */
static void put_reference_list(struct wg_h5 *file, int dimension) {
    struct dimension_user user[WG_H5_FILE_VARIABLES * WG_H5_MAX_DIMS];
    memset(user, 0, sizeof user); /* padding too, so that equal runs give equal bytes */
    hsize_t n = 0;
    for (int v = 0; v < file->n_variables; v++)
        for (int i = 0; i < file->variable[v].rank && !file->variable[v].is_scale; i++)
            if (file->variable[v].along[i] == dimension) {
                user[n].dataset = file->variable[v].reference;
                user[n++].dimension = i;
            }
    const hid_t type = user_type(), scale = file->variable[file->dimension[dimension].scale].id;
    if (n > 0)
        (void)put_list(file, scale, "REFERENCE_LIST", type, n, user);
    wg_h5_close(type);
}

int wg_h5_dimension(struct wg_h5 *file, const struct wg_h5_variable *variable, int64_t size, const void *values) {
    wg_assert(file->n_dimensions < WG_H5_FILE_DIMENSIONS && variable->n_dims == 1 && size > 0);
    if (file->err.code != 0)
        return file->err.code;
    const hsize_t dims = (hsize_t)size;
    const int number = add_dataset(file, variable, &dims);
    if (number < 0)
        return number;
    const hid_t dataset = file->variable[number].id;
    file->variable[number].is_scale = 1;
    file->dimension[file->n_dimensions++] = (struct wg_h5_dim){variable->name, dims, number};
    char bare[80]; /* netCDF's mark of a dimension without values */
    (void)snprintf(bare, sizeof bare, "This is a netCDF dimension but not a netCDF variable.%10lld", (long long)size);
    const int is_bare = variable->kind == WG_H5_NO_VALUES;
    (void)put_fixed_text(file, dataset, "CLASS", "DIMENSION_SCALE");
    (void)put_fixed_text(file, dataset, "NAME", is_bare ? bare : variable->name);
    if (!is_bare) {
        describe(file, dataset, variable, true);
        (void)wg_h5_write(file, number, values);
    }
    return file->err.code != 0 ? file->err.code : number;
}

static int find_dimension(const struct wg_h5 *file, const char *name) {
    for (int i = 0; i < file->n_dimensions; i++)
        if (strcmp(file->dimension[i].name, name) == 0)
            return i;
    return -1;
}

int wg_h5_variable(struct wg_h5 *file, const struct wg_h5_variable *variable) {
    if (file->err.code != 0)
        return file->err.code;
    int along[WG_H5_MAX_DIMS] = {0};
    hsize_t dims[WG_H5_MAX_DIMS] = {0};
    for (int i = 0; i < variable->n_dims; i++) {
        along[i] = find_dimension(file, variable->dim[i]);
        wg_assert(along[i] >= 0);
        dims[i] = file->dimension[along[i]].size;
    }
    const int number = add_dataset(file, variable, dims);
    if (number < 0)
        return number;
    struct wg_h5_dataset *const dataset = &file->variable[number];
    memcpy(dataset->along, along, sizeof dataset->along);
    put_scales(file, dataset);
    describe(file, dataset->id, variable, variable->is_coordinate);
    return file->err.code != 0 ? file->err.code : number;
}

static int is_numbers(const struct wg_h5_dataset *variable) {
    return variable->kind == WG_H5_COUNT || variable->kind == WG_H5_REAL;
}

static size_t values_of(const struct wg_h5_dataset *variable) {
    const hid_t space = H5Dget_space(variable->id);
    const hssize_t n = space < 0 ? 0 : H5Sget_simple_extent_npoints(space);
    wg_h5_close(space);
    return n < 0 ? 0 : (size_t)n;
}

int wg_h5_write(struct wg_h5 *file, int variable, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables);
    struct wg_h5_dataset *const to = &file->variable[variable];
    if (to->kind == WG_H5_STRING)
        return write_strings(file, to, values);
    if (is_numbers(to))
        to->crc = wg_pack_crc(0, values, WG_PACK_VALUE * values_of(to));
    const hid_t type = wg_h5_type(file, to->kind);
    return wg_h5_check(file, H5Dwrite(to->id, type, H5S_ALL, H5S_ALL, file->transfer, values) >= 0, "values");
}

/* ---- writing row by row ----
 *
 * Each replicate has a row for each of fifty variables. Passing them to the library one by one took as long as all its
 * other work (measured), so this code buffers rows until a chunk is full, compresses it (pack.c) and writes it directly.
 */

/* Writes rows of a small variable, or of one whose rows are longer than a chunk. */
static int write_plain_rows(struct wg_h5 *file, const struct wg_h5_dataset *to, int64_t row, int64_t n,
                            const void *values) {
    hsize_t count[WG_H5_MAX_DIMS] = {1}, start[WG_H5_MAX_DIMS] = {(hsize_t)row};
    const hid_t space = H5Dget_space(to->id);
    (void)H5Sget_simple_extent_dims(space, count, NULL);
    count[0] = (hsize_t)n;
    const hid_t memory = H5Screate_simple(to->rank, count, NULL);
    const int ok = space >= 0 && memory >= 0 &&
                   H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0 &&
                   H5Dwrite(to->id, wg_h5_type(file, to->kind), memory, space, H5P_DEFAULT, values) >= 0;
    const int code = wg_h5_check(file, ok, "replicate");
    wg_h5_close(memory);
    wg_h5_close(space);
    return code;
}

/* Writes the chunk that ends with the last buffered row. */
static void write_chunk(struct wg_h5 *file, const struct wg_h5_dataset *to) {
    const struct wg_h5_chunk_buffer *const buffer = &to->buffer;
    const size_t capacity = buffer->chunk_rows * buffer->row_values,
                 rows = (size_t)(buffer->next - 1) % buffer->chunk_rows + 1;
    const hsize_t at[WG_H5_MAX_DIMS] = {buffer->next - rows};
    size_t size;
    for (size_t plane = 0; plane < WG_PACK_VALUE; plane++) /* after the last row; never read */
        memset(buffer->planes + plane * capacity + rows * buffer->row_values, 0, capacity - rows * buffer->row_values);
    const void *const bytes = wg_pack(file->pack, buffer->planes, capacity, &size);
    (void)wg_h5_check(file, H5Dwrite_chunk(to->id, H5P_DEFAULT, 0, at, size, bytes) >= 0, "replicates");
}

/* Allocates the buffer of a variable, and the packer. */
static int alloc_chunk_buffer(struct wg_h5 *file, struct wg_h5_chunk_buffer *buffer) {
    if (file->pack == NULL)
        file->pack = wg_pack_new(CHUNK_BYTES / WG_PACK_VALUE);
    buffer->planes = malloc(WG_PACK_VALUE * buffer->chunk_rows * buffer->row_values);
    return file->pack != NULL && buffer->planes != NULL ? 0 : wg_no_memory(&file->err, file->where);
}

/* Buffers as many rows as fit into the current chunk; returns their number. */
static int64_t fill_chunk(struct wg_h5 *file, struct wg_h5_dataset *to, int64_t n, const void *values) {
    struct wg_h5_chunk_buffer *const buffer = &to->buffer;
    const size_t width = buffer->row_values, filled = (size_t)buffer->next % buffer->chunk_rows;
    const size_t left = buffer->chunk_rows - filled, rows = (size_t)n < left ? (size_t)n : left;
    wg_pack_spread(values, rows * width, buffer->planes, buffer->chunk_rows * width, filled * width);
    buffer->next += rows;
    if (rows == left || buffer->next == buffer->n_rows)
        write_chunk(file, to);
    return (int64_t)rows;
}

static size_t row_values_of(const struct wg_h5 *file, const struct wg_h5_dataset *variable) {
    size_t values = 1;
    for (int i = 1; i < variable->rank; i++)
        values *= (size_t)file->dimension[variable->along[i]].size;
    return values;
}

int wg_h5_write_rows(struct wg_h5 *file, int variable, int64_t row, int64_t n, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables && row >= 0 && n > 0);
    struct wg_h5_dataset *const to = &file->variable[variable];
    struct wg_h5_chunk_buffer *const buffer = &to->buffer;
    to->crc = wg_pack_crc(to->crc, values, WG_PACK_VALUE * row_values_of(file, to) * (size_t)n);
    if (buffer->chunk_rows == 0)
        return write_plain_rows(file, to, row, n, values);
    wg_assert((hsize_t)row == buffer->next && (hsize_t)n <= buffer->n_rows - buffer->next);
    if (buffer->planes == NULL && alloc_chunk_buffer(file, buffer) < 0)
        return file->err.code;
    for (int64_t done = 0; done < n && file->err.code == 0;)
        done +=
            fill_chunk(file, to, n - done, (const char *)values + WG_PACK_VALUE * buffer->row_values * (size_t)done);
    if (buffer->next == buffer->n_rows) {
        free(buffer->planes);
        buffer->planes = NULL;
    }
    return file->err.code;
}

/* ---- finishing ---- */

static void assert_all_rows_written(const struct wg_h5 *file) {
    for (int i = 0; i < file->n_variables; i++)
        wg_assert(file->variable[i].buffer.planes == NULL);
}

/*
 * Writes the checksums of the numbers, by which a repacked or annotated copy can be verified, and the list of the variables
 * that have one, so that a variable cannot be removed unnoticed.
 */
static void put_checksums(struct wg_h5 *file) {
    char text[16], name[128], *list = NULL;
    const char *value = text, *separator = "";
    size_t size;
    FILE *const names = open_memstream(&list, &size);
    for (int i = 0; i < file->n_variables && names != NULL; i++)
        if (is_numbers(&file->variable[i])) {
            (void)snprintf(text, sizeof text, "%08lx", (unsigned long)file->variable[i].crc);
            (void)put_attribute(file, file->variable[i].id, WG_H5_CRC_ATTRIBUTE, file->string, &value);
            (void)wg_h5_check(file, H5Iget_name(file->variable[i].id, name, sizeof name) > 0, "name");
            (void)fprintf(names, "%s%s", separator, name + 1); /* without the slash of the root */
            separator = " ";
        }
    if (names == NULL || fclose(names) != 0)
        (void)wg_no_memory(&file->err, file->where);
    value = list;
    if (file->err.code == 0)
        (void)put_attribute(file, file->file, WG_H5_LIST_ATTRIBUTE, file->string, &value);
    free(list);
}

int wg_h5_finish(struct wg_h5 *file, struct wg_error *err) {
    if (file->err.code == 0)
        assert_all_rows_written(file);
    for (int i = 0; i < file->n_dimensions; i++)
        put_reference_list(file, i);
    put_checksums(file);
    if (file->err.code == 0 && wg_h5_check(file, H5Fflush(file->file, H5F_SCOPE_GLOBAL) >= 0, "flush") == 0) {
        const herr_t closed = H5Fclose(file->file);
        file->file = 0;
        if (wg_h5_check(file, closed >= 0, "close") == 0) {
            file->disk.error = wg_seal_add(file->disk.fd, false);
            (void)wg_h5_check(file, 1, "checksum");
        }
    }
    const int code = wg_h5_failed(file, err);
    wg_h5_free(file);
    return code;
}
