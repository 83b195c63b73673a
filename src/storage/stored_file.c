/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Opens a result, a comparison or an answer, finds its kind and reads what all kinds have in common. It checks each
 * size before it allocates memory: a hostile file may claim anything.
 */
#include "storage/stored_file.h"

#include "base/sha256.h"
#include "storage/provenance.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define SCENARIO WG_PROVENANCE "/" WG_TEXT_SCENARIO
#define RECORD WG_PROVENANCE "/" WG_TEXT_RECORD

static const struct {
    const char *noun, *attribute; /* the attribute with the number of the format */
    uint64_t format;              /* the format this program reads */
    const char *again;            /* how to replace a file of an older format */
} kinds[] = {[WG_STORED_OTHER] = {"file", NULL, 0, NULL},
             [WG_STORED_RESULT] = {"result", WG_ATTRIBUTE_FORMAT, WG_RESULT_FORMAT, "run its scenario"},
             [WG_STORED_COMPARISON] = {"comparison", WG_ATTRIBUTE_COMPARISON, WG_COMPARISON_FORMAT, "compare"},
             [WG_STORED_ANSWER] = {"answer", WG_ATTRIBUTE_ANSWER, WG_ANSWER_FORMAT, "run its command"}};

int wg_stored_damaged(const struct wg_stored_file *file, const char *what, struct wg_error *err) {
    const int code = wg_h5_failed(file->h5, err);
    return code < 0 ? code
                    : wg_fail(err, WG_ERR_FORMAT, file->facts.path, "This %s is damaged: %s cannot be read.",
                              kinds[file->kind].noun, what);
}

/* ---- opening ---- */

/* Every HDF5 file begins with these eight bytes (file format specification, section II.A). */
static int has_signature(int fd) {
    static const unsigned char signature[8] = {0x89, 'H', 'D', 'F', '\r', '\n', 0x1A, '\n'};
    unsigned char head[8];
    return pread(fd, head, sizeof head, 0) == (ssize_t)sizeof head && memcmp(head, signature, sizeof head) == 0;
}

static int open_descriptor(const char *path, int *fd, struct wg_error *err) {
    struct stat about;
    *fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK); /* so that a pipe does not block before it is refused */
    if (*fd < 0)
        return wg_fail(err, WG_ERR_FILE, path, "This file cannot be read: %s.", strerror(errno));
    int code = 0;
    if (fstat(*fd, &about) != 0)
        code = wg_fail(err, WG_ERR_FILE, path, "This file cannot be read: %s.", strerror(errno));
    else if (!S_ISREG(about.st_mode))
        code = wg_fail(err, WG_ERR_FILE, path, "This is not an ordinary file, so it cannot be a result.");
    else if (about.st_size == 0)
        code = wg_fail(err, WG_ERR_FORMAT, path, "This file is empty.");
    else if (!has_signature(*fd))
        code = wg_fail(err, WG_ERR_FORMAT, path, "This is not a result: it is not an HDF5 file.");
    if (code < 0)
        (void)close(*fd);
    return code;
}

int wg_stored_open(struct wg_stored_file *file, const char *path, struct wg_error *err) {
    int fd;
    *file = (struct wg_stored_file){.facts = {.path = strdup(path)}};
    if (file->facts.path == NULL)
        return wg_no_memory(err, path);
    int code = open_descriptor(file->facts.path, &fd, err);
    if (code == 0)
        code = wg_h5_open(&file->h5, fd, file->facts.path, err);
    for (int kind = WG_STORED_ANSWER; kind > WG_STORED_OTHER && code == 0 && file->kind == WG_STORED_OTHER; kind--)
        if (wg_h5_find_number(file->h5, WG_PROVENANCE, kinds[kind].attribute, &file->format))
            file->kind = (enum wg_stored_kind)kind;
    return code < 0 ? code : wg_h5_failed(file->h5, err);
}

void wg_stored_free(struct wg_stored_file *file) {
    wg_h5_free(file->h5); /* first: it borrows the path */
    wg_run_facts_free(&file->facts);
    *file = (struct wg_stored_file){0};
}

/* ---- what all kinds have in common ---- */

