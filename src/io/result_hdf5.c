/*
 * How is a forecast stored so that anybody can read it in twenty years?
 *
 * As HDF5 (The HDF Group, file format specification 3.0) in the shape that
 * netCDF-4 gives it (Unidata, netCDF-4 file format: creation order, dimension
 * scales: The HDF Group, dimension scale specification) with the attributes of CF-1.10. The file goes to the disk through a
 * driver of our own, below.
 */
#include "io/result_hdf5.h"
#include "io/result_pack.h"
#include "io/seal.h"

#include <errno.h>
#include <fcntl.h>
#include <hdf5.h>
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
#define TEXT_BUFFER ((size_t)16384)   /* bytes; judgement */
#define MOST_TRIES 5                  /* of a read that fails: judgement */
#define CHUNK_BYTES ((hsize_t)262144) /* judgement: 50 open variables then hold 13 MB */
#define COMPRESS_FROM ((hsize_t)4096) /* bytes; judgement: below, a chunk's index costs more than it saves */
#define DEFLATE_LEVEL 1               /* measured: higher levels are slower and hardly smaller; rows: result_pack.c */

struct disk {
    H5FD_t base; /* first, as HDF5 demands */
    int fd;
    int error; /* errno of the first read or write that failed, 0 while all is well */
    haddr_t eoa, eof;
};

struct dimension {
    const char *name;
    hsize_t size;
    int scale; /* number of the variable that is its coordinate */
};

/* Of a variable in chunks of whole rows, written row by row: the chunk that is being filled. */
struct filling {
    size_t row_values, chunk_rows; /* chunk_rows 0: not such a variable */
    hsize_t n_rows, next;
    unsigned char *planes; /* NULL before the first row and after the last */
};

struct variable {
    hid_t id;
    enum wg_h5_kind kind;
    int rank;
    hobj_ref_t itself;
    int along[WG_H5_MOST_DIMS]; /* numbers of its dimensions, if it is no coordinate */
    int is_scale;
    struct filling filling;
};

struct wg_h5 {
    struct disk disk;
    int owns_fd;
    const char *where; /* in messages, borrowed */
    struct wg_error err;
    hid_t driver, file, group, string, transfer;
    int n_dimensions, n_variables;
    struct dimension dimension[MOST_DIMENSIONS];
    struct variable variable[MOST_VARIABLES];
    struct wg_pack *pack; /* made for the first chunk of rows */
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
    /* texts go through buffers, by themselves of a megabyte, cleared each time: a tenth of a short run (measured) */
    file->transfer = H5Pcreate(H5P_DATASET_XFER);
    if (file->transfer < 0 || H5Pset_buffer(file->transfer, TEXT_BUFFER, NULL, NULL) < 0)
        (void)check(file, 0, "buffer");
    return file;
}

