/*
 * How is a forecast stored so that anybody can read it in twenty years?
 *
 * As HDF5 (The HDF Group, file format specification 3.0) in the shape that
 * netCDF-4 gives it (Unidata, netCDF-4 file format: creation order, dimension
 * scales) with the attributes of CF-1.10. The file goes to the disk through a
 * driver of our own, below.
 */
#include "io/result_hdf5.h"
#include "io/seal.h"

#include <errno.h>
#include <fcntl.h>
#include <hdf5.h>
#include <hdf5_hl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#if H5_VERSION_GE(1, 13, 0)
#include <H5FDdevelop.h> /* drivers moved there */
#endif

#define MOST_DIMENSIONS 16
#define MOST_VARIABLES 128
#define MOST_TRIES 5                  /* of a read that fails: judgement */
#define CHUNK_BYTES ((hsize_t)262144) /* judgement: 50 open variables then hold 13 MB */
#define COMPRESS_FROM ((hsize_t)4096) /* bytes; judgement: below, a chunk's index costs more than it saves */
#define DEFLATE_LEVEL 1               /* measured: higher levels are slower and hardly smaller */

struct disk {
    H5FD_t base; /* first, as HDF5 demands */
    int fd;
    int error; /* errno of the first read or write that failed, 0 while all is well */
    haddr_t eoa, eof;
};

struct dimension {
    const char *name;
    hsize_t size;
    hid_t scale; /* one of the variables */
};

struct wg_h5 {
    struct disk disk;
    int owns_fd;
    const char *where; /* in messages, borrowed */
    struct wg_error err;
    hid_t driver, file, group, string;
    int n_dimensions, n_variables;
    struct dimension dimension[MOST_DIMENSIONS];
    hid_t variable[MOST_VARIABLES];
};

/* ---- the driver -------------------------------------------------------------
 *
 * HDF5 does not survive a failing write: on a full disk closing the file fails
 * and a later one crashes (seen with 1.10.8). So this driver never reports one.
 * It remembers the first error, takes all later bytes and drops them; the error
 * is asked for after every call, and the file is thrown away.
 *
 * Nor does it survive every failing read: told of one it may free memory twice,
 * given zeros instead it may search for ever. All has been read once before
 * (seal.c), so a read that fails now is tried again; if it still fails HDF5 is
 * told, and the reason is kept for the message, should it come to that.
 */
static H5FD_t *disk_open(const char *name, unsigned flags, hid_t access, haddr_t most) {
    (void)name, (void)flags, (void)most;
    struct disk *const *const mine = H5Pget_driver_info(access);
    struct stat about;
    if (mine == NULL || fstat((*mine)->fd, &about) != 0)
        return NULL;
    struct disk *const disk = *mine;
    memset(&disk->base, 0, sizeof disk->base);
    disk->eoa = 0;
    disk->eof = (haddr_t)about.st_size;
    return &disk->base;
}

static herr_t disk_close(H5FD_t *base) {
    (void)base; /* a part of struct wg_h5, which outlives it */
    return 0;
}

static int disk_compare(const H5FD_t *a, const H5FD_t *b) {
    const int x = ((const struct disk *)a)->fd, y = ((const struct disk *)b)->fd;
    return (x > y) - (x < y);
}

static herr_t disk_query(const H5FD_t *base, unsigned long *flags) {
    (void)base;
    if (flags != NULL)
        *flags = H5FD_FEAT_AGGREGATE_METADATA | H5FD_FEAT_ACCUMULATE_METADATA | H5FD_FEAT_DATA_SIEVE |
                 H5FD_FEAT_AGGREGATE_SMALLDATA;
    return 0;
}

static haddr_t disk_get_eoa(const H5FD_t *base, H5FD_mem_t type) {
    (void)type;
    return ((const struct disk *)base)->eoa;
}

static herr_t disk_set_eoa(H5FD_t *base, H5FD_mem_t type, haddr_t eoa) {
    (void)type;
    ((struct disk *)base)->eoa = eoa;
    return 0;
}

static haddr_t disk_get_eof(const H5FD_t *base, H5FD_mem_t type) {
    (void)type;
    return ((const struct disk *)base)->eof;
}

/* What lies beyond the end of the file reads as zeros, as HDF5 expects. */
static herr_t disk_read(H5FD_t *base, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t size, void *out) {
    (void)type, (void)transfer;
    struct disk *const disk = (struct disk *)base;
    int tries = 0;
    for (size_t done = 0; done < size;) {
        const ssize_t n = pread(disk->fd, (char *)out + done, size - done, (off_t)(at + done));
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 && tries++ < MOST_TRIES)
            continue;
        if (n < 0) {
            disk->error = errno;
            return -1;
        }
        if (n == 0) {
            memset((char *)out + done, 0, size - done);
            return 0;
        }
        done += (size_t)n;
    }
    return 0;
}

