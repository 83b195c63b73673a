/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes plans from a file, a text, or a text written here. Every plan has a text, which a result stores, so that plans
 * made in memory can be repeated too.
 */
#include "library/public.h"
#include "outline/outline.h"
#include "text/goal_text.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- reading ---- */

/* Reports the first mistake with its position, and the number of mistakes. */
static int fail_with_first_mistake(const struct wg_mistakes *list, const struct wg_error *err,
                                   struct wintergrub_error *error) {
    if (err->code != WG_ERR_INPUT || list->n == 0)
        return wg_public_error(error, err);
    const struct wg_mistake *const first = &list->items[0];
    char where[sizeof err->where], count[40] = "";
    (void)snprintf(where, sizeof where, first->line > 0 ? "%.120s:%d:%d" : "%.120s", list->path, first->line,
                   first->column);
    if (list->n > 1)
        (void)snprintf(count, sizeof count, " (%zu mistakes in all)", list->n);
    return wg_public_fail(error, err->code, where, "%.590s%s", first->message, count);
}

/* Moves the list to the caller and empties it. */
static int give_mistakes(struct wg_mistakes *list, wintergrub_mistakes **out, struct wg_error *err) {
    if (out == NULL)
        return 0;
    *out = malloc(sizeof **out);
    if (*out == NULL)
        return wg_no_memory(err, NULL);
    (*out)->list = *list;
    *list = (struct wg_mistakes){0};
    return 0;
}

/* Returns the plan that was read, or its mistakes. Frees the list. */
static int finish_plan(wintergrub_plan **plan, wintergrub_plan *made, int code, struct wg_mistakes *list,
                       struct wg_error *err, wintergrub_mistakes **mistakes, struct wintergrub_error *error) {
    if (code < 0) {
        wintergrub_plan_free(made);
        code = fail_with_first_mistake(list, err, error);
    } else {
        *plan = made;
    }
    struct wg_error lacking = {0};
    if (code == WG_ERR_INPUT && give_mistakes(list, mistakes, &lacking) < 0)
        code = wg_public_error(error, &lacking);
    wg_mistakes_free(list);
    return code;
}

static wintergrub_plan *begin_plan(wintergrub_plan **plan, wintergrub_mistakes **mistakes,
                                   struct wg_public_locale *locale, struct wg_error *err) {
    *plan = NULL;
    if (mistakes != NULL)
        *mistakes = NULL;
    wintergrub_plan *const made = calloc(1, sizeof *made);
    if (made == NULL)
        (void)wg_no_memory(err, NULL);
    else if (wg_public_locale_begin(locale, err) == 0)
        return made;
    free(made);
    return NULL;
}

int wg_public_read_plan(wintergrub_plan **plan, const char *path, const char *text, size_t size, const char *record,
                        size_t record_size, wintergrub_mistakes **mistakes, struct wintergrub_error *error) {
    struct wg_error err = {0};
    struct wg_mistakes list = {0};
    struct wg_public_locale locale;
    wintergrub_plan *const made = begin_plan(plan, mistakes, &locale, &err);
    if (made == NULL)
        return wg_public_error(error, &err);
    const int code = text == NULL
                         ? wg_scenario_read(&made->scenario, path, &list, &err)
                         : wg_scenario_read_text(&made->scenario, path, text, size, record, record_size, &list, &err);
    wg_public_locale_end(&locale);
    return finish_plan(plan, made, code, &list, &err, mistakes, error);
}

int wintergrub_plan_read(wintergrub_plan **plan, const char *path, wintergrub_mistakes **mistakes,
                         struct wintergrub_error *error) {
    return wg_public_read_plan(plan, path, NULL, 0, NULL, 0, mistakes, error);
}

int wintergrub_plan_from_text(wintergrub_plan **plan, const char *text, const char *record,
                              wintergrub_mistakes **mistakes, struct wintergrub_error *error) {
    return wg_public_read_plan(plan, NULL, text, strlen(text), record, record == NULL ? 0 : strlen(record), mistakes,
                               error);
}