static int refuse_other_kind(const struct wg_stored_file *file, enum wg_stored_kind kind, struct wg_error *err) {
    if (kind != WG_STORED_RESULT)
        return wg_fail(err, WG_ERR_FORMAT, file->facts.path, "This is not %s %s of wintergrub.",
                       kind == WG_STORED_ANSWER ? "an" : "a", kinds[kind].noun);
    if (file->kind == WG_STORED_COMPARISON)
        return wg_fail(err, WG_ERR_FORMAT, file->facts.path,
                       "This is a comparison, not the result of one scenario: run 'wintergrub compare' again.");
    if (file->kind == WG_STORED_ANSWER)
        return wg_fail(
            err, WG_ERR_FORMAT, file->facts.path,
            "This is an answer, not a result: it has no days and no replicates. Its command line is stored in "
            "it (command_line of group provenance): run that again.");
    return wg_fail(err, WG_ERR_FORMAT, file->facts.path, "This HDF5 file is not a result of wintergrub.");
}

static int check_format(const struct wg_stored_file *file, struct wg_error *err) {
    const uint64_t format = kinds[file->kind].format;
    if (file->format < format)
        return wg_fail(err, WG_ERR_FORMAT, file->facts.path,
                       "This %s has the older format %llu, and this wintergrub reads %llu: %s again.",
                       kinds[file->kind].noun, (unsigned long long)file->format, (unsigned long long)format,
                       kinds[file->kind].again);
    if (file->format > format)
        return wg_fail(err, WG_ERR_FORMAT, file->facts.path,
                       "This %s has format %llu of a newer wintergrub, and this one reads %llu.",
                       kinds[file->kind].noun, (unsigned long long)file->format, (unsigned long long)format);
    return 0;
}

/* A result stores the version and the state of the source separately. */
static char *read_source(const struct wg_stored_file *file) {
    if (file->kind != WG_STORED_RESULT)
        return wg_h5_attribute_or_empty(file->h5, ".", "source");
    char *const version = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_VERSION);
    char *const source = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_SOURCE);
    char *const line = version != NULL && source != NULL ? wg_version_line(version, source) : NULL;
    free(version);
    free(source);
    return line;
}

int wg_stored_expect(struct wg_stored_file *file, enum wg_stored_kind kind, struct wg_error *err) {
    uint64_t replicates = 0;
    const int code = file->kind != kind ? refuse_other_kind(file, kind, err) : check_format(file, err);
    if (code < 0)
        return code;
    if (!wg_h5_find_number(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_SEED, &file->facts.seed))
        return wg_stored_damaged(file, "its seed", err);
    if (!wg_h5_find_number(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_REPLICATES, &replicates) || replicates == 0 ||
        replicates > INT64_MAX)
        return wg_stored_damaged(file, "its number of replicates", err);
    file->facts.replicates = (int64_t)replicates;
    file->facts.title = wg_h5_attribute_or_empty(file->h5, ".", "title");
    file->facts.command_line = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_COMMAND);
    file->facts.started = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_STARTED);
    file->facts.source = read_source(file);
    const bool well = file->facts.title != NULL && file->facts.command_line != NULL && file->facts.started != NULL &&
                      file->facts.source != NULL;
    return well ? wg_h5_failed(file->h5, err) : wg_no_memory(err, file->facts.path);
}

/* Versions of one format differ in what they store. */
static int stored_without(const struct wg_stored_file *file, const char *name, struct wg_error *err) {
    const int code = wg_h5_failed(file->h5, err);
    return code < 0 ? code
                    : wg_fail(err, WG_ERR_FORMAT, file->facts.path,
                              "This %s has no %s: another version of wintergrub made it, or it is damaged. To make it "
                              "anew, %s again.",
                              kinds[file->kind].noun, name, kinds[file->kind].again);
}

int wg_stored_values(struct wg_stored_file *file, const char *name, enum wg_h5_kind kind,
                     const struct wg_h5_shape *must, void **values, struct wg_error *err) {
    struct wg_h5_shape is;
    const struct wg_h5_shape from = {.n_dims = must->n_dims};
    size_t n = 1;
    *values = NULL;
    if (!wg_h5_find_shape(file->h5, name, kind, &is))
        return stored_without(file, name, err);
    if (is.n_dims != must->n_dims)
        return wg_stored_damaged(file, name, err);
    for (int i = 0; i < must->n_dims; i++) {
        if (is.size[i] != must->size[i])
            return wg_stored_damaged(file, name, err);
        n *= (size_t)must->size[i];
    }
    _Static_assert(sizeof(double) == sizeof(int64_t), "one size serves both kinds");
    *values = calloc(n > 0 ? n : 1, sizeof(double));
    if (*values == NULL)
        return wg_no_memory(err, file->facts.path);
    const int code = wg_h5_read_block(file->h5, name, kind, &from, must, *values, err);
    if (code < 0) {
        free(*values);
        *values = NULL;
    }
    return code;
}

