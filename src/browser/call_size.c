/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "size": the value of one number that meets the goals.
 */
#include "browser/command_line.h"
#include "browser/page.h"
#include "data/answer_data.h"
#include "data/size_sentences.h"
#include "figures/figures.h"
#include "pages/pages.h"
#include "size/size_job.h"

#include <stdlib.h>

struct page_size {
    struct wg_size_job job;
    struct wg_bytes command;
};

static void add_option(struct wg_bytes *command, const char *option, const char *value) {
    wg_command_add(command, option);
    wg_command_add(command, value);
}

/* Reads what is asked, and writes the command that asks the same. */
static int read_size_request(struct wg_call *call, struct page_size *size) {
    struct wg_size_job *const job = &size->job;
    uint64_t most = WG_PRECISION_MAX_REPLICATES;
    wg_command_begin(&size->command, "size", job->scenario.path);
    job->path = wg_request_item_text(call->request, "vary", 0);
    job->low = wg_request_item_text(call->request, "between", 0);
    job->high = wg_request_item_text(call->request, "between", 1);
    job->within = wg_request_text(call->request, "within");
    job->question.largest = wg_request_has(call->request, "largest");
    job->question.confidence = WG_GOALS_CONFIDENCE;
    if (wg_request_whole(call->request, "at_most", &most) && (most < 1000 || most > WG_MAX_REPLICATES))
        return wg_fail(&call->err, WG_ERR_USAGE, NULL, "The most years must be from 1000 to %d.", WG_MAX_REPLICATES);
    job->question.most = (int64_t)most;
    if (job->path != NULL)
        add_option(&size->command, "--vary", job->path);
    if (job->low != NULL && job->high != NULL) {
        add_option(&size->command, "--between", job->low);
        wg_command_add(&size->command, job->high);
    }
    if (job->within != NULL)
        add_option(&size->command, "--within", job->within);
    if (job->question.largest)
        wg_command_add(&size->command, "--largest");
    if (wg_request_has(call->request, "at_most"))
        wg_command_add_count(&size->command, "--at-most", most);
    if (wg_request_whole(call->request, "seed", &job->scenario.plan.seed))
        wg_command_add_count(&size->command, "--seed", job->scenario.plan.seed);
    return wg_bytes_failed(&size->command, &call->err);
}

static int run_page_size(struct wg_call *call, struct wg_size_job *job) {
    struct wg_page_progress progress = {.engine = call->engine, .doing = "searching"};
    job->options = (struct wg_ensemble_options){
        .stop = &call->engine->stop, .progress = wg_page_progress, .progress_self = &progress};
    int code = wg_size_job_prepare(job, &call->err);
    if (code == 0)
        code = wg_size_job_search(job, &call->err);
    if (code < 0)
        wg_call_take_mistakes(call, &job->mistakes);
    return code;
}

static int print_size_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_size_output_print_json(self, to, err);
}

static int print_size_text(const void *self, FILE *to, struct wg_error *err) {
    (void)err;
    wg_size_output_print(self, to);
    return 0;
}

static int put_size_pictures(struct wg_call *call, const struct wg_size_job *job, struct wg_answer_data *data,
                             const struct wg_answer *answer) {
    struct wg_answer_size *const size = calloc(1, sizeof *size);
    struct wg_figures figures = {0};
    struct wg_bytes report = {0};
    const struct wg_page page = {.to = &report, .prefix = "", .is_body = true};
    int code = size == NULL ? wg_no_memory(&call->err, NULL) : 0;
    if (code == 0) {
        wg_answer_size_now(size, answer);
        code = wg_report_size(data, size, &job->scenario, &page, &call->err);
    }
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    if (code == 0)
        code = wg_figures_size(&figures, &data->in, size, &call->err);
    if (code == 0)
        code = wg_call_put_figures(call, &figures);
    wg_figures_free(&figures);
    wg_bytes_free(&report);
    free(size);
    return code;
}

static int put_size_report(struct wg_call *call, const struct page_size *size) {
    const struct wg_size_job *const job = &size->job;
    const char *const now = wg_request_text(call->request, "now");
    const struct wg_provenance provenance = {.command_line = size->command.data,
                                             .started = now != NULL ? now : "",
                                             .replicates = job->size.replicates,
                                             .seed = job->scenario.plan.seed};
    char text[WG_SIZE_TEXT];
    struct wg_answer_data data = {0};
    wg_size_text(&job->vary, &job->question, &job->size, text);
    const struct wg_answer answer = {.kind = WG_ANSWER_SIZE,
                                     .scenario = &job->scenario,
                                     .provenance = &provenance,
                                     .text = text,
                                     .why = job->why.data,
                                     .warnings = &job->warnings,
                                     .as.size = {&job->vary, &job->question, &job->size}};
    int code = wg_answer_data_now(&data, &answer, &call->err);
    if (code == 0)
        code = put_size_pictures(call, job, &data, &answer);
    wg_answer_data_free(&data);
    return code;
}

static int put_size(struct wg_call *call, const struct page_size *size) {
    const struct wg_size_output output = wg_size_job_output(&size->job);
    int code = wg_call_embed_printed(call, "answer", print_size_json, &output);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_size_text, &output);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &size->command);
    return code == 0 ? put_size_report(call, size) : code;
}

int wg_call_size(struct wg_call *call) {
    if (wg_request_count(call->request, "vary") > 1)
        return wg_call_size_grid(call);
    struct page_size *const size = calloc(1, sizeof *size);
    if (size == NULL)
        return wg_no_memory(&call->err, NULL);
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &size->job.scenario);
    if (code == 0)
        code = read_size_request(call, size);
    if (code == 0)
        code = run_page_size(call, &size->job);
    if (code == 0)
        code = put_size(call, size);
    code = wg_call_place_overgrown(call, &size->job.scenario, code);
    wg_size_job_free(&size->job);
    wg_bytes_free(&size->command);
    free(size);
    return code;
}
