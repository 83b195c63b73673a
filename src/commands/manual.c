/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the manual pages: wintergrub(1), one for each command, wintergrub-plan(5) and wintergrub-numbers(7).
 */
#include "cli/command.h"
#include "schema/schema.h"
#include "text/roff.h"
#include <wintergrub/version.h>

#include <string.h>

#define MANUAL "wintergrub manual"

/* The heads of a page; the name line is what `whatis` shows. */
static void begin_page(FILE *to, const char *name, int section, const char *summary) {
    wg_roff_title(to, name, section, WG_VERSION, MANUAL);
    (void)fputs(".SH NAME\n", to);
    wg_roff_text(to, name);
    (void)fputs(" \\- ", to);
    wg_roff_text(to, summary);
    (void)fputc('\n', to);
}

static void put_statuses(FILE *to) {
    (void)fputs(".SH EXIT STATUS\n", to);
    wg_roff_paragraphs(to, wg_commands_statuses);
}

static void put_see_also(FILE *to, const char *own) {
    (void)fputs(".SH SEE ALSO\n.nh\n", to); /* names are not hyphenated */
    if (strcmp(own, "wintergrub") != 0)
        (void)fputs(".BR wintergrub (1),\n", to);
    for (const struct wg_command *const *row = wg_commands(); *row != NULL; row++)
        if (strcmp((*row)->name, own) != 0)
            (void)fprintf(to, ".BR \\%%wintergrub\\-%s (1),\n", (*row)->name);
    if (strcmp(own, "scenario") != 0)
        (void)fprintf(to, ".BR \\%%wintergrub\\-plan (5)%s\n", strcmp(own, "numbers") != 0 ? "," : "");
    if (strcmp(own, "numbers") != 0)
        (void)fputs(".BR \\%wintergrub\\-numbers (7)\n", to);
}

static void print_program(FILE *to) {
    begin_page(to, "wintergrub", 1, "odds, dates and pounds for a black soldier fly colony");
    (void)fputs(".SH SYNOPSIS\n.B wintergrub\n.I command\n[\\fIarguments\\fR] [\\fIoptions\\fR]\n.br\n"
                ".B wintergrub help\n[\\fIcommand\\fR]\n.SH DESCRIPTION\n",
                to);
    wg_roff_paragraphs(
        to, "wintergrub forecasts a small colony of black soldier flies from a plan in YAML: whether it lives "
            "through the winter, when the larvae crawl off and the flies emerge, how much is harvested and "
            "what the heat costs. It simulates the plan over many possible years of weather and of plausible "
            "animals.\n\nA first session:\n\n"
            "  wintergrub new -o my.yaml     answer a few questions, get a plan\n"
            "  wintergrub check my.yaml      show what was understood\n"
            "  wintergrub run my.yaml        print the forecast, write my.h5\n"
            "  wintergrub report my.h5       write the forecast as a web page\n");
    (void)fputs(".SH COMMANDS\n", to);
    for (const struct wg_command *const *row = wg_commands(); *row != NULL; row++)
        wg_roff_tagged(to, (*row)->name, (*row)->summary);
    wg_roff_tagged(to, "help scenario [KEY]", "the keys of a scenario");
    wg_roff_tagged(to, "help numbers [WORD]", "the numbers of the model");
    (void)fputs(".SH OPTIONS\n", to);
    wg_roff_tagged(to, "-h, --help", "print a list of the commands; after a command, how to use it");
    wg_roff_tagged(to, "--version", "print the version, the commit and the licence");
    wg_roff_tagged(to, "--cite", "print a reference to this version, as text and as BibTeX");
    put_statuses(to);
    (void)fputs(".SH ENVIRONMENT\n", to);
    wg_roff_tagged(to, "NO_COLOR", "If it is set and not empty, the output has no colours (no-color.org).");
    wg_roff_tagged(to, "SOURCE_DATE_EPOCH",
                   "The time that files record in place of the current one, in seconds since 1970.");
    wg_roff_tagged(to, "TMPDIR", "The folder for temporary files of rerun.");
    (void)fputs(".SH CAUTION\n", to);
    wg_roff_paragraphs(
        to, "Heaters, lamps and cords in damp houses can shock and start fires; local codes and licensed "
            "electricians decide. Larvae fed on waste as animal feed, and moving live insects, are regulated: ask "
            "the local authority.\n");
    put_see_also(to, "wintergrub");
}

static void put_options(FILE *to, const struct wg_command *command) {
    (void)fputs(".SH OPTIONS\n", to);
    if (command->reads_text)
        wg_roff_tagged(to, "-", wg_standard_input_text);
    for (const struct wg_option *option = command->options; option->name != NULL; option++) {
        char tag[80];
        const char letter[] = {'-', option->letter, ',', ' ', '\0'};
        (void)snprintf(tag, sizeof tag, "%s--%s%s%s", option->letter != 0 ? letter : "", option->name,
                       option->value != NULL ? " " : "", option->value != NULL ? option->value : "");
        wg_roff_tagged(to, tag, option->text);
    }
    wg_roff_tagged(to, "-h, --help", "print a summary of this page");
}

static void print_command_page(FILE *to, const struct wg_command *command) {
    char name[64];
    (void)snprintf(name, sizeof name, "wintergrub-%s", command->name);
    begin_page(to, name, 1, command->summary);
    (void)fprintf(to, ".SH SYNOPSIS\n.B wintergrub %s\n", command->name);
    wg_roff_text(to, command->arguments);
    (void)fputs(command->options[0].name != NULL ? "\n[\\fIoptions\\fR]\n" : "\n", to);
    (void)fputs(".SH DESCRIPTION\n", to);
    wg_roff_paragraphs(to, command->help);
    put_options(to, command);
    put_statuses(to);
    put_see_also(to, command->name);
}

bool wg_manual_print(FILE *to, const char *topic) {
    if (topic == NULL) {
        print_program(to);
    } else if (strcmp(topic, "scenario") == 0) {
        begin_page(to, "wintergrub-plan", 5, "the keys of a plan for wintergrub");
        (void)fputs(".SH DESCRIPTION\n", to);
        wg_roff_paragraphs(
            to, "A plan is a YAML file of at most 256 KiB. A quantity carries its unit (65 degF, 3 lb, R-13), a "
                "share is a percentage, a date is 2026-11-15, a day of the year 11-15.\n");
        (void)fputs(".SH KEYS\n", to);
        wg_schema_print_manual(to);
        put_see_also(to, topic);
    } else if (strcmp(topic, "numbers") == 0) {
        begin_page(to, "wintergrub-numbers", 7, "the numbers of the model of wintergrub");
        (void)fputs(".SH DESCRIPTION\nEach number is also a key of species in a plan.\n.SH NUMBERS\n", to);
        wg_numbers_print_manual(to);
        put_see_also(to, topic);
    } else {
        const struct wg_command *const command = wg_command_find(topic);
        if (command == NULL)
            return false;
        print_command_page(to, command);
    }
    return true;
}
