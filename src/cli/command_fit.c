/*
 * wintergrub fit: updates the animal's numbers and the forecast from a keeper's log.
 */
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "report/fit_text.h"
#include "report/goals_report.h"
#include "results/answer_file.h"
#include "storage/atomic_file.h"

#include <stdlib.h>
#include <string.h>

#define PER_DRAW 16 /* with fewer, chance decides which draws agree with a long log */
#define MAX_ROUNDS 8
#define KEPT 200 /* draws in the file */

/* ---- the file of draws ---- */

static void write_draws_csv(const struct wg_fit *fit, FILE *out) {
    int64_t draws[KEPT];
    wg_fit_resample(fit, 0.5, KEPT, draws);
    (void)fputs("draw", out);
    for (int i = 0; i < WG_N_FIT_PARAMETERS; i++)
        (void)fprintf(out, ",factor of %s", wg_fit_parameter_name((enum wg_fit_parameter)i));
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        (void)fprintf(out, ",%s", o->name);
    (void)fputc('\n', out);
    for (int k = 0; k < KEPT; k++) {
        (void)fprintf(out, "%lld", (long long)draws[k]);
        for (int i = 0; i < WG_N_FIT_PARAMETERS; i++)
            (void)fprintf(out, ",%.9g", wg_fit_factor(fit, draws[k], (enum wg_fit_parameter)i));
        for (int o = 0; o < fit->n_outcomes; o++)
            (void)fprintf(out, ",%.9g", fit->outcome[o * fit->n + draws[k]]);
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

struct fit_job {
    struct wg_scenario scenario;
    struct wg_keeper_log log;
    struct wg_fit fit;
    struct wg_atomic_file place; /* of the draws */
    struct wg_answer_file *answer;
    const char *path; /* of the draws or of the answer; NULL: no file */
    bool is_csv;      /* true: the file holds draws */
    char started[32];
    int64_t draws;
    int threads;
};

static int load_log(struct fit_job *job, const char *path) {
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    const int code = wg_keeper_log_read(&job->log, path, &job->scenario.plan, &problems, &err);
    for (size_t i = 0; i < problems.n; i++) {
        char *const text = wg_mistake_text(&problems, i);
        if (text != NULL)
            (void)fputs(text, stderr);
        free(text);
    }
    wg_mistakes_free(&problems);
    return code < 0 ? wg_message_error(&err) : 0;
}

static int run_fit(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    struct wg_progress progress;
    const struct wg_fit_options options = {.draws = job->draws,
                                           .per_draw = PER_DRAW,
                                           .most_rounds = MAX_ROUNDS,
                                           .threads = job->threads,
                                           .stop = wg_stop_flag(),
                                           .progress = wg_progress_begin(&progress, wg_args_has(args, "quiet")),
                                           .progress_self = &progress};
    const int code = wg_fit_run(&job->fit, &job->scenario.plan, job->log.note, job->log.n, &options, err);
    wg_progress_end(&progress);
    return code;
}

static int print_fit(const struct wg_args *args, const struct fit_job *job, struct wg_error *err) {
    const struct wg_fit_output fitting = {&job->scenario, &job->log, &job->fit, args->argument[1],
                                          job->is_csv ? job->path : NULL};
    if (wg_args_has(args, "json"))
        return wg_fit_output_print_json(&fitting, stdout, err);
    return wg_fit_output_print(&fitting, stdout, err);
}

/* ---- the file of the answer ---- */

static int write_answer(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    char text[256];
    char *const line = wg_args_line(args);
    if (line == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(text, sizeof text, "%d note%s compared with the plan: %.0f effective draws of %lld%s.", job->log.n,
                   job->log.n == 1 ? "" : "s", job->fit.effective, (long long)job->fit.n,
                   job->fit.effective < WG_FIT_DEGENERATE ? ", too few: take the answer as a hint only" : "");
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = job->started,
                                             .replicates = job->fit.replicates,
                                             .seed = job->scenario.plan.seed};
    const int code = wg_answer_file_close(job->answer,
                                          &(struct wg_answer){.kind = WG_ANSWER_FIT,
                                                              .scenario = &job->scenario,
                                                              .provenance = &provenance,
                                                              .text = text,
                                                              .as.fit = {&job->fit, &job->log, args->argument[1]}},
                                          err);
    job->answer = NULL;
    free(line);
    return code;
}

static int open_fit_file(struct fit_job *job, bool force, struct wg_error *err) {
    if (job->path == NULL)
        return 0;
    return job->is_csv ? wg_atomic_file_open(&job->place, job->path, force, err)
                       : wg_answer_file_create(&job->answer, job->path, force, err);
}

static int write_fit_file(const struct wg_args *args, struct fit_job *job, struct wg_error *err) {
    if (job->path == NULL)
        return 0;
    return job->is_csv ? write_draws(&job->place, &job->fit, err) : write_answer(args, job, err);
}

/* Prints the answer even if its file fails: computing it takes long. */
static int report_fit(const struct wg_args *args, struct fit_job *job) {
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
        wg_message("the %s in %s", job->is_csv ? "draws are" : "answer is", job->path);
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

static int read_fit_options(const struct wg_args *args, struct fit_job *job) {
    uint64_t draws = 500, threads = 0;
    int status = wg_args_whole(args, "draws", 100, 1000000, &draws);
    if (status == 0)
        status = wg_args_forecast_key(args, "seed", &job->scenario.plan.seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    job->draws = (int64_t)draws;
    job->threads = (int)threads;
    job->path = wg_args_option(args, "output");
    const size_t length = job->path != NULL ? strlen(job->path) : 0;
    job->is_csv = length >= 4 && strcmp(job->path + length - 4, ".csv") == 0;
    return status;
}

static int run_fit_command(const struct wg_args *args) {
    struct fit_job job = {.path = NULL};
    int status = read_fit_options(args, &job); /* report a mistyped option before reading files */
    if (status == 0)
        status = wg_load_scenario(&job.scenario, args->argument[0]);
    if (status == 0)
        status = wg_args_check_other(args, job.path, job.scenario.record_file);
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
    {"output", 'o', "FILE", "write the answer (HDF5); FILE.csv: 200 draws of it", 1},
    {"draws", 0, "N", "number of draws in the last round (default: 500)", 1},
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
    .help = "Compares a keeper's dated notes with many simulated years of NAME.yaml in which\n"
            "the animal's numbers vary a little, weights those years by how well they agree,\n"
            "and shows what that tells about the animal and the rest of the year. The log:\n\n"
            "  date,what,value,where,days\n"
            "  2026-10-03,crawl-off,1.2 lb,,7 days\n"
            "  2026-10-03,bin temperature,81 degF,trough\n"
            "  2026-10-04,adults,yes\n"
            "  2026-10-06,eggs trapped,12000,,3 days\n\n"
            "Weights and eggs are totals over the number of days in the last column. Without\n"
            "days they are totals since the previous note of that kind, and the first such\n"
            "note only starts the count. \"taken\" is what was taken out, \"crawl-off\" all\n"
            "larvae that left the bins; both are totals of all bins.",
    .least = 2,
    .most = 2,
    .options = options,
    .run = run_fit_command,
};
