/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub size over two numbers.
 */
#include "commands/size_grid.h"

#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "size/size_grid_job.h"

#include <stdlib.h>

struct grid_run {
    struct wg_size_grid_job job;
    struct wg_comparison_file *file;
    const char *path;
    char started[32];
};

/* ---- before ---- */

static int refuse_options_of_one(const struct wg_args *args) {
    static const char *const alone[] = {"between", "within", "largest", "confidence"};
    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        if (wg_args_has(args, alone[i]))
            return wg_message_usage(args->command,
                                    "--%s is for one number; give the values of two as --vary KEY=VALUE,VALUE,...",
                                    alone[i]);
    return wg_args_times(args, "vary") > WG_VARIED_MAX
               ? wg_message_usage(args->command, "at most %d numbers can be varied.", WG_VARIED_MAX)
               : 0;
}

static int read_grid_options(const struct wg_args *args, struct grid_run *run, int *threads) {
    uint64_t most = WG_PRECISION_MAX_REPLICATES, some = 0;
    int status = wg_args_forecast_key(args, "seed", &run->job.base.plan.seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &some);
    if (status == 0)
        status = wg_args_whole(args, "at-most", 1000, WG_MAX_REPLICATES, &most);
    run->job.most = (int64_t)most;
    *threads = (int)some;
    run->path = wg_args_option(args, "output");
    return status;
}

static int load_grid(const struct wg_args *args, struct grid_run *run, int *threads) {
    struct wg_size_grid_job *const job = &run->job;
    struct wg_error err = {0};
    int status = wg_load_scenario(&job->base, args->argument[0]);
    if (status == 0)
        status = wg_args_check_inputs(args, "output", wg_args_option(args, "output"), &job->base);
    if (status == 0)
        status = read_grid_options(args, run, threads);
    for (int k = 0; k < WG_VARIED_MAX; k++)
        job->key[k] = wg_args_each(args, "vary", k);
    const int code = status == 0 ? wg_size_grid_job_prepare(job, &err) : 0;
    return status == 0 ? wg_vary_report(args, &job->varied, job->number, job->at, code, &job->mistakes, &err) : status;
}

static int simulate_grid(const struct wg_args *args, struct grid_run *run, int threads, struct wg_error *err) {
    struct wg_progress progress;
    const struct wg_ensemble_options options = {
        .threads = threads, .stop = wg_stop_flag(), .progress = wg_progress_count, .progress_self = &progress};
    wg_provenance_now(run->started);
    wg_progress_begin(&progress, "simulating", wg_args_has(args, "quiet"));
    const int code = wg_size_grid_job_run(&run->job, &options, err);
    wg_progress_end(&progress);
    return code;
}

/* ---- the answer ---- */

static int store_grid(const struct wg_args *args, struct grid_run *run, struct wg_error *err) {
    static const struct wg_warnings none; /* of 25 setups they would only repeat each other */
    const struct wg_size_grid_job *const job = &run->job;
    char *const line = wg_args_line(args);
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = run->started,
                                             .replicates = job->compare.replicates,
                                             .seed = job->compare.seed};
    const struct wg_scenario *scenario[WG_COMPARE_MAX];
    const struct wg_warnings *warnings[WG_COMPARE_MAX];
    const struct wg_comparison_words words = {.varied = &job->varied};
    for (int i = 0; i < job->n; i++)
        scenario[i] = &job->scenario[i], warnings[i] = &none;
    int code = line != NULL ? 0 : wg_no_memory(err, NULL);
    if (code == 0) {
        struct wg_comparison_file *const file = run->file;
        run->file = NULL; /* freed by the call */
        code = wg_comparison_file_close(file, &job->compare, scenario, warnings, &words, &provenance, err);
    }
    free(line);
    return code;
}

static int exit_status_of_grid(const struct wg_size_grid *grid, int n) {
    int status = WG_STATUS_NO;
    for (int i = 0; i < n; i++) {
        if (grid->varied->odds.is_enough[i])
            return WG_STATUS_DONE;
        if (wg_size_grid_verdict(grid, i) != WG_NO)
            status = WG_STATUS_UNDECIDED;
    }
    return status;
}

/* Prints the answer even if its file fails: computing it takes long. */
static int print_grid(const struct wg_args *args, struct grid_run *run) {
    struct wg_error err = {0};
    const struct wg_size_grid grid = wg_size_grid_job_output(&run->job);
    if (!wg_args_has(args, "json"))
        wg_size_grid_print(&grid, stdout);
    else if (wg_size_grid_print_json(&grid, stdout, &err) < 0)
        return wg_message_error(&err);
    int status = exit_status_of_grid(&grid, run->job.n);
    const bool is_stored = run->file != NULL && store_grid(args, run, &err) == 0;
    if (run->path != NULL && !is_stored)
        status = wg_message_error(&err);
    status = wg_output_finish(status);
    if (is_stored && !wg_args_has(args, "quiet"))
        wg_message("the answer is in %s", run->path);
    return status;
}

static int run_grid(const struct wg_args *args, struct grid_run *run) {
    struct wg_error err = {0};
    int threads = 0, code = 0;
    int status = refuse_options_of_one(args);
    if (status == 0)
        status = load_grid(args, run, &threads);
    if (status != 0)
        return status;
    if (run->path != NULL)
        code = wg_comparison_file_create(&run->file, run->path, wg_args_has(args, "force"), &err);
    if (code < 0)
        return wg_message_error(&err);
    code = simulate_grid(args, run, threads, &err);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    return code < 0 ? wg_load_message_error(&run->job.scenario[run->job.compare.at], &err) : print_grid(args, run);
}

int wg_size_grid_run(const struct wg_args *args) {
    struct grid_run *const run = calloc(1, sizeof *run);
    if (run == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    const int status = run_grid(args, run);
    wg_comparison_file_abandon(run->file);
    wg_size_grid_job_free(&run->job);
    free(run);
    return status;
}
