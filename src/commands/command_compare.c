/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub compare: simulates several setups under the same weather and mishaps.
 */
#include "answers/comparison.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "forecast/tables.h"
#include "forecast/thread_pool.h"
#include "report/reasons_text.h"
#include "results/comparison_file.h"

#include <stdlib.h>
#include <string.h>

/* A setup and what its observers collect. */
struct setup_run {
    struct wg_scenario scenario;
    struct wg_warning_tally watch;
    struct wg_work work;
    struct wg_warnings warnings; /* found after the simulation, as the reasons */
    struct wg_reasons reasons;
    struct wg_observer observer[2];
};

struct compare_job {
    int n;
    struct setup_run side[WG_COMPARE_MAX];
    struct wg_compare compare;
    struct wg_choice choice;
    struct wg_varied varied;
    struct wg_tables *tables;        /* of the animals of all setups */
    struct wg_comparison_file *file; /* NULL: no file */
    const char *path;
    char *line;
    char started[32];
};

static void free_job(struct compare_job *job) {
    wg_comparison_file_abandon(job->file);
    wg_choice_free(&job->choice);
    wg_compare_free(&job->compare);
    wg_tables_free(job->tables);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        wg_work_free(&job->side[i].work);
        wg_scenario_free(&job->side[i].scenario);
    }
    free(job->line);
    free(job);
}

/* ---- before ---- */

static int read_compare_options(const struct wg_args *args, struct wg_compare *compare, int *threads) {
    uint64_t replicates = (uint64_t)compare->replicates, some = 0;
    int status = wg_args_forecast_key(args, "replicates", &replicates);
    if (status == 0)
        status = wg_args_forecast_key(args, "seed", &compare->seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &some);
    compare->replicates = (int64_t)replicates;
    *threads = (int)some;
    return status;
}

/* Reads all files before it rejects any, so that one run reports the mistakes of all. */
static int load_files(const struct wg_args *args, struct compare_job *job) {
    int status = 0;
    if (args->n < WG_COMPARE_MIN)
        return wg_message_usage(args->command, "name a second scenario, or numbers to vary with --vary.");
    job->n = args->n;
    for (int i = 0; i < job->n; i++) {
        const int code = wg_load_scenario(&job->side[i].scenario, args->argument[i]);
        status = status == 0 ? code : status;
    }
    return status;
}

static int load_setups(const struct wg_args *args, struct compare_job *job) {
    struct wg_scenario *scenario[WG_COMPARE_MAX];
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        scenario[i] = &job->side[i].scenario;
    int status =
        wg_args_has(args, "vary") ? wg_vary_setups(args, &job->varied, scenario, &job->n) : load_files(args, job);
    for (int i = 0; i < job->n && status == 0; i++)
        status = wg_args_check_inputs(args, "output", wg_args_option(args, "output"), &job->side[i].scenario);
    return status;
}

/* Setups made from one file have only their titles of their own. */
static const char *name_in_messages(const struct compare_job *job, int setup) {
    const struct wg_scenario *const scenario = &job->side[setup].scenario;
    return job->varied.n > 0 ? scenario->plan.title : scenario->path;
}

static int prepare_comparison(struct compare_job *job, struct wg_error *err) {
    struct wg_compare *const compare = &job->compare;
    int code = 0;
    compare->n = job->n;
    for (int i = 0; i < job->n && code == 0; i++) {
        struct setup_run *const side = &job->side[i];
        compare->setup[i] = (struct wg_setup){.plan = &side->scenario.plan,
                                              .name = name_in_messages(job, i),
                                              .observer = side->observer,
                                              .n_observers = 2};
        code = wg_work_init(&side->work, &side->scenario.plan, compare->replicates, err);
        side->watch.plan = &side->scenario.plan;
        side->observer[0] = wg_warning_observer(&side->watch);
        side->observer[1] = wg_work_observer(&side->work);
    }
    return code == 0 ? wg_compare_check(compare, err) : code;
}

/* ---- after ---- */

static int close_file(struct compare_job *job, const struct wg_comparison_words *words, struct wg_error *err) {
    const struct wg_provenance provenance = {.command_line = job->line,
                                             .started = job->started,
                                             .replicates = job->compare.replicates,
                                             .seed = job->compare.seed};
    const struct wg_scenario *scenario[WG_COMPARE_MAX];
    const struct wg_warnings *warnings[WG_COMPARE_MAX];
    for (int i = 0; i < job->n; i++)
        scenario[i] = &job->side[i].scenario, warnings[i] = &job->side[i].warnings;
    struct wg_comparison_file *const file = job->file;
    job->file = NULL; /* freed by the call */
    return wg_comparison_file_close(file, &job->compare, scenario, warnings, words, &provenance, err);
}

