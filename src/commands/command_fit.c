/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub fit: updates the animal's numbers and the forecast from a keeper's log.
 */
#include "analysis/plan_warnings.h"
#include "answers/fit_text.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "forecast/thread_pool.h"
#include "pages/pages.h"
#include "results/answer_file.h"
#include "storage/atomic_file.h"
#include "text/text_file.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define KEPT 200 /* draws in the file */

/* ---- the files of draws and of the page ---- */

/* Evenly over the futures that agree; none without an answer. */
static void write_draws_csv(const struct wg_fit *fit, FILE *out) {
    (void)fputs("draw", out);
    for (int i = 0; i < WG_N_LEARNT; i++)
        (void)fprintf(out, ",%s", wg_learnt_name((enum wg_learnt)i));
    for (int o = 0; o < fit->n_outcomes; o++)
        (void)fprintf(out, ",%s", wg_diary_outcomes()[fit->outcome[o]].name);
    (void)fputc('\n', out);
    for (int64_t k = 0; k < KEPT && wg_fit_has_answer(fit); k++) {
        const int64_t draw = (2 * k + 1) * fit->after.n / (2 * KEPT), animal = fit->animal_of[draw];
        (void)fprintf(out, "%lld", (long long)draw);
        for (int i = 0; i < WG_N_LEARNT; i++)
            (void)fprintf(out, ",%.9g", fit->learnt[i * fit->agree + animal]);
        for (int o = 0; o < fit->n_outcomes; o++)
            (void)fprintf(out, ",%.9g", fit->after.outcome[fit->outcome[o] * fit->after.n + draw]);
        (void)fputc('\n', out);
    }
}

static int write_draws(struct wg_atomic_file *place, const struct wg_fit *fit, struct wg_error *err) {
    char *text = NULL;
    size_t size = 0;
    FILE *const out = open_memstream(&text, &size);
    if (out == NULL)
        return wg_no_memory(err, place->path);
    write_draws_csv(fit, out);
    int code = fclose(out) == 0 ? 0 : wg_no_memory(err, place->path);
    if (code == 0)
        code = wg_atomic_file_write(place, text, size, err);
    if (code == 0)
        code = wg_atomic_file_commit(place, err);
    free(text);
    return code;
}

/* ---- the run ---- */

enum fit_file { FILE_ANSWER, FILE_DRAWS, FILE_PAGE };

struct fit_job {
    struct wg_scenario scenario;
    struct wg_keeper_log log;
    struct wg_fit fit;
    struct wg_warnings warnings;
    struct wg_atomic_file place; /* of the draws or of the page */
    struct wg_answer_file *answer;
    const char *path; /* of the draws, of the page or of the answer; NULL: no file */
    enum fit_file kind;
    char started[32];
    int64_t draws;
    int threads;
};

static int load_log(struct fit_job *job, const char *path) {
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    wg_load_begin_stream(path, "log");
    const int code =
        wg_keeper_log_read(&job->log, wg_args_is_stream(path) ? NULL : path, &job->scenario.plan, &problems, &err);
    wg_load_end_stream(path);
    for (size_t i = 0; i < problems.n; i++) {
        char *const text = wg_mistake_text(&problems, i);
        if (text != NULL)
            (void)fputs(text, stderr);
        free(text);
    }
    wg_mistakes_free(&problems);
    if (code == 0 && job->log.notation[0] != '\0')
        wg_message("%s: read with %s.", wg_args_is_stream(path) ? WG_STANDARD_INPUT : path, job->log.notation);
    return code < 0 ? wg_message_error(&err) : 0;
}

/* Lives one animal's replicates and says how long all will take, if that is long. */
static int announce_time(const struct fit_job *job, const struct wg_fit_options *options, struct wg_error *err) {
    const struct wg_observer observer = {wg_ignore_replicate, NULL};
    struct wg_plan plan = job->scenario.plan;
    const double started = wg_monotonic_s();
    plan.animals = WG_ANIMALS_MIDDLE;
    const int code = wg_replicates_run(&plan, NULL, 0, options->per_draw, &observer, err);
    const int threads = job->threads > 0 ? job->threads : wg_processors();
    const double seconds = (wg_monotonic_s() - started) * (double)wg_fit_jobs(options) / threads;
    if (code == 0)
        (void)wg_progress_announce("up to", seconds, "");
    return code;
}

