/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub page: writes the whole tool as one web page.
 */
#include "browser/page_file.h"
#include "cli/args.h"
#include "cli/message.h"
#include "storage/atomic_file.h"

static int save_page_file(const char *path, bool force) {
    struct wg_error err = {0};
    struct wg_atomic_file place = {0};
    int code = wg_atomic_file_open(&place, path, force, &err);
    if (code == 0)
        code = wg_atomic_file_write(&place, wg_page_file, wg_page_file_size, &err);
    if (code == 0)
        code = wg_atomic_file_commit(&place, &err);
    wg_atomic_file_free(&place);
    if (code < 0)
        return wg_message_error(&err);
    wg_message("the page is in %s; open it in any browser, no internet needed", path);
    return WG_STATUS_DONE;
}

static int run_page(const struct wg_args *args) {
    const char *const path = wg_args_option(args, "output");
    if (path == NULL)
        return wg_message_usage(args->command, "name the page: -o wintergrub.html.");
    return wg_args_is_stream(path) ? wg_output_write(wg_page_file, wg_page_file_size)
                                   : save_page_file(path, wg_args_has(args, "force"));
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "name of the page, wintergrub.html; - prints it", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {.name = NULL},
};

const struct wg_command wg_command_page = {
    .name = "page",
    .arguments = "-o FILE.html",
    .summary = "write all of this as one web page",
    .help = "Writes one web page that does what this program does, for phones and borrowed\n"
            "laptops: ask for a plan, guess, forecast, compare, how many to start with, the\n"
            "cheapest winter, the work, your log, a lesson. It holds the same engine, gives\n"
            "the same numbers, needs no internet and sends nothing. For example:\n\n"
            "  wintergrub page -o wintergrub.html",
    .least = 0,
    .most = 0,
    .writes_text = true,
    .options = options,
    .run = run_page,
};
