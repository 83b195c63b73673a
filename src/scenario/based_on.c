/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the plans on which a plan is based and merges them into its tree.
 */
#include "records/yaml.h"
#include "scenario/read.h"
#include "text/text_file.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int add_based_mistake(const struct wg_base_reader *reader, const struct wg_yaml_node *at, const char *format,
                             ...) __attribute__((format(printf, 3, 4)));
static int add_based_mistake(const struct wg_base_reader *reader, const struct wg_yaml_node *at, const char *format,
                             ...) {
    va_list args;
    va_start(args, format);
    const size_t n = reader->problems->n;
    const int code = wg_mistakes_add_list(reader->problems, at->line, at->column, format, args);
    va_end(args);
    if (code == 0 && reader->problems->n > n)
        reader->problems->items[n].file = at->file;
    return code < 0 ? code : WG_ERR_INPUT;
}

static const char *base_path_of(const struct wg_base_reader *reader, int file) {
    return file == 0 ? reader->path : reader->problems->base[file - 1].path;
}

/* Checks the name of a base, and opens the next of the files for it. */
static int open_base(struct wg_base_reader *reader, const struct wg_yaml_node *name, int file) {
    if (name->kind != WG_YAML_TEXT || name->text[0] == '\0' || !wg_read_is_inside_folder(name->text))
        return add_based_mistake(reader, name,
                                 "A plan is based on a file beside it or in a folder below it: write for example "
                                 "based_on: winter.yaml.");
    char *const path = wg_read_path_beside(base_path_of(reader, file), name->text);
    if (path == NULL)
        return WG_ERR_MEMORY;
    int code = 0;
    for (int i = 0; i <= file && code == 0; i++)
        if (strcmp(path, base_path_of(reader, i)) == 0)
            code = add_based_mistake(reader, name,
                                     "\"%.100s\" leads back to a plan that is based on it: a plan cannot be based on "
                                     "itself.",
                                     name->text);
    if (code == 0 && file == WG_MAX_BASES)
        code = add_based_mistake(reader, name,
                                 "These are more than %d plans, each based on the next. Copy what this one needs from "
                                 "\"%.100s\".",
                                 WG_MAX_BASES, name->text);
    if (code == 0)
        reader->problems->base[file].path = path;
    else
        free(path);
    return code;
}

static int read_base_text(struct wg_base_reader *reader, const struct wg_yaml_node *name, int file, size_t *size) {
    struct wg_mistakes_base *const base = &reader->problems->base[file - 1];
    struct wg_error err = {0};
    const int code = wg_text_given_read(reader->given, base->path, WG_YAML_MAX_BYTES, &base->source, size, &err);
    if (code == WG_ERR_MEMORY || code == 0)
        return code;
    return add_based_mistake(reader, name, "The plan \"%.100s\" was not read: %c%s", name->text,
                             tolower((unsigned char)err.text[0]), err.text + 1);
}

static int parse_base(struct wg_base_reader *reader, struct wg_yaml *base, int file, size_t size) {
    const size_t n = reader->problems->n;
    const int code = wg_yaml_read(base, reader->problems->base[file - 1].source, size, reader->problems);
    for (size_t i = n; i < reader->problems->n; i++)
        reader->problems->items[i].file = file;
    for (struct wg_yaml_node *node = base->allocated; node != NULL; node = node->allocated)
        node->file = file;
    if (code == 0 && base->root->kind != WG_YAML_MAP)
        return add_based_mistake(reader, base->root,
                                 "This is not a plan. A plan is a group of keys, for example "
                                 "period, climate and places.");
    return code;
}

/* A weather file lies beside the plan that names it; from the plan in the folder above, its folder comes first. */
static int move_record(struct wg_yaml *base, const char *name) {
    const char *const slash = strrchr(name, '/');
    const struct wg_yaml_node *const climate = wg_yaml_get(base->root, "climate");
    struct wg_yaml_node *const record = (struct wg_yaml_node *)wg_yaml_get(climate, "record");
    if (slash == NULL || record == NULL || record->kind != WG_YAML_TEXT || !wg_read_is_inside_folder(record->text))
        return 0;
    char *const moved = wg_read_path_beside(name, record->text);
    if (moved == NULL)
        return WG_ERR_MEMORY;
    free(record->text);
    record->text = moved;
    return 0;
}

/* Merges the base of file number `file` into its tree, and before that the base of the base. */
static int merge_base(struct wg_base_reader *reader, struct wg_yaml *yaml, int file) {
    const struct wg_yaml_node *const name = wg_yaml_get(yaml->root, "based_on");
    struct wg_yaml base = {0};
    size_t size = 0;
    if (name == NULL)
        return 0;
    int code = open_base(reader, name, file);
    if (code == 0)
        code = read_base_text(reader, name, file + 1, &size);
    if (code == 0)
        code = parse_base(reader, &base, file + 1, size);
    if (code == 0)
        code = merge_base(reader, &base, file + 1);
    if (code == 0)
        code = move_record(&base, name->text);
    if (code == 0) {
        wg_yaml_remove(base.root, "title");
        wg_yaml_remove(yaml->root, "based_on");
        wg_yaml_merge(yaml, &base);
    }
    wg_yaml_free(&base);
    return code;
}

int wg_read_bases(struct wg_base_reader *reader, struct wg_yaml *yaml) {
    return yaml->root->kind == WG_YAML_MAP ? merge_base(reader, yaml, 0) : 0;
}
