/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Edits any text as the form of the page does: gives a text that is YAML again, or a message.
 *
 * The first line of an input is the path, the second the value ("-" removes the key), the rest the plan.
 */
#include "browser/plan_edit.h"
#include "browser/yaml_path.h"
#include "fuzz/fuzz.h"
#include "records/yaml.h"

#include <stdlib.h>
#include <string.h>

/* Returns the next line, NUL-terminated and malloc'ed, and leaves the rest. */
static char *take_line(const char **data, size_t *size) {
    const char *const end = *size > 0 ? memchr(*data, '\n', *size) : NULL;
    const size_t length = end != NULL ? (size_t)(end - *data) : *size;
    char *const line = malloc(length + 1);
    MUST(line != NULL);
    if (length > 0)
        memcpy(line, *data, length);
    line[length] = '\0';
    *data += length + (end != NULL);
    *size -= length + (end != NULL);
    return line;
}

static int is_yaml(const char *text, size_t size) {
    struct wg_yaml yaml = {0};
    struct wg_mistakes problems = {0};
    const int code = wg_yaml_read(&yaml, text, size, &problems);
    fuzz_check_mistakes(&problems);
    wg_mistakes_free(&problems);
    wg_yaml_free(&yaml);
    return code == 0;
}

/* Gives a path a value, NULL to remove it. */
static void edit(const char *text, size_t size, const char *path, const char *value) {
    struct wg_bytes out = {0};
    struct wg_error err = {0};
    const int code = wg_plan_edit(text, size, path, value, &out, &err);
    fuzz_check_error(code, &err);
    MUST(code == 0 || code == WG_ERR_INPUT);
    MUST(code != 0 || (is_yaml(text, size) && out.size > 0 && is_yaml(out.data, out.size)));
    wg_bytes_free(&out);
}

/* Edits what begins near the upper left corner, whatever its path. */
static void edit_first_values(const char *text, size_t size, const char *value) {
    for (int line = 1; line <= 6; line++)
        for (int column = 1; column <= 5; column += 2) {
            char path[WG_YAML_PATH];
            wg_yaml_path_at(text, size, line, column, path);
            MUST(strnlen(path, sizeof path) < sizeof path);
            if (path[0] != '\0')
                edit(text, size, path, value);
        }
}

void fuzz_one(const uint8_t *data, size_t size) {
    const char *rest = (const char *)data;
    char *const path = take_line(&rest, &size), *const line = take_line(&rest, &size);
    const char *const value = strcmp(line, "-") == 0 ? NULL : line;
    char *const text = malloc(size + (size == 0)); /* of the exact size, so that a read behind it is found */
    MUST(text != NULL);
    if (size > 0)
        memcpy(text, rest, size);
    edit(text, size, path, value);
    edit_first_values(text, size, value);
    free(text);
    free(line);
    free(path);
}
