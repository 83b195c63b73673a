/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Does the work of `size`.
 */
#include "size/size_job.h"

#include "analysis/plan_warnings.h"
#include "colony/goal_met.h"
#include "data/size_sentences.h"
#include "forecast/tables.h"
#include "report/reasons_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SPAN 16.0   /* default range: a sixteenth of the value to sixteen times it */
#define TRIMMINGS 6 /* halvings of the way to an end of the default range that is not valid */

void wg_size_job_free(struct wg_size_job *job) {
    wg_tables_free(job->tables);
    wg_bytes_free(&job->why);
    wg_mistakes_free(&job->mistakes);
    wg_scenario_free(&job->tried);
    wg_scenario_free(&job->scenario);
}

/* ---- one value ---- */

/* Reads the scenario with the given value. */
static int read_with(const struct wg_size_job *job, struct wg_scenario *scenario, double value,
                     struct wg_mistakes *mistakes, struct wg_error *err) {
    const struct wg_scenario *const base = &job->scenario;
    size_t size;
    char *const text = wg_vary_text(&job->vary, base->text, base->text_size, value, &size);
    *scenario = (struct wg_scenario){0};
    if (text == NULL)
        return wg_no_memory(err, NULL);
    const int code =
        wg_scenario_read_text(scenario, base->path, text, size, base->record_text, base->record_size, mistakes, err);
    free(text);
    scenario->plan.seed = base->plan.seed;
    return code;
}

/* Loads the scenario with the given value, and keeps its mistakes. */
static int load_with(struct wg_size_job *job, struct wg_scenario *scenario, double value, struct wg_error *err) {
    wg_mistakes_free(&job->mistakes);
    job->wrong_value = value;
    return read_with(job, scenario, value, &job->mistakes, err);
}

/* True if the scenario is valid with the value; keeps an error that is no mistake of the scenario. */
static bool is_valid_value(struct wg_size_job *job, double value) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    struct wg_scenario scenario;
    const int code = read_with(job, &scenario, value, &mistakes, &err);
    if (code < 0 && code != WG_ERR_INPUT && job->range_err.code == 0)
        job->range_err = err;
    wg_mistakes_free(&mistakes);
    wg_scenario_free(&scenario);
    return code == 0;
}

/* Observes which goals each replicate meets. */
struct goals_met {
    const struct wg_plan *plan;
    int64_t first;
    uint8_t *met;
};

static int on_goals_met(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    const struct goals_met *const to = self;
    (void)err;
    for (int g = 0; g < to->plan->n_goals; g++)
        to->met[replicate - to->first] |= (uint8_t)(wg_goal_met(&to->plan->goal[g], diary) << g);
    return 0;
}

static int try_value(void *self, double value, int64_t first, int64_t n, uint8_t *met, struct wg_error *err) {
    struct wg_size_job *const job = self;
    if (job->replicates == 0 || job->tried_value != value) {
        wg_scenario_free(&job->tried);
        const int read = load_with(job, &job->tried, value, err);
        if (read < 0)
            return read;
        job->tried_value = value;
    }
    wg_assert(job->tried.plan.n_goals == job->question.n_goals);
    struct goals_met to = {&job->tried.plan, first, met};
    const struct wg_observer observer = {.on_replicate = on_goals_met, .self = &to};
    struct wg_ensemble_options options = job->options;
    options.first = first;
    options.count = n;
    const int code = wg_ensemble_run(&job->tried.plan, &options, &observer, 1, err);
    job->replicates += n;
    return code;
}

static struct wg_cell cell_of(const void *self, int64_t replicate) {
    const struct wg_size_job *const job = self;
    return wg_lattice_cell(&job->scenario.plan, replicate);
}

bool wg_size_has_value(const struct wg_size *size) {
    switch (size->outcome) {
    case WG_SIZE_FOUND:
    case WG_SIZE_ALREADY:
        return true;
    case WG_SIZE_UNDECIDED:
        return !isnan(size->enough) || !isnan(size->number.high);
    case WG_SIZE_NOT_MONOTONE:
        return size->point[size->best].verdict == WG_YES;
    case WG_SIZE_IMPOSSIBLE:
        break;
    }
    return false;
}

/* Finds why the value misses the goal that is hardest there, if no value is surely enough. */
static int find_size_reason(struct wg_size_job *job, const struct wg_plan *plan, struct wg_error *err) {
    const struct wg_ensemble_options options = {
        .threads = job->options.threads, .stop = job->options.stop, .tables = job->tables};
    const double value = wg_size_recommended(&job->vary, &job->size);
    char shown[2 * WG_VARY_SHOWN_SIZE], at[2 * WG_VARY_SHOWN_SIZE + 8];
    struct wg_reasons reasons;
    if (wg_size_has_value(&job->size))
        return 0;
    const int goal = wg_size_hardest_goal(&job->question, &job->size.point[job->size.best]);
    const int code = wg_reasons_find_goal(&reasons, plan, goal, WG_REASON_LIVES, &options, err);
    if (code != 0)
        return code;
    wg_vary_show_both(&job->vary, value, shown);
    (void)snprintf(at, sizeof at, " at %s", shown);
    wg_reasons_at_words(&reasons, plan, at, &job->why);
    return wg_bytes_failed(&job->why, err);
}

