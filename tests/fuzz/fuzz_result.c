/*
 * Alters a result or comparison: the unchanged file is read, any other is rejected with a message.
 *
 * Bytes that begin with 'e' or 'c' are a recipe: that file, then changes of six bytes each: position (three bytes,
 * big-endian), kind, amount (two bytes). Other bytes are a file themselves. HDF5 reads a file with a valid checksum
 * line (see src/storage/seal.c), so this target never makes one.
 */
#include "fuzz/fuzz.h"
#include "results/comparison_data.h"
#include "results/comparison_file.h"
#include "results/result_data.h"

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

static struct whole take(const char *path) {
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
    return take(path);
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
    MUST(wg_comparison_file_close(file, &compare, both, warnings, &provenance, &err) == 0);
    wg_compare_free(&compare);
    return take(path);
}

static struct whole result, comparison;

/* Before the first input, so that its time is not included. */
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

/* Applies one change to a file of *size bytes in `room`. */
static void change(uint8_t *bytes, size_t *size, size_t capacity, const uint8_t *how) {
    const size_t at = ((size_t)how[0] << 16 | (size_t)how[1] << 8 | how[2]) % (*size + 1);
    const size_t much = (size_t)how[4] << 8 | how[5];
    switch (how[3] % 4) {
    case 0: /* one byte */
        if (at < *size)
            bytes[at] = how[5];
        break;
    case 1: /* truncated */
        *size = at;
        break;
    case 2: /* a block of zeros */
        memset(bytes + at, 0, much < *size - at ? much : *size - at);
        break;
    default: /* appended bytes */
        memset(bytes + *size, how[4], how[5] < capacity - *size ? how[5] : capacity - *size);
        *size += how[5] < capacity - *size ? how[5] : capacity - *size;
    }
}

static void look_at(const uint8_t *bytes, size_t size, int is_result, int is_comparison) {
    struct wg_stored_file file;
    struct wg_result_data data = {0};
    struct wg_comparison_data both = {0};
    struct wg_error err = {0};
    const char *const path = fuzz_file(bytes, size);
    int code = wg_result_data_open(&data, path, &err);
    fuzz_look_at_error(code, &err);
    MUST((code == 0) == is_result);
    err = (struct wg_error){0};
    code = wg_stored_open(&file, path, &err);
    MUST((file.kind == WG_STORED_COMPARISON) == is_comparison && (code < 0 || is_comparison || is_result));
    if (code == 0)
        code = wg_comparison_data_take(&both, &file, &err);
    fuzz_look_at_error(code, &err);
    MUST((code == 0) == is_comparison);
    wg_stored_free(&file);
    wg_result_data_free(&data);
    wg_comparison_data_free(&both);
}

void fuzz_one(const uint8_t *data, size_t size) {
    if (size == 0 || (data[0] != 'e' && data[0] != 'c')) {
        look_at(data, size, 0, 0);
        return;
    }
    const struct whole *const whole = data[0] == 'e' ? &result : &comparison;
    const size_t capacity = whole->size + 1024;
    uint8_t *const bytes = malloc(capacity);
    MUST(bytes != NULL);
    memcpy(bytes, whole->bytes, whole->size);
    size_t now = whole->size;
    for (size_t i = 1; i + 6 <= size; i += 6)
        change(bytes, &now, capacity, data + i);
    const int same = now == whole->size && memcmp(bytes, whole->bytes, now) == 0;
    look_at(bytes, now, same && data[0] == 'e', same && data[0] == 'c');
    free(bytes);
}
