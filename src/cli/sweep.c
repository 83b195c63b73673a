/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs many scenarios: reads and checks all of them, then simulates one after the other on all threads, except those
 * whose result is complete already.
 *
 * Nothing is remembered between runs but the results: each appears under its name only when complete, and records what
 * it was made from. So the same command resumes an interrupted sweep. A file that is not such a result, or that is
 * worth more than the result that would replace it, is kept (sweep_reuse.c).
 */
#include "cli/sweep.h"

#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/stop.h"
#include "storage/atomic_file.h"
#include <wintergrub/version.h>

#include <stdlib.h>
#include <string.h>

#define KEPT " after %lld of %lld scenarios, whose results are kept; run the same command again to resume."
#define MAX_PARTS 100000 /* judgement: more than any scheduler's job array */

struct sweep {
    const struct wg_args *args;
    const char *folder;
    char *command_line;
    bool is_quiet, is_forced;
    struct wg_sweep_list list;
    struct wg_sweep_row *row;
    struct wg_file_identity *read; /* every input file */
    int64_t n_read;
    int64_t *replicates; /* of each scenario */
    struct wg_progress progress;
    struct wg_json *json; /* NULL: a table */
    int status;           /* of the first that failed, 0 while none has */
};

/* ---- before ---- */

/* Rejects options that make no sense for several scenarios. */
static int check_sweep_options(const struct wg_args *args) {
    static const char *const alone[] = {"calendar", "ics", "until-sure", "what-matters", "at-most"};
    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        if (wg_args_has(args, alone[i]))
            return wg_message_usage(args->command, "--%s is for one scenario at a time.", alone[i]);
    if (!wg_args_has(args, "output"))
        return wg_message_usage(args->command, "several scenarios need a folder for their results: -o FOLDER.");
    return 0;
}

/* Keeps only the scenarios of a part such as "3/10" in the list. */
static int select_part(struct sweep *sweep) {
    const char *const text = wg_args_option(sweep->args, "part");
    int i, n, end = 0;
    if (text == NULL)
        return 0;
    if (strspn(text, "0123456789/") != strlen(text) || strlen(text) > 13 ||
        sscanf(text, "%6d/%6d%n", &i, &n, &end) != 2 || text[end] != '\0' || i < 1 || i > n || n > MAX_PARTS)
        return wg_message_usage(sweep->args->command, "--part must look like 3/10, the third of ten, not \"%s\".",
                                text);
    struct wg_sweep_list all = sweep->list;
    sweep->list.n = 0;
    for (int64_t k = 0; k < all.n; k++) { /* swap, so that all are still freed */
        const struct wg_sweep_item item = all.item[k];
        if (k % n != i - 1)
            continue;
        all.item[k] = all.item[sweep->list.n];
        all.item[sweep->list.n++] = item;
    }
    for (int64_t k = sweep->list.n; k < all.n; k++) {
        free(all.item[k].scenario);
        free(all.item[k].name);
        free(all.item[k].result);
    }
    return 0;
}

/*
 * Reads a scenario and applies the options. Returns 0, or the exit status after printing the reason. The caller frees
 * *scenario.
 */
static int load_sweep_scenario(const struct sweep *sweep, int64_t i, struct wg_scenario *scenario,
                               struct wg_simulation *simulation) {
    const int status = wg_load_scenario(scenario, sweep->list.item[i].scenario);
    *simulation = (struct wg_simulation){0};
    return status == 0 ? wg_run_apply_options(sweep->args, &scenario->plan, simulation) : status;
}

static void remember_file_read(struct sweep *sweep, const char *path) {
    if (path != NULL && wg_file_identify(path, &sweep->read[sweep->n_read]) == 0)
        sweep->n_read++;
}

/* Checks that a scenario is valid and its result can be written. */
static int check_one(struct sweep *sweep, int64_t i) {
    struct wg_scenario scenario = {0};
    struct wg_simulation simulation;
    struct wg_sweep_existing found;
    struct wg_error err = {0};
    int status = load_sweep_scenario(sweep, i, &scenario, &simulation);
    remember_file_read(sweep, sweep->list.item[i].scenario);
    remember_file_read(sweep, scenario.record_file);
    for (int b = 0; b < WG_MAX_BASES; b++)
        remember_file_read(sweep, scenario.base_file[b]);
    sweep->replicates[i] = scenario.plan.replicates;
    if (status == 0 && !sweep->is_forced &&
        wg_sweep_find_existing(sweep->list.item[i].result, &scenario, false, &found, &err) < 0)
        status = wg_message_error(&err);
    wg_scenario_free(&scenario);
    return status;
}