void wintergrub_plan_free(wintergrub_plan *plan) {
    if (plan == NULL)
        return;
    wg_scenario_free(&plan->scenario);
    free(plan);
}

/* ---- the smallest plans ---- */

#define NUMBER "%.15g" /* exact enough for measurements, and 27.3 stays 27.3 */
#define DATE "%.20s"   /* longer than a date, so that the reader refuses what is too long */

/* A text of limited size: 4 kB is four times the longest of these plans. */
struct plan_text {
    size_t n;
    char text[4096];
};

static void append_plan_line(struct plan_text *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void append_plan_line(struct plan_text *out, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const int n = vsnprintf(out->text + out->n, sizeof out->text - out->n, format, args);
    va_end(args);
    wg_assert(n >= 0 && (size_t)n < sizeof out->text - out->n);
    out->n += (size_t)n;
}

static void append_normals(struct plan_text *out, const char *name, const double value[12]) {
    append_plan_line(out, "    %s: [", name);
    for (int month = 0; month < 12; month++)
        append_plan_line(out, NUMBER "%s", value[month], month < 11 ? ", " : "]\n");
}

static void append_starter_and_feed(struct plan_text *out, const char *from, int64_t eggs, double feed_kg_week) {
    append_plan_line(out, "starter: [{on: " DATE ", in: tray, stage: egg, count: %lld}]\n", from, (long long)eggs);
    if (feed_kg_week == 0)
        append_plan_line(out, "feeding: unlimited\n");
    else
        append_plan_line(out, "feeding: [{in: tray, what: kitchen scraps, amount: " NUMBER " kg/week}]\n",
                         feed_kg_week);
    append_plan_line(out, "forecast: {replicates: 512, seed: 1}\n");
}

int wintergrub_plan_laboratory(wintergrub_plan **plan, const char *from, const char *to, double temperature_c,
                               int64_t eggs, double feed_kg_week, struct wintergrub_error *error) {
    struct plan_text out = {0};
    struct wg_error err = {0};
    struct wg_public_locale locale;
    *plan = NULL;
    if (wg_public_locale_begin(&locale, &err) < 0)
        return wg_public_error(error, &err);
    append_plan_line(&out, "period: {from: " DATE ", to: " DATE "}\n", from, to);
    append_plan_line(&out, "climate: {constant: " NUMBER " degC}\n", temperature_c);
    append_plan_line(&out, "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n");
    append_starter_and_feed(&out, from, eggs, feed_kg_week);
    wg_public_locale_end(&locale);
    return wg_public_read_plan(plan, NULL, out.text, out.n, NULL, 0, NULL, error);
}

int wintergrub_plan_outdoors(wintergrub_plan **plan, const char *from, const char *to, double latitude_deg,
                             const double daily_high_c[12], const double daily_low_c[12], int64_t eggs,
                             double feed_kg_week, struct wintergrub_error *error) {
    struct plan_text out = {0};
    struct wg_error err = {0};
    struct wg_public_locale locale;
    *plan = NULL;
    if (wg_public_locale_begin(&locale, &err) < 0)
        return wg_public_error(error, &err);
    append_plan_line(&out, "period: {from: " DATE ", to: " DATE "}\n", from, to);
    append_plan_line(&out, "climate:\n  latitude: " NUMBER " degrees\n  normals:\n    unit: degC\n", latitude_deg);
    append_normals(&out, "daily_high", daily_high_c);
    append_normals(&out, "daily_low", daily_low_c);
    append_plan_line(&out, "places: [{name: yard, housing: outdoors, bins: [{name: tray}]}]\n");
    append_starter_and_feed(&out, from, eggs, feed_kg_week);
    wg_public_locale_end(&locale);
    return wg_public_read_plan(plan, NULL, out.text, out.n, NULL, 0, NULL, error);
}

/* ---- reading a plan ---- */

const char *wintergrub_plan_text(const wintergrub_plan *plan) {
    return plan->scenario.text;
}

const char *wintergrub_plan_name(const wintergrub_plan *plan) {
    return wg_scenario_name(&plan->scenario);
}

char *wintergrub_plan_describe(const wintergrub_plan *plan) {
    struct wg_public_locale locale;
    if (wg_public_locale_begin(&locale, NULL) < 0)
        return NULL;
    char *const text = wg_outline(&plan->scenario);
    wg_public_locale_end(&locale);
    return text;
}

int wintergrub_plan_days(const wintergrub_plan *plan) {
    return plan->scenario.plan.last_day - plan->scenario.plan.first_day + 1;
}

int32_t wintergrub_plan_first_day(const wintergrub_plan *plan) {
    return plan->scenario.plan.first_day;
}

int64_t wintergrub_plan_replicates(const wintergrub_plan *plan) {
    return plan->scenario.plan.replicates;
}

uint64_t wintergrub_plan_seed(const wintergrub_plan *plan) {
    return plan->scenario.plan.seed;
}

int wintergrub_plan_goals(const wintergrub_plan *plan) {
    return plan->scenario.plan.n_goals;
}

double wintergrub_plan_goal(const wintergrub_plan *plan, int i, char *text, size_t size) {
    if (size > 0)
        text[0] = '\0';
    if (i < 0 || i >= wintergrub_plan_goals(plan))
        return (double)NAN;
    const struct wg_goal *const goal = &plan->scenario.plan.goal[i];
    char sentence[WG_GOAL_SENTENCE_SIZE];
    struct wg_public_locale locale;
    const bool is_plain = wg_public_locale_begin(&locale, NULL) == 0;
    wg_goal_text(goal, plan->scenario.plan.currency, sentence);
    if (is_plain)
        wg_public_locale_end(&locale);
    if (size > 0)
        (void)snprintf(text, size, "%s", sentence);
    return goal->chance;
}

const char *wintergrub_plan_caution(const wintergrub_plan *plan, int i) {
    for (int caution = 0; caution < WG_N_CAUTIONS; caution++)
        if (wg_caution_applies(&plan->scenario.plan, (enum wg_caution)caution) && i-- == 0)
            return wg_caution_text((enum wg_caution)caution);
    return NULL;
}

double wintergrub_plan_latitude(const wintergrub_plan *plan) {
    const struct wg_climate_spec *const climate = &plan->scenario.plan.climate;
    return climate->kind == WG_CLIMATE_CONSTANT ? (double)NAN : climate->latitude_deg;
}

int wintergrub_plan_columns(const wintergrub_plan *plan, enum wintergrub_per per) {
    switch (per) {
    case WINTERGRUB_PER_DAY:
        return 1;
    case WINTERGRUB_PER_STAGE:
        return WG_N_STAGES;
    case WINTERGRUB_PER_PLACE:
        return plan->scenario.plan.n_places;
    case WINTERGRUB_PER_BIN:
        return plan->scenario.plan.n_bins;
    case WINTERGRUB_PER_CAUSE:
        return WG_N_CAUSES;
    }
    return 0;
}

const char *wintergrub_plan_column(const wintergrub_plan *plan, enum wintergrub_per per, int column) {
    if (column < 0 || column >= wintergrub_plan_columns(plan, per))
        return NULL;
    switch (per) {
    case WINTERGRUB_PER_DAY:
        break;
    case WINTERGRUB_PER_STAGE:
        return wg_stage_name((enum wg_stage)column);
    case WINTERGRUB_PER_PLACE:
        return plan->scenario.plan.places[column].name;
    case WINTERGRUB_PER_BIN:
        return plan->scenario.plan.bins[column].name;
    case WINTERGRUB_PER_CAUSE:
        return wg_cause_name((enum wg_cause)column);
    }
    return "";
}

int wintergrub_plan_bin_place(const wintergrub_plan *plan, int bin) {
    return bin < 0 || bin >= plan->scenario.plan.n_bins ? -1 : plan->scenario.plan.bins[bin].place;
}

int wintergrub_plan_check(const wintergrub_plan *plan, struct wintergrub_error *error) {
    struct wg_error err = {0};
    return wg_plan_check(&plan->scenario.plan, &err) == 0 ? 0 : wg_public_error(error, &err);
}
