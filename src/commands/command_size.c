/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub size: finds the smallest value of one number of a scenario that meets its goals.
 */
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "commands/size_grid.h"
#include "data/size_sentences.h"
#include "results/answer_file.h"
#include "size/size_job.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

struct size_run {
    struct wg_size_job job;
    uint64_t seed; /* from the command line; overrides the scenario's */
    bool seeded, quiet;
    struct wg_answer_file *file; /* NULL: no file */
    const char *path;
    char started[32];
    struct wg_progress progress; /* of the whole search */
    bool has_told_time;
};

/* Says how long the answer will take, once, if that is long. `self` is the job, with which a run begins. */
static void say_time(void *self, int64_t replicates) {
    struct size_run *const run = self;
    char more[128];
    const int64_t all = replicates + WG_SIZE_WARNING_REPLICATES;
    const double each_s = (wg_monotonic_s() - run->progress.began_s) / (double)run->job.replicates;
    run->progress.expected = all;
    (void)snprintf(more, sizeof more, " more (%" PRId64 " years in all; --within and --at-most change that)", all);
    if (!run->quiet && !run->has_told_time)
        run->has_told_time = wg_progress_announce("up to", each_s * (double)(all - run->job.replicates), more);
}

static int exit_status_of(const struct wg_size *size) {
    if (wg_size_has_value(size))
        return WG_STATUS_DONE;
    return size->outcome == WG_SIZE_IMPOSSIBLE ? WG_STATUS_NO : WG_STATUS_UNDECIDED;
}

static int read_size_options(const struct wg_args *args, struct size_run *run) {
    uint64_t threads = 0, most = WG_PRECISION_MAX_REPLICATES;
    struct wg_size_job *const job = &run->job;
    struct wg_size_question *const q = &job->question;
    q->confidence = WG_GOALS_CONFIDENCE;
    int status = wg_args_forecast_key(args, "seed", &run->seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    if (status == 0)
        status = wg_args_whole(args, "at-most", 1000, WG_MAX_REPLICATES, &most);
    if (status == 0)
        status = wg_args_share(args, "confidence", 0.5, 0.9999, &q->confidence);
    job->options = (struct wg_ensemble_options){.threads = (int)threads,
                                                .stop = wg_stop_flag(),
                                                .progress = wg_progress_count,
                                                .progress_self = &run->progress};
    job->path = wg_args_option(args, "vary");
    job->low = wg_args_option(args, "between");
    job->high = job->low != NULL ? wg_args_second(args, "between") : NULL;
    job->within = wg_args_option(args, "within");
    run->seeded = wg_args_has(args, "seed");
    run->quiet = wg_args_has(args, "quiet");
    run->path = wg_args_option(args, "output");
    q->most = (int64_t)most;
    q->largest = wg_args_has(args, "largest");
    return status;
}

/* Prints an error of the job: of the command line, of the scenario with a value, or of the simulation. */
static int report_size_error(const struct wg_args *args, struct size_run *run, int code, const struct wg_error *err) {
    struct wg_size_job *const job = &run->job;
    char shown[WG_VARY_SHOWN_SIZE];
    if (code == WG_ERR_USAGE)
        return wg_message_usage(args->command, "%s", err->text);
    if (job->mistakes.n == 0)
        return wg_load_message_error(&job->scenario, err);
    const int status = wg_load_report(code, &job->mistakes, err);
    wg_vary_show(&job->vary, job->wrong_value, shown);
    wg_message("this was with %s at %s; use --between to leave it out.", job->vary.path, shown);
    return status;
}

static int store_size_answer(const struct wg_args *args, struct size_run *run) {
    const struct wg_size_job *const job = &run->job;
    struct wg_error err = {0};
    char text[WG_SIZE_TEXT];
    char *const line = wg_args_line(args);
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = run->started,
                                             .replicates = job->size.replicates,
                                             .seed = job->scenario.plan.seed};
    wg_size_text(&job->vary, &job->question, &job->size, text);
    int code = line != NULL ? 0 : wg_no_memory(&err, NULL);
    if (code == 0) {
        code = wg_answer_file_close(run->file,
                                    &(struct wg_answer){.kind = WG_ANSWER_SIZE,
                                                        .scenario = &job->scenario,
                                                        .provenance = &provenance,
                                                        .text = text,
                                                        .why = job->why.data,
                                                        .warnings = &job->warnings,
                                                        .as.size = {&job->vary, &job->question, &job->size}},
                                    &err);
        run->file = NULL;
    }
    free(line);
    return code < 0 ? wg_message_error(&err) : 0;
}