static int find_fit_warnings(struct fit_job *job, struct wg_error *err) {
    const struct wg_ensemble_options options = {
        .count = WG_FIT_WARNING_REPLICATES, .threads = job->threads, .stop = wg_stop_flag()};
    return wg_warnings_of_plan(&job->warnings, &job->scenario.plan, &options, err);
}

static int run_fit(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    struct wg_progress progress;
    const bool quiet = wg_args_has(args, "quiet");
    struct wg_fit_options options = {.draws = job->draws,
                                     .per_draw = WG_FIT_PER_DRAW,
                                     .passes = WG_FIT_PASSES,
                                     .threads = job->threads,
                                     .stop = wg_stop_flag(),
                                     .progress_self = &progress};
    int code = quiet ? 0 : announce_time(job, &options, err);
    if (code != 0)
        return code;
    wg_progress_begin(&progress, "simulating animals", quiet);
    progress.announces = false;
    options.progress = wg_progress_count;
    code = wg_fit_run(&job->fit, &job->scenario.plan, job->log.note, job->log.n, &options, err);
    if (code == 0)
        code = find_fit_warnings(job, err);
    wg_progress_end(&progress);
    return code;
}

static const char *log_name(const struct wg_args *args) {
    return wg_args_is_stream(args->argument[1]) ? WG_STANDARD_INPUT : args->argument[1];
}

static struct wg_fit_output fit_output_of(const struct wg_args *args, const struct fit_job *job) {
    return (struct wg_fit_output){
        &job->scenario, &job->log, &job->fit, log_name(args), job->kind == FILE_DRAWS ? job->path : NULL,
        &job->warnings};
}

static int print_fit(const struct wg_args *args, const struct fit_job *job, struct wg_error *err) {
    const struct wg_fit_output fitting = fit_output_of(args, job);
    if (wg_args_has(args, "json"))
        return wg_fit_output_print_json(&fitting, stdout, err);
    return wg_fit_output_print(&fitting, stdout, err);
}

static int write_page(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    const struct wg_fit_output fitting = fit_output_of(args, job);
    struct wg_bytes page = {0};
    const struct wg_page written = {.to = &page, .prefix = ""};
    char *const line = wg_args_line(args);
    int code = line == NULL ? wg_no_memory(err, NULL) : wg_report_fit(&fitting, line, &written, err);
    if (code == 0)
        code = wg_atomic_file_write(&job->place, page.data, page.size, err);
    if (code == 0)
        code = wg_atomic_file_commit(&job->place, err);
    wg_bytes_free(&page);
    free(line);
    return code;
}

/* ---- the file of the answer ---- */

static int write_answer(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    char text[256];
    char *const line = wg_args_line(args);
    if (line == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(text, sizeof text, "%d note%s compared with the plan: %lld of %lld animals agree%s.", job->log.n,
                   job->log.n == 1 ? "" : "s", (long long)job->fit.agree, (long long)job->fit.drawn,
                   wg_fit_has_answer(&job->fit) ? "" : ", too few: the log and the plan do not agree");
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = job->started,
                                             .replicates = job->fit.replicates,
                                             .seed = job->scenario.plan.seed};
    const int code = wg_answer_file_close(job->answer,
                                          &(struct wg_answer){.kind = WG_ANSWER_FIT,
                                                              .scenario = &job->scenario,
                                                              .provenance = &provenance,
                                                              .text = text,
                                                              .warnings = &job->warnings,
                                                              .as.fit = {&job->fit, &job->log, log_name(args)}},
                                          err);
    job->answer = NULL;
    free(line);
    return code;
}

static int open_fit_file(struct fit_job *job, bool force, struct wg_error *err) {
    if (job->path == NULL)
        return 0;
    return job->kind == FILE_ANSWER ? wg_answer_file_create(&job->answer, job->path, force, err)
                                    : wg_atomic_file_open(&job->place, job->path, force, err);
}

static int write_fit_file(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    if (job->path == NULL)
        return 0;
    if (job->kind == FILE_ANSWER)
        return write_answer(args, job, err);
    return job->kind == FILE_DRAWS ? write_draws(&job->place, &job->fit, err) : write_page(args, job, err);
}

