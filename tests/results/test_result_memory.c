/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that writing rows of any length takes constant memory: the resident memory that the kernel reports (getrusage,
 * POSIX).
 */
#include "storage/hdf5_file.h"

#include <criterion/criterion.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>

/* A sanitizer delays freeing, so memory grows: the test then writes the rows without a limit. */
#if defined __SANITIZE_ADDRESS__ || defined __SANITIZE_THREAD__
#define SANITIZED true
#elif defined __has_feature
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define SANITIZED true
#endif
#endif
#ifndef SANITIZED
#define SANITIZED false
#endif

#define ROWS 80
#define FIRST 20   /* rows until all buffers are allocated */
#define LEVEL 4000 /* KiB for the allocator; a buffered chunk for each of 60 rows would take 15,000 */

static struct wg_error err;
static double value[100000];

static long peak_kib(void) {
    struct rusage usage;
    cr_assert_eq(getrusage(RUSAGE_SELF, &usage), 0);
    return usage.ru_maxrss;
}

static int open_file(struct wg_h5 **file, int fd, int64_t days) {
    const struct wg_h5_variable row = {.name = "row", .unit = "1", .text = "row", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable day = {.name = "day", .unit = "1", .text = "day", .kind = WG_H5_NO_VALUES, .n_dims = 1};
    const struct wg_h5_variable rows = {
        .name = "rows", .unit = "1", .text = "rows", .kind = WG_H5_REAL, .n_dims = 2, .dim = {"row", "day"}};
    cr_assert_eq(wg_h5_create(file, fd, "a temporary file", &err), 0, "%s", err.text);
    (void)wg_h5_dimension(*file, &row, ROWS, NULL);
    (void)wg_h5_dimension(*file, &day, days, NULL);
    return wg_h5_variable(*file, &rows);
}

/* A chunk of the file holds 32,768 values: many rows of a year, one of 32,768 days, a part of one of 100 years. */
static void write_rows(int64_t days) {
    FILE *const temporary = tmpfile();
    cr_assert_not_null(temporary);
    struct wg_h5 *file = NULL;
    const int rows = open_file(&file, fileno(temporary), days);
    cr_assert_geq(rows, 0);
    long before = 0;
    for (int row = 0; row < ROWS; row++) {
        for (int64_t day = 0; day < days; day++)
            value[day] = (double)(row * days + day);
        cr_assert_eq(wg_h5_write_rows(file, rows, row, 1, value), 0);
        before = row == FIRST ? peak_kib() : before;
    }
    const long more = peak_kib() - before;
    cr_expect(SANITIZED || more < LEVEL, "%ld KiB more after %d rows of %ld days", more, ROWS - FIRST, (long)days);
    cr_assert_eq(wg_h5_finish(file, &err), 0, "%s", err.text);
    cr_assert_eq(fclose(temporary), 0);
}

Test(result_memory, rows_of_a_year) {
    write_rows(365);
}

Test(result_memory, rows_of_one_chunk) {
    write_rows(32768);
}

Test(result_memory, rows_that_end_within_a_chunk) {
    write_rows(36525);
    write_rows(100000);
}