static herr_t disk_write(H5FD_t *base, H5FD_mem_t type, hid_t transfer, haddr_t at, size_t size, const void *bytes) {
    (void)type, (void)transfer;
    struct disk *const disk = (struct disk *)base;
    for (size_t done = 0; done < size && disk->error == 0;) {
        const ssize_t n = pwrite(disk->fd, (const char *)bytes + done, size - done, (off_t)(at + done));
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            disk->error = n < 0 ? errno : ENOSPC;
        else
            done += (size_t)n;
    }
    if (at + size > disk->eof)
        disk->eof = at + size;
    return 0;
}

static herr_t disk_truncate(H5FD_t *base, hid_t transfer, hbool_t closing) {
    (void)transfer, (void)closing;
    struct disk *const disk = (struct disk *)base;
    if (disk->eoa != disk->eof && disk->error == 0 && ftruncate(disk->fd, (off_t)disk->eoa) != 0)
        disk->error = errno;
    disk->eof = disk->eoa;
    return 0;
}

static const H5FD_class_t disk_class = {
#ifdef H5FD_CLASS_VERSION
    .version = H5FD_CLASS_VERSION,
    .value = 511, /* of the values HDF5 leaves to programs */
#endif
    .name = "wintergrub",
    .maxaddr = INT64_MAX,
    .fc_degree = H5F_CLOSE_STRONG,
    .fapl_size = sizeof(struct disk *),
    .open = disk_open,
    .close = disk_close,
    .cmp = disk_compare,
    .query = disk_query,
    .get_eoa = disk_get_eoa,
    .set_eoa = disk_set_eoa,
    .get_eof = disk_get_eof,
    .read = disk_read,
    .write = disk_write,
    .truncate = disk_truncate,
    .fl_map = H5FD_FLMAP_DICHOTOMY,
};

/* ---- failure ---- */

static herr_t first_reason(unsigned n, const H5E_error2_t *error, void *out) {
    if (n == 0)
        (void)snprintf(out, 200, "%s", error->desc);
    return 0;
}

/* HDF5's own words for the cause, in one line. Any later call of HDF5 forgets them: ask before closing things. */
static void reason_of(char out[200]) {
    (void)snprintf(out, 200, "no reason given");
    (void)H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, first_reason, out);
    for (char *c = out; *c != '\0'; c++)
        if (*c == '\n')
            *c = ' ';
}

/* After every call of HDF5 while writing: did it go well, and did the disk take everything? */
static int check(struct wg_h5 *file, int well, const char *what) {
    if (file->disk.error != 0)
        return wg_fail(&file->err, WG_ERR_FILE, file->where, "The result could not be written: %s.",
                       strerror(file->disk.error));
    if (well)
        return 0;
    char reason[200];
    reason_of(reason);
    return wg_fail(&file->err, WG_ERR_FILE, file->where, "The result could not be written (%s: %s).", what, reason);
}

void wg_h5_version(char *out, size_t size) {
    unsigned major = 0, minor = 0, patch = 0;
    (void)H5get_libversion(&major, &minor, &patch);
    (void)snprintf(out, size, "%u.%u.%u", major, minor, patch);
}

/* ---- opening and closing ---- */

static void close_id(hid_t id) {
    if (id > 0)
        (void)H5Idec_ref(id);
}

/* The file's access list: our driver on the descriptor. */
static hid_t access_list(struct wg_h5 *file) {
    struct disk *const disk = &file->disk;
    file->driver = H5FDregister(&disk_class);
    const hid_t list = H5Pcreate(H5P_FILE_ACCESS);
    if (file->driver < 0 || list < 0 || H5Pset_driver(list, file->driver, &disk) < 0) {
        close_id(list);
        return -1;
    }
    return list;
}

static struct wg_h5 *new_file(int fd, const char *where, struct wg_error *err) {
    struct wg_h5 *const file = calloc(1, sizeof *file);
    if (file == NULL) {
        (void)wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory to open a result.");
        return NULL;
    }
    file->disk.fd = fd;
    file->where = where;
    /* errors are read from HDF5's stack and told in our words, not printed */
    (void)H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    file->string = H5Tcopy(H5T_C_S1);
    if (file->string < 0 || H5Tset_size(file->string, H5T_VARIABLE) < 0 || H5Tset_cset(file->string, H5T_CSET_UTF8) < 0)
        (void)check(file, 0, "string type");
    return file;
}

