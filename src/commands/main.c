/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs the command named on the command line and returns its exit status. Results go to standard output, everything
 * else to standard error.
 */
#include "cli/args.h"
#include "cli/cite.h"
#include "cli/distribute.h"
#include "cli/internal_fault.h"
#include "cli/message.h"
#include "cli/stop.h"
#include "storage/provenance.h"
#include "text/nearest_word.h"
#include <wintergrub/version.h>

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

#define MAX_COMMANDS 32
#define OUTPUT_BUFFER 262144 /* holds a whole forecast: one write, so one reason for its failure */

static int unknown_command(const char *name) {
    const char *names[MAX_COMMANDS] = {"help", "--help", "--version", "--cite"};
    int n = 4;
    for (const struct wg_command *const *row = wg_commands(); *row != NULL && n < MAX_COMMANDS - 1; row++)
        names[n++] = (*row)->name;
    const char *const nearest = wg_word_nearest(name, names);
    if (nearest != NULL)
        return wg_message_usage(NULL, "there is no command \"%s\"; did you mean %s?", name, nearest);
    return wg_message_usage(NULL, "there is no command \"%s\".", name);
}

/* `help --man` and `help TOPIC --man`. */
static bool is_manual(int argc, char **argv) {
    return (argc == 3 || argc == 4) && strcmp(argv[argc - 1], "--man") == 0;
}

static int help(int argc, char **argv) {
    if (argc < 3 || strcmp(argv[2], "help") == 0) {
        wg_commands_help(stdout);
        return WG_STATUS_DONE;
    }
    if (is_manual(argc, argv))
        return wg_manual_print(stdout, argc == 4 ? argv[2] : NULL) ? WG_STATUS_DONE : unknown_command(argv[2]);
    const struct wg_command *const command = wg_command_find(argv[2]);
    int status;
    if (wg_help_topic(argv[2], argc - 3, argv + 3, &status))
        return status;
    if (command == NULL)
        return unknown_command(argv[2]);
    wg_command_help(stdout, command);
    return WG_STATUS_DONE;
}

static int version(void) {
    char *const line = wg_version_line(WG_VERSION, WG_GIT_DESCRIPTION);
    if (line == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    (void)puts(line);
    free(line);
    (void)puts("Copyright 2026 the wintergrub authors.");
    (void)puts("Free software under the GNU General Public License, version 3 or later; no warranty.");
    return WG_STATUS_DONE;
}

static int run_command(const struct wg_command *command, int argc, char **argv) {
    for (int i = 2; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            wg_command_help(stdout, command);
            return WG_STATUS_DONE;
        }
    struct wg_args args;
    int status = wg_args_read(&args, command, argc, argv, 2);
    if (status == 0)
        status = command->run(&args);
    free(args.argument);
    return status;
}

static int dispatch_command(int argc, char **argv) {
    if (argc < 2) {
        wg_commands_help(stderr);
        return WG_STATUS_USAGE;
    }
    const char *const name = argv[1];
    if (strcmp(name, "help") == 0 || strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
        return help(argc, argv);
    if (strcmp(name, "--version") == 0 || strcmp(name, "-V") == 0)
        return version();
    if (strcmp(name, "--cite") == 0)
        return wg_cite_print(stdout);
    const struct wg_command *const command = wg_command_find(name);
    return command != NULL ? run_command(command, argc, argv) : unknown_command(name);
}

/*
 * Under mpirun only process 0 runs the command. The launcher gives it a terminal even if its own output goes to a file,
 * so colour is switched off.
 */
static int run_as_mpi_rank(int argc, char **argv) {
    if (wg_ranks_count() > 1)
        (void)setenv("NO_COLOR", "1", 1);
    if (wg_ranks_rank() == 0)
        return wg_output_finish(dispatch_command(argc, argv));
    wg_distributor_serve();
    return WG_STATUS_DONE;
}

int main(int argc, char **argv) {
    struct wg_error err = {0};
    wg_fault_install();
    if (wg_ranks_begin(&argc, &argv, &err) < 0)
        return wg_message_error(&err);
    (void)gsl_set_error_handler_off();
    wg_stop_install();
    (void)setvbuf(stdout, NULL, _IOFBF, OUTPUT_BUFFER);
    const int status = run_as_mpi_rank(argc, argv);
    wg_ranks_end();
    return status;
}
