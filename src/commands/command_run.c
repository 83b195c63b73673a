/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub run: simulates a scenario, prints the forecast, writes the result.
 */
#include "analysis/cells.h"
#include "cli/args.h"
#include "cli/distribute.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/save.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "cli/sweep.h"
#include "commands/command_what_matters.h"
#include "forecast/tables.h"
#include "report/calendar_text.h"
#include "report/forecast_text.h"
#include "report/goals_report.h"
#include "report/reasons_text.h"
#include "report/terminal_chart.h"
#include "storage/atomic_file.h"
#include "text/terminal.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The command line overrides the scenario. */
int wg_run_apply_options(const struct wg_args *args, struct wg_plan *plan, struct wg_simulation *simulation) {
    uint64_t replicates = (uint64_t)plan->replicates, threads = 0;
    int status = wg_args_forecast_key(args, "replicates", &replicates);
    if (status == 0)
        status = wg_args_forecast_key(args, "seed", &plan->seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    plan->replicates = (int64_t)replicates;
    simulation->threads = (int)threads;
    simulation->force = wg_args_has(args, "force");
    simulation->quiet = wg_args_has(args, "quiet");
    return status;
}

/* Writes the work calendar for a phone. Returns the exit status after printing any error. */
static int save_calendar(const struct wg_args *args, const struct wg_forecast *forecast) {
    const char *const path = wg_args_option(args, "ics");
    struct wg_error err = {0};
    struct wg_bytes calendar = {0};
    int code = wg_ical_write(forecast, &calendar, &err);
    if (code == 0)
        code = wg_save_bytes(&calendar, path, wg_args_has(args, "force"), &err);
    wg_bytes_free(&calendar);
    if (code < 0)
        return wg_message_error(&err);
    if (!wg_args_has(args, "quiet"))
        wg_message("the calendar for a phone is in %s", path);
    return 0;
}

static int print_forecast(const struct wg_args *args, const struct wg_forecast *forecast,
                          const struct wg_chart *chart) {
    struct wg_error err = {0};
    const bool is_json = wg_args_has(args, "json");
    const bool draws = !is_json && !wg_args_has(args, "quiet") && wg_can_draw(stdout) && wg_ranks_count() == 1;
    int code = is_json ? wg_forecast_print_json(forecast, stdout, &err) : wg_forecast_print(forecast, stdout, &err);
    if (code < 0)
        return wg_message_error(&err);
    if (draws)
        wg_chart_print(chart, wg_chart_is_utf8(), stdout);
    if (!is_json && wg_args_has(args, "calendar"))
        code = wg_work_print(forecast->work, stdout, &err);
    if (draws && code == 0)
        code = wg_forecast_print_short(forecast, stdout, &err);
    if (code < 0)
        return wg_message_error(&err);
    const int status = wg_output_finish(WG_STATUS_DONE);
    if (!wg_args_has(args, "quiet"))
        wg_message("the result is in %s", forecast->result_path);
    return status == WG_STATUS_DONE && wg_args_has(args, "ics") ? save_calendar(args, forecast) : status;
}

/* The reasons, which the result stores before it is complete. */
struct explained_run {
    const struct wg_plan *plan;
    const struct wg_summary *summary;
    struct wg_tables *tables;
    int threads;
    bool quiet, stopped;
    struct wg_reasons reasons;
};

static int explain_result(void *self, struct wg_result_writer *writer, struct wg_error *err) {
    struct explained_run *const run = self;
    struct wg_result_words words = {0};
    int code = wg_simulate_reasons(&run->reasons, run->plan, run->summary, false, run->tables, run->threads, run->quiet,
                                   &run->stopped, err);
    if (code == 0 && !run->stopped)
        code = wg_reasons_result_words(&run->reasons, run->plan, run->summary, &words, err);
    if (code == 0 && !run->stopped)
        wg_result_explain(writer, words.why, words.checked);
    wg_result_words_free(&words);
    return code;
}

/* Prints the forecast with its reasons. */
static int print_explained(const struct wg_args *args, const struct wg_forecast *forecast, const struct wg_chart *chart,
                           const struct explained_run *run) {
    const int status = print_forecast(args, forecast, chart);
    if (!run->stopped)
        return status;
    wg_message("stopped before the reasons were found; the result is complete.");
    return wg_stop_status();
}

static int simulate_forecast(const struct wg_args *args, const struct wg_scenario *scenario,
                             const struct wg_simulation *simulation) {
    struct wg_error err = {0};
    struct wg_summary summary = {0};
    struct wg_warning_tally watch = {.plan = &scenario->plan};
    struct wg_work work = {0};
    struct wg_goal_tally odds;
    struct wg_chart chart = {.plan = &scenario->plan};
    wg_goal_tally_init(&odds, &scenario->plan);
    const struct wg_observer observers[] = {wg_summary_observer(&summary), wg_warning_observer(&watch),
                                            wg_work_observer(&work), wg_goal_tally_observer(&odds),
                                            wg_chart_observer(&chart)};
    int status;
    struct explained_run explained = {.plan = &scenario->plan,
                                      .summary = &summary,
                                      .threads = simulation->threads,
                                      .quiet = wg_args_has(args, "quiet")};
    struct wg_simulation asked = *simulation;
    asked.explain = explain_result;
    asked.explain_self = &explained;
    int code = wg_tables_new(&asked.tables, &err);
    explained.tables = asked.tables;
    if (code == 0)
        code = wg_summary_init(&summary, &scenario->plan, scenario->plan.replicates, &err);
    if (code == 0)
        code = wg_work_init(&work, &scenario->plan, scenario->plan.replicates, &err);
    if (code == 0)
        code = wg_simulate(scenario, &asked, observers, 5, &err);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        status = wg_stop_status();
    } else if (code < 0) {
        status = wg_load_message_error(scenario, &err);
    } else {
        struct wg_warnings warnings;
        wg_warnings_find(&warnings, &watch, &work);
        status = print_explained(args,
                                 &(struct wg_forecast){.scenario = scenario,
                                                       .summary = &summary,
                                                       .warnings = &warnings,
                                                       .work = &work,
                                                       .odds = &odds,
                                                       .result_path = simulation->path,
                                                       .reasons = &explained.reasons},
                                 &chart, &explained);
    }
    wg_work_free(&work);
    wg_goal_tally_free(&odds);
    wg_summary_free(&summary);
    wg_tables_free(asked.tables);
    return status;
}

