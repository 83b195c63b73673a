/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "size" over two numbers: a grid of chances that the goals are met.
 */
#include "browser/command_line.h"
#include "browser/page.h"
#include "data/comparison_data.h"
#include "size/size_grid_job.h"

#include <stdlib.h>

struct page_grid {
    struct wg_size_grid_job job;
    struct wg_bytes command; /* that asks the same */
};

static int refuse_requests_of_one(struct wg_call *call) {
    static const char *const alone[] = {"between", "within", "largest"};
    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        if (wg_request_has(call->request, alone[i]))
            return wg_fail(&call->err, WG_ERR_USAGE, alone[i],
                           "This is for one number; give the values of two as KEY=VALUE,VALUE,...");
    return wg_request_count(call->request, "vary") > WG_VARIED_MAX
               ? wg_fail(&call->err, WG_ERR_USAGE, "vary", "At most %d numbers can be varied.", WG_VARIED_MAX)
               : 0;
}

static int read_grid_request(struct wg_call *call, struct page_grid *grid) {
    struct wg_size_grid_job *const job = &grid->job;
    uint64_t most = WG_PRECISION_MAX_REPLICATES;
    wg_command_begin(&grid->command, "size", job->base.path);
    for (int k = 0; k < WG_VARIED_MAX; k++) {
        const char *const key = wg_request_item_text(call->request, "vary", k);
        job->key[k] = key != NULL ? key : "";
        wg_command_add(&grid->command, "--vary");
        wg_command_add(&grid->command, job->key[k]);
    }
    if (wg_request_whole(call->request, "at_most", &most))
        wg_command_add_count(&grid->command, "--at-most", most);
    if (most < 1000 || most > WG_MAX_REPLICATES)
        return wg_fail(&call->err, WG_ERR_USAGE, NULL, "The most years must be from 1000 to %d.", WG_MAX_REPLICATES);
    job->most = (int64_t)most;
    if (wg_request_whole(call->request, "seed", &job->base.plan.seed))
        wg_command_add_count(&grid->command, "--seed", job->base.plan.seed);
    return wg_bytes_failed(&grid->command, &call->err);
}

static int run_page_grid(struct wg_call *call, struct wg_size_grid_job *job) {
    struct wg_page_progress progress = {.engine = call->engine, .doing = "simulating"};
    const struct wg_ensemble_options options = {
        .stop = &call->engine->stop, .progress = wg_page_progress, .progress_self = &progress};
    int code = wg_size_grid_job_prepare(job, &call->err);
    if (code < 0) {
        wg_call_take_mistakes(call, &job->mistakes);
        return code;
    }
    code = wg_size_grid_job_run(job, &options, &call->err);
    return wg_call_place_overgrown(call, &job->scenario[job->compare.at], code);
}

/* ---- the answer ---- */

static int print_grid_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_size_grid_print_json(self, to, err);
}

static int print_grid_text(const void *self, FILE *to, struct wg_error *err) {
    (void)err;
    wg_size_grid_print(self, to);
    return 0;
}

static int put_grid_report(struct wg_call *call, const struct page_grid *grid) {
    static const struct wg_warnings none; /* of many setups they would only repeat each other */
    const struct wg_size_grid_job *const job = &grid->job;
    const char *const now = wg_request_text(call->request, "now");
    const struct wg_provenance provenance = {.command_line = grid->command.data,
                                             .started = now != NULL ? now : "",
                                             .replicates = job->compare.replicates,
                                             .seed = job->compare.seed};
    const struct wg_comparison_words words = {.varied = &job->varied};
    const struct wg_scenario *scenario[WG_COMPARE_MAX];
    const struct wg_warnings *warnings[WG_COMPARE_MAX];
    struct wg_comparison_data data = {0};
    for (int i = 0; i < job->n; i++) {
        scenario[i] = &job->scenario[i];
        warnings[i] = &none;
    }
    int code = wg_comparison_data_now(&data, &job->compare, scenario, warnings, &words, &provenance, &call->err);
    if (code == 0)
        code = wg_call_put_comparison(call, &data);
    wg_comparison_data_free(&data);
    return code;
}

static int put_grid(struct wg_call *call, const struct page_grid *grid) {
    const struct wg_size_grid output = wg_size_grid_job_output(&grid->job);
    int code = wg_call_embed_printed(call, "answer", print_grid_json, &output);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_grid_text, &output);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &grid->command);
    return code == 0 ? put_grid_report(call, grid) : code;
}

int wg_call_size_grid(struct wg_call *call) {
    struct page_grid *const grid = calloc(1, sizeof *grid);
    if (grid == NULL)
        return wg_no_memory(&call->err, NULL);
    int code = refuse_requests_of_one(call);
    if (code == 0)
        code = wg_call_plan(call, wg_request_part(call->request, "plan"), &grid->job.base);
    if (code == 0)
        code = read_grid_request(call, grid);
    if (code == 0)
        code = run_page_grid(call, &grid->job);
    if (code == 0)
        code = put_grid(call, grid);
    wg_size_grid_job_free(&grid->job);
    wg_bytes_free(&grid->command);
    free(grid);
    return code;
}
