/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A command is one row of the table in commands.c: its name, its options and its function.
 */
#ifndef WG_CLI_COMMAND_H
#define WG_CLI_COMMAND_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/** An option. Lists end with name == NULL. */
struct wg_option {
    const char *name;  /* "output", written --output */
    char letter;       /* 'o', written -o; 0: none */
    const char *value; /* its value in the help, "FILE", "LOW HIGH"; NULL: a switch */
    const char *text;  /* one line of help */
    int values;        /* number of values: 0, 1, 2; or WG_ONE_EACH_TIME */
};

#define WG_MAX_OPTIONS 16
#define WG_ONE_EACH_TIME 9 /* one value, and the option may be given several times */
#define WG_MAX_REPEATS 8

struct wg_command;

/** The arguments and options of a command line. Borrows all strings from argv. */
struct wg_args {
    const struct wg_command *command;
    int n;
    const char **argument;              /* n of them, in order */
    const char *option[WG_MAX_OPTIONS]; /* by row of command->options: its value, "" for a switch, NULL: not given */
    const char *second[WG_MAX_OPTIONS]; /* the second value of an option that takes two */
    const char *again[WG_MAX_REPEATS];  /* further values of the option that repeats: a command has at most one */
    int n_again;
    int argc; /* the whole command line, for provenance */
    char **argv;
};

struct wg_command {
    const char *name;
    const char *arguments; /* as in the usage line: "SCENARIO.yaml" */
    const char *summary;   /* one line */
    const char *help;      /* paragraphs, each line at most 79 columns */
    int least, most;       /* number of arguments; most < 0: any number */
    bool reads_text;       /* an argument may be -, standard input */
    bool writes_text;      /* --output may be -, standard output */
    const struct wg_option *options;
    int (*run)(const struct wg_args *args); /* returns the exit status */
};

/** Returns the commands, ended by NULL. */
const struct wg_command *const *wg_commands(void);
/** Returns the command of that name, NULL if there is none. */
const struct wg_command *wg_command_find(const char *name);

/** Exit statuses that do not come from an error code (see error.h for those). */
enum wg_status {
    WG_STATUS_DONE = 0,
    WG_STATUS_NO = 1, /* the answer is "no" */
    WG_STATUS_USAGE = 2,
    WG_STATUS_UNDECIDED = 6 /* neither yes nor no is certain */
};

/* The rows, one file each. */
extern const struct wg_command wg_command_run, wg_command_check, wg_command_compare, wg_command_rerun, wg_command_seal,
    wg_command_timetable, wg_command_workshop, wg_command_page, wg_command_new, wg_command_cheapest;
extern const struct wg_command wg_command_figures, wg_command_report;
extern const struct wg_command wg_command_size, wg_command_fit, wg_command_schema, wg_command_completion;

/** Prints the help of a command: usage line, description, options. */
void wg_command_help(FILE *to, const struct wg_command *command);
/**
 * Prints help on "scenario" or "numbers" with the `n` following words, and sets the exit status. Returns false for any
 * other topic.
 */
bool wg_help_topic(const char *topic, int n, char **words, int *status);
/** Prints all commands, one line each. */
void wg_commands_help(FILE *to);
/** One line on - in place of a file's name, for commands that read texts. */
extern const char wg_standard_input_text[];
/** "0 done; 1 the answer is no; ...": the exit statuses, as a list for people. */
extern const char wg_commands_statuses[];
/**
 * Prints a manual page in the macros of man(7): of the program (NULL), of a command, or of "scenario" or "numbers".
 * Returns false for any other topic.
 */
bool wg_manual_print(FILE *to, const char *topic);

#endif