static int save_comparison(struct compare_job *job, struct wg_error *err) {
    struct wg_comparison_words words = {.varied = &job->varied};
    struct wg_bytes why[WG_COMPARE_MAX] = {{0}};
    int code = 0;
    for (int i = 0; i < job->n && job->file != NULL && code == 0; i++) {
        wg_reasons_line(&job->side[i].reasons, &job->side[i].scenario.plan, wg_setup_letter(i), &why[i]);
        code = wg_bytes_failed(&why[i], err);
        words.why[i] = why[i].data;
    }
    if (code == 0 && job->file != NULL)
        code = close_file(job, &words, err);
    for (int i = 0; i < job->n; i++)
        wg_bytes_free(&why[i]);
    return code;
}

#define FEW_SETUPS 4 /* more would take long, and fill screens with much the same */

/* Finds why each setup dies out, if it does: of many setups only where details or a file are wanted. */
static int find_setup_reasons(const struct wg_args *args, struct compare_job *job, int threads, bool *stopped,
                              struct wg_error *err) {
    const bool is_wanted =
        job->n <= FEW_SETUPS || job->path != NULL || wg_args_has(args, "details") || wg_args_has(args, "json");
    const bool quiet = wg_args_has(args, "quiet");
    int code = 0;
    *stopped = false;
    for (int i = 0; i < job->n && is_wanted && code == 0 && !*stopped; i++) {
        struct setup_run *const side = &job->side[i];
        const struct wg_plan plan = wg_compare_plan(&job->compare, i);
        code = wg_simulate_reasons(&side->reasons, &plan, &job->compare.setup[i].summary, true, job->tables, threads,
                                   quiet, stopped, err);
    }
    return code;
}

/* Prints the comparison. Returns `status`, or that of a failure here. */
static int print_comparison(const struct wg_args *args, const struct compare_job *job, int status) {
    struct wg_comparison comparison = {.n = job->n,
                                       .compare = &job->compare,
                                       .choice = &job->choice,
                                       .varied = &job->varied,
                                       .has_details = wg_args_has(args, "details"),
                                       .result_path = job->path};
    struct wg_error err = {0};
    for (int i = 0; i < job->n; i++)
        comparison.forecast[i] = (struct wg_forecast){.scenario = &job->side[i].scenario,
                                                      .summary = &job->compare.setup[i].summary,
                                                      .warnings = &job->side[i].warnings,
                                                      .work = &job->side[i].work,
                                                      .reasons = &job->side[i].reasons};
    const int code = wg_args_has(args, "json") ? wg_comparison_print_json(&comparison, stdout, &err)
                                               : wg_comparison_print(&comparison, stdout, &err);
    if (code < 0)
        return wg_message_error(&err);
    status = wg_output_finish(status);
    if (job->path != NULL && !wg_args_has(args, "quiet"))
        wg_message("the comparison is in %s", job->path);
    return status;
}

/* ---- the run ---- */

#define MEASURED 2         /* replicates of each setup */
#define WORTH_MEASURING 64 /* replicates; fewer are soon done */

/* Measures how long each setup takes, since a heated one takes several times as long as one outdoors. */
static int measure_setups(const struct compare_job *job, struct wg_progress *progress, struct wg_error *err) {
    const struct wg_observer observer = {wg_ignore_replicate, NULL};
    int code = 0;
    if (!progress->is_shown || job->compare.replicates < WORTH_MEASURING)
        return 0;
    for (int i = 0; i < job->n && code == 0; i++) {
        const struct wg_plan plan = wg_compare_plan(&job->compare, i);
        const double began_s = wg_monotonic_s();
        code = wg_replicates_run(&plan, job->tables, 0, MEASURED, &observer, err);
        progress->cost[i] = wg_monotonic_s() - began_s;
    }
    progress->n_costs = job->n;
    return code;
}

