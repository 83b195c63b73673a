/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks packed values: zlib's inflate (RFC 1950) and the definition of HDF5's shuffle filter unpack them; the HDF5
 * library reads a file written in rows.
 */
#include "storage/hdf5_file.h"
#include "storage/pack.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#define MOST 32768

/* Kinds: 0 like temperatures, 1 like counts of larvae, 2 zeros, 3 random bytes, 4 the same temperatures each year. */
static double number(int kind, size_t i) {
    union {
        uint64_t bits;
        double real;
    } any = {.bits = (i + 1) * 0x9e3779b97f4a7c15u};
    any.bits = (any.bits ^ any.bits >> 30) * 0xbf58476d1ce4e5b9u; /* splitmix64 (Steele, Lea, Flood 2014) */
    const double noise = (double)(any.bits >> 11) / 9007199254740992.0;
    switch (kind) {
    case 0:
        return 10 + 15 * sin((double)i / 58) + noise;
    case 1:
        any.bits = i % 7 == 3 ? (uint64_t)(noise * 20000) : 0;
        return any.real;
    case 2:
        return 0;
    case 4:
        return number(0, i % 365);
    }
    return any.real;
}

static size_t packed(struct wg_pack *pack, int kind, size_t n) {
    static double in[MOST], out[MOST];
    static unsigned char planes[8 * MOST], got[8 * MOST];
    size_t size;
    uLongf got_size = sizeof got;
    for (size_t i = 0; i < n; i++)
        in[i] = number(kind, i);
    wg_pack_spread(in, n / 3, planes, n, 0); /* in two parts, neither a multiple of eight */
    wg_pack_spread(in + n / 3, n - n / 3, planes, n, n / 3);
    const void *const bytes = wg_pack(pack, planes, n, &size);
    cr_assert_eq(uncompress(got, &got_size, bytes, (uLong)size), Z_OK, "kind %d, %zu values", kind, n);
    cr_assert_eq(got_size, 8 * n);
    for (size_t i = 0; i < n; i++)
        for (size_t byte = 0; byte < 8; byte++)
            ((unsigned char *)&out[i])[byte] = got[byte * n + i];
    cr_assert(memcmp(in, out, 8 * n) == 0, "kind %d, %zu values", kind, n);
    return size;
}

Test(pack, round_trip) {
    static const size_t sizes[] = {1, 2, 7, 8, 9, 365, 2190, 30660, MOST};
    struct wg_pack *const pack = wg_pack_new(MOST);
    cr_assert_not_null(pack);
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (int kind = 0; kind < 5; kind++) {
            const size_t first = packed(pack, kind, sizes[i]);
            cr_assert_eq(packed(pack, kind, sizes[i]), first, "no effect of what was packed before");
        }
    wg_pack_free(pack);
}

/* Of the eight bytes of kind 0 about six are random, so 90 % leaves some room; zeros shrink 258 to 1 at most (RFC 1951). */
Test(pack, compresses) {
    struct wg_pack *const pack = wg_pack_new(MOST);
    cr_assert_not_null(pack);
    cr_assert_lt(packed(pack, 0, MOST), 8 * MOST * 9 / 10);
    cr_assert_lt(packed(pack, 1, MOST), 8 * MOST / 15);
    cr_assert_lt(packed(pack, 2, MOST), 8 * MOST / 200);
    cr_assert_lt(packed(pack, 4, MOST), 8 * MOST / 20);
    cr_assert_leq(packed(pack, 3, MOST), 8 * MOST + 512, "random bytes grow by little");
    wg_pack_free(pack);
}

/* ---- through a file ---- */

#define REPLICATES 250
#define DAYS 365 /* 89 rows to a chunk at most: three chunks of 84, 84 and 82 */

static void write_batches(FILE *disk, const double *values, int64_t batch) {
    struct wg_error err = {0};
    struct wg_h5 *file;
    cr_assert_eq(wg_h5_create(&file, fileno(disk), "x.h5", &err), 0, "%s", err.text);
    const struct wg_h5_variable replicate = {.name = "replicate", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable time = {.name = "time", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable air = {
        .name = "air", .unit = "degC", .text = "air", .kind = WG_H5_REAL, .n_dims = 2, .dim = {"replicate", "time"}};
    cr_assert_geq(wg_h5_dimension(file, &replicate, REPLICATES, NULL), 0);
    cr_assert_geq(wg_h5_dimension(file, &time, DAYS, NULL), 0);
    const int variable = wg_h5_variable(file, &air);
    cr_assert_geq(variable, 0);
    for (int64_t row = 0; row < REPLICATES; row += batch) {
        const int64_t n = REPLICATES - row < batch ? REPLICATES - row : batch;
        cr_assert_eq(wg_h5_write_rows(file, variable, row, n, values + row * DAYS), 0);
    }
    cr_assert_eq(wg_h5_finish(file, &err), 0, "%s", err.text);
}

static void assert_equal(FILE *disk, const double *values) {
    static double got[REPLICATES * DAYS];
    struct wg_error err = {0};
    struct wg_h5 *file;
    const struct wg_h5_shape from = {.n_dims = 2}, count = {.n_dims = 2, .size = {REPLICATES, DAYS}};
    cr_assert_eq(wg_h5_open(&file, dup(fileno(disk)), "x.h5", &err), 0, "%s", err.text);
    cr_assert_eq(wg_h5_read_block(file, "air", WG_H5_REAL, &from, &count, got, &err), 0, "%s", err.text);
    cr_assert(memcmp(got, values, sizeof got) == 0);
    wg_h5_free(file);
}

Test(pack, rows_in_batches_of_any_size) {
    static double values[REPLICATES * DAYS];
    static const int64_t batches[] = {1, 60, 84, 100, REPLICATES};
    for (size_t i = 0; i < REPLICATES * DAYS; i++)
        values[i] = number(0, i);
    for (size_t i = 0; i < sizeof batches / sizeof *batches; i++) {
        FILE *const disk = tmpfile();
        cr_assert_not_null(disk);
        write_batches(disk, values, batches[i]);
        assert_equal(disk, values);
        (void)fclose(disk);
    }
}