void wg_h5_free(struct wg_h5 *file) {
    if (file == NULL)
        return;
    if (file->file > 0)
        (void)H5Fclose(file->file); /* and all its variables and groups: H5F_CLOSE_STRONG */
    close_id(file->string);
    close_id(file->driver);
    if (file->owns_fd)
        (void)close(file->disk.fd);
    free(file);
}

/* What all objects are made with: notes in order of creation, no times, so that equal runs give equal bytes. */
static int keep_order(hid_t list) {
    return list >= 0 && H5Pset_attr_creation_order(list, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0 &&
           H5Pset_obj_track_times(list, 0) >= 0;
}

static int keep_link_order(hid_t list) {
    return keep_order(list) && H5Pset_link_creation_order(list, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0;
}

int wg_h5_create(struct wg_h5 **out, int fd, const char *where, struct wg_error *err) {
    struct wg_h5 *const file = *out = new_file(fd, where, err);
    if (file == NULL)
        return WG_ERR_MEMORY;
    const hid_t access = access_list(file), list = H5Pcreate(H5P_FILE_CREATE);
    /* the format of 1.8, which netCDF uses too */
    /*
     * Rows come in order, so of each variable one chunk is being filled: room for one, which is dropped first once it
     * is full. The library's own megabyte for each of fifty variables was most of a run's memory (measured).
     */
    const int kept = access >= 0 && H5Pset_cache(access, 0, 521, CHUNK_BYTES, 1.0) >= 0;
    if (kept && keep_link_order(list) && H5Pset_libver_bounds(access, H5F_LIBVER_V18, H5F_LIBVER_V18) >= 0)
        file->file = H5Fcreate(where, H5F_ACC_TRUNC, list, access);
    (void)check(file, file->file > 0, "new file");
    close_id(access);
    close_id(list);
    if (file->err.code == 0)
        return 0;
    *out = NULL;
    return wg_h5_finish(file, err); /* frees, and gives the reason */
}

int wg_h5_failed(const struct wg_h5 *file, struct wg_error *err) {
    return file->err.code == 0 ? 0 : wg_fail(err, file->err.code, file->err.where, "%s", file->err.text);
}

int wg_h5_finish(struct wg_h5 *file, struct wg_error *err) {
    if (file->err.code == 0 && check(file, H5Fflush(file->file, H5F_SCOPE_GLOBAL) >= 0, "flush") == 0) {
        const herr_t closed = H5Fclose(file->file);
        file->file = 0;
        if (check(file, closed >= 0, "close") == 0) {
            file->disk.error = wg_seal_add(file->disk.fd);
            (void)check(file, 1, "checksum");
        }
    }
    const int code = wg_h5_failed(file, err);
    wg_h5_free(file);
    return code;
}

/* ---- writing ---- */

static int put_note(struct wg_h5 *file, hid_t on, const char *name, hid_t type, const void *value) {
    if (file->err.code != 0)
        return file->err.code;
    const hid_t space = H5Screate(H5S_SCALAR);
    const hid_t note = space < 0 ? -1 : H5Acreate2(on, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    const int code = check(file, note >= 0 && H5Awrite(note, type, value) >= 0, name);
    close_id(note);
    close_id(space);
    return code;
}

static hid_t here(const struct wg_h5 *file) {
    return file->group > 0 ? file->group : file->file;
}

int wg_h5_note(struct wg_h5 *file, int variable, const char *name, const char *text) {
    wg_assert(variable < file->n_variables);
    return put_note(file, variable < 0 ? here(file) : file->variable[variable], name, file->string, &text);
}

int wg_h5_note_number(struct wg_h5 *file, const char *name, uint64_t value) {
    return put_note(file, here(file), name, H5T_NATIVE_UINT64, &value);
}

int wg_h5_group(struct wg_h5 *file, const char *name) {
    if (file->err.code != 0)
        return file->err.code;
    const hid_t list = H5Pcreate(H5P_GROUP_CREATE);
    hid_t group = -1;
    if (keep_link_order(list))
        group = H5Gcreate2(file->file, name, H5P_DEFAULT, list, H5P_DEFAULT);
    const int code = check(file, group >= 0, name);
    close_id(list);
    close_id(file->group);
    file->group = group < 0 ? 0 : group;
    return code;
}

static hid_t type_of(const struct wg_h5 *file, enum wg_h5_kind kind) {
    const hid_t type[] = {[WG_H5_COUNT] = H5T_NATIVE_INT64,
                          [WG_H5_REAL] = H5T_NATIVE_DOUBLE,
                          [WG_H5_BYTE] = H5T_NATIVE_UCHAR,
                          [WG_H5_STRING] = file->string,
                          [WG_H5_NOTHING] = H5T_IEEE_F32BE}; /* as netCDF writes a dimension that is no variable */
    return type[kind];
}

/* A chunk holds whole rows of the first dimension as far as CHUNK_BYTES reach, else a part of one row. */
static void chunk_of(int rank, const hsize_t *dims, hsize_t value_bytes, hsize_t *chunk) {
    hsize_t left = CHUNK_BYTES / value_bytes;
    for (int i = rank - 1; i >= 0; i--) {
        chunk[i] = dims[i] < left ? dims[i] : left;
        left = left > chunk[i] ? left / chunk[i] : 1;
    }
}

static hid_t layout(const struct wg_h5 *file, enum wg_h5_kind kind, int rank, const hsize_t *dims) {
    const double nothing = (double)NAN;
    const hsize_t value_bytes = H5Tget_size(type_of(file, kind));
    hsize_t bytes = value_bytes, chunk[WG_H5_MOST_DIMS];
    for (int i = 0; i < rank; i++)
        bytes *= dims[i];
    const hid_t list = H5Pcreate(H5P_DATASET_CREATE);
    int well = keep_order(list);
    if (well && kind == WG_H5_REAL)
        well = H5Pset_fill_value(list, H5T_NATIVE_DOUBLE, &nothing) >= 0;
    if (well && rank > 0 && bytes >= COMPRESS_FROM && kind < WG_H5_STRING) {
        chunk_of(rank, dims, value_bytes, chunk);
        well = H5Pset_chunk(list, rank, chunk) >= 0 && H5Pset_shuffle(list) >= 0 &&
               H5Pset_deflate(list, DEFLATE_LEVEL) >= 0;
    }
    if (well)
        return list;
    close_id(list);
    return -1;
}

/* A new variable, not yet described: its number, or the failure. */
static int add_dataset(struct wg_h5 *file, const struct wg_h5_variable *variable, const hsize_t *dims) {
    wg_assert(file->n_variables < MOST_VARIABLES && variable->n_dims <= WG_H5_MOST_DIMS);
    const hid_t list = layout(file, variable->kind, variable->n_dims, dims), type = type_of(file, variable->kind);
    const hid_t space = variable->n_dims == 0 ? H5Screate(H5S_SCALAR) : H5Screate_simple(variable->n_dims, dims, NULL);
    hid_t made = -1;
    if (list >= 0 && space >= 0)
        made = H5Dcreate2(here(file), variable->name, type, space, H5P_DEFAULT, list, H5P_DEFAULT);
    const int code = check(file, made >= 0, variable->name);
    close_id(list);
    close_id(space);
    if (code < 0)
        return code;
    file->variable[file->n_variables] = made;
    return file->n_variables++;
}

static void describe(struct wg_h5 *file, hid_t dataset, const struct wg_h5_variable *variable) {
    const double nothing = (double)NAN;
    (void)put_note(file, dataset, "long_name", file->string, &variable->text);
    (void)put_note(file, dataset, "units", file->string, &variable->unit);
    if (variable->kind == WG_H5_REAL)
        (void)put_note(file, dataset, "_FillValue", H5T_NATIVE_DOUBLE, &nothing);
}

int wg_h5_dimension(struct wg_h5 *file, const struct wg_h5_variable *variable, int64_t size, const void *values) {
    wg_assert(file->n_dimensions < MOST_DIMENSIONS && variable->n_dims == 1 && size > 0);
    if (file->err.code != 0)
        return file->err.code;
    const hsize_t dims = (hsize_t)size;
    const int number = add_dataset(file, variable, &dims);
    if (number < 0)
        return number;
    const hid_t made = file->variable[number];
    file->dimension[file->n_dimensions++] = (struct dimension){variable->name, dims, made};
    char bare[80]; /* how netCDF knows a dimension without values */
    (void)snprintf(bare, sizeof bare, "This is a netCDF dimension but not a netCDF variable.%10lld", (long long)size);
    const int is_bare = variable->kind == WG_H5_NOTHING;
    if (check(file, H5DSset_scale(made, is_bare ? bare : variable->name) >= 0, variable->name) == 0 && !is_bare) {
        describe(file, made, variable);
        (void)wg_h5_write(file, number, values);
    }
    return file->err.code != 0 ? file->err.code : number;
}

static const struct dimension *find_dimension(const struct wg_h5 *file, const char *name) {
    for (int i = 0; i < file->n_dimensions; i++)
        if (strcmp(file->dimension[i].name, name) == 0)
            return &file->dimension[i];
    return NULL;
}

int wg_h5_variable(struct wg_h5 *file, const struct wg_h5_variable *variable) {
    if (file->err.code != 0)
        return file->err.code;
    const struct dimension *along[WG_H5_MOST_DIMS];
    hsize_t dims[WG_H5_MOST_DIMS];
    for (int i = 0; i < variable->n_dims; i++) {
        along[i] = find_dimension(file, variable->dim[i]);
        wg_assert(along[i] != NULL);
        dims[i] = along[i]->size;
    }
    const int number = add_dataset(file, variable, dims);
    if (number < 0)
        return number;
    const hid_t made = file->variable[number];
    for (int i = 0; i < variable->n_dims && file->err.code == 0; i++)
        (void)check(file, H5DSattach_scale(made, along[i]->scale, (unsigned)i) >= 0, variable->name);
    describe(file, made, variable);
    return file->err.code != 0 ? file->err.code : number;
}

int wg_h5_write(struct wg_h5 *file, int variable, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables);
    const hid_t dataset = file->variable[variable], type = H5Dget_type(dataset);
    const int well = type >= 0 && H5Dwrite(dataset, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) >= 0;
    const int code = check(file, well, "values");
    close_id(type);
    return code;
}

int wg_h5_write_row(struct wg_h5 *file, int variable, int64_t row, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables);
    const hid_t dataset = file->variable[variable], type = H5Dget_type(dataset), space = H5Dget_space(dataset);
    hsize_t count[WG_H5_MOST_DIMS] = {1}, start[WG_H5_MOST_DIMS] = {0};
    hid_t memory = -1;
    const int rank = H5Sget_simple_extent_dims(space, count, NULL);
    start[0] = (hsize_t)row;
    count[0] = 1;
    if (rank > 0)
        memory = H5Screate_simple(rank, count, NULL);
    const int well = type >= 0 && memory >= 0 &&
                     H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0 &&
                     H5Dwrite(dataset, type, memory, space, H5P_DEFAULT, values) >= 0;
    const int code = check(file, well, "replicate");
    close_id(memory);
    close_id(space);
    close_id(type);
    return code;
}

/* ---- reading ---- */

static int damaged(const char *where, struct wg_error *err) {
    char reason[200];
    reason_of(reason);
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
    struct wg_h5 *const file = new_file(fd, where, err);
    if (file == NULL) {
        (void)close(fd);
        return WG_ERR_MEMORY;
    }
    file->owns_fd = 1;
    int code = wg_seal_check(fd, where, err); /* before HDF5, which may not survive a damaged file */
    const hid_t access = code == 0 ? access_list(file) : -1;
    if (access >= 0)
        file->file = H5Fopen(where, H5F_ACC_RDONLY, access);
    if (code == 0 && read_failed(file))
        code = wg_h5_failed(file, err);
    if (code == 0 && file->file <= 0)
        code = damaged(where, err);
    close_id(access);
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
    close_id(space);
    close_id(note);
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
    close_id(space);
    close_id(type);
    close_id(note);
    return *text != NULL;
}

int wg_h5_find_text(struct wg_h5 *file, const char *path, char **text, size_t *size) {
    *text = NULL;
    *size = 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const hid_t type = dataset < 0 ? -1 : H5Dget_type(dataset), space = dataset < 0 ? -1 : H5Dget_space(dataset);
    take_text(file, dataset, type, space, text, size);
    close_id(space);
    close_id(type);
    close_id(dataset);
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
    close_id(space);
    close_id(type);
    close_id(dataset);
    return fits && !read_failed(file);
}

int wg_h5_find_real(struct wg_h5 *file, const char *path, double *value) {
    struct wg_h5_shape shape;
    if (!wg_h5_find_shape(file, path, WG_H5_REAL, &shape) || shape.n_dims != 0)
        return 0;
    const hid_t dataset = H5Dopen2(file->file, path, H5P_DEFAULT);
    const int well = dataset >= 0 && H5Dread(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, value) >= 0;
    close_id(dataset);
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
        H5Sselect_valid(space) > 0 && H5Dread(dataset, type_of(file, kind), memory, space, H5P_DEFAULT, out) >= 0;
    const int code = read_failed(file) ? wg_h5_failed(file, err) : well ? 0 : damaged(file->where, err);
    close_id(memory);
    close_id(space);
    close_id(dataset);
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
    close_id(space);
    close_id(dataset);
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
    close_id(space);
    close_id(type);
    close_id(note);
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
    close_id(memory);
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
    close_id(space);
    close_id(type);
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
    close_id(object);
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
