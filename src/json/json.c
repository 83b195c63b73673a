/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Builds and prints JSON (RFC 8259) with the jansson library.
 */
#include "json/json.h"

#include "base/utf8.h"

#include <inttypes.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MAX_DEPTH 16
#define FIGURES 12

struct wg_json {
    json_t *open[MAX_DEPTH]; /* [0] is owned, each other one by its container */
    int depth;
    bool failed;
};

struct wg_json *wg_json_new(void) {
    struct wg_json *const json = calloc(1, sizeof *json);
    if (json == NULL)
        return NULL;
    json->open[0] = json_object();
    json->failed = json->open[0] == NULL;
    return json;
}

/* Takes over `value`, even on failure. */
static void add_json_value(struct wg_json *json, const char *key, json_t *value) {
    if (json == NULL || json->failed) {
        json_decref(value);
        return;
    }
    json_t *const around = json->open[json->depth];
    wg_assert((key != NULL) == json_is_object(around));
    const int code = key != NULL ? json_object_set_new(around, key, value) : json_array_append_new(around, value);
    json->failed = code != 0;
}

static void open_json_container(struct wg_json *json, const char *key, json_t *value) {
    add_json_value(json, key, value);
    if (json == NULL || json->failed)
        return;
    wg_assert(json->depth + 1 < MAX_DEPTH);
    json->open[++json->depth] = value;
}

void wg_json_object(struct wg_json *json, const char *key) {
    open_json_container(json, key, json_object());
}

void wg_json_list(struct wg_json *json, const char *key) {
    open_json_container(json, key, json_array());
}

void wg_json_close(struct wg_json *json) {
    if (json == NULL || json->failed)
        return;
    wg_assert(json->depth > 0);
    json->depth--;
}

/* Cleans a text: file names may hold any bytes, and the output may go to a terminal. */
static json_t *clean_string(const char *text) {
    char *const copy = strdup(text);
    if (copy == NULL)
        return NULL;
    wg_utf8_clean(copy);
    json_t *const value = json_string(copy);
    free(copy);
    return value;
}

void wg_json_text(struct wg_json *json, const char *key, const char *text) {
    add_json_value(json, key, text == NULL ? json_null() : clean_string(text));
}

/* Replaces what is not UTF-8 byte by byte, and nothing else. */
static json_t *lines_string(const char *text) {
    json_t *const value = json_string(text);
    if (value != NULL)
        return value;
    char *const copy = strdup(text);
    if (copy == NULL)
        return NULL;
    const char *const end = copy + strlen(copy);
    uint32_t code;
    for (char *at = copy; at < end;) {
        const size_t n = wg_utf8_decode(at, end, &code);
        if (n == 0)
            *at = '?';
        at += n > 0 ? n : 1;
    }
    json_t *const clean = json_string(copy);
    free(copy);
    return clean;
}

void wg_json_lines(struct wg_json *json, const char *key, const char *text) {
    add_json_value(json, key, text == NULL ? json_null() : lines_string(text));
}

void wg_json_embed(struct wg_json *json, const char *key, const char *document) {
    add_json_value(json, key, document == NULL ? json_null() : json_loads(document, 0, NULL));
}

void wg_json_seed(struct wg_json *json, uint64_t seed) {
    char text[32];
    (void)snprintf(text, sizeof text, "%" PRIu64, seed);
    wg_json_text(json, "seed", text);
}

void wg_json_real(struct wg_json *json, const char *key, double value) {
    add_json_value(json, key, isfinite(value) ? json_real(value) : json_null());
}

void wg_json_whole(struct wg_json *json, const char *key, int64_t value) {
    add_json_value(json, key, json_integer((json_int_t)value));
}

void wg_json_flag(struct wg_json *json, const char *key, bool value) {
    add_json_value(json, key, json_boolean(value));
}

void wg_json_drop(struct wg_json *json) {
    if (json != NULL)
        json_decref(json->open[0]);
    free(json);
}

char *wg_json_take(struct wg_json *json) {
    char *const text =
        json == NULL || json->failed ? NULL : json_dumps(json->open[0], JSON_COMPACT | JSON_REAL_PRECISION(FIGURES));
    wg_assert(json == NULL || json->failed || json->depth == 0);
    wg_json_drop(json);
    return text;
}

int wg_json_print(struct wg_json *json, FILE *to, struct wg_error *err) {
    if (json == NULL || json->failed) {
        wg_json_drop(json);
        return wg_no_memory(err, NULL);
    }
    wg_assert(json->depth == 0);
    const int code = json_dumpf(json->open[0], to, JSON_INDENT(2) | JSON_REAL_PRECISION(FIGURES));
    wg_json_drop(json);
    /* a failed write stays in the stream, where main() finds its reason */
    if (code != 0 && ferror(to) == 0)
        return wg_no_memory(err, NULL);
    (void)fputc('\n', to);
    return 0;
}