/* Simulates the recommended value again to find its warnings, and why it is not enough. */
static int find_size_warnings(struct wg_size_job *job, struct wg_error *err) {
    struct wg_scenario scenario;
    struct wg_ensemble_options options = job->options;
    options.count = WG_SIZE_WARNING_REPLICATES;
    int code = load_with(job, &scenario, wg_size_recommended(&job->vary, &job->size), err);
    if (code == 0)
        code = wg_warnings_of_plan(&job->warnings, &scenario.plan, &options, err);
    if (code == 0)
        code = find_size_reason(job, &scenario.plan, err);
    wg_scenario_free(&scenario);
    return code;
}

/* ---- the number and its range ---- */

/* Replicates, seed and the chance that a goal wants do not change the colony. */
static bool is_size_parameter(const char *path) {
    const char *const last = strrchr(path, '.');
    const bool is_chance = strncmp(path, "goal", 4) == 0 && last != NULL && strcmp(last, ".chance") == 0;
    return strncmp(path, "forecast.", 9) != 0 && !is_chance;
}

/* Finds the number; by default the first starter's count, or its weight. */
static int find_number(struct wg_size_job *job, struct wg_error *err) {
    struct wg_error other = {0};
    const struct wg_scenario *const base = &job->scenario;
    if (job->path != NULL && !is_size_parameter(job->path))
        return wg_fail(err, WG_ERR_INPUT, job->path,
                       "This changes nothing about the colony, so it cannot meet a goal.");
    const int code =
        wg_vary_find(&job->vary, base->text, base->text_size, job->path != NULL ? job->path : "starter.1.count", err);
    if (code == 0 || job->path != NULL ||
        wg_vary_find(&job->vary, base->text, base->text_size, "starter.1.weight", &other) != 0)
        return code;
    *err = (struct wg_error){0};
    return 0;
}

static void usual_range(const struct wg_size_job *job, double *low, double *high) {
    const struct wg_vary *const vary = &job->vary;
    const struct wg_plan *const plan = &job->scenario.plan;
    if (vary->is_date) {
        *low = vary->is_year_day ? vary->value - WG_SIZE_DAYS : fmax(vary->value - WG_SIZE_DAYS, plan->first_day);
        *high = vary->is_year_day ? vary->value + WG_SIZE_DAYS : fmin(vary->value + WG_SIZE_DAYS, plan->last_day);
    } else if (wg_size_is_share(vary)) {
        *low = 0;
        *high = 100;
    } else if (wg_size_is_temperature(vary)) {
        const double degrees = wg_size_degrees(vary);
        *low = vary->value - degrees;
        *high = vary->value + degrees;
    } else {
        *low = vary->value / SPAN;
        *high = vary->value * SPAN;
    }
    if (vary->step > 0) {
        *low = fmax(vary->is_date ? *low : 1, ceil(*low));
        *high = floor(*high);
    }
}

static int read_bound(const struct wg_vary *vary, const char *text, double *out, struct wg_error *err) {
    char shown[WG_VARY_SHOWN_SIZE];
    if (wg_vary_read(vary, text, out) == 0)
        return 0;
    wg_vary_show(vary, vary->value, shown);
    return wg_fail(err, WG_ERR_USAGE, NULL, "\"%s\" is not a value for %s, which is written like %s.", text, vary->path,
                   shown);
}

/* The next value beyond one end of the default range: by as much again as the range reaches from the value. */
static double value_beyond(const struct wg_size_job *job, double from, bool up) {
    const struct wg_vary *const vary = &job->vary;
    const struct wg_plan *const plan = &job->scenario.plan;
    if (vary->is_date) {
        const double moved = from + (up ? WG_SIZE_DAYS : -WG_SIZE_DAYS);
        return vary->is_year_day ? from : fmin(plan->last_day, fmax(plan->first_day, moved));
    }
    if (wg_size_is_share(vary))
        return from;
    if (wg_size_is_temperature(vary))
        return from + (up ? 1 : -1) * wg_size_degrees(vary);
    const double moved = up ? from * SPAN : fmax(vary->step, from / SPAN);
    return vary->step > 0 ? round(moved) : moved;
}

/* Lists at most so many values to which the search may move an end of the default range. */
static int list_widenings(struct wg_size_job *job, bool up, int most, double out[WG_SIZE_WIDENINGS]) {
    double from = up ? job->question.high : job->question.low;
    int n = 0;
    for (; n < most; n++) {
        const double to = value_beyond(job, from, up);
        if (!(to != from) || !is_valid_value(job, to))
            break;
        out[n] = from = to;
    }
    return n;
}

