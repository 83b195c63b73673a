/**
 * A command is one row of the table in commands.c: its words, its options, what
 * it does. Everything about reading the command line is worked out from the row.
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
    const char *value; /* what it takes, "FILE", "LOW HIGH"; NULL: a switch */
    const char *text;  /* one line of help */
    int values;        /* how many it takes: 0, 1, 2 */
};

#define WG_MAX_OPTIONS 16

struct wg_command;

/** What was written after the command's name. All strings belong to the command line. */
struct wg_args {
    const struct wg_command *command;
    int n;
    const char **argument;              /* n of them, in order */
    const char *option[WG_MAX_OPTIONS]; /* by row of command->options: its value, "" for a switch, NULL: not given */
    const char *second[WG_MAX_OPTIONS]; /* the second value of one that takes two */
    int argc;                           /* the whole command line, for the record */
    char **argv;
};

struct wg_command {
    const char *name;
    const char *arguments; /* as in the usage line: "SCENARIO.yaml" */
    const char *summary;   /* one line */
    const char *help;      /* paragraphs, each line at most 79 columns */
    int least, most;       /* how many arguments; most < 0: any number */
    const struct wg_option *options;
    int (*run)(const struct wg_args *args); /* gives the exit status */
};

/** The commands, ended by NULL. */
const struct wg_command *const *wg_commands(void);
/** NULL if there is none of that name. */
const struct wg_command *wg_command_find(const char *name);

/** Exit statuses that are not the translation of an error (see error.h for those). */
enum wg_status {
    WG_STATUS_DONE = 0,
    WG_STATUS_NO = 1, /* the answer is "no" */
    WG_STATUS_USAGE = 2,
    WG_STATUS_UNDECIDED = 6 /* neither yes nor no is sure */
};

/* The rows, one file each. */
extern const struct wg_command wg_command_run, wg_command_check, wg_command_compare, wg_command_rerun,
    wg_command_timetable, wg_command_workshop;
extern const struct wg_command wg_command_figures, wg_command_report;
extern const struct wg_command wg_command_size, wg_command_fit, wg_command_schema, wg_command_completion;

/** Usage line, what it does, its options. */
void wg_command_help(FILE *to, const struct wg_command *command);
/** Help on "scenario" or "numbers", with the `n` words behind it, and its exit status; false for any other topic. */
bool wg_help_topic(const char *topic, int n, char **words, int *status);
/** All commands, one line each. */
void wg_commands_help(FILE *to);

#endif
