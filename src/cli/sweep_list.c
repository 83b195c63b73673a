/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists the scenarios of a sweep and the file for each result.
 */
#include "cli/args.h"
#include "cli/sweep.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#define ENDING ".yaml"

static bool is_folder(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

bool wg_sweep_is_requested(const struct wg_args *args) {
    return args->n > 1 || (!wg_args_is_stream(args->argument[0]) && is_folder(args->argument[0]));
}

/* "FOLDER/NAME" + ending, malloc'ed */
static char *join_path(const char *folder, const char *name, const char *ending) {
    const size_t length = strlen(folder), size = length + strlen(name) + strlen(ending) + 2;
    char *const path = malloc(size);
    if (path != NULL)
        (void)snprintf(path, size, "%s%s%s%s", folder, length > 0 && folder[length - 1] == '/' ? "" : "/", name,
                       ending);
    return path;
}

/* "sites/hill.yaml" -> "hill", malloc'ed; a single run names its result the same way */
static char *stem_of(const char *path) {
    const char *const slash = strrchr(path, '/'), *const name = slash != NULL ? slash + 1 : path;
    const char *const dot = strrchr(name, '.');
    return strndup(name, dot != NULL && dot != name ? (size_t)(dot - name) : strlen(name));
}

/* Takes over `scenario`; NULL means that the caller is out of memory. */
static int add_sweep_item(struct wg_sweep_list *list, char *scenario, const char *folder, struct wg_error *err) {
    if (list->n == list->capacity) {
        const int64_t capacity = 2 * list->capacity + 16;
        struct wg_sweep_item *const grown = realloc(list->item, (size_t)capacity * sizeof *grown);
        if (grown == NULL) {
            free(scenario);
            return wg_no_memory(err, NULL);
        }
        list->item = grown;
        list->capacity = capacity;
    }
    char *const name = scenario != NULL ? stem_of(scenario) : NULL;
    char *const result = name != NULL ? join_path(folder, name, ".h5") : NULL;
    list->item[list->n++] = (struct wg_sweep_item){scenario, name, result};
    return result != NULL ? 0 : wg_no_memory(err, NULL);
}

static bool is_scenario(const char *name) {
    const size_t length = strlen(name), ending = sizeof ENDING - 1;
    return name[0] != '.' && length > ending && strcmp(name + length - ending, ENDING) == 0;
}

static int by_path(const void *a, const void *b) {
    const struct wg_sweep_item *const one = a, *const other = b;
    return strcmp(one->scenario, other->scenario);
}

static int cannot_list(const char *from, struct wg_error *err) {
    return wg_fail(err, WG_ERR_FILE, from, "This folder cannot be read: %s.", strerror(errno));
}

static int add_entries(struct wg_sweep_list *list, DIR *open, const char *from, const char *folder,
                       struct wg_error *err) {
    for (;;) {
        errno = 0;
        const struct dirent *const entry = readdir(open);
        if (entry == NULL)
            return errno == 0 ? 0 : cannot_list(from, err);
        const int code =
            is_scenario(entry->d_name) ? add_sweep_item(list, join_path(from, entry->d_name, ""), folder, err) : 0;
        if (code < 0)
            return code;
    }
}

static int add_folder(struct wg_sweep_list *list, const char *from, const char *folder, struct wg_error *err) {
    const int64_t first = list->n;
    DIR *const open = opendir(from);
    if (open == NULL)
        return cannot_list(from, err);
    const int code = add_entries(list, open, from, folder, err);
    (void)closedir(open);
    if (code < 0)
        return code;
    if (list->n == first)
        return wg_fail(err, WG_ERR_INPUT, from, "There is no scenario (*" ENDING ") in this folder.");
    qsort(list->item + first, (size_t)(list->n - first), sizeof *list->item, by_path);
    return 0;
}

static int by_result(const void *a, const void *b) {
    const struct wg_sweep_item *const *const one = a, *const *const other = b;
    return strcasecmp((*one)->result, (*other)->result);
}

/*
 * Ignores case: on some disks names that differ only in case are one file, and the second result would replace the
 * first.
 */
static int check_distinct_results(const struct wg_sweep_item *one, const struct wg_sweep_item *other,
                                  struct wg_error *err) {
    if (strcasecmp(one->result, other->result) != 0)
        return 0;
    const bool is_same = strcmp(one->result, other->result) == 0;
    return wg_fail(err, WG_ERR_INPUT, other->scenario,
                   "Its result would be %s, and %s that of %s%s: give one of them another name.", other->result,
                   is_same ? "so would" : one->result, one->scenario,
                   is_same ? "" : ", which is the same file on a disk that takes capitals for small letters");
}

static int check_result_names(const struct wg_sweep_list *list, struct wg_error *err) {
    const struct wg_sweep_item **const sorted = calloc((size_t)list->n, sizeof *sorted);
    int code = 0;
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t i = 0; i < list->n; i++)
        sorted[i] = &list->item[i];
    qsort(sorted, (size_t)list->n, sizeof *sorted, by_result);
    for (int64_t i = 1; i < list->n && code == 0; i++)
        code = check_distinct_results(sorted[i - 1], sorted[i], err);
    free(sorted);
    return code;
}

int wg_sweep_list_make(struct wg_sweep_list *list, const struct wg_args *args, const char *folder,
                       struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < args->n && code == 0; i++)
        code = is_folder(args->argument[i]) ? add_folder(list, args->argument[i], folder, err)
                                            : add_sweep_item(list, strdup(args->argument[i]), folder, err);
    return code == 0 ? check_result_names(list, err) : code;
}

void wg_sweep_list_free(struct wg_sweep_list *list) {
    for (int64_t i = 0; i < list->n; i++) {
        free(list->item[i].scenario);
        free(list->item[i].name);
        free(list->item[i].result);
    }
    free(list->item);
    *list = (struct wg_sweep_list){0};
}
