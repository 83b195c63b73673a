/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub report: writes a result as one web page.
 */
#include "cli/args.h"
#include "cli/in_child.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/save.h"
#include "cli/stop.h"
#include "figures/html.h"
#include "pages/pages.h"
#include "report/reasons_text.h"
#include "results/answer_file.h"
#include "results/comparison_file.h"
#include "results/result_file.h"

#include <stdlib.h>

/* ---- the page of an open file ---- */

/* Loads the scenario stored in a file. Returns 0, or the exit status after printing the reason. */
static int load_stored_scenario(struct wg_scenario *scenario, const struct wg_run_inputs *inputs) {
    return wg_load_scenario_text(scenario, inputs->scenario_path, inputs->scenario_text, inputs->scenario_size,
                                 inputs->record_text, inputs->record_size);
}

/* Finds the reasons that an older wintergrub did not store: the same lives give the same reasons. */
static int find_missing_reasons(struct wg_result_data *data, const struct wg_plan *plan,
                                const struct wg_summary *summary, struct wg_error *err) {
    struct wg_reasons reasons;
    if (data->words.why != NULL && data->words.checked != NULL)
        return 0;
    wg_result_words_free(&data->words);
    const int code = wg_reasons_find(&reasons, plan, summary, false, &(struct wg_ensemble_options){0}, err);
    return code == 0 ? wg_reasons_result_words(&reasons, plan, summary, &data->words, err) : code;
}

/* Shows the stored replicates to the observers that a run has. */
static int write_result_page(struct wg_result_data *data, const struct wg_scenario *scenario,
                             const struct wg_page *page, struct wg_error *err) {
    struct wg_report_lives lives;
    struct wg_observer observers[WG_REPORT_OBSERVERS];
    int code = wg_report_lives_init(&lives, &scenario->plan, data->in.replicates, err);
    wg_report_lives_observers(&lives, observers);
    if (code == 0)
        code = wg_result_data_replay(data, &scenario->plan, observers, WG_REPORT_OBSERVERS, err);
    if (code == 0)
        code = find_missing_reasons(data, &scenario->plan, &lives.summary, err);
    if (code == 0)
        code = wg_report_result(data, scenario, &lives, page, err);
    wg_report_lives_free(&lives);
    return code;
}

/* The next three take over the file, and return the exit status after printing any error. */
static int report_result(struct wg_stored_file *file, const struct wg_page *page) {
    struct wg_result_data data;
    struct wg_scenario scenario = {0};
    struct wg_error err = {0};
    int status = wg_result_data_take(&data, file, &err) < 0 ? wg_message_error(&err) : 0;
    if (status == 0)
        status = load_stored_scenario(&scenario, &data.inputs);
    scenario.plan.replicates = data.in.replicates;
    scenario.plan.seed = data.in.seed;
    scenario.plan.animals = data.animals.animals;
    if (status == 0 && write_result_page(&data, &scenario, page, &err) < 0)
        status = wg_message_error(&err);
    wg_scenario_free(&scenario);
    wg_result_data_free(&data);
    return status;
}

static int report_comparison(struct wg_stored_file *file, const struct wg_page *page) {
    struct wg_comparison_data data;
    struct wg_error err = {0};
    int code = wg_comparison_data_take(&data, file, &err);
    if (code == 0)
        code = wg_report_comparison(&data, page, &err);
    wg_comparison_data_free(&data);
    return code < 0 ? wg_message_error(&err) : 0;
}

static int report_size(struct wg_answer_data *data, const struct wg_scenario *scenario, const struct wg_page *page,
                       struct wg_error *err) {
    struct wg_answer_size answer;
    const int code = wg_answer_data_size(data, &answer, err);
    return code == 0 ? wg_report_size(data, &answer, scenario, page, err) : code;
}

static int report_sensitivity(struct wg_answer_data *data, const struct wg_scenario *scenario,
                              const struct wg_page *page, struct wg_error *err) {
    struct wg_sensitivity matters;
    const int code = wg_answer_data_sensitivity(data, &matters, err);
    return code == 0 ? wg_report_sensitivity(data, &matters, scenario, page, err) : code;
}

static int report_answer(struct wg_stored_file *file, const struct wg_page *page) {
    struct wg_answer_data data;
    struct wg_scenario scenario = {0};
    struct wg_error err = {0};
    int status = wg_answer_data_take(&data, file, &err) < 0 ? wg_message_error(&err) : 0;
    if (status == 0)
        status = load_stored_scenario(&scenario, &data.inputs);
    if (status == 0 &&
        (data.kind == WG_ANSWER_SENSITIVITY ? report_sensitivity : report_size)(&data, &scenario, page, &err) < 0)
        status = wg_message_error(&err);
    wg_scenario_free(&scenario);
    wg_answer_data_free(&data);
    return status;
}

/* Writes the page to its file, or to standard output if that is "-". Returns the exit status. */
static int put_report(const struct wg_bytes *page, const char *path, int force) {
    struct wg_error err = {0};
    if (wg_args_is_stream(path) && !page->failed)
        return wg_output_write(page->data, page->size);
    return wg_save_bytes(page, path, force, &err) < 0 ? wg_message_error(&err) : 0;
}

/*
 * Opens the file once, makes the page for its kind and saves it; signals wait while it saves. Returns the exit status.
 */
static int report_file(const char *input, const char *path, int force) {
    struct wg_stored_file file = {0};
    struct wg_bytes bytes = {0};
    const struct wg_page page = {.to = &bytes, .prefix = ""};
    struct wg_error err = {0};
    int status;
    if (wg_read_in_child(input, &err) < 0 || wg_stored_open(&file, input, &err) < 0)
        status = wg_message_error(&err);
    else if (file.kind == WG_STORED_COMPARISON)
        status = report_comparison(&file, &page);
    else
        status = file.kind == WG_STORED_ANSWER ? report_answer(&file, &page) : report_result(&file, &page);
    wg_stored_free(&file);
    wg_stop_immediately(NULL);
    if (status == 0)
        status = put_report(&bytes, path, force);
    wg_bytes_free(&bytes);
    return status;
}

static int run_report(const struct wg_args *args) {
    const char *const output = wg_args_option(args, "output");
    char *const given = output == NULL ? wg_args_default_output(args->argument[0], ".html") : NULL;
    const char *const path = output != NULL ? output : given;
    static const struct wg_exit_cleanup cleanup = {.line = "wintergrub: stopped; no report was written.\n"};
    int status;
    wg_stop_immediately(&cleanup);
    if (path == NULL)
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    else if ((status = wg_args_check_output(args, "output", path)) == 0)
        status = report_file(args->argument[0], path, wg_args_has(args, "force"));
    wg_stop_immediately(NULL);
    if (status == 0 && !wg_args_is_stream(path))
        wg_message("the report is in %s", path);
    free(given);
    return status == 0 && atomic_load(wg_stop_flag()) != 0 ? wg_stop_status() : status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "the page (default: NAME.html here; - prints it)", 1},
    {"force", 'f', NULL, "replace an existing report", 0},
    {.name = NULL},
};

const struct wg_command wg_command_report = {
    .name = "report",
    .arguments = "NAME.h5",
    .summary = "write a result as one web page",
    .help = "Writes one HTML page that needs no other file: the question, the answer in\n"
            "three sentences, warnings, figures with their numbers, the work week by week,\n"
            "what was assumed and why, and how the result was made. It can be mailed,\n"
            "printed on letter or A4 paper, and read on a phone or by a screen reader.",
    .least = 1,
    .most = 1,
    .writes_text = true,
    .options = options,
    .run = run_report,
};
