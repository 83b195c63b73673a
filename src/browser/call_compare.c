/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "compare": setups in the same weather, from several plans or from one with lists of values.
 */
#include "answers/comparison.h"
#include "answers/setups.h"
#include "browser/command_line.h"
#include "browser/page.h"
#include "data/comparison_data.h"
#include "pages/pages.h"
#include "report/reasons_text.h"

#include <stdlib.h>

/* A setup and what its observers collect. */
struct page_setup {
    struct wg_scenario scenario;
    struct wg_warning_tally watch;
    struct wg_work work;
    struct wg_warnings warnings;
    struct wg_reasons reasons;
    struct wg_bytes why;
    struct wg_observer observer[2];
};

struct page_comparison {
    int n;
    struct page_setup side[WG_COMPARE_MAX];
    struct wg_compare compare;
    struct wg_choice choice;
    struct wg_varied varied;
    struct wg_varied_number number[WG_VARIED_MAX];
    struct wg_bytes command;
};

static void free_page_comparison(struct page_comparison *job) {
    wg_choice_free(&job->choice);
    wg_compare_free(&job->compare);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        wg_work_free(&job->side[i].work);
        wg_bytes_free(&job->side[i].why);
        wg_scenario_free(&job->side[i].scenario);
    }
    wg_bytes_free(&job->command);
    free(job);
}

/* ---- the setups ---- */

static int read_plans(struct wg_call *call, struct page_comparison *job) {
    const int n = wg_request_count(call->request, "plans");
    int code = 0;
    if (n < WG_COMPARE_MIN || n > WG_COMPARE_MAX)
        return wg_fail(&call->err, WG_ERR_USAGE, NULL, "A comparison has from %d to %d plans.", WG_COMPARE_MIN,
                       WG_COMPARE_MAX);
    wg_bytes_put(&job->command, "wintergrub compare");
    for (job->n = 0; job->n < n && code == 0; job->n++) {
        struct wg_scenario *const scenario = &job->side[job->n].scenario;
        code = wg_call_plan(call, wg_request_item(call->request, "plans", job->n), scenario);
        if (code == 0)
            wg_command_add(&job->command, scenario->path);
    }
    return code;
}

static int read_varied_plan(struct wg_call *call, struct page_comparison *job, struct wg_scenario *base) {
    struct wg_scenario *scenario[WG_COMPARE_MAX];
    const int n_numbers = wg_request_count(call->request, "vary");
    int at = 0;
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        scenario[i] = &job->side[i].scenario;
    if (n_numbers < 1 || n_numbers > WG_VARIED_MAX)
        return wg_fail(&call->err, WG_ERR_USAGE, NULL, "At most %d numbers can be varied.", WG_VARIED_MAX);
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), base);
    wg_command_begin(&job->command, "compare", code == 0 ? base->path : "");
    for (int k = 0; k < n_numbers && code == 0; k++) {
        const char *const written = wg_request_item_text(call->request, "vary", k);
        code = wg_setups_read_list(written != NULL ? written : "", base, &job->number[k], &call->err);
        wg_command_add(&job->command, "--vary");
        wg_command_add(&job->command, written != NULL ? written : "");
    }
    if (code == 0)
        code = wg_setups_make(base, job->number, n_numbers, &job->varied, scenario, &job->n, &at, &call->mistakes,
                              &call->err);
    return code;
}

static int read_setups(struct wg_call *call, struct page_comparison *job) {
    struct wg_scenario base = {0};
    const int code = wg_request_has(call->request, "vary") ? read_varied_plan(call, job, &base) : read_plans(call, job);
    wg_scenario_free(&base);
    return code;
}

static int read_numbers(struct wg_call *call, struct page_comparison *job) {
    uint64_t years = (uint64_t)job->side[0].scenario.plan.replicates;
    job->compare.seed = job->side[0].scenario.plan.seed;
    const bool has_years = wg_request_whole(call->request, "years", &years),
               has_seed = wg_request_whole(call->request, "seed", &job->compare.seed);
    if (years < 1 || years > WG_MAX_REPLICATES)
        return wg_fail(&call->err, WG_ERR_USAGE, "years", "The number of years must be from 1 to %d.",
                       WG_MAX_REPLICATES);
    job->compare.replicates = (int64_t)years;
    if (has_years)
        wg_command_add_count(&job->command, "--replicates", years);
    if (has_seed)
        wg_command_add_count(&job->command, "--seed", job->compare.seed);
    return wg_bytes_failed(&job->command, &call->err);
}

/* ---- the run ---- */

/* Setups made from one plan have only their titles of their own. */
static const char *setup_name(const struct page_comparison *job, int setup) {
    const struct wg_scenario *const scenario = &job->side[setup].scenario;
    return job->varied.n > 0 ? scenario->plan.title : scenario->path;
}

static int prepare_setups(struct page_comparison *job, struct wg_error *err) {
    int code = 0;
    job->compare.n = job->n;
    for (int i = 0; i < job->n && code == 0; i++) {
        struct page_setup *const side = &job->side[i];
        job->compare.setup[i] = (struct wg_setup){
            .plan = &side->scenario.plan, .name = setup_name(job, i), .observer = side->observer, .n_observers = 2};
        code = wg_work_init(&side->work, &side->scenario.plan, job->compare.replicates, err);
        side->watch.plan = &side->scenario.plan;
        side->observer[0] = wg_warning_observer(&side->watch);
        side->observer[1] = wg_work_observer(&side->work);
    }
    return code == 0 ? wg_compare_check(&job->compare, err) : code;
}

