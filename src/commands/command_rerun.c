/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub rerun: simulates a result again from its own record and compares the two.
 */
#include "base/utf8.h"
#include "cli/args.h"
#include "cli/in_child.h"
#include "cli/internal_fault.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "report/forecast_facts.h"
#include "results/result_file.h"
#include "results/stored_parts.h"
#include "storage/provenance.h"
#include "text/show.h"
#include <wintergrub/version.h>

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define FOLDER_PATTERN "wintergrub-XXXXXX"

/* A temporary folder for the second result, away from the user's files, and the result's path in it. */
struct temporary_result {
    char *folder, *path;
    struct wg_cleanup_paths paths; /* the same, to be removed after an internal fault */
};

static int open_temporary_result(struct temporary_result *temporary, struct wg_error *err) {
    const char *base = getenv("TMPDIR");
    if (base == NULL || *base == '\0')
        base = "/tmp";
    const size_t size = strlen(base) + sizeof "/" FOLDER_PATTERN "/again.h5";
    temporary->folder = malloc(size);
    temporary->path = malloc(size);
    if (temporary->folder == NULL || temporary->path == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(temporary->folder, size, "%s/%s", base, FOLDER_PATTERN);
    if (mkdtemp(temporary->folder) == NULL) {
        const int reason = errno;
        free(temporary->folder);
        temporary->folder = NULL;
        return wg_fail(err, WG_ERR_FILE, base, "No folder can be made here for the second result: %s.",
                       strerror(reason));
    }
    (void)snprintf(temporary->path, size, "%s/again.h5", temporary->folder);
    temporary->paths = (struct wg_cleanup_paths){.file = temporary->path, .folder = temporary->folder};
    wg_fault_set_cleanup(&temporary->paths);
    return 0;
}

static void close_temporary_result(struct temporary_result *temporary) {
    wg_fault_set_cleanup(NULL);
    if (temporary->folder != NULL) {
        (void)unlink(temporary->path);
        (void)rmdir(temporary->folder);
    }
    free(temporary->folder);
    free(temporary->path);
}

/* ---- the answer ---- */

static void print_line(const char *before, const char *text) {
    char line[2 * WG_SENTENCE_SIZE];
    (void)snprintf(line, sizeof line, "%s%s", before, text);
    wg_utf8_clean(line);
    wg_show_lines(stdout, 2, line);
}

static void print_numbers(const struct wg_stored_numbers *numbers) {
    if (numbers->n_changed > 0)
        print_line("simulated with its own numbers of the animal, not today's: ", numbers->changed);
    if (numbers->n_animals > 0)
        print_line("", "simulated with its own plausible animals, not today's");
    if (numbers->n_gone > 0)
        print_line("no longer a number of the animal: ", numbers->gone);
    if (numbers->n_new > 0)
        print_line("new since then, set to today's value: ", numbers->new);
}

/* Warns if another program made the result. Returns 0, or the exit status after printing the reason. */
static int report_programs(const struct wg_result_data *data) {
    char *const now = wg_version_line(WG_VERSION, WG_GIT_DESCRIPTION);
    if (now == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    const bool same_line = strcmp(data->in.source, now) == 0;
    if (!same_line || strcmp(data->digest, wg_program_digest()) != 0)
        wg_message("warning: %s was made by %s, this is %s%s; numbers may differ for that reason.", data->in.path,
                   data->in.source, now, same_line ? " built from other sources" : "");
    free(now);
    return 0;
}

/* Opens the second result and compares it with the open first one. Returns what wg_result_compare() returns. */
static int compare_with_first(const struct wg_result_data *data, const char *again, char *what, size_t size,
                              struct wg_error *err) {
    struct wg_stored_file second;
    int code = wg_stored_open(&second, again, err);
    if (code == 0)
        code = wg_stored_expect(&second, WG_STORED_RESULT, err);
    if (code == 0)
        code = wg_result_compare(wg_result_data_file(data), &second, what, size, err);
    wg_stored_free(&second);
    return code;
}

/* Compares and prints. Returns the exit status for the answer. */
static int compare_rerun(const struct wg_result_data *data, const char *again,
                         const struct wg_stored_numbers *numbers) {
    struct wg_error err = {0};
    char what[256] = "", text[1024];
    const int code = compare_with_first(data, again, what, sizeof what, &err);
    if (code < 0)
        return wg_message_error(&err);
    const long long n = (long long)data->in.replicates;
    if (code == WG_RESULT_SAME)
        (void)snprintf(text, sizeof text, "the same: all %lld replicates of %.600s were reproduced bit for bit", n,
                       data->in.path);
    else if (code == WG_RESULT_SAME_NUMBERS)
        (void)snprintf(text, sizeof text,
                       "the same numbers: all %lld replicates of %.600s were reproduced bit for bit; descriptions "
                       "differ (first: %s)",
                       n, data->in.path, what);
    else
        (void)snprintf(text, sizeof text, "different: %s", what);
    wg_utf8_clean(text);
    (void)puts(text);
    print_numbers(numbers);
    return code == WG_RESULT_DIFFERENT ? WG_STATUS_NO : WG_STATUS_DONE;
}

/* ---- the run ---- */

#define STOPPED "stopped; nothing was compared."

static int simulate_again(const struct wg_result_data *data, const struct wg_scenario *scenario,
                          struct wg_simulation *simulation, const struct wg_stored_numbers *numbers) {
    struct wg_error err = {0};
    struct temporary_result temporary = {0};
    int status;
    int code = open_temporary_result(&temporary, &err);
    simulation->path = temporary.path;
    if (code == 0)
        code = wg_simulate(scenario, simulation, NULL, 0, &err);
    if (code == WG_STOPPED) {
        wg_message(STOPPED);
        status = wg_stop_status();
    } else if (code < 0) {
        status = wg_load_message_error(scenario, &err);
    } else {
        const struct wg_exit_cleanup cleanup = {"wintergrub: " STOPPED "\n", temporary.path, temporary.folder};
        wg_stop_immediately(&cleanup);
        status = compare_rerun(data, temporary.path, numbers);
        wg_stop_immediately(NULL);
    }
    close_temporary_result(&temporary);
    return status;
}

static int rerun_result(const struct wg_args *args, const struct wg_result_data *data) {
    const struct wg_run_inputs *const inputs = &data->inputs;
    struct wg_simulation simulation = {.quiet = wg_args_has(args, "quiet")};
    struct wg_scenario scenario = {0};
    struct wg_error err = {0};
    struct wg_stored_numbers numbers = {0};
    uint64_t threads = 0;
    int status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    simulation.threads = (int)threads;
    if (status == 0)
        status = wg_load_scenario_text(&scenario, inputs->scenario_path, inputs->scenario_text, inputs->scenario_size,
                                       inputs->record_text, inputs->record_size);
    if (status == 0 && wg_stored_numbers_apply(data, &scenario.plan, &numbers, &err) < 0)
        status = wg_message_error(&err);
    if (status == 0) {
        scenario.plan.replicates = data->in.replicates;
        scenario.plan.seed = data->in.seed;
        status = report_programs(data);
    }
    if (status == 0)
        status = simulate_again(data, &scenario, &simulation, &numbers);
    wg_scenario_free(&scenario);
    return status;
}

static int run_rerun(const struct wg_args *args) {
    static const struct wg_exit_cleanup cleanup = {.line = "wintergrub: " STOPPED "\n"};
    struct wg_result_data data = {0};
    struct wg_error err = {0};
    wg_stop_immediately(&cleanup);
    int code = wg_read_in_child(args->argument[0], &err);
    if (code == 0)
        code = wg_result_data_open(&data, args->argument[0], &err);
    wg_stop_immediately(NULL);
    const int status = code < 0 ? wg_message_error(&err) : rerun_result(args, &data);
    wg_result_data_free(&data);
    return status;
}

static const struct wg_option options[] = {
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"quiet", 'q', NULL, "print no progress", 0},
    {.name = NULL},
};

const struct wg_command wg_command_rerun = {
    .name = "rerun",
    .arguments = "NAME.h5",
    .summary = "repeat a result and compare",
    .help = "A result holds its scenario, weather, seed and the numbers of its animals. This\n"
            "command simulates them again and compares every number, but not the\n"
            "descriptions. It names the animal's numbers whose default has changed since,\n"
            "and does not change the file.\n"
            "Exit status 0: the same numbers, bit for bit; 1: different.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_rerun,
};
