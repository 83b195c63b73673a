/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "fit": what a keeper's log tells.
 */
#include "analysis/plan_warnings.h"
#include "answers/fit_text.h"
#include "browser/command_line.h"
#include "browser/page.h"
#include "figures/table.h"
#include "pages/pages.h"
#include "text/outcome_label.h"

#include <stdlib.h>
#include <string.h>

struct page_fit {
    struct wg_scenario scenario;
    struct wg_keeper_log log;
    struct wg_fit fit;
    struct wg_warnings warnings;
    struct wg_fit_output output;
    struct wg_bytes command;
};

static int read_fit_log(struct wg_call *call, struct page_fit *job) {
    const char *const text = wg_request_text(call->request, "log"), *const name =
                                                                        wg_request_text(call->request, "log_name");
    if (text == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "The log is missing.");
    job->output.log_path = name != NULL && name[0] != '\0' ? name : "log.csv";
    wg_mistakes_free(&call->mistakes);
    return wg_keeper_log_read_text(&job->log, job->output.log_path, text, &job->scenario.plan, &call->mistakes,
                                   &call->err);
}

static int run_page_fit(struct wg_call *call, struct page_fit *job) {
    struct wg_page_progress progress = {.engine = call->engine, .doing = "simulating animals"};
    uint64_t draws = WG_FIT_DRAWS;
    (void)wg_request_whole(call->request, "draws", &draws);
    if (draws < 100 || draws > 100000)
        return wg_fail(&call->err, WG_ERR_USAGE, "draws", "The number of animals must be from 100 to 100000.");
    const struct wg_fit_options options = {.draws = (int64_t)draws,
                                           .per_draw = WG_FIT_PER_DRAW,
                                           .passes = WG_FIT_PASSES,
                                           .stop = &call->engine->stop,
                                           .progress = wg_page_progress,
                                           .progress_self = &progress};
    wg_command_begin(&job->command, "fit", job->scenario.path);
    wg_command_add(&job->command, job->output.log_path);
    if (draws != WG_FIT_DRAWS)
        wg_command_add_count(&job->command, "--draws", draws);
    const struct wg_ensemble_options watched = {.count = WG_FIT_WARNING_REPLICATES, .stop = &call->engine->stop};
    int code = wg_bytes_failed(&job->command, &call->err);
    if (code == 0)
        code = wg_fit_run(&job->fit, &job->scenario.plan, job->log.note, job->log.n, &options, &call->err);
    return code == 0 ? wg_warnings_of_plan(&job->warnings, &job->scenario.plan, &watched, &call->err) : code;
}

static int print_fit_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_fit_output_print_json(self, to, err);
}

static int print_fit_text(const void *self, FILE *to, struct wg_error *err) {
    return wg_fit_output_print(self, to, err);
}

