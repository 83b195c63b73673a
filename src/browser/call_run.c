/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "run": the forecast of a plan; "why": the reasons behind the last one.
 */
#include "base/calendar.h"
#include "base/sha256.h"
#include "browser/life.h"
#include "browser/page_run.h"
#include "figures/run_csv.h"
#include "report/calendar_text.h"
#include "report/forecast_text.h"
#include "report/reasons_text.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* ---- the request ---- */

static int add_to_key(void *self, const char *name, const char *text) {
    char digest[WG_SHA256_TEXT_SIZE];
    wg_sha256(text, strlen(text), digest);
    wg_bytes_put(self, digest);
    wg_bytes_put(self, name);
    wg_bytes_add(self, "", 1);
    return 0;
}

/* Digests all that a replicate is made of: plan, files and seed. */
static int find_replicates_key(const struct wg_request *plan, struct wg_page_run *run, struct wg_error *err) {
    struct wg_bytes bytes = {0};
    wg_bytes_printf(&bytes, "%" PRIu64 " ", run->scenario.plan.seed);
    (void)add_to_key(&bytes, "", wg_request_text(plan, "text"));
    (void)wg_request_each(wg_request_part(plan, "files"), add_to_key, &bytes);
    const int code = wg_bytes_failed(&bytes, err);
    if (code == 0)
        wg_sha256(bytes.data, bytes.size, run->key);
    wg_bytes_free(&bytes);
    return code;
}

static int read_run(struct wg_call *call, struct wg_page_run *run) {
    struct wg_plan *const plan = &run->scenario.plan;
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &run->scenario);
    uint64_t years = (uint64_t)plan->replicates;
    if (code < 0)
        return code;
    (void)wg_request_whole(call->request, "years", &years);
    (void)wg_request_whole(call->request, "seed", &plan->seed);
    if (years < 1 || years > WG_MAX_REPLICATES)
        return wg_fail(&call->err, WG_ERR_USAGE, "years", "The number of years must be from 1 to %d.",
                       (int)WG_MAX_REPLICATES);
    plan->replicates = (int64_t)years;
    const char *const now = wg_request_text(call->request, "now");
    (void)snprintf(run->now, sizeof run->now, "%s", now != NULL ? now : "");
    return find_replicates_key(wg_request_part(call->request, "plan"), run, &call->err);
}

/* ---- the simulation ---- */

struct life_reporter {
    struct wg_engine *engine;
    int64_t count;
};

/* Reports each life as it comes, for the dots. */
static int report_life(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    const struct life_reporter *const reporter = self;
    struct wg_json *const json = wg_json_new();
    (void)err;
    wg_json_whole(json, "year", replicate);
    wg_json_whole(json, "of", reporter->count);
    wg_json_flag(json, "alive", diary->survived > 0);
    wg_json_real(json, "harvest_kg", diary->total_harvest_mass);
    wg_life_put_end(json, diary);
    wg_page_event(reporter->engine, json);
    return 0;
}

/* A stopped run is the run of the replicates that were lived, if there are any. */
static int settle_count(struct wg_page_run *run, int code) {
    if (code != WG_STOPPED || run->summary.n == 0)
        return code;
    run->was_stopped = true;
    return 0;
}

static int live_replicates(struct wg_engine *engine, struct wg_page_run *run, struct wg_error *err) {
    const struct wg_plan *const plan = &run->scenario.plan;
    struct life_reporter reporter = {engine, plan->replicates};
    struct wg_observer observers[WG_PAGE_RUN_OBSERVERS + 1];
    const struct wg_ensemble_options options = {.count = plan->replicates, .stop = &engine->stop, .key = run->key};
    int code = wg_page_run_begin(run, err);
    if (code < 0)
        return code;
    wg_page_run_observers(run, observers);
    observers[WG_PAGE_RUN_OBSERVERS] = (struct wg_observer){report_life, &reporter};
    code = settle_count(run, wg_ensemble_run(plan, &options, observers, WG_PAGE_RUN_OBSERVERS + 1, err));
    return code == 0 ? wg_page_run_end(run, err) : code;
}

/* ---- the answer ---- */

static int print_json_of(const void *self, FILE *to, struct wg_error *err) {
    return wg_forecast_print_json(self, to, err);
}

static int print_text_of(const void *self, FILE *to, struct wg_error *err) {
    return wg_forecast_print(self, to, err);
}

