/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub workshop: writes a web page that plays a colony to a class.
 */
#include "cli/args.h"
#include "cli/save.h"
#include "workshop/page.h"

static int workshop(const struct wg_args *args) {
    return wg_page_copy(args, wg_workshop_page, wg_workshop_page_size, "workshop.html");
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