static int simulate_setups(const struct wg_args *args, struct compare_job *job, int threads, struct wg_error *err) {
    struct wg_progress progress;
    const struct wg_ensemble_options options = {.threads = threads,
                                                .stop = wg_stop_flag(),
                                                .progress = wg_progress_count,
                                                .progress_self = &progress,
                                                .tables = job->tables};
    wg_provenance_now(job->started);
    wg_progress_begin(&progress, "simulating", wg_args_has(args, "quiet"));
    int code = measure_setups(job, &progress, err);
    if (code == 0)
        code = wg_compare_run(&job->compare, &options, err);
    wg_progress_end(&progress);
    return code;
}

static int simulate_and_report(const struct wg_args *args, struct compare_job *job, int threads) {
    struct wg_error err = {0};
    job->path = wg_args_option(args, "output");
    job->line = wg_args_line(args);
    int code = job->line != NULL ? wg_tables_new(&job->tables, &err) : wg_no_memory(&err, NULL);
    if (code == 0)
        code = prepare_comparison(job, &err);
    if (code == 0 && job->path != NULL)
        code = wg_comparison_file_create(&job->file, job->path, wg_args_has(args, "force"), &err);
    if (code < 0)
        return wg_message_error(&err);
    code = simulate_setups(args, job, threads, &err);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    if (code < 0)
        return wg_load_message_error(&job->side[job->compare.at].scenario, &err);
    for (int i = 0; i < job->n; i++)
        wg_warnings_find(&job->side[i].warnings, &job->side[i].watch, &job->side[i].work);
    bool stopped;
    if (wg_choice_of(&job->choice, &job->compare, &err) < 0 ||
        find_setup_reasons(args, job, threads, &stopped, &err) < 0)
        return wg_message_error(&err);
    /* Print the comparison even if its file fails: computing it takes long. */
    const int status = save_comparison(job, &err) < 0 ? wg_message_error(&err) : WG_STATUS_DONE;
    if (status != WG_STATUS_DONE)
        job->path = NULL;
    const int printed = print_comparison(args, job, status);
    return stopped ? wg_stop_status() : printed;
}

static int run_compare(const struct wg_args *args) {
    struct compare_job *const job = calloc(1, sizeof *job);
    int threads;
    if (job == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    int status =
        read_compare_options(args, &job->compare, &threads); /* report a mistyped option before reading files */
    if (status == 0)
        status = load_setups(args, job);
    if (status == 0) {
        job->compare.replicates = job->side[0].scenario.plan.replicates;
        job->compare.seed = job->side[0].scenario.plan.seed;
        status = read_compare_options(args, &job->compare, &threads);
    }
    if (status == 0)
        status = simulate_and_report(args, job, threads);
    free_job(job);
    return status;
}

static const struct wg_option options[] = {
    {"vary", 0, "KEY=VALUES", "make setups from one file: KEY=VALUE,VALUE,...", WG_ONE_EACH_TIME},
    {"details", 0, NULL, "also print dates and each difference from the first", 0},
    {"output", 'o', "FILE", "write every outcome of every year to a file (HDF5)", 1},
    {"replicates", 0, "N", "number of possible years (overrides the first file)", 1},
    {"seed", 0, "N", "random seed (overrides the first file)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"quiet", 'q', NULL, "print neither progress nor the name of the file", 0},
    {"json", 0, NULL, "print the comparison as JSON", 0},
    {.name = NULL},
};

const struct wg_command wg_command_compare = {
    .name = "compare",
    .arguments = "A.yaml [B.yaml ...]",
    .summary = "compare setups in the same weather",
    .help = "Simulates up to 26 setups over the same possible years, with the same weather,\n"
            "power cuts and raids, and says which lives, which yields most for the money and\n"
            "whom each suits. All need the same period and climate. Seed and number of years\n"
            "come from the first file. --vary makes the setups from one file: give the path\n"
            "of a number or date, items of a list by number or name; two make a grid:\n\n"
            "  wintergrub compare hill.yaml --vary \"starter.1.count=1000,5000\"\n"
            "  wintergrub compare shed.yaml \\\n"
            "    --vary \"places.shed.heater.set_point=65,75 degF\"\n\n"
            "Setups are told apart if the 95 % interval of their difference, of all pairs\n"
            "together (Bonferroni), excludes 0. \"Between\" gives the 95 % interval of a mean\n"
            "difference (Student's t, corrected for skewness; for survival a score interval)\n"
            "or of the share of years that were better (Wilson); of the price of a kg\n"
            "Fieller's. 9 in 10 animals or winters lie in \"by animal\" and \"by winter\".",
    .least = 1,
    .most = WG_COMPARE_MAX,
    .reads_text = true,
    .options = options,
    .run = run_compare,
};