/* ---- other requests ---- */

/* The values of --until-sure and --at-most. */
struct run_request {
    double half_width; /* 0: the number of replicates in the scenario */
    uint64_t at_most;
};

/* Rejects options that have no effect together. */
static int check_run_request(const struct wg_args *args) {
    static const char *const no_forecast[] = {"until-sure", "replicates", "calendar", "ics"};
    const bool matters = wg_args_has(args, "what-matters");
    for (size_t i = 0; matters && i < sizeof no_forecast / sizeof *no_forecast; i++)
        if (wg_args_has(args, no_forecast[i]))
            return wg_message_usage(args->command, "--%s belongs to a forecast, and --what-matters makes none.",
                                    no_forecast[i]);
    if (wg_args_has(args, "at-most") && !matters && !wg_args_has(args, "until-sure"))
        return wg_message_usage(args->command, "--at-most belongs to --until-sure or --what-matters.");
    return 0;
}

static int read_run_request(const struct wg_args *args, struct run_request *request) {
    const bool matters = wg_args_has(args, "what-matters");
    *request = (struct run_request){.at_most = matters ? WG_SENSITIVITY_REPLICATES : WG_PRECISION_MAX_REPLICATES};
    const int status = wg_args_whole(args, "at-most", 2000, WG_MAX_REPLICATES, &request->at_most);
    return status == 0 ? wg_args_share(args, "until-sure", 0.001, 0.2, &request->half_width) : status;
}

