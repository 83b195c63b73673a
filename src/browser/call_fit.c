/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "fit": what a keeper's log tells.
 */
#include "analysis/plan_warnings.h"
#include "answers/fit_text.h"
#include "browser/command_line.h"
#include "browser/page.h"
#include "pages/pages.h"

#include <stdlib.h>
#include <string.h>

struct page_fit {
    struct wg_scenario scenario;
    struct wg_keeper_log log;
    struct wg_fit fit;
    struct wg_warnings warnings;
    struct wg_fit_output output;
    struct wg_bytes command;
};

static int read_fit_log(struct wg_call *call, struct page_fit *job) {
    const char *const text = wg_request_text(call->request, "log"), *const name =
                                                                        wg_request_text(call->request, "log_name");
    if (text == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "The log is missing.");
    job->output.log_path = name != NULL && name[0] != '\0' ? name : "log.csv";
    wg_mistakes_free(&call->mistakes);
    return wg_keeper_log_read_text(&job->log, job->output.log_path, text, &job->scenario.plan, &call->mistakes,
                                   &call->err);
}

static int run_page_fit(struct wg_call *call, struct page_fit *job) {
    struct wg_page_progress progress = {.engine = call->engine, .doing = "simulating animals"};
    uint64_t draws = WG_FIT_DRAWS;
    (void)wg_request_whole(call->request, "draws", &draws);
    if (draws < 100 || draws > 100000)
        return wg_fail(&call->err, WG_ERR_USAGE, "draws", "The number of animals must be from 100 to 100000.");
    const struct wg_fit_options options = {.draws = (int64_t)draws,
                                           .per_draw = WG_FIT_PER_DRAW,
                                           .passes = WG_FIT_PASSES,
                                           .stop = &call->engine->stop,
                                           .progress = wg_page_progress,
                                           .progress_self = &progress};
    wg_command_begin(&job->command, "fit", job->scenario.path);
    wg_command_add(&job->command, job->output.log_path);
    if (draws != WG_FIT_DRAWS)
        wg_command_add_count(&job->command, "--draws", draws);
    const struct wg_ensemble_options watched = {.count = WG_FIT_WARNING_REPLICATES, .stop = &call->engine->stop};
    int code = wg_bytes_failed(&job->command, &call->err);
    if (code == 0)
        code = wg_fit_run(&job->fit, &job->scenario.plan, job->log.note, job->log.n, &options, &call->err);
    return code == 0 ? wg_warnings_of_plan(&job->warnings, &job->scenario.plan, &watched, &call->err) : code;
}

static int print_fit_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_fit_output_print_json(self, to, err);
}

static int print_fit_text(const void *self, FILE *to, struct wg_error *err) {
    return wg_fit_output_print(self, to, err);
}

static int put_fit_report(struct wg_call *call, const struct page_fit *job) {
    struct wg_bytes report = {0};
    const struct wg_page page = {.to = &report, .prefix = "", .is_body = true};
    int code = wg_report_fit(&job->output, job->command.data, &page, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    wg_bytes_free(&report);
    return code;
}

static int put_fit(struct wg_call *call, struct page_fit *job) {
    job->output.scenario = &job->scenario;
    job->output.log = &job->log;
    job->output.warnings = &job->warnings;
    job->output.fit = &job->fit;
    int code = wg_call_embed_printed(call, "answer", print_fit_json, &job->output);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_fit_text, &job->output);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &job->command);
    return code == 0 ? put_fit_report(call, job) : code;
}

int wg_call_fit(struct wg_call *call) {
    struct page_fit *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_no_memory(&call->err, NULL);
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &job->scenario);
    (void)wg_request_whole(call->request, "seed", &job->scenario.plan.seed);
    if (code == 0)
        code = read_fit_log(call, job);
    if (code == 0)
        code = run_page_fit(call, job);
    if (code == 0)
        code = put_fit(call, job);
    wg_fit_free(&job->fit);
    wg_keeper_log_free(&job->log);
    wg_bytes_free(&job->command);
    wg_scenario_free(&job->scenario);
    free(job);
    return code;
}
