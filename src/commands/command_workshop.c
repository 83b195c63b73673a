/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub workshop: writes a web page that plays a colony to a class.
 */
#include "cli/args.h"
#include "cli/message.h"
#include "storage/atomic_file.h"
#include "workshop/page.h"

static int save_workshop(const char *path, bool force) {
    struct wg_error err = {0};
    struct wg_atomic_file place = {0};
    int code = wg_atomic_file_open(&place, path, force, &err);
    if (code == 0)
        code = wg_atomic_file_write(&place, wg_workshop_page, wg_workshop_page_size, &err);
    if (code == 0)
        code = wg_atomic_file_commit(&place, &err);
    wg_atomic_file_free(&place);
    if (code < 0)
        return wg_message_error(&err);
    wg_message("the page is in %s; open it in any browser, no internet needed", path);
    return WG_STATUS_DONE;
}

static int workshop(const struct wg_args *args) {
    const char *const path = wg_args_option(args, "output");
    if (path == NULL)
        return wg_message_usage(args->command, "name the page: -o workshop.html.");
    return wg_args_is_stream(path) ? wg_output_write(wg_workshop_page, wg_workshop_page_size)
                                   : save_workshop(path, wg_args_has(args, "force"));
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "name of the page, workshop.html; - prints it", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {.name = NULL},
};

const struct wg_command wg_command_workshop = {
    .name = "workshop",
    .arguments = "-o FILE.html",
    .summary = "write a web page that plays a colony",
    .help = "Writes one web page for teaching: the same model on a phone or a projector,\n"
            "played day by day with generations coloured, and a hundred years of it as dots\n"
            "that live or die, with guesses to make first and a worksheet to print. It needs\n"
            "no internet and sends nothing. For example:\n\n"
            "  wintergrub workshop -o workshop.html",
    .least = 0,
    .most = 0,
    .writes_text = true,
    .options = options,
    .run = workshop,
};