static int compare_file_identity(const void *a, const void *b) {
    const struct wg_file_identity *const one = a, *const other = b;
    const int disk = (one->device > other->device) - (one->device < other->device);
    return disk != 0 ? disk : (one->number > other->number) - (one->number < other->number);
}

/* Checks that no result would replace an input file of any scenario. */
static int check_unread(struct sweep *sweep) {
    int status = 0;
    qsort(sweep->read, (size_t)sweep->n_read, sizeof *sweep->read, compare_file_identity);
    for (int64_t i = 0; i < sweep->list.n && status == 0; i++) {
        const char *const result = sweep->list.item[i].result;
        struct wg_file_identity file;
        if (wg_file_identify(result, &file) == 0 &&
            bsearch(&file, sweep->read, (size_t)sweep->n_read, sizeof *sweep->read, compare_file_identity) != NULL)
            status = wg_message_usage(sweep->args->command,
                                      "%s is read here and cannot be written as well: choose another -o.", result);
    }
    return status;
}

/* Reports every mistake of every scenario, and every result file that must not be replaced. */
static int check_all(struct sweep *sweep) {
    static const struct wg_exit_cleanup cleanup = {.line = "wintergrub: stopped; nothing was simulated.\n"};
    int status = 0;
    int64_t faulty = 0;
    wg_stop_immediately(&cleanup);
    for (int64_t i = 0; i < sweep->list.n; i++) {
        const int one = check_one(sweep, i);
        status = status == 0 ? one : status;
        faulty += one != 0;
    }
    if (status == 0)
        status = check_unread(sweep);
    wg_stop_immediately(NULL);
    if (faulty > 0)
        wg_message("%lld of %lld scenarios cannot be simulated, so none was.", (long long)faulty,
                   (long long)sweep->list.n);
    return status;
}

/* ---- one scenario ---- */

static void report_simulated(const struct sweep *sweep, int64_t i, const char *why, double seconds) {
    if (sweep->is_quiet)
        return;
    wg_message("%lld of %lld, %s: simulated%s%s%s in %.1f s", (long long)i + 1, (long long)sweep->list.n,
               sweep->list.item[i].name, why[0] != '\0' ? " again (" : "", why, why[0] != '\0' ? ")" : "", seconds);
}

static void report_existing(const struct sweep *sweep, int64_t i) {
    if (!sweep->is_quiet)
        wg_message("%lld of %lld, %s: already complete", (long long)i + 1, (long long)sweep->list.n,
                   sweep->list.item[i].name);
}

static void report_warnings(const struct sweep *sweep, int64_t i, const struct wg_warning_tally *watch,
                            const struct wg_work *work) {
    struct wg_warnings warnings;
    char text[WG_WARNING_TEXT];
    wg_warnings_find(&warnings, watch, work);
    for (int w = 0; !sweep->is_quiet && w < warnings.n; w++) {
        wg_warning_text(&warnings, w, text);
        wg_message("%s: warning: %s", sweep->list.item[i].name, text);
    }
}

/* Returns 0, WG_STOPPED or an error. The caller frees the summary of *numbers. */
static int simulate_sweep_item(const struct sweep *sweep, int64_t i, const struct wg_scenario *scenario,
                               const struct wg_simulation *simulation, struct wg_sweep_numbers *numbers,
                               struct wg_error *err) {
    struct wg_warning_tally watch = {.plan = &scenario->plan};
    struct wg_work work = {0};
    wg_goal_tally_init(&numbers->odds, &scenario->plan);
    const struct wg_observer observers[] = {wg_summary_observer(&numbers->summary), wg_warning_observer(&watch),
                                            wg_work_observer(&work), wg_goal_tally_observer(&numbers->odds)};
    int code = wg_summary_init(&numbers->summary, &scenario->plan, scenario->plan.replicates, err);
    if (code == 0)
        code = wg_work_init(&work, &scenario->plan, scenario->plan.replicates, err);
    if (code == 0)
        code = wg_simulate(scenario, simulation, observers, sizeof observers / sizeof *observers, err);
    if (code == 0)
        report_warnings(sweep, i, &watch, &work);
    wg_work_free(&work);
    return code;
}

