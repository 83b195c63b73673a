/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Saves pictures, pages and other texts as files.
 */
#include "cli/save.h"

#include "cli/message.h"
#include "figures/figures.h"
#include "figures/picture.h"
#include "storage/atomic_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static int save_data(const void *data, size_t size, const char *path, int force, struct wg_error *err) {
    struct wg_atomic_file file = {0};
    int code = wg_atomic_file_open(&file, path, force, err);
    if (code == 0)
        code = wg_atomic_file_write(&file, data, size, err);
    if (code == 0)
        code = wg_atomic_file_commit(&file, err);
    wg_atomic_file_free(&file);
    return code;
}

int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err) {
    const int code = wg_bytes_failed(bytes, err);
    return code < 0 ? code : save_data(bytes->data, bytes->size, path, force, err);
}

int wg_page_copy(const struct wg_args *args, const void *page, size_t size, const char *example) {
    const char *const path = wg_args_option(args, "output");
    struct wg_error err = {0};
    if (path == NULL)
        return wg_message_usage(args->command, "name the page: -o %s.", example);
    if (wg_args_is_stream(path))
        return wg_output_write(page, size);
    if (save_data(page, size, path, wg_args_has(args, "force"), &err) < 0)
        return wg_message_error(&err);
    wg_message("the page is in %s; open it in any browser, no internet needed", path);
    return WG_STATUS_DONE;
}

static const char *picture_extension(enum wg_picture_format kind) {
    static const char *const ending[WG_N_PICTURES] = {"svg", "pdf", "png"};
    return ending[kind];
}

static char *path_of(const char *folder, const struct wg_figure *figure, enum wg_picture_format kind) {
    const size_t size = strlen(folder) + strlen(wg_figure_name(figure)) + 8;
    char *const path = malloc(size);
    if (path != NULL)
        (void)snprintf(path, size, "%s/%s.%s", folder, wg_figure_name(figure), picture_extension(kind));
    return path;
}

/* Fails if any of the files exists. */
static int check_no_files_exist(const struct wg_figures *figures, const char *folder, struct wg_error *err) {
    struct stat status;
    int code = 0;
    for (size_t i = 0; i < figures->n && code == 0; i++)
        for (int kind = 0; kind < WG_N_PICTURES && code == 0; kind++) {
            char *const path = path_of(folder, wg_figures_get(figures, i), (enum wg_picture_format)kind);
            if (path == NULL)
                code = wg_no_memory(err, NULL);
            else if (lstat(path, &status) == 0)
                code = wg_fail(err, WG_ERR_EXISTS, path,
                               "There is already a file of this name, so no figure was written. Choose another "
                               "folder, or use --force to replace it.");
            free(path);
        }
    return code;
}

int wg_figures_check_paths(const struct wg_args *args, const char *option, const struct wg_figures *figures,
                           const char *folder, const struct wg_scenario *scenario) {
    struct wg_error err = {0};
    int status = 0;
    for (size_t i = 0; i < figures->n && status == 0; i++)
        for (int kind = 0; kind < WG_N_PICTURES && status == 0; kind++) {
            char *const path = path_of(folder, wg_figures_get(figures, i), (enum wg_picture_format)kind);
            if (path == NULL)
                status = wg_no_memory(&err, NULL) < 0 ? wg_message_error(&err) : 0;
            if (status == 0)
                status = wg_args_check_output(args, option, path);
            if (status == 0 && scenario != NULL)
                status = wg_args_check_inputs(args, option, path, scenario);
            free(path);
        }
    return status;
}

static int save_figure(const struct wg_figure *figure, enum wg_picture_format kind, const char *folder, int force,
                       struct wg_error *err) {
    struct wg_bytes bytes = {0};
    char *const path = path_of(folder, figure, kind);
    int code = path != NULL ? wg_figure_picture(figure, kind, &bytes, err) : wg_no_memory(err, NULL);
    if (code == 0)
        code = wg_save_bytes(&bytes, path, force, err);
    wg_bytes_free(&bytes);
    free(path);
    return code;
}

int wg_figures_save(const struct wg_figures *figures, const char *folder, int force, const atomic_int *stop,
                    struct wg_error *err) {
    int code = wg_atomic_file_make_folder(folder, err);
    if (code == 0 && !force)
        code = check_no_files_exist(figures, folder, err);
    for (size_t i = 0; i < figures->n && code == 0; i++)
        for (int kind = 0; kind < WG_N_PICTURES && code == 0; kind++)
            code = atomic_load(stop) != 0
                       ? WG_STOPPED
                       : save_figure(wg_figures_get(figures, i), (enum wg_picture_format)kind, folder, force, err);
    return code;
}
