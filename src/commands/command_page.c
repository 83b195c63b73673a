/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub page: writes the whole tool as one web page.
 */
#include "browser/page_file.h"
#include "cli/args.h"
#include "cli/save.h"

static int run_page(const struct wg_args *args) {
    return wg_page_copy(args, wg_page_file, wg_page_file_size, "wintergrub.html");
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
            "laptops: questions for a plan, a guess, the forecast, comparisons, how many to\n"
            "start with, the cheapest winter, the work, your log, a lesson. It holds the\n"
            "same engine, gives the same numbers, needs no internet and sends nothing. For\n"
            "example:\n\n"
            "  wintergrub page -o wintergrub.html",
    .least = 0,
    .most = 0,
    .writes_text = true,
    .options = options,
    .run = run_page,
};