/* Checks that a file can be written, before long work. */
static int check_writable(const char *path, bool force) {
    struct wg_error err = {0};
    struct wg_atomic_file place = {0};
    const int code = wg_atomic_file_open(&place, path, force, &err);
    wg_atomic_file_free(&place);
    return code < 0 ? wg_message_error(&err) : 0;
}

/* Checks that the calendar for a phone can be written and is no other file of this command. */
static int check_calendar_path(const struct wg_args *args, const struct wg_simulation *simulation,
                               const struct wg_scenario *scenario) {
    const char *const path = wg_args_option(args, "ics");
    if (path == NULL)
        return 0;
    int status = wg_args_check_apart(args, "ics", path, "output", simulation->path);
    if (status == 0)
        status = wg_args_check_output(args, "ics", path);
    if (status == 0)
        status = wg_args_check_inputs(args, "ics", path, scenario);
    return status == 0 ? check_writable(path, simulation->force) : status;
}

/*
 * Finds the number of replicates for the precision, keeping only the odds. The run for the result then uses that
 * number.
 */
/* Says by how much the odds are known, and why no better, where less was reached than asked for. */
static void report_precision(const struct run_request *request, const struct wg_goal_tally *odds,
                             const struct wg_sureness *sure) {
    const double reached = 100 * sure->half_width;
    if (sure->half_width <= request->half_width)
        return;
    if (odds->n >= (int64_t)request->at_most)
        wg_message("the odds are known only to within %.1f %%: --at-most stopped at %lld replicates.", reached,
                   (long long)odds->n);
    else
        wg_message("the odds are known only to within %.1f %%, after %lld replicates: more of the same %s make them no "
                   "surer than %.1f %%.",
                   reached, (long long)odds->n,
                   wg_plan_replays_winters(odds->plan) ? "winters of the record" : "plausible animals",
                   100 * sure->lasting);
}

static int reach_precision(const struct run_request *request, struct wg_scenario *scenario,
                           const struct wg_simulation *simulation) {
    struct wg_error err = {0};
    struct wg_goal_tally odds;
    struct wg_sureness reached;
    struct wg_progress progress;
    struct wg_distributor distributor;
    wg_goal_tally_init(&odds, &scenario->plan);
    struct wg_ensemble_options options = {.count = scenario->plan.replicates,
                                          .threads = simulation->threads,
                                          .stop = wg_stop_flag(),
                                          .progress = wg_progress_count,
                                          .progress_self = &progress};
    const struct wg_precision sure = {request->half_width, WG_GOALS_CONFIDENCE, (int64_t)request->at_most};
    wg_progress_begin(&progress, "finding how many are needed", simulation->quiet);
    int code = wg_distributor_init(&distributor, scenario, &options.backend, &err);
    if (code == 0)
        code = wg_precision_run(&scenario->plan, &options, &sure, &odds, &reached, NULL, 0, &err);
    wg_progress_end(&progress);
    wg_distributor_free(&distributor);
    if (code == 0) {
        scenario->plan.replicates = odds.n;
        report_precision(request, &odds, &reached);
    }
    wg_goal_tally_free(&odds);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    return code < 0 ? wg_load_message_error(scenario, &err) : 0;
}

static int simulate_request(const struct wg_args *args, struct wg_scenario *scenario,
                            const struct wg_simulation *simulation) {
    struct run_request request;
    int status = read_run_request(args, &request);
    if (status == 0 && wg_args_has(args, "what-matters"))
        return wg_sensitivity_command(args, scenario, simulation->threads, (int64_t)request.at_most);
    if (status == 0 && request.half_width > 0)
        status = check_writable(simulation->path, simulation->force);
    if (status == 0 && request.half_width > 0)
        status = reach_precision(&request, scenario, simulation);
    return status == 0 ? simulate_forecast(args, scenario, simulation) : status;
}