/*
 * Records a failure. Returns 0 to go on, or the exit status for an error that the next scenario will meet too (a full
 * disk).
 */
static int record_failure(struct sweep *sweep, int64_t i, const struct wg_scenario *scenario,
                          const struct wg_error *err) {
    const int status = wg_load_message_error(scenario, err);
    const char *const result = sweep->list.item[i].result;
    struct wg_file_identity file;
    sweep->row[i].is_failed = true;
    sweep->row[i].is_older = err->code == WG_ERR_OVERGROWN && wg_file_identify(result, &file) == 0;
    if (sweep->row[i].is_older)
        wg_message("%s: this result is from an older version of the scenario.", result);
    sweep->status = sweep->status == 0 ? status : sweep->status;
    wg_json_object(sweep->json, NULL);
    wg_json_text(sweep->json, "name", sweep->list.item[i].name);
    wg_json_text(sweep->json, "scenario", sweep->list.item[i].scenario);
    wg_json_text(sweep->json, "error", err->text);
    wg_json_text(sweep->json, "older_result", sweep->row[i].is_older ? result : NULL);
    wg_json_close(sweep->json);
    return err->code == WG_ERR_OVERGROWN || err->code == WG_ERR_EXISTS ? 0 : status;
}

/* Examines an existing result; it only reads, so a signal may end the sweep at once. */
static int find_existing_result(const struct sweep *sweep, int64_t i, const struct wg_scenario *scenario,
                                struct wg_sweep_existing *found, struct wg_error *err) {
    char line[WG_SENTENCE_SIZE];
    wg_progress_clear();
    (void)snprintf(line, sizeof line, "wintergrub: stopped" KEPT "\n", (long long)i, (long long)sweep->list.n);
    wg_stop_immediately(&(struct wg_exit_cleanup){.line = line});
    const int code = wg_sweep_find_existing(sweep->list.item[i].result, scenario, true, found, err);
    wg_stop_immediately(NULL);
    return code;
}

/* Simulates the scenario. If another sweep has written the same result meanwhile, takes that one. */
static int make_sweep_result(const struct sweep *sweep, int64_t i, const struct wg_scenario *scenario,
                             const struct wg_simulation *simulation, struct wg_sweep_existing *found,
                             struct wg_error *err) {
    struct wg_sweep_existing now;
    struct wg_error other = {0};
    const int code = simulate_sweep_item(sweep, i, scenario, simulation, &found->numbers, err);
    if (code != WG_ERR_EXISTS || sweep->is_forced || find_existing_result(sweep, i, scenario, &now, &other) < 0 ||
        !now.is_same)
        return code;
    wg_goal_tally_free(&found->numbers.odds);
    wg_summary_free(&found->numbers.summary);
    *found = now;
    return 0;
}

/* Returns 0, WG_STOPPED or an error. */
static int process_scenario(struct sweep *sweep, int64_t i, const struct wg_scenario *scenario,
                            struct wg_simulation *simulation, struct wg_error *err) {
    struct wg_sweep_existing found = {.is_same = false};
    struct wg_sweep_row *const row = &sweep->row[i];
    const double begun_s = wg_monotonic_s();
    int code = sweep->is_forced ? 0 : find_existing_result(sweep, i, scenario, &found, err);
    if (code == 0 && !found.is_same) {
        simulation->path = sweep->list.item[i].result;
        simulation->command_line = sweep->command_line;
        simulation->progress = &sweep->progress;
        simulation->over = found.is_other ? &found.file : NULL;
        code = make_sweep_result(sweep, i, scenario, simulation, &found, err);
    }
    row->is_kept = found.is_same;
    if (code == 0)
        code = wg_sweep_row_fill(row, &scenario->plan, &found.numbers, err);
    if (code == 0 && sweep->json != NULL)
        code = wg_sweep_put_json(sweep->json, &sweep->list.item[i], scenario, &found.numbers, row->is_kept, found.why,
                                 err);
    wg_goal_tally_free(&found.numbers.odds);
    wg_summary_free(&found.numbers.summary);
    if (row->is_kept)
        wg_progress_skip(&sweep->progress, sweep->replicates[i]);
    if (code == 0 && row->is_kept)
        report_existing(sweep, i);
    else if (code == 0)
        report_simulated(sweep, i, found.why, wg_monotonic_s() - begun_s);
    return code;
}

