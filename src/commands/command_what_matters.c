/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub run --what-matters: which uncertain numbers of the animal move a plan's answer, and what would narrow it.
 */
#include "commands/command_what_matters.h"

#include "answers/sensitivity_text.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "results/answer_file.h"

#include <stdlib.h>

/* ---- the file ---- */

static int store_sensitivity(struct wg_answer_file *file, const struct wg_args *args,
                             const struct wg_scenario *scenario, const struct wg_sensitivity *matters,
                             const char *started, struct wg_error *err) {
    char text[WG_SENTENCE_SIZE];
    char *const line = wg_args_line(args);
    if (line == NULL) {
        wg_answer_file_abandon(file);
        return wg_no_memory(err, NULL);
    }
    const struct wg_provenance provenance = {
        .command_line = line, .started = started, .replicates = matters->replicates, .seed = scenario->plan.seed};
    wg_sensitivity_describe(matters, text);
    const int code = wg_answer_file_close(file,
                                          &(struct wg_answer){.kind = WG_ANSWER_SENSITIVITY,
                                                              .scenario = scenario,
                                                              .provenance = &provenance,
                                                              .text = text,
                                                              .as.sensitivity = matters},
                                          err);
    free(line);
    return code;
}

/* ---- the run ---- */

static int run_sensitivity(const struct wg_args *args, const struct wg_scenario *scenario, int threads,
                           int64_t replicates, struct wg_sensitivity *matters, struct wg_error *err) {
    struct wg_progress progress;
    const bool quiet = wg_args_has(args, "quiet");
    wg_progress_begin(&progress, "simulating", quiet);
    const struct wg_sensitivity_options options = {.outcome = WG_SENSITIVITY_CHOOSE,
                                                   .replicates = replicates,
                                                   .threads = threads,
                                                   .stop = wg_stop_flag(),
                                                   .progress = wg_progress_count,
                                                   .progress_self = &progress};
    const int code = wg_sensitivity_run(&scenario->plan, &options, matters, err);
    wg_progress_end(&progress);
    return code;
}

int wg_sensitivity_command(const struct wg_args *args, const struct wg_scenario *scenario, int threads,
                           int64_t replicates) {
    struct wg_sensitivity *const matters = calloc(1, sizeof *matters);
    struct wg_answer_file *file = NULL;
    struct wg_error err = {0};
    const char *const path = wg_args_option(args, "output");
    char started[32];
    int code = 0;
    if (matters == NULL) {
        (void)wg_no_memory(&err, NULL);
        return wg_message_error(&err);
    }
    wg_provenance_now(started);
    if (path != NULL)
        code = wg_answer_file_create(&file, path, wg_args_has(args, "force"), &err);
    if (code == 0)
        code = run_sensitivity(args, scenario, threads, replicates, matters, &err);
    if (code == 0 && wg_args_has(args, "json"))
        code = wg_sensitivity_print_json(scenario, matters, stdout, &err);
    else if (code == 0)
        wg_sensitivity_print(scenario, matters, stdout);
    if (code == 0 && file != NULL) {
        code = store_sensitivity(file, args, scenario, matters, started, &err);
        file = NULL;
    }
    wg_answer_file_abandon(file);
    free(matters);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    const int status = wg_output_finish(code < 0 ? wg_load_message_error(scenario, &err) : WG_STATUS_DONE);
    if (code == 0 && path != NULL && !wg_args_has(args, "quiet"))
        wg_message("the answer is in %s", path);
    return status;
}