/* The statistics and the calendar rely on it. */
static bool is_possible(enum wg_outcome_number outcome, double value, int n_days) {
    if (outcome == WG_OUTCOME_survived)
        return value == 0 || value == 1;
    if (isnan(value))
        return true;
    const bool is_day = strcmp(wg_diary_outcomes()[outcome].unit, "day") == 0;
    return is_day ? value >= 0 && value <= n_days : isfinite(value);
}

int wg_stored_outcome(struct wg_stored_file *file, enum wg_outcome_number outcome, const struct wg_h5_shape *must,
                      int n_days, double **values, struct wg_error *err) {
    const char *const name = wg_diary_outcomes()[outcome].name;
    struct wg_h5_shape is;
    void *read = NULL;
    size_t n = 1;
    for (int i = 0; i < must->n_dims; i++)
        n *= (size_t)must->size[i];
    if (outcome < WG_OUTCOME_income_larvae || wg_h5_find_shape(file->h5, name, WG_H5_REAL, &is)) {
        int code = wg_stored_values(file, name, WG_H5_REAL, must, &read, err);
        *values = read;
        for (size_t i = 0; i < n && code == 0; i++)
            if (!is_possible(outcome, (*values)[i], n_days))
                code = wg_fail(err, WG_ERR_FORMAT, file->facts.path, "This %s is damaged: %s cannot be %g.",
                               kinds[file->kind].noun, name, (*values)[i]);
        if (code < 0) {
            free(*values);
            *values = NULL;
        }
        return code;
    }
    *values = malloc((n > 0 ? n : 1) * sizeof **values);
    if (*values == NULL)
        return wg_no_memory(err, file->facts.path);
    for (size_t i = 0; i < n; i++)
        (*values)[i] = (double)NAN;
    return 0;
}

/* ---- what was simulated ---- */

/* Checks a text against its stored digest. */
static int check_digest(const struct wg_stored_file *file, const char *attribute, const char *text, size_t size,
                        const char *stored, struct wg_error *err) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(text, size, digest);
    return strcmp(stored, digest) == 0
               ? 0
               : wg_fail(err, WG_ERR_FORMAT, file->facts.path, "A text in this %s was changed after it was made (%s).",
                         kinds[file->kind].noun, attribute);
}

static int read_weather_record(const struct wg_stored_file *file, struct wg_run_inputs *inputs, struct wg_error *err) {
    if (!wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_RECORD_SHA256, &inputs->record_sha256))
        return wg_h5_failed(file->h5, err);
    if (!wg_h5_find_text(file->h5, RECORD, &inputs->record_text, &inputs->record_size))
        return wg_stored_damaged(file, "its weather record", err);
    return check_digest(file, WG_ATTRIBUTE_RECORD_SHA256, inputs->record_text, inputs->record_size,
                        inputs->record_sha256, err);
}

int wg_stored_inputs_read(struct wg_stored_file *file, struct wg_run_inputs *inputs, struct wg_error *err) {
    if (!wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_VERSION, &inputs->version))
        return wg_stored_damaged(file, "its version", err);
    if (!wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_SCENARIO_PATH, &inputs->scenario_path))
        return wg_stored_damaged(file, "the name of its scenario", err);
    if (!wg_h5_find_text(file->h5, SCENARIO, &inputs->scenario_text, &inputs->scenario_size))
        return wg_stored_damaged(file, "its scenario", err);
    if (!wg_h5_find_attribute(file->h5, WG_PROVENANCE, WG_ATTRIBUTE_SCENARIO_SHA256, &inputs->scenario_sha256))
        return wg_stored_damaged(file, "the digest of its scenario", err);
    const int code = check_digest(file, WG_ATTRIBUTE_SCENARIO_SHA256, inputs->scenario_text, inputs->scenario_size,
                                  inputs->scenario_sha256, err);
    return code < 0 ? code : read_weather_record(file, inputs, err);
}
