/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Changes a result or comparison: the reader must accept the unchanged file and reject any other with a message.
 *
 * An input that begins with 'e' (result) or 'c' (comparison) lists changes to that file, of six bytes each: position
 * (three bytes, big-endian), kind, amount (two bytes). Any other input is a file itself. HDF5 reads only files with a
 * valid checksum line (see src/storage/seal.c), which this target never makes, so HDF5 itself is not tested.
 */
#include "fuzz/fuzz.h"
#include "results/comparison_file.h"
#include "results/result_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char text[] = "period: {from: 2026-09-15, to: 2026-09-17}\n"
                           "climate: {constant: 27 degC}\n"
                           "places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]\n"
                           "starter: [{on: 2026-09-15, in: tray, stage: egg, count: 100}]\n"
                           "feeding: unlimited\n"
                           "forecast: {replicates: 2, seed: 1}\n";

struct whole {
    uint8_t *bytes;
    size_t size;
};

static struct whole read_and_remove(const char *path) {
    struct whole whole = {0};
    FILE *const file = fopen(path, "rb");
    MUST(file != NULL && fseek(file, 0, SEEK_END) == 0);
    whole.size = (size_t)ftell(file);
    whole.bytes = malloc(whole.size);
    rewind(file);
    MUST(whole.bytes != NULL && fread(whole.bytes, 1, whole.size, file) == whole.size);
    (void)fclose(file);
    (void)unlink(path);
    return whole;
}

static struct wg_scenario scenario;
static const struct wg_provenance provenance = {"wintergrub run a.yaml", "2026-11-25T12:00:00Z", 2, 1};

static struct whole make_result(const char *path) {
    struct wg_result_writer *writer;
    struct wg_error err = {0};
    const struct wg_ensemble_options options = {.count = 2, .threads = 1};
    MUST(wg_result_create(&writer, path, 1, &scenario, &provenance, &err) == 0);
    const struct wg_observer observer = wg_result_observer(writer);
    MUST(wg_ensemble_run(&scenario.plan, &options, &observer, 1, &err) == 0);
    MUST(wg_result_close(writer, &err) == 0);
    return read_and_remove(path);
}

static struct whole make_comparison(const char *path) {
    struct wg_comparison_file *file;
    struct wg_compare compare = {
        .n = 2,
        .setup = {{.plan = &scenario.plan, .name = "a"}, {.plan = &scenario.plan, .name = "b"}},
        .replicates = 2,
        .seed = 1};
    struct wg_error err = {0};
    const struct wg_scenario *const both[] = {&scenario, &scenario};
    static const struct wg_warnings none;
    const struct wg_warnings *const warnings[] = {&none, &none};
    const struct wg_ensemble_options options = {.threads = 1};
    MUST(wg_comparison_file_create(&file, path, 1, &err) == 0);
    MUST(wg_compare_run(&compare, &options, &err) == 0);
    MUST(wg_comparison_file_close(file, &compare, both, warnings,
                                  &(struct wg_comparison_words){.varied = &(struct wg_varied){0}}, &provenance,
                                  &err) == 0);
    wg_compare_free(&compare);
    return read_and_remove(path);
}

static struct whole result, comparison;

/* Runs before the first input, so that it does not count as its time. */
__attribute__((constructor)) static void make_both(void) {
    struct wg_mistakes problems;
    struct wg_error err = {0};
    char path[64];
    (void)snprintf(path, sizeof path, "/tmp/wintergrub-fuzz-%ld.h5", (long)getpid());
    MUST(wg_scenario_read_text(&scenario, "a.yaml", text, strlen(text), NULL, 0, &problems, &err) == 0);
    wg_mistakes_free(&problems);
    result = make_result(path);
    comparison = make_comparison(path);
}

/* Applies one change to a file of *size bytes, in a buffer of `capacity`. */
static void change(uint8_t *bytes, size_t *size, size_t capacity, const uint8_t *edit) {
    const size_t at = ((size_t)edit[0] << 16 | (size_t)edit[1] << 8 | edit[2]) % (*size + 1);
    const size_t amount = (size_t)edit[4] << 8 | edit[5];
    switch (edit[3] % 4) {
    case 0: /* one byte */
        if (at < *size)
            bytes[at] = edit[5];
        break;
    case 1: /* truncated */
        *size = at;
        break;
    case 2: /* a block of zeros */
        memset(bytes + at, 0, amount < *size - at ? amount : *size - at);
        break;
    default: /* appended bytes */
        memset(bytes + *size, edit[4], edit[5] < capacity - *size ? edit[5] : capacity - *size);
        *size += edit[5] < capacity - *size ? edit[5] : capacity - *size;
    }
}

static void check_readers(const uint8_t *bytes, size_t size, int is_result, int is_comparison) {
    struct wg_stored_file file;
    struct wg_result_data data = {0};
    struct wg_comparison_data both = {0};
    struct wg_error err = {0};
    const char *const path = fuzz_file(bytes, size);
    int code = wg_result_data_open(&data, path, &err);
    fuzz_check_error(code, &err);
    MUST((code == 0) == is_result);
    err = (struct wg_error){0};
    code = wg_stored_open(&file, path, &err);
    MUST((file.kind == WG_STORED_COMPARISON) == is_comparison && (code < 0 || is_comparison || is_result));
    if (code == 0)
        code = wg_comparison_data_take(&both, &file, &err);
    fuzz_check_error(code, &err);
    MUST((code == 0) == is_comparison);
    wg_stored_free(&file);
    wg_result_data_free(&data);
    wg_comparison_data_free(&both);
}

void fuzz_one(const uint8_t *data, size_t size) {
    if (size == 0 || (data[0] != 'e' && data[0] != 'c')) {
        check_readers(data, size, 0, 0);
        return;
    }
    const struct whole *const whole = data[0] == 'e' ? &result : &comparison;
    const size_t capacity = whole->size + 1024;
    uint8_t *const bytes = malloc(capacity);
    MUST(bytes != NULL);
    memcpy(bytes, whole->bytes, whole->size);
    size_t changed_size = whole->size;
    for (size_t i = 1; i + 6 <= size; i += 6)
        change(bytes, &changed_size, capacity, data + i);
    const int same = changed_size == whole->size && memcmp(bytes, whole->bytes, changed_size) == 0;
    check_readers(bytes, changed_size, same && data[0] == 'e', same && data[0] == 'c');
    free(bytes);
}
