/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads the command line: options in any order, `--name value`, `--name=value`, `-o value`, `-ovalue`, switches
 * together as in `-fq`. After `--` everything is an argument; so is anything that begins like a negative number, and "-",
 * which is standard input where the command reads texts.
 */
#ifndef WG_CLI_ARGS_H
#define WG_CLI_ARGS_H

#include "cli/command.h"
#include "scenario/scenario.h"

#include <stdbool.h>

/**
 * Reads argv[from..argc-1] for a command. Returns 0, or WG_STATUS_USAGE after printing one line. args->argument must be
 * freed in every case.
 */
int wg_args_read(struct wg_args *args, const struct wg_command *command, int argc, char **argv, int from);

/** Returns the value of an option, "" for a switch, NULL if it was not given. The command must have it (wg_assert). */
const char *wg_args_option(const struct wg_args *args, const char *name);
/** Returns the second value of an option that takes two; NULL if it was not given. */
const char *wg_args_second(const struct wg_args *args, const char *name);
/** Returns how often an option that repeats was given, and its value number k, from 0. */
int wg_args_times(const struct wg_args *args, const char *name);
const char *wg_args_each(const struct wg_args *args, const char *name, int k);
bool wg_args_has(const struct wg_args *args, const char *name);
/** Returns true for "-", which stands for standard input or output. */
bool wg_args_is_stream(const char *path);
/**
 * Reads a whole number, least..most; leaves *out unchanged if the option was not given. Returns 0, or WG_STATUS_USAGE
 * after printing one line.
 */
int wg_args_whole(const struct wg_args *args, const char *name, uint64_t least, uint64_t most, uint64_t *out);
/** The same for an option that is a whole number or seed of a scenario's forecast, with the limits of that key. */
int wg_args_forecast_key(const struct wg_args *args, const char *name, uint64_t *out);
/** The same for a share like "2%" or "2 %". */
int wg_args_share(const struct wg_args *args, const char *name, double least, double most, double *out);

/**
 * Checks that `path` (NULL: none), which `option` or its default names, is not one of the arguments: --force would
 * overwrite that input file. wg_args_read() has checked --output. Returns 0, or WG_STATUS_USAGE after printing one line.
 */
int wg_args_check_output(const struct wg_args *args, const char *option, const char *path);
/** The same for the files that a scenario names: its weather file and the plans on which it is based. */
int wg_args_check_inputs(const struct wg_args *args, const char *option, const char *path,
                         const struct wg_scenario *scenario);
/** Checks that the paths of two options (NULL: none) are not one file, which would be written twice. Returns as above. */
int wg_args_check_apart(const struct wg_args *args, const char *option, const char *path, const char *other,
                        const char *other_path);

/**
 * Names the output for an input, in this folder: "sites/hill.yaml" and ".h5" give "hill.h5"; standard input gives
 * "standard-input.h5". malloc'ed; NULL without memory.
 */
char *wg_args_default_output(const char *input, const char *ending);

/** Returns the command line as one could type it again, malloc'ed; NULL without memory. */
char *wg_args_line(const struct wg_args *args);

#endif