static int print_size_answer(const struct wg_args *args, struct size_run *run) {
    const struct wg_size_output sizing = wg_size_job_output(&run->job);
    struct wg_error err = {0};
    if (!wg_args_has(args, "json"))
        wg_size_output_print(&sizing, stdout);
    else if (wg_size_output_print_json(&sizing, stdout, &err) < 0)
        return wg_message_error(&err);
    const int stored = run->file != NULL ? store_size_answer(args, run) : 0;
    const int status = wg_output_finish(stored != 0 ? stored : exit_status_of(&run->job.size));
    if (run->path != NULL && stored == 0 && !run->quiet)
        wg_message("the answer is in %s", run->path);
    return status;
}

static int search_size(const struct wg_args *args, struct size_run *run) {
    struct wg_error err = {0};
    wg_provenance_now(run->started);
    if (run->path != NULL && wg_answer_file_create(&run->file, run->path, wg_args_has(args, "force"), &err) < 0)
        return wg_message_error(&err);
    run->job.question.expect = say_time;
    wg_progress_begin(&run->progress, "searching", run->quiet);
    run->progress.is_open = true;
    run->progress.announces = false; /* say_time() does */
    const int code = wg_size_job_search(&run->job, &err);
    wg_progress_end(&run->progress);
    if (code == 0)
        return print_size_answer(args, run);
    if (code == WG_STOPPED) {
        wg_message("stopped.");
        return wg_stop_status();
    }
    return report_size_error(args, run, code, &err);
}

static int prepare_size(const struct wg_args *args, struct size_run *run) {
    struct wg_error err = {0};
    const int code = wg_size_job_prepare(&run->job, &err);
    return code < 0 ? report_size_error(args, run, code, &err) : 0;
}

static int run_size(const struct wg_args *args) {
    struct size_run run = {.path = NULL};
    if (wg_args_times(args, "vary") > 1)
        return wg_size_grid_run(args);
    int status = read_size_options(args, &run);
    if (status == 0)
        status = wg_load_scenario(&run.job.scenario, args->argument[0]);
    if (status == 0 && run.seeded)
        run.job.scenario.plan.seed = run.seed;
    if (status == 0)
        status = wg_args_check_inputs(args, "output", run.path, &run.job.scenario);
    if (status == 0)
        status = prepare_size(args, &run);
    if (status == 0)
        status = search_size(args, &run);
    wg_answer_file_abandon(run.file);
    wg_size_job_free(&run.job);
    return status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "also write the whole answer to a file (HDF5)", 1},
    {"vary", 0, "KEY", "path of a number (default: starter.1.count); two: grid", WG_ONE_EACH_TIME},
    {"between", 0, "LOW HIGH", "the range to search, in the number's own unit", 2},
    {"within", 0, "WIDTH", "how far the interval may reach (default: a tenth)", 1},
    {"largest", 0, NULL, "find the largest value, not the smallest", 0},
    {"confidence", 0, "SHARE", "of all statements together (default: 95%)", 1},
    {"at-most", 0, "N", "most replicates in total (default: 20000)", 1},
    {"seed", 0, "N", "random seed (overrides the scenario)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"quiet", 'q', NULL, "print neither progress nor the name of the file", 0},
    {"json", 0, NULL, "print the answer as JSON", 0},
    {.name = NULL},
};

const struct wg_command wg_command_size = {
    .name = "size",
    .arguments = "NAME.yaml",
    .summary = "find how much is enough for the goals",
    .help = "Finds the smallest value of one number in NAME.yaml that meets the goals with\n"
            "the chance they ask for, and the interval of that number. Any number can be\n"
            "varied; give its path, with items of a list by number or name. Two make a grid\n"
            "of chances, of values around those of the plan or of those listed:\n\n"
            "  wintergrub size hill.yaml --vary \"places.hoop house.heater.set_point\"\n"
            "  wintergrub size hill.yaml \\\n"
            "    --vary starter.1.count=500,2000 --vary starter.1.on\n\n"
            "Where more is worse (a later date, a dearer set point), --largest finds the\n"
            "largest value. The exit status is 1 if clearly no value in the range is enough,\n"
            "6 if none was found but there may be one. `figures` and `report` draw the file.",
    .least = 1,
    .most = 1,
    .reads_text = true,
    .options = options,
    .run = run_size,
};
