/*
 * "run": the forecast of a plan; "why": the reasons behind the last one.
 */
#include "base/calendar.h"
#include "browser/command_line.h"
#include "browser/page_run.h"
#include "report/calendar_text.h"
#include "report/forecast_json.h"
#include "report/forecast_text.h"
#include "report/ical.h"
#include "report/reasons_text.h"

#include <math.h>
#include <stdlib.h>

/* ---- the simulation ---- */

struct life_reporter {
    struct wg_page *page;
    int64_t count;
};

#define LAST_DAYS 91 /* judgement: a season */

static int64_t left_alive(const struct wg_diary *diary, int day) {
    int64_t alive = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        alive += diary->count[(size_t)day * WG_N_STAGES + (size_t)stage];
    return alive;
}

static int last_day_alive(const struct wg_diary *diary) {
    int day = diary->n_days - 1;
    while (day > 0 && left_alive(diary, day) == 0)
        day--;
    return day;
}

/* Returns what killed most in the last season, beside age and what kills a few everywhere; NULL if nothing did. */
static const char *cause_of_end(const struct wg_diary *diary, int last) {
    int64_t deaths[WG_N_CAUSES] = {0};
    int most = WG_CAUSE_AGE;
    const int end = last + 1 < diary->n_days ? last + 1 : last;
    for (int day = end > LAST_DAYS ? end - LAST_DAYS : 0; day <= end; day++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            deaths[cause] += diary->deaths[(size_t)day * WG_N_CAUSES + (size_t)cause];
    deaths[WG_CAUSE_AGE] = deaths[WG_CAUSE_BACKGROUND] = 0;
    for (int cause = 0; cause < WG_N_CAUSES; cause++)
        most = deaths[cause] > deaths[most] ? cause : most;
    return deaths[most] > 0 ? wg_cause_name((enum wg_cause)most) : NULL;
}

/* Writes when and of what a colony died out. */
static void put_end(struct wg_json *json, const struct wg_diary *diary) {
    char day[16];
    const int last = last_day_alive(diary);
    if (diary->survived > 0)
        return;
    wg_day_format(diary->first_day + last, day);
    wg_json_text(json, "until", day);
    wg_json_text(json, "cause", cause_of_end(diary, last));
}

/* Reports each life as it comes, for the dots. */
static int report_life(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    const struct life_reporter *const reporter = self;
    struct wg_json *const json = wg_json_new();
    (void)err;
    wg_json_whole(json, "year", replicate);
    wg_json_whole(json, "of", reporter->count);
    wg_json_flag(json, "alive", diary->survived > 0);
    wg_json_real(json, "harvest_kg", diary->total_harvest_mass);
    put_end(json, diary);
    wg_page_event(reporter->page, json);
    return 0;
}

/* A stopped run is the run of the replicates that were lived, if there are any. */
static int settle_count(struct wg_page_run *run, int code) {
    if (code != WG_STOPPED || run->summary.n == 0)
        return code;
    run->was_stopped = true;
    run->scenario.plan.replicates = run->summary.n;
    return 0;
}

static int live_replicates(struct wg_page *page, struct wg_page_run *run, struct wg_error *err) {
    const struct wg_plan *const plan = &run->scenario.plan;
    struct life_reporter reporter = {page, plan->replicates};
    const struct wg_observer observers[] = {wg_summary_observer(&run->summary),
                                            wg_warning_observer(&run->watch),
                                            wg_work_observer(&run->work),
                                            wg_goal_tally_observer(&run->odds),
                                            {report_life, &reporter}};
    const struct wg_ensemble_options options = {.count = plan->replicates, .stop = &page->stop};
    run->watch.plan = plan;
    wg_goal_tally_init(&run->odds, plan);
    int code = wg_summary_init(&run->summary, plan, plan->replicates, err);
    if (code == 0)
        code = wg_work_init(&run->work, plan, plan->replicates, err);
    if (code == 0)
        code = wg_ensemble_run(plan, &options, observers, sizeof observers / sizeof *observers, err);
    code = settle_count(run, code);
    if (code == 0)
        wg_warnings_find(&run->warnings, &run->watch, &run->work);
    return code;
}

/* A colony that grows past what can be counted is a mistake of the feeding. */
static int place_overgrown(struct wg_call *call, const struct wg_scenario *scenario, int code) {
    if (code != WG_ERR_OVERGROWN || scenario->feeding_line == 0)
        return code;
    (void)wg_mistakes_add(&call->mistakes, scenario->feeding_line, scenario->feeding_column, "%s", call->err.text);
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
    return 0;
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

/* Writes a line for each replicate, a column for each outcome. */
static int print_years(const void *self, FILE *to, struct wg_error *err) {
    const struct wg_page_run *const run = self;
    (void)err;
    (void)fputs("year", to);
    for (int o = 0; o < WG_N_OUTCOMES; o++)
        if (wg_outcome_is_kept((enum wg_outcome_number)o, &run->scenario.plan))
            (void)fprintf(to, ",%s", wg_diary_outcomes()[o].name);
    (void)fputc('\n', to);
    for (int64_t k = 0; k < run->summary.n; k++) {
        (void)fprintf(to, "%lld", (long long)k);
        for (int o = 0; o < WG_N_OUTCOMES; o++) {
            const double value = wg_summary_outcome(&run->summary, (enum wg_outcome_number)o)[k];
            if (wg_outcome_is_kept((enum wg_outcome_number)o, &run->scenario.plan))
                (void)fprintf(to, isfinite(value) ? ",%.12g" : ",", value);
        }
        (void)fputc('\n', to);
    }
    return 0;
}

static void put_run_counts(struct wg_json *json, const struct wg_page_run *run) {
    wg_json_object(json, "counts");
    wg_json_whole(json, "years", run->odds.n);
    wg_json_whole(json, "alive", run->odds.alive);
    wg_json_close(json);
    wg_json_flag(json, "stopped", run->was_stopped);
}

static int put_run_command(struct wg_call *call, const struct wg_page_run *run) {
    struct wg_bytes line = {0};
    wg_command_begin(&line, "run", run->scenario.path);
    wg_command_add_count(&line, "--replicates", (uint64_t)run->scenario.plan.replicates);
    wg_command_add_count(&line, "--seed", run->scenario.plan.seed);
    const int code = wg_call_put_bytes(call, "command", &line);
    wg_bytes_free(&line);
    return code;
}

static int put_run(struct wg_call *call, const struct wg_page_run *run) {
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
        code = wg_call_put_printed(call, "years_csv", print_years, run);
    return code == 0 ? put_run_command(call, run) : code;
}

static int live_and_explain(struct wg_call *call, struct wg_page_run *run) {
    int code = live_replicates(call->page, run, &call->err);
    if (code == 0 && wg_request_has(call->request, "why"))
        code = wg_page_run_explain(call->page, run, &call->err);
    return place_overgrown(call, &run->scenario, code);
}

int wg_call_run(struct wg_call *call) {
    struct wg_page_run *const run = calloc(1, sizeof *run);
    if (run == NULL)
        return wg_no_memory(&call->err, NULL);
    wg_page_run_free(call->page->run);
    call->page->run = run;
    int code = read_run(call, run);
    if (code == 0)
        code = live_and_explain(call, run);
    if (code == 0)
        code = put_run(call, run);
    if (code == 0)
        return 0;
    wg_page_run_free(run);
    call->page->run = NULL;
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
    struct wg_page_run *const run = call->page->run;
    if (run == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "There is no forecast yet to explain.");
    int code = wg_page_run_explain(call->page, run, &call->err);
    if (code == 0)
        code = put_why(call, run);
    return code == 0 ? put_run(call, run) : code;
}