#define FEW_EXPLAINED 4 /* setups: reasons of many would take long (judgement) */

/* A stop here takes away the reasons, and nothing else. */
static int find_reasons(struct wg_call *call, struct page_comparison *job) {
    const struct wg_ensemble_options options = {.stop = &call->engine->stop};
    int code = 0;
    for (int i = 0; i < job->n && code == 0; i++) {
        struct page_setup *const side = &job->side[i];
        const struct wg_plan plan = wg_compare_plan(&job->compare, i);
        if (job->n <= FEW_EXPLAINED || wg_request_has(call->request, "why"))
            code = wg_reasons_find(&side->reasons, &plan, &job->compare.setup[i].summary, true, &options, &call->err);
        if (code == WG_STOPPED)
            side->reasons.lives = side->reasons.checks.lives = 0;
        if (code == 0)
            wg_reasons_line(&side->reasons, &side->scenario.plan, wg_setup_letter(i), &side->why);
    }
    return code == WG_STOPPED ? 0 : code;
}

static int run_comparison(struct wg_call *call, struct page_comparison *job) {
    struct wg_page_progress progress = {.engine = call->engine, .doing = "simulating"};
    const struct wg_ensemble_options options = {
        .stop = &call->engine->stop, .progress = wg_page_progress, .progress_self = &progress};
    int code = prepare_setups(job, &call->err);
    if (code == 0)
        code = wg_compare_run(&job->compare, &options, &call->err);
    if (code != 0)
        return code;
    for (int i = 0; i < job->n; i++)
        wg_warnings_find(&job->side[i].warnings, &job->side[i].watch, &job->side[i].work);
    code = wg_choice_of(&job->choice, &job->compare, &call->err);
    return code == 0 ? find_reasons(call, job) : code;
}

/* ---- the answer ---- */

static int print_comparison_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_comparison_print_json(self, to, err);
}

static int print_comparison_text(const void *self, FILE *to, struct wg_error *err) {
    return wg_comparison_print(self, to, err);
}

static struct wg_comparison comparison_of(const struct page_comparison *job) {
    struct wg_comparison comparison = {
        .n = job->n, .compare = &job->compare, .choice = &job->choice, .varied = &job->varied};
    for (int i = 0; i < job->n; i++)
        comparison.forecast[i] = (struct wg_forecast){.scenario = &job->side[i].scenario,
                                                      .summary = &job->compare.setup[i].summary,
                                                      .warnings = &job->side[i].warnings,
                                                      .work = &job->side[i].work,
                                                      .reasons = &job->side[i].reasons};
    return comparison;
}

static int open_comparison(struct wg_call *call, const struct page_comparison *job, struct wg_comparison_data *data) {
    const char *const now = wg_request_text(call->request, "now");
    const struct wg_provenance provenance = {.command_line = job->command.data,
                                             .started = now != NULL ? now : "",
                                             .replicates = job->compare.replicates,
                                             .seed = job->compare.seed};
    struct wg_comparison_words words = {.varied = &job->varied};
    const struct wg_scenario *scenario[WG_COMPARE_MAX];
    const struct wg_warnings *warnings[WG_COMPARE_MAX];
    for (int i = 0; i < job->n; i++) {
        scenario[i] = &job->side[i].scenario;
        warnings[i] = &job->side[i].warnings;
        words.why[i] = job->side[i].why.data;
    }
    return wg_comparison_data_now(data, &job->compare, scenario, warnings, &words, &provenance, &call->err);
}

int wg_call_put_comparison(struct wg_call *call, struct wg_comparison_data *data) {
    struct wg_bytes report = {0};
    struct wg_figures figures = {0};
    struct wg_choice choice = {0};
    const struct wg_page page = {.to = &report, .prefix = "", .is_body = true};
    int code = wg_report_comparison(data, &page, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    if (code == 0)
        code = wg_comparison_data_choice(data, &choice, &call->err);
    if (code == 0)
        code = wg_comparison_figures(&figures, data, &choice, &call->err);
    if (code == 0)
        code = wg_call_put_figures(call, &figures);
    wg_choice_free(&choice);
    wg_figures_free(&figures);
    wg_bytes_free(&report);
    return code;
}

static int put_comparison_report(struct wg_call *call, const struct page_comparison *job) {
    struct wg_comparison_data data = {0};
    int code = open_comparison(call, job, &data);
    if (code == 0)
        code = wg_call_put_comparison(call, &data);
    wg_comparison_data_free(&data);
    return code;
}

static int put_comparison(struct wg_call *call, const struct page_comparison *job) {
    const struct wg_comparison comparison = comparison_of(job);
    int code = wg_call_embed_printed(call, "comparison", print_comparison_json, &comparison);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_comparison_text, &comparison);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &job->command);
    return code == 0 ? put_comparison_report(call, job) : code;
}

int wg_call_compare(struct wg_call *call) {
    struct page_comparison *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_no_memory(&call->err, NULL);
    int code = read_setups(call, job);
    if (code == 0)
        code = read_numbers(call, job);
    if (code == 0)
        code = run_comparison(call, job);
    if (code == 0)
        code = put_comparison(call, job);
    if (code < 0 && job->n > 0)
        code = wg_call_place_overgrown(call, &job->side[job->compare.at].scenario, code);
    free_page_comparison(job);
    return code;
}
