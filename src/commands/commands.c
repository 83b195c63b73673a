/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists the commands, in the order of `wintergrub help`.
 */
#include "cli/command.h"

#include <string.h>

static const struct wg_command *const rows[] = {
    &wg_command_new,
    &wg_command_run,
    &wg_command_check,
    &wg_command_compare,
    &wg_command_size,
    &wg_command_cheapest,
    &wg_command_fit,
    &wg_command_report,
    &wg_command_figures,
    &wg_command_rerun,
    &wg_command_seal,
    &wg_command_timetable,
    &wg_command_workshop,
    &wg_command_page,
    &wg_command_schema,
    &wg_command_completion,
    NULL,
};

const struct wg_command *const *wg_commands(void) {
    return rows;
}

const struct wg_command *wg_command_find(const char *name) {
    for (const struct wg_command *const *row = rows; *row != NULL; row++)
        if (strcmp((*row)->name, name) == 0)
            return *row;
    return NULL;
}

const char wg_standard_input_text[] = "as the name of a file: read standard input";

/* "-o, --output FILE" */
static void put_option(FILE *to, const struct wg_option *option) {
    char left[48];
    const char letter[] = {'-', option->letter, ',', ' ', '\0'};
    (void)snprintf(left, sizeof left, "%s--%s%s%s", option->letter != 0 ? letter : "    ", option->name,
                   option->value != NULL ? " " : "", option->value != NULL ? option->value : "");
    (void)fprintf(to, "  %-22s %s\n", left, option->text);
}

void wg_command_help(FILE *to, const struct wg_command *command) {
    (void)fprintf(to, "wintergrub %s %s%s\n\n%s\n", command->name, command->arguments,
                  command->options[0].name != NULL ? " [options]" : "", command->help);
    if (command->options[0].name != NULL || command->reads_text)
        (void)fputs("\nOptions:\n", to);
    if (command->reads_text)
        (void)fprintf(to, "  %-22s %s\n", "-", wg_standard_input_text);
    for (const struct wg_option *option = command->options; option->name != NULL; option++)
        put_option(to, option);
}

const char wg_commands_statuses[] = "0 done; 1 the answer is no; 2 mistake on the command line;\n"
                                    "3 mistake in the input; 4 file or disk error; 5 fault in wintergrub, or out of\n"
                                    "memory; 6 too uncertain to answer; 130 stopped by Ctrl-C, 143 by kill.\n";

static void put_command(FILE *to, const char *name, const char *arguments, const char *summary) {
    char left[48];
    (void)snprintf(left, sizeof left, "%s %s", name, arguments);
    (void)fprintf(to, "  wintergrub %-27s %s\n", left, summary);
}

void wg_commands_help(FILE *to) {
    (void)fputs("wintergrub: odds, dates and pounds for a black soldier fly colony\n\n", to);
    for (const struct wg_command *const *row = rows; *row != NULL; row++)
        put_command(to, (*row)->name, (*row)->arguments, (*row)->summary);
    put_command(to, "help", "COMMAND", "how to use a command; --version, --cite");
    put_command(to, "help scenario", "[KEY]", "the keys; help numbers: of the model");
    (void)fprintf(to, "\nExit status: %s", wg_commands_statuses);
}