/* Returns 0 to go on, or the exit status with which the sweep ends. */
static int process_item(struct sweep *sweep, int64_t i) {
    struct wg_scenario scenario = {0};
    struct wg_simulation simulation;
    struct wg_error err = {0};
    int status = load_sweep_scenario(sweep, i, &scenario, &simulation);
    if (status == 0) {
        const int code = process_scenario(sweep, i, &scenario, &simulation, &err);
        if (code < 0)
            status = record_failure(sweep, i, &scenario, &err);
        else if (code == WG_STOPPED)
            status = wg_stop_status();
    }
    wg_scenario_free(&scenario);
    return status;
}

/* ---- all scenarios ---- */

static int print_sweep(struct sweep *sweep) {
    struct wg_error err = {0};
    if (wg_args_has(sweep->args, "json")) { /* also without memory for it, which this reports */
        struct wg_json *const json = sweep->json;
        sweep->json = NULL;
        wg_json_close(json);
        if (wg_json_print(json, stdout, &err) < 0)
            return wg_message_error(&err);
    } else {
        wg_sweep_print(&sweep->list, sweep->row, sweep->folder, stdout);
    }
    return wg_output_finish(sweep->status);
}

static int process_all(struct sweep *sweep) {
    if (wg_args_has(sweep->args, "json")) {
        sweep->json = wg_json_new();
        wg_json_text(sweep->json, "wintergrub", WG_VERSION);
        wg_json_text(sweep->json, "folder", sweep->folder);
        wg_json_list(sweep->json, "scenarios");
    }
    wg_progress_begin(&sweep->progress, "simulating", sweep->is_quiet);
    for (int64_t i = 0; i < sweep->list.n; i++)
        sweep->progress.expected += sweep->replicates[i];
    for (int64_t i = 0; i < sweep->list.n; i++) {
        int status = wg_stop_status() > 128 ? wg_stop_status() : process_item(sweep, i);
        if (status == 0)
            continue;
        wg_progress_end(&sweep->progress);
        wg_message("%s" KEPT, status > 128 ? "stopped" : "ended", (long long)i, (long long)sweep->list.n);
        return status;
    }
    wg_progress_end(&sweep->progress);
    return print_sweep(sweep);
}

static int begin_sweep(struct sweep *sweep) {
    struct wg_error err = {0};
    if (wg_sweep_list_make(&sweep->list, sweep->args, sweep->folder, &err) < 0)
        return wg_message_error(&err);
    int status = select_part(sweep);
    sweep->command_line = wg_args_line(sweep->args);
    sweep->row = calloc((size_t)sweep->list.n + 1, sizeof *sweep->row);
    sweep->read = calloc((2 + WG_MAX_BASES) * (size_t)sweep->list.n + 1, sizeof *sweep->read);
    sweep->replicates = calloc((size_t)sweep->list.n + 1, sizeof *sweep->replicates);
    if (status == 0 &&
        (sweep->command_line == NULL || sweep->row == NULL || sweep->read == NULL || sweep->replicates == NULL))
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    if (status == 0)
        status = check_all(sweep);
    if (status == 0 && wg_atomic_file_make_folder(sweep->folder, &err) < 0)
        status = wg_message_error(&err);
    return status;
}

int wg_sweep(const struct wg_args *args) {
    struct sweep sweep = {
        .args = args, .is_quiet = wg_args_has(args, "quiet"), .is_forced = wg_args_has(args, "force")};
    struct wg_plan plan = {.replicates = 1};
    struct wg_simulation simulation = {0};
    int status = check_sweep_options(args);
    if (status == 0)
        status = wg_run_apply_options(args, &plan, &simulation); /* report a mistyped option before reading files */
    sweep.folder = wg_args_option(args, "output");
    if (status == 0)
        status = begin_sweep(&sweep);
    if (status == 0)
        status = process_all(&sweep);
    wg_json_drop(sweep.json);
    wg_sweep_list_free(&sweep.list);
    free(sweep.command_line);
    free(sweep.row);
    free(sweep.read);
    free(sweep.replicates);
    return status;
}