void wg_h5_free(struct wg_h5 *file) {
    if (file == NULL)
        return;
    if (file->file > 0)
        (void)H5Fclose(file->file); /* and all its variables and groups: H5F_CLOSE_STRONG */
    for (int i = 0; i < file->n_variables; i++)
        free(file->variable[i].filling.planes);
    wg_pack_free(file->pack);
    close_id(file->string);
    close_id(file->transfer);
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
     * Room for one chunk of a variable, which makes way for the next, full or not: the library's own megabyte for each
     * of fifty variables was most of a run's memory (measured). With 1.0 for 0.0 (full ones go first) it never drops one
     * that is not full: in periods so long that a row takes several chunks the last of every row then stayed in memory.
     */
    const int kept = access >= 0 && H5Pset_cache(access, 0, 521, CHUNK_BYTES, 0.0) >= 0;
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

/* ---- writing ---- */

/* A list of n values; n 0: one value, no list. */
static int put_list(struct wg_h5 *file, hid_t on, const char *name, hid_t type, hsize_t n, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    const hid_t space = n == 0 ? H5Screate(H5S_SCALAR) : H5Screate_simple(1, &n, NULL);
    const hid_t note = space < 0 || type < 0 ? -1 : H5Acreate2(on, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    const int code = check(file, note >= 0 && H5Awrite(note, type, values) >= 0, name);
    close_id(note);
    close_id(space);
    return code;
}

static int put_note(struct wg_h5 *file, hid_t on, const char *name, hid_t type, const void *value) {
    return put_list(file, on, name, type, 0, value);
}

static hid_t here(const struct wg_h5 *file) {
    return file->group > 0 ? file->group : file->file;
}

int wg_h5_note(struct wg_h5 *file, int variable, const char *name, const char *text) {
    wg_assert(variable < file->n_variables);
    return put_note(file, variable < 0 ? here(file) : file->variable[variable].id, name, file->string, &text);
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

/*
 * A chunk holds whole rows of the first dimension as far as CHUNK_BYTES reach, else a part of one row; the chunks of
 * rows are as many as it takes and as like as can be, so that the last one is not half empty.
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

/* Numbers of eight bytes in chunks of whole rows are packed here when they come row by row. */
static void note_rows(struct variable *variable, const hsize_t *dims, const hsize_t *chunk) {
    struct filling *const filling = &variable->filling;
    if (variable->kind != WG_H5_COUNT && variable->kind != WG_H5_REAL)
        return;
    filling->row_values = 1;
    for (int i = 1; i < variable->rank; i++) {
        if (chunk[i] < dims[i])
            return;
        filling->row_values *= (size_t)dims[i];
    }
    filling->n_rows = dims[0];
    filling->chunk_rows = (size_t)chunk[0];
}

static hid_t layout(const struct wg_h5 *file, struct variable *variable, const hsize_t *dims) {
    const double nothing = (double)NAN;
    const enum wg_h5_kind kind = variable->kind;
    const int rank = variable->rank;
    const hsize_t value_bytes = H5Tget_size(type_of(file, kind));
    hsize_t bytes = value_bytes, chunk[WG_H5_MOST_DIMS] = {0};
    for (int i = 0; i < rank; i++)
        bytes *= dims[i];
    const hid_t list = H5Pcreate(H5P_DATASET_CREATE);
    int well = keep_order(list);
    if (well && kind == WG_H5_REAL)
        well = H5Pset_fill_value(list, H5T_NATIVE_DOUBLE, &nothing) >= 0;
    if (well && rank > 0 && bytes >= COMPRESS_FROM && kind < WG_H5_STRING) {
        chunk_of(rank, dims, value_bytes, chunk);
        note_rows(variable, dims, chunk);
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
    struct variable *const new = &file->variable[file->n_variables];
    *new = (struct variable){.kind = variable->kind, .rank = variable->n_dims};
    const hid_t list = layout(file, new, dims), type = type_of(file, variable->kind);
    const hid_t space = variable->n_dims == 0 ? H5Screate(H5S_SCALAR) : H5Screate_simple(variable->n_dims, dims, NULL);
    new->id = -1;
    if (list >= 0 && space >= 0)
        new->id = H5Dcreate2(here(file), variable->name, type, space, H5P_DEFAULT, list, H5P_DEFAULT);
    const int code = check(file, new->id >= 0, variable->name);
    close_id(list);
    close_id(space);
    if (code < 0 || check(file, H5Rcreate(&new->itself, new->id, ".", H5R_OBJECT, -1) >= 0, variable->name) < 0)
        return file->err.code;
    return file->n_variables++;
}

static void describe(struct wg_h5 *file, hid_t dataset, const struct wg_h5_variable *variable) {
    const double nothing = (double)NAN;
    (void)put_note(file, dataset, "long_name", file->string, &variable->text);
    (void)put_note(file, dataset, "units", file->string, &variable->unit);
    if (variable->kind == WG_H5_REAL)
        (void)put_note(file, dataset, "_FillValue", H5T_NATIVE_DOUBLE, &nothing);
}

/* ---- dimension scales ----
 *
 * A coordinate says that it is one and under which name; each variable lists its coordinates, and each coordinate the
 * variables and which of their dimensions. The library's own H5DSattach_scale() writes the list of a coordinate anew for
 * every variable, which was a tenth of a short run (measured); here it is written once, at the end.
 */

/* Text of fixed length, as the specification has it. */
static int put_fixed_text(struct wg_h5 *file, hid_t on, const char *name, const char *text) {
    const hid_t type = H5Tcopy(H5T_C_S1);
    const int well = type >= 0 && H5Tset_size(type, strlen(text) + 1) >= 0;
    const int code = check(file, well, name) == 0 ? put_note(file, on, name, type, text) : file->err.code;
    close_id(type);
    return code;
}

/* The coordinates of a variable, each a list of one. */
static void put_scales(struct wg_h5 *file, struct variable *variable) {
    hvl_t lists[WG_H5_MOST_DIMS];
    for (int i = 0; i < variable->rank; i++)
        lists[i] = (hvl_t){.len = 1, .p = &file->variable[file->dimension[variable->along[i]].scale].itself};
    const hid_t type = H5Tvlen_create(H5T_STD_REF_OBJ);
    if (variable->rank > 0)
        (void)put_list(file, variable->id, "DIMENSION_LIST", type, (hsize_t)variable->rank, lists);
    close_id(type);
}

struct user {
    hobj_ref_t dataset;
    int dimension;
};

static hid_t user_type(void) {
    const hid_t type = H5Tcreate(H5T_COMPOUND, sizeof(struct user));
    if (type >= 0 && H5Tinsert(type, "dataset", HOFFSET(struct user, dataset), H5T_STD_REF_OBJ) >= 0 &&
        H5Tinsert(type, "dimension", HOFFSET(struct user, dimension), H5T_NATIVE_INT) >= 0)
        return type;
    close_id(type);
    return -1;
}

/* The variables along a dimension. */
static void put_users(struct wg_h5 *file, int dimension) {
    struct user user[MOST_VARIABLES * WG_H5_MOST_DIMS];
    memset(user, 0, sizeof user); /* between the fields as well: equal runs, equal bytes */
    hsize_t n = 0;
    for (int v = 0; v < file->n_variables; v++)
        for (int i = 0; i < file->variable[v].rank && !file->variable[v].is_scale; i++)
            if (file->variable[v].along[i] == dimension) {
                user[n].dataset = file->variable[v].itself;
                user[n++].dimension = i;
            }
    const hid_t type = user_type(), scale = file->variable[file->dimension[dimension].scale].id;
    if (n > 0)
        (void)put_list(file, scale, "REFERENCE_LIST", type, n, user);
    close_id(type);
}

int wg_h5_dimension(struct wg_h5 *file, const struct wg_h5_variable *variable, int64_t size, const void *values) {
    wg_assert(file->n_dimensions < MOST_DIMENSIONS && variable->n_dims == 1 && size > 0);
    if (file->err.code != 0)
        return file->err.code;
    const hsize_t dims = (hsize_t)size;
    const int number = add_dataset(file, variable, &dims);
    if (number < 0)
        return number;
    const hid_t made = file->variable[number].id;
    file->variable[number].is_scale = 1;
    file->dimension[file->n_dimensions++] = (struct dimension){variable->name, dims, number};
    char bare[80]; /* how netCDF knows a dimension without values */
    (void)snprintf(bare, sizeof bare, "This is a netCDF dimension but not a netCDF variable.%10lld", (long long)size);
    const int is_bare = variable->kind == WG_H5_NOTHING;
    (void)put_fixed_text(file, made, "CLASS", "DIMENSION_SCALE");
    (void)put_fixed_text(file, made, "NAME", is_bare ? bare : variable->name);
    if (!is_bare) {
        describe(file, made, variable);
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
    int along[WG_H5_MOST_DIMS] = {0};
    hsize_t dims[WG_H5_MOST_DIMS] = {0};
    for (int i = 0; i < variable->n_dims; i++) {
        along[i] = find_dimension(file, variable->dim[i]);
        wg_assert(along[i] >= 0);
        dims[i] = file->dimension[along[i]].size;
    }
    const int number = add_dataset(file, variable, dims);
    if (number < 0)
        return number;
    struct variable *const made = &file->variable[number];
    memcpy(made->along, along, sizeof made->along);
    put_scales(file, made);
    describe(file, made->id, variable);
    return file->err.code != 0 ? file->err.code : number;
}

int wg_h5_write(struct wg_h5 *file, int variable, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables);
    const struct variable *const to = &file->variable[variable];
    const hid_t type = type_of(file, to->kind);
    return check(file, H5Dwrite(to->id, type, H5S_ALL, H5S_ALL, file->transfer, values) >= 0, "values");
}

/* ---- writing row by row ----
 *
 * Each replicate brings a row for each of fifty variables. Handed to the library one by one they took it as long as all
 * else that it does (measured), so they are gathered until a chunk is full, and this is written as it is to stand in
 * the file: packed (result_pack.c).
 */

/* Rows of a small variable, or of one whose rows are longer than a chunk. */
static int write_plain_rows(struct wg_h5 *file, const struct variable *to, int64_t row, int64_t n, const void *values) {
    hsize_t count[WG_H5_MOST_DIMS] = {1}, start[WG_H5_MOST_DIMS] = {(hsize_t)row};
    const hid_t space = H5Dget_space(to->id);
    (void)H5Sget_simple_extent_dims(space, count, NULL);
    count[0] = (hsize_t)n;
    const hid_t memory = H5Screate_simple(to->rank, count, NULL);
    const int well = space >= 0 && memory >= 0 &&
                     H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0 &&
                     H5Dwrite(to->id, type_of(file, to->kind), memory, space, H5P_DEFAULT, values) >= 0;
    const int code = check(file, well, "replicate");
    close_id(memory);
    close_id(space);
    return code;
}

/* The chunk that ends with the row that was filled last. */
static void write_chunk(struct wg_h5 *file, const struct variable *to) {
    const struct filling *const filling = &to->filling;
    const size_t room = filling->chunk_rows * filling->row_values,
                 rows = (size_t)(filling->next - 1) % filling->chunk_rows + 1;
    const hsize_t at[WG_H5_MOST_DIMS] = {filling->next - rows};
    size_t size;
    for (size_t plane = 0; plane < WG_PACK_VALUE; plane++) /* behind the last row; never read */
        memset(filling->planes + plane * room + rows * filling->row_values, 0, room - rows * filling->row_values);
    const void *const bytes = wg_pack(file->pack, filling->planes, room, &size);
    (void)check(file, H5Dwrite_chunk(to->id, H5P_DEFAULT, 0, at, size, bytes) >= 0, "replicates");
}

/* Room for a chunk of this variable, and the means to pack it. */
static int begin_filling(struct wg_h5 *file, struct filling *filling) {
    if (file->pack == NULL)
        file->pack = wg_pack_new(CHUNK_BYTES / WG_PACK_VALUE);
    filling->planes = malloc(WG_PACK_VALUE * filling->chunk_rows * filling->row_values);
    return file->pack != NULL && filling->planes != NULL
               ? 0
               : wg_fail(&file->err, WG_ERR_MEMORY, file->where, "There is not enough memory to write this result.");
}

/* As many of the rows as fit into the chunk that is being filled; their number. */
static int64_t fill(struct wg_h5 *file, struct variable *to, int64_t n, const void *values) {
    struct filling *const filling = &to->filling;
    const size_t width = filling->row_values, filled = (size_t)filling->next % filling->chunk_rows;
    const size_t left = filling->chunk_rows - filled, rows = (size_t)n < left ? (size_t)n : left;
    wg_pack_spread(values, rows * width, filling->planes, filling->chunk_rows * width, filled * width);
    filling->next += rows;
    if (rows == left || filling->next == filling->n_rows)
        write_chunk(file, to);
    return (int64_t)rows;
}

int wg_h5_write_rows(struct wg_h5 *file, int variable, int64_t row, int64_t n, const void *values) {
    if (file->err.code != 0)
        return file->err.code;
    wg_assert(variable >= 0 && variable < file->n_variables && row >= 0 && n > 0);
    struct variable *const to = &file->variable[variable];
    struct filling *const filling = &to->filling;
    if (filling->chunk_rows == 0)
        return write_plain_rows(file, to, row, n, values);
    wg_assert((hsize_t)row == filling->next && (hsize_t)n <= filling->n_rows - filling->next);
    if (filling->planes == NULL && begin_filling(file, filling) < 0)
        return file->err.code;
    for (int64_t done = 0; done < n && file->err.code == 0;)
        done += fill(file, to, n - done, (const char *)values + WG_PACK_VALUE * filling->row_values * (size_t)done);
    if (filling->next == filling->n_rows) {
        free(filling->planes);
        filling->planes = NULL;
    }
    return file->err.code;
}

/* ---- the end of writing ---- */

static void expect_all_rows(const struct wg_h5 *file) {
    for (int i = 0; i < file->n_variables; i++)
        wg_assert(file->variable[i].filling.planes == NULL);
}

int wg_h5_finish(struct wg_h5 *file, struct wg_error *err) {
    if (file->err.code == 0)
        expect_all_rows(file);
    for (int i = 0; i < file->n_dimensions; i++)
        put_users(file, i);
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
