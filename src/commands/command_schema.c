/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub schema: prints the JSON Schema of a scenario.
 */
#include "cli/command.h"
#include "cli/message.h"
#include "json/schema_json.h"

static int run_schema(const struct wg_args *args) {
    struct wg_error err = {0};
    (void)args;
    return wg_schema_print_json(stdout, &err) < 0 ? wg_message_error(&err) : WG_STATUS_DONE;
}

static const struct wg_option options[] = {{NULL, 0, NULL, NULL, 0}};

const struct wg_command wg_command_schema = {
    .name = "schema",
    .arguments = "",
    .summary = "print the JSON Schema of a scenario",
    .help = "Prints the JSON Schema (draft 2020-12) of a scenario file, with which an editor\n"
            "completes keys and marks mistakes. Begin a scenario with the line\n"
            "  # yaml-language-server: $schema=wintergrub.schema.json\n"
            "Only wintergrub check finds keys that contradict each other.",
    .options = options,
    .run = run_schema,
};
