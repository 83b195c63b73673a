/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub check: prints what the program understood of a scenario.
 */
#include "cli/args.h"
#include "cli/command.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "outline/outline.h"
#include "text/show.h"

#include <stdlib.h>

#define CONTINUED 16 /* indentation after the labels and the deepest line of the plan */

static int print_text(char *text) {
    if (text == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    wg_show_lines(stdout, CONTINUED, text);
    free(text);
    return 0;
}

static int run_check(const struct wg_args *args) {
    struct wg_scenario scenario = {0};
    int status = wg_load_scenario(&scenario, args->argument[0]);
    if (status == 0)
        status = print_text(wg_outline(&scenario));
    if (status == 0) {
        (void)puts("\nEvery key (for its meaning: wintergrub help scenario KEY):\n");
        status = print_text(wg_outline_keys(&scenario));
    }
    wg_scenario_free(&scenario);
    return status;
}

static const struct wg_option options[] = {{.name = NULL}};

const struct wg_command wg_command_check = {
    .name = "check",
    .arguments = "NAME.yaml",
    .summary = "show the plan, simulate nothing",
    .help = "Reads a scenario and shows every mistake at its place. If there is none, prints\n"
            "the plan as understood, in both unit systems, and then every key, with\n"
            "(default) where the file does not give it. A plan that passes may still stop a\n"
            "run: with unlimited feed a colony can outgrow what can be counted.",
    .least = 1,
    .most = 1,
    .reads_text = true,
    .options = options,
    .run = run_check,
};