/* Prints the answer even if its file fails: computing it takes long. */
static int report_fit(const struct wg_args *args, struct fit_job *job) {
    static const char *const what[] = {
        [FILE_ANSWER] = "answer is", [FILE_DRAWS] = "draws are", [FILE_PAGE] = "page is"};
    struct wg_error err = {0}, other = {0};
    int status = WG_STATUS_DONE;
    if (write_fit_file(args, job, &err) < 0) {
        status = wg_message_error(&err);
        job->path = NULL;
    }
    if (print_fit(args, job, &other) < 0)
        return wg_message_error(&other);
    status = wg_output_finish(status);
    if (job->path != NULL && !wg_args_has(args, "quiet"))
        wg_message("the %s in %s", what[job->kind], job->path);
    return status;
}

static int fit_to_log(const struct wg_args *args, struct fit_job *job) {
    struct wg_error err = {0};
    wg_provenance_now(job->started);
    int code = open_fit_file(job, wg_args_has(args, "force"), &err);
    if (code == 0)
        code = run_fit(args, job, &err);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    return code < 0 ? wg_load_message_error(&job->scenario, &err) : report_fit(args, job);
}

static bool ends_in(const char *path, const char *ending) {
    const size_t length = path != NULL ? strlen(path) : 0, n = strlen(ending);
    return length >= n && strcmp(path + length - n, ending) == 0;
}

static int read_fit_options(const struct wg_args *args, struct fit_job *job) {
    uint64_t draws = WG_FIT_DRAWS, threads = 0;
    int status = wg_args_whole(args, "draws", 100, 100000, &draws);
    if (status == 0)
        status = wg_args_forecast_key(args, "seed", &job->scenario.plan.seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    job->draws = (int64_t)draws;
    job->threads = (int)threads;
    job->path = wg_args_option(args, "output");
    job->kind = ends_in(job->path, ".csv") ? FILE_DRAWS : ends_in(job->path, ".html") ? FILE_PAGE : FILE_ANSWER;
    return status;
}

static int run_fit_command(const struct wg_args *args) {
    struct fit_job job = {.path = NULL};
    int status = read_fit_options(args, &job); /* report a mistyped option before reading files */
    if (status == 0)
        status = wg_load_scenario(&job.scenario, args->argument[0]);
    if (status == 0)
        status = wg_args_check_inputs(args, "output", job.path, &job.scenario);
    if (status == 0)
        status = load_log(&job, args->argument[1]);
    if (status == 0)
        status = read_fit_options(args, &job);
    if (status == 0)
        status = fit_to_log(args, &job);
    wg_atomic_file_free(&job.place);
    wg_answer_file_abandon(job.answer);
    wg_fit_free(&job.fit);
    wg_keeper_log_free(&job.log);
    wg_scenario_free(&job.scenario);
    return status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "write the answer (HDF5); .html: a page, .csv: draws", 1},
    {"draws", 0, "N", "number of animals (default: 256)", 1},
    {"seed", 0, "N", "random seed (overrides the scenario)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"quiet", 'q', NULL, "print neither progress nor the name of the file", 0},
    {"json", 0, NULL, "print all numbers as JSON", 0},
    {.name = NULL},
};

const struct wg_command wg_command_fit = {
    .name = "fit",
    .arguments = "NAME.yaml LOG.csv",
    .summary = "learn from a keeper's log",
    .help = "Compares a keeper's dated notes with many simulated years of NAME.yaml, each\n"
            "with a plausible animal, and adjusts the animals until their notes agree. Shows\n"
            "what that says about this colony's animal, what is in each bin on the day of\n"
            "the last note, what to feed, the next four weeks and the season. The log:\n\n"
            "  date,what,value,where,days\n"
            "  2026-10-03,crawl-off,1.2 lb,,7 days\n"
            "  2026-10-03,bin temperature,81 degF,trough\n"
            "  2026-10-04,adults,yes\n"
            "  2026-10-06,eggs trapped,12000,,3 days\n"
            "  2026-12-20,jar in the cold,37 of 100,2 degC,28 days\n\n"
            "Weights and eggs are totals over the number of days in the last column. Without\n"
            "days they are totals since the previous note of that kind, and the first such\n"
            "note only starts the count. \"taken\" is what was taken out, \"crawl-off\" all\n"
            "larvae that left the bins; both are totals of all bins. A jar in the cold: how\n"
            "many of the prepupae put into damp bran in a refrigerator are alive after so\n"
            "many days.",
    .least = 2,
    .most = 2,
    .reads_text = true,
    .options = options,
    .run = run_fit_command,
};