/* Moves an end of the default range towards the value until the scenario is valid there. */
static double trim_end(struct wg_size_job *job, double end) {
    const struct wg_vary *const vary = &job->vary;
    for (int i = 0; i < TRIMMINGS && !is_valid_value(job, end); i++) {
        end = (end + vary->value) / 2;
        end = vary->step > 0 ? round(end) : wg_size_is_temperature(vary) ? round(2 * end) / 2 : end;
    }
    return end;
}

static int find_range(struct wg_size_job *job, struct wg_error *err) {
    struct wg_size_question *const q = &job->question;
    const bool is_given = job->low != NULL && job->high != NULL;
    int code = 0;
    usual_range(job, &q->low, &q->high);
    if (!is_given) {
        q->low = trim_end(job, q->low);
        q->high = trim_end(job, q->high);
    }
    if (is_given)
        code = read_bound(&job->vary, job->low, &q->low, err);
    if (is_given && code == 0)
        code = read_bound(&job->vary, job->high, &q->high, err);
    if (code == 0 && !(q->low < q->high))
        code = wg_fail(err, WG_ERR_USAGE, NULL, "%s",
                       is_given ? "--between names the smaller value first."
                                : "give the range to search with --between LOW HIGH.");
    q->own = job->vary.value;
    q->geometric =
        q->low > 0 && !job->vary.is_date && !wg_size_is_share(&job->vary) && !wg_size_is_temperature(&job->vary);
    if (!is_given && code == 0) {
        q->n_starts = list_widenings(job, q->largest, WG_SIZE_WIDENINGS, q->starts);
        q->n_ends = list_widenings(job, !q->largest, q->geometric ? 1 : WG_SIZE_WIDENINGS, q->ends);
    }
    if (code == 0 && job->range_err.code < 0) {
        *err = job->range_err;
        code = err->code;
    }
    return code;
}

/* Sets how close to come: a tenth; half a degree of a temperature, two points of a share, a day of a date. */
static int find_width(struct wg_size_job *job, struct wg_error *err) {
    const struct wg_vary *const vary = &job->vary;
    struct wg_size_question *const q = &job->question;
    const bool plain = !vary->is_date && !wg_size_is_share(vary) && !wg_size_is_temperature(vary);
    q->step = vary->step;
    q->within_share = plain && job->within == NULL ? 0.1 : 0;
    q->within = wg_size_is_share(vary) ? 2 : wg_size_is_temperature(vary) ? 0.5 : vary->step;
    if (job->within == NULL)
        return 0;
    if (wg_vary_read_width(vary, job->within, &q->within) != 0 || !(q->within > 0))
        return wg_fail(err, WG_ERR_USAGE, NULL, "--within is a width in the unit of the number, not \"%s\".",
                       job->within);
    return 0;
}

/* ---- the whole ---- */

static int set_goals(struct wg_size_job *job, struct wg_error *err) {
    const struct wg_plan *const plan = &job->scenario.plan;
    job->question.n_goals = plan->n_goals;
    for (int i = 0; i < plan->n_goals; i++)
        job->question.wanted[i] = plan->goal[i].chance;
    if (plan->n_goals > 0)
        return 0;
    return wg_fail(err, WG_ERR_INPUT, job->scenario.path,
                   "There is no goal in it. Add, for example, goal: {survive: yes, chance: 95 %%}.");
}

/* Checks that both ends of the range give valid scenarios, before anything is simulated. */
static int check_ends(struct wg_size_job *job, struct wg_error *err) {
    const double ends[] = {job->question.low, job->question.high};
    for (int i = 0; i < 2; i++) {
        struct wg_scenario scenario;
        const int code = load_with(job, &scenario, ends[i], err);
        wg_scenario_free(&scenario);
        if (code < 0)
            return code;
    }
    return 0;
}

int wg_size_job_prepare(struct wg_size_job *job, struct wg_error *err) {
    job->question.grid = 6;
    int code = set_goals(job, err);
    if (code == 0)
        code = find_number(job, err);
    if (code == 0)
        code = find_range(job, err);
    if (code == 0)
        code = find_width(job, err);
    return code == 0 ? check_ends(job, err) : code;
}

int wg_size_job_search(struct wg_size_job *job, struct wg_error *err) {
    job->question.trial = try_value;
    job->question.cell = cell_of;
    job->question.self = job;
    int code = job->tables == NULL ? wg_tables_new(&job->tables, err) : 0;
    job->options.tables = job->tables;
    if (code == 0)
        code = wg_size_search(&job->question, &job->size, err);
    return code == 0 ? find_size_warnings(job, err) : code;
}

struct wg_size_output wg_size_job_output(const struct wg_size_job *job) {
    return (struct wg_size_output){.scenario = &job->scenario,
                                   .vary = &job->vary,
                                   .question = &job->question,
                                   .size = &job->size,
                                   .seed = job->scenario.plan.seed,
                                   .why = job->why.data != NULL ? job->why.data : "",
                                   .warnings = &job->warnings};
}
