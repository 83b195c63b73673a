/**
 * Reading the command line: options in any order, `--name value`, `--name=value`,
 * `-o value`, `-ovalue`, switches together as in `-fq`; after `--` everything is an
 * argument, and so is anything that begins like a negative number.
 */
#ifndef WG_CLI_ARGS_H
#define WG_CLI_ARGS_H

#include "cli/command.h"

#include <stdbool.h>

/**
 * Reads argv[from..argc-1] for a command. 0, or WG_STATUS_USAGE with one line
 * said. words->argument must be freed in every case.
 */
int wg_args_read(struct wg_args *args, const struct wg_command *command, int argc, char **argv, int from);

/** The value of an option, "" for a switch, NULL if it was not given. The command must have that option (wg_assert). */
const char *wg_args_option(const struct wg_args *args, const char *name);
/** The second value of an option that takes two; NULL if it was not given. */
const char *wg_args_second(const struct wg_args *args, const char *name);
bool wg_args_has(const struct wg_args *args, const char *name);
/** A whole number, least..most; *out stays alone if the option was not given. 0, or WG_STATUS_USAGE with one line said. */
int wg_args_whole(const struct wg_args *args, const char *name, uint64_t least, uint64_t most, uint64_t *out);
/** The same of an option that is a whole number or seed of a scenario's forecast, with the limits of that key. */
int wg_args_forecast_key(const struct wg_args *args, const char *name, uint64_t *out);
/** A share like "2%" or "2 %", least..most; *out stays alone if the option was not given. 0, or WG_STATUS_USAGE with one line said. */
int wg_args_share(const struct wg_args *args, const char *name, double least, double most, double *out);

/**
 * May `path` (NULL: nothing) be written? Not where it is one of the files that are read: --force would take the keeper's
 * own. wg_args_read() has asked it of --output. 0, or WG_STATUS_USAGE with one line said.
 */
int wg_args_check_output(const struct wg_args *args, const char *path);

/** The same for a file that a scenario names (NULL: none), and for `path` as it is told. */
int wg_args_check_other(const struct wg_args *args, const char *path, const char *other);

/** The command line as one could type it again, malloc'ed; NULL without memory. */
char *wg_args_line(const struct wg_args *args);

#endif
