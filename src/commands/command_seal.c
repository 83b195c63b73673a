/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub seal: adds the checksum again to a result that another program has opened for writing.
 */
#include "cli/command.h"
#include "cli/in_child.h"
#include "cli/message.h"
#include "storage/hdf5_file.h"
#include "storage/seal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Verifies the numbers, in a child process; the words name the first variable that differs or is missing. */
static void verify(void *self, struct wg_child_report *report) {
    const char *const path = self;
    struct wg_h5 *file = NULL;
    char *changed = NULL;
    int n = 0;
    const int fd = open(path, O_RDONLY | O_CLOEXEC);
    report->code = fd < 0 ? wg_fail(&report->err, WG_ERR_FILE, path, "This file cannot be read: %s.", strerror(errno))
                          : wg_h5_open_unsealed(&file, fd, path, &report->err);
    if (report->code == 0)
        report->code = wg_h5_verify_numbers(file, &n, &changed, &report->err);
    if (report->code == 0 && n == 0)
        report->code = wg_fail(&report->err, WG_ERR_FORMAT, path, "This HDF5 file is not from this wintergrub.");
    struct wg_h5_shape shape;
    if (changed != NULL)
        (void)snprintf(report->words, sizeof report->words, "%s %s", changed,
                       wg_h5_find_shape(file, changed, WG_H5_REAL, &shape) ? "differs from what wintergrub wrote"
                                                                           : "is missing");
    free(changed);
    wg_h5_free(file);
}

static int append_seal(int fd, const char *path, struct wg_error *err) {
    const off_t size = lseek(fd, 0, SEEK_END);
    const int error = wg_seal_add(fd, true);
    if (error == 0)
        return 0;
    if (size >= 0 && ftruncate(fd, size) != 0) /* the line is not whole: as before */
        return wg_fail(err, WG_ERR_FILE, path, "Part of the checksum was written: %s.", strerror(error));
    return wg_fail(err, WG_ERR_FILE, path, "The checksum cannot be written: %s. The file is as before.",
                   strerror(error));
}

static int seal_open_file(int fd, const char *path, struct wg_error *err) {
    struct wg_child_report report;
    int code = wg_seal_is_missing(fd, path, err);
    if (code == WG_SEAL_WHOLE)
        wg_message("%s is sealed, and nothing in it has changed", path);
    if (code != 0)
        return code;
    code = wg_in_child(verify, (void *)(uintptr_t)path, path, &report, err);
    if (code == 0 && report.code < 0) {
        *err = report.err;
        code = report.code;
    }
    if (code == 0)
        code = append_seal(fd, path, err);
    if (code < 0)
        return code;
    if (report.words[0] == '\0')
        wg_message("%s is sealed again: every number that wintergrub wrote is unchanged", path);
    else
        wg_message("%s is sealed again, but its numbers have changed: %s", path, report.words);
    return 0;
}

static int run_seal(const struct wg_args *args) {
    struct wg_error err = {0};
    const char *const path = args->argument[0];
    const int fd = open(path, O_RDWR | O_CLOEXEC | O_NONBLOCK);
    if (fd < 0)
        (void)wg_fail(&err, WG_ERR_FILE, path, "This file cannot be opened for writing: %s.", strerror(errno));
    const int code = fd < 0 ? err.code : seal_open_file(fd, path, &err);
    if (fd >= 0)
        (void)close(fd);
    return code < 0 ? wg_message_error(&err) : WG_STATUS_DONE;
}

static const struct wg_option options[] = {{NULL, 0, NULL, NULL, 0}};

const struct wg_command wg_command_seal = {
    .name = "seal",
    .arguments = "FILE.h5",
    .summary = "renew the checksum of a changed file",
    .help = "Renews the checksum at the end of a result, a comparison or an answer that\n"
            "another program has opened for writing, for example to add a note or to repack\n"
            "it: that removes the checksum, without which no command reads the file. Says\n"
            "whether the numbers are still those that wintergrub wrote; rerun proves it by\n"
            "simulating them again. A result sealed here is yours: `run` replaces it only\n"
            "with --force.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_seal,
};