static int run_one(const struct wg_args *args) {
    struct wg_scenario scenario = {0};
    struct wg_simulation simulation = {0};
    struct run_request request;
    char *const path = wg_args_default_output(args->argument[0], ".h5"), *const line = wg_args_line(args);
    int status =
        wg_run_apply_options(args, &scenario.plan, &simulation); /* report a mistyped option before reading files */
    if (status == 0)
        status = check_run_request(args);
    if (status == 0)
        status = read_run_request(args, &request);
    if (status == 0)
        status = wg_args_check_output(args, "output", path);
    if (status == 0)
        status = wg_load_scenario(&scenario, args->argument[0]);
    if (status == 0)
        status = wg_run_apply_options(args, &scenario.plan, &simulation);
    if (status == 0 && (path == NULL || line == NULL))
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    const char *const output = wg_args_option(args, "output");
    simulation.path = output != NULL || wg_args_has(args, "what-matters") ? output : path;
    if (status == 0)
        status = wg_args_check_inputs(args, "output", simulation.path, &scenario);
    if (status == 0)
        status = check_calendar_path(args, &simulation, &scenario);
    if (status == 0) {
        simulation.command_line = line;
        status = simulate_request(args, &scenario, &simulation);
    }
    wg_scenario_free(&scenario);
    free(path);
    free(line);
    return status;
}

static int run_scenarios(const struct wg_args *args) {
    for (int i = 0; i < args->n && args->n > 1; i++)
        if (wg_args_is_stream(args->argument[i]))
            return wg_message_usage(args->command, "a plan from standard input is run alone.");
    if (wg_sweep_is_requested(args))
        return wg_sweep(args);
    if (wg_args_has(args, "part"))
        return wg_message_usage(args->command, "--part is for several scenarios.");
    return run_one(args);
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "the result file (default: NAME.h5 in this folder)", 1},
    {"replicates", 0, "N", "number of possible years (overrides the scenario)", 1},
    {"seed", 0, "N", "random seed (overrides the scenario)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing result", 0},
    {"quiet", 'q', NULL, "print neither progress nor the name of the file", 0},
    {"calendar", 0, NULL, "also print each week's work: feed, traps, crawl-off", 0},
    {"ics", 0, "FILE", "also write that work as a calendar for a phone", 1},
    {"json", 0, NULL, "print the forecast as JSON, with every week", 0},
    {"until-sure", 0, "SHARE", "add replicates until all odds are within, say, 2%", 1},
    {"what-matters", 0, NULL, "no forecast: which of the animal's numbers matter", 0},
    {"at-most", 0, "N", "most replicates for these two (default: 20000, 2048)", 1},
    {"part", 0, "I/N", "run part I of N of several scenarios, such as 3/10", 1},
    {.name = NULL},
};

const struct wg_command wg_command_run = {
    .name = "run",
    .arguments = "NAME.yaml ...",
    .summary = "simulate, print the forecast",
    .help = "Simulates the plan of NAME.yaml over many possible years, prints the forecast\n"
            "and writes every day of every year to a result file (HDF5, also netCDF-4).\n"
            "\"Alive in 90 of 100 years (between 87 and 93)\" has a 95 % interval, for other\n"
            "animals and winters of the same kind; below it, what luck, the unknown animal\n"
            "and the winters change. What has not happened by the last day may still happen\n"
            "later. If the colony dies out in more than a tenth of the years, 64 are tried\n"
            "again with one limit lifted at a time (cold, heat, hunger, ...) to find why.\n"
            "Without --force an existing result is kept.\n\n"
            "For several scenarios, or a folder (its *.yaml), name a folder for the results\n"
            "with -o; a table sums them up. If the command is interrupted, run it again to\n"
            "resume: a complete result that still matches is kept. --force repeats all.",
    .least = 1,
    .most = -1,
    .reads_text = true,
    .options = options,
    .run = run_scenarios,
};