static int put_fit_report(struct wg_call *call, const struct page_fit *job) {
    struct wg_bytes report = {0};
    const struct wg_page page = {.to = &report, .prefix = "", .is_body = true};
    int code = wg_report_fit(&job->output, job->command.data, &page, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    wg_bytes_free(&report);
    return code;
}

/* ---- as CSV ---- */

/* A row: what it is, its bin, its day or the first of its week, its unit, and 5 %, median and 95 % of the animals. */
struct fit_row {
    const char *what, *bin, *date, *unit;
    double value[3];
};
static const double fit_quantile[3] = {0.05, 0.5, 0.95};

static void put_fit_row(struct wg_bytes *csv, const struct fit_row *row, bool before, int32_t first_day) {
    const char *const text[] = {row->what, row->bin, row->date, before ? "before the log" : "after the log", row->unit};
    const bool is_date = strcmp(row->unit, "date") == 0;
    char date[WG_SHOWN_SIZE];
    for (size_t i = 0; i < sizeof text / sizeof *text; i++) {
        wg_csv_cell(csv, text[i]);
        wg_bytes_put(csv, ",");
    }
    for (int q = 0; q < 3; q++) {
        if (is_date)
            (void)wg_show_iso_date(first_day, row->value[q], date);
        if (is_date)
            wg_csv_cell(csv, date);
        else
            wg_csv_number(csv, row->value[q]);
        wg_bytes_put(csv, q < 2 ? "," : "\n");
    }
}

static void put_fit_now(struct wg_bytes *csv, const struct page_fit *job, int i) {
    const struct wg_now *const now = &job->fit.today;
    const enum wg_now_kind kind = now->quantity[i].kind;
    char date[WG_SHOWN_SIZE];
    (void)wg_show_iso_date(now->today, wg_now_has_week(kind) ? 1 + 7 * now->quantity[i].index : 0, date);
    struct fit_row row = {.what = wg_now_name(now, i),
                          .bin = wg_now_has_bin(kind) ? job->scenario.plan.bins[now->quantity[i].index].name : "",
                          .date = date,
                          .unit = wg_now_is_mass(kind) ? "kg" : ""};
    for (int q = 0; q < 3; q++)
        row.value[q] = wg_fit_now(&job->fit, i, false, fit_quantile[q]);
    put_fit_row(csv, &row, false, 0);
}

/* The animal and the season before and after the log, and the colony today; nothing without an answer. */
static void put_fit_rows(struct wg_bytes *csv, const struct page_fit *job) {
    const struct wg_plan *const plan = &job->scenario.plan;
    wg_bytes_put(csv, "what,bin,date,for,unit,5 %,median,95 %\n");
    for (int b = 0; b < 2; b++)
        for (int i = 0; i < WG_N_LEARNT; i++) {
            struct fit_row row = {wg_learnt_name((enum wg_learnt)i), "", "", wg_learnt_unit((enum wg_learnt)i), {0}};
            for (int q = 0; q < 3; q++)
                row.value[q] = wg_fit_learnt(&job->fit, (enum wg_learnt)i, b == 0, fit_quantile[q]);
            put_fit_row(csv, &row, b == 0, 0);
        }
    for (int i = 0; i < job->fit.today.n; i++)
        put_fit_now(csv, job, i);
    for (int b = 0; b < 2; b++)
        for (int i = 0; i < WG_N_OUTCOMES; i++) {
            const struct wg_outcome *const outcome = &wg_diary_outcomes()[i];
            const char *const unit = strcmp(outcome->unit, "day") == 0 ? "date" : outcome->unit;
            struct fit_row row = {outcome->text, "", "", unit, {0}};
            if (!wg_outcome_is_shown((enum wg_outcome_number)i, plan))
                continue;
            for (int q = 0; q < 3; q++)
                row.value[q] = wg_fit_outcome(&job->fit, i, b == 0, fit_quantile[q]);
            put_fit_row(csv, &row, b == 0, plan->first_day);
        }
}

static int put_fit_csv(struct wg_call *call, const struct page_fit *job) {
    struct wg_bytes csv = {0};
    int code = 0;
    if (wg_fit_has_answer(&job->fit)) {
        put_fit_rows(&csv, job);
        code = wg_call_put_bytes(call, "csv", &csv);
    }
    wg_bytes_free(&csv);
    return code;
}

static int put_fit(struct wg_call *call, struct page_fit *job) {
    job->output.scenario = &job->scenario;
    job->output.log = &job->log;
    job->output.warnings = &job->warnings;
    job->output.fit = &job->fit;
    int code = wg_call_embed_printed(call, "answer", print_fit_json, &job->output);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_fit_text, &job->output);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &job->command);
    if (code == 0)
        code = put_fit_csv(call, job);
    return code == 0 ? put_fit_report(call, job) : code;
}

int wg_call_fit(struct wg_call *call) {
    struct page_fit *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_no_memory(&call->err, NULL);
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &job->scenario);
    (void)wg_request_whole(call->request, "seed", &job->scenario.plan.seed);
    if (code == 0)
        code = read_fit_log(call, job);
    if (code == 0)
        code = run_page_fit(call, job);
    if (code == 0)
        code = put_fit(call, job);
    wg_fit_free(&job->fit);
    wg_keeper_log_free(&job->log);
    wg_bytes_free(&job->command);
    wg_scenario_free(&job->scenario);
    free(job);
    return code;
}