static int print_calendar_of(const void *self, FILE *to, struct wg_error *err) {
    return wg_work_print(self, to, err);
}

static int put_ical(struct wg_call *call, const struct wg_forecast *forecast) {
    struct wg_bytes bytes = {0};
    int code = wg_ical_write(forecast, &bytes, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "ics", &bytes);
    wg_bytes_free(&bytes);
    return code;
}

/* Writes a line for each replicate, and one for each day. */
static int put_tables(struct wg_call *call, struct wg_page_run *run) {
    struct wg_bytes years = {0}, days = {0};
    int code = wg_run_years_csv(&run->data, &run->scenario.plan, &years, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "years_csv", &years);
    if (code == 0)
        code = wg_run_days_csv(&run->data, &days, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "days_csv", &days);
    wg_bytes_free(&years);
    wg_bytes_free(&days);
    return code;
}

static void put_run_counts(struct wg_json *json, const struct wg_page_run *run) {
    wg_json_object(json, "counts");
    wg_json_whole(json, "years", run->odds.n);
    wg_json_whole(json, "alive", run->odds.alive);
    wg_json_close(json);
    wg_json_flag(json, "stopped", run->was_stopped);
}

static int write_run_body(struct wg_call *call, struct wg_page_run *run, struct wg_bytes *to) {
    const struct wg_page page = {.to = to, .prefix = "", .is_body = true};
    return wg_report_result(&run->data, &run->scenario, &run->lives, &page, &call->err);
}

static int put_run_report(struct wg_call *call, struct wg_page_run *run) {
    struct wg_bytes report = {0};
    struct wg_figures figures = {0};
    int code = write_run_body(call, run, &report);
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    if (code == 0)
        code = wg_figures_make(&figures, &run->data, &call->err);
    if (code == 0)
        code = wg_call_put_figures(call, &figures);
    wg_figures_free(&figures);
    wg_bytes_free(&report);
    return code;
}

static int put_run(struct wg_call *call, struct wg_page_run *run) {
    const struct wg_forecast forecast = wg_page_run_forecast(run);
    put_run_counts(call->answer, run);
    int code = wg_call_embed_printed(call, "forecast", print_json_of, &forecast);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_text_of, &forecast);
    if (code == 0)
        code = wg_call_put_printed(call, "calendar", print_calendar_of, forecast.work);
    if (code == 0)
        code = put_ical(call, &forecast);
    if (code == 0)
        code = put_tables(call, run);
    if (code == 0)
        code = wg_call_put_bytes(call, "command", &run->command);
    return code == 0 ? put_run_report(call, run) : code;
}

static int live_and_explain(struct wg_call *call, struct wg_page_run *run) {
    int code = live_replicates(call->engine, run, &call->err);
    if (code == 0 && wg_request_has(call->request, "why"))
        code = wg_page_run_explain(call->engine, run, &call->err);
    return wg_call_place_overgrown(call, &run->scenario, code);
}

int wg_call_run(struct wg_call *call) {
    struct wg_page_run *const run = calloc(1, sizeof *run);
    if (run == NULL)
        return wg_no_memory(&call->err, NULL);
    wg_page_run_free(call->engine->run);
    call->engine->run = run;
    int code = read_run(call, run);
    if (code == 0)
        code = live_and_explain(call, run);
    if (code == 0)
        code = put_run(call, run);
    if (code == 0)
        return 0;
    wg_page_run_free(run);
    call->engine->run = NULL;
    return code;
}

/* ---- why ---- */

static int put_why(struct wg_call *call, const struct wg_page_run *run) {
    struct wg_bytes words = {0}, line = {0};
    const struct wg_plan *const plan = &run->scenario.plan;
    wg_reasons_words(&run->reasons, plan, &words);
    wg_reasons_check_words(&run->reasons, plan, &words);
    if (run->reasons.lives > 0)
        wg_reasons_line(&run->reasons, plan, "it", &line);
    int code = wg_call_put_bytes(call, "why", &words);
    if (code == 0)
        code = wg_call_put_bytes(call, "line", &line);
    wg_bytes_free(&words);
    wg_bytes_free(&line);
    return code;
}

int wg_call_why(struct wg_call *call) {
    struct wg_page_run *const run = call->engine->run;
    if (run == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "There is no forecast yet to explain.");
    int code = wg_page_run_explain(call->engine, run, &call->err);
    if (code == 0)
        code = put_why(call, run);
    return code == 0 ? put_run(call, run) : code;
}
