/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes and words the rows of the work calendar.
 */
#include "report/calendar_text.h"

#include "base/calendar.h"
#include "text/action_text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_WEEKS 70 /* of a period shown by week: a year and a season */

/* In weather so cold that an interval reaches beyond the next week, its length means nothing. */
#define LONGEST_WAIT_SHOWN 14.0

/* ---- units ---- */

#define LEAST_KG 0.5         /* below it in every week, grams are easier to weigh */
#define NEXT_TO_NOTHING 0.01 /* share of what the plan gives (judgement) */
#define MANY_KG 10.0         /* above it in some week, ten grams do not matter */

static struct wg_calendar_unit unit_for(double most_kg) {
    const double lb = WG_KG_PER_LB, step = most_kg > MANY_KG ? 0.1 : 0.01;
    if (most_kg < LEAST_KG)
        return (struct wg_calendar_unit){"g", "oz", 0.001, lb / 16, 1, 0.1};
    return (struct wg_calendar_unit){"kg", "lb", 1, lb, step, step};
}

static double larger(double most, double value) {
    return isfinite(value) && value > most ? value : most;
}

/* ---- all rows ---- */

/* The keeper does a move of everything once; its first part stands for it. */
static bool is_later_part(const struct wg_plan *plan, const struct wg_action *action) {
    for (const struct wg_action *other = plan->actions; other < action; other++)
        if (wg_action_is_same_job(other, action))
            return true;
    return false;
}

static bool is_in_calendar(const struct wg_plan *plan, const struct wg_action *action) {
    const bool is_fixed = action->kind == WG_ACTION_FEED && !action->as.feed.as_eaten;
    return !is_fixed && !is_later_part(plan, action) && action->from <= plan->last_day && action->to >= plan->first_day;
}

/* Orders pointers to actions by first day, then as the plan has them. */
static int compare_first_days(const void *a, const void *b) {
    const struct wg_action *const first = *(const struct wg_action *const *)a;
    const struct wg_action *const second = *(const struct wg_action *const *)b;
    if (first->from != second->from)
        return first->from < second->from ? -1 : 1;
    return (first > second) - (first < second);
}

static int sort_actions(struct wg_calendar *calendar, struct wg_error *err) {
    const struct wg_plan *const plan = calendar->work->plan;
    calendar->action = calloc((size_t)plan->n_actions + 1, sizeof(const struct wg_action *));
    if (calendar->action == NULL)
        return wg_no_memory(err, NULL);
    for (int i = 0; i < plan->n_actions; i++)
        if (is_in_calendar(plan, &plan->actions[i]))
            calendar->action[calendar->n_actions++] = &plan->actions[i];
    qsort(calendar->action, (size_t)calendar->n_actions, sizeof(const struct wg_action *), compare_first_days);
    return 0;
}

int wg_calendar_init(struct wg_calendar *calendar, const struct wg_work *work, struct wg_error *err) {
    double feed_kg = 0, crawl_off_kg = 0;
    *calendar = (struct wg_calendar){.work = work, .by_month = work->n_weeks > MOST_WEEKS};
    for (int week = 0, n; week < work->n_weeks; week += n) {
        struct wg_work_span span;
        n = wg_calendar_weeks(calendar, week);
        wg_work_span(work, week, n, &span);
        crawl_off_kg = larger(crawl_off_kg, span.crawl_off_kg.q95);
        for (int b = 0; b < work->plan->n_bins; b++) {
            struct wg_work_bin bin;
            wg_work_bin(work, week, n, b, &bin);
            feed_kg = larger(larger(feed_kg, bin.wanted_kg.q95), bin.given_wet_kg);
        }
    }
    calendar->feed = unit_for(feed_kg);
    calendar->crawl_off = unit_for(crawl_off_kg);
    return sort_actions(calendar, err);
}

void wg_calendar_free(struct wg_calendar *calendar) {
    free(calendar->action);
    *calendar = (struct wg_calendar){0};
}

/* ---- rows ---- */

static int month_of_week(const struct wg_work *work, int week) {
    return wg_date_from_day(work->plan->first_day + 7 * week).month;
}

int wg_calendar_weeks(const struct wg_calendar *calendar, int week) {
    const struct wg_work *const work = calendar->work;
    int n = 1;
    while (calendar->by_month && week + n < work->n_weeks && month_of_week(work, week + n) == month_of_week(work, week))
        n++;
    return n;
}

void wg_calendar_show_from(const struct wg_calendar *calendar, int week, char out[WG_SHOWN_SIZE]) {
    wg_show_date(calendar->work->plan->first_day, 7.0 * week, "", out);
    if (calendar->by_month)
        memmove(out, strchr(out, ' ') + 1, strlen(strchr(out, ' ')));
}

static int32_t last_day_of(const struct wg_work *work, int week, int n) {
    const int32_t end = work->plan->first_day + 7 * (week + n) - 1;
    return end < work->plan->last_day ? end : work->plan->last_day;
}

void wg_calendar_show_to(const struct wg_calendar *calendar, int week, int n, char out[WG_SHOWN_SIZE]) {
    if (calendar->by_month)
        wg_calendar_show_from(calendar, week + n - 1, out);
    else
        wg_show_date(last_day_of(calendar->work, week, n), 0, "", out);
}

/* ---- amounts ---- */

/* Rounds to two digits, but not finer than the step. */
static double round_amount(double value, double step) {
    if (!(value > 0))
        return value;
    const double two_digits = pow(10, floor(log10(value)) - 1);
    const double scale = fmax(two_digits, step);
    return round(value / scale) * scale;
}

void wg_calendar_show_amount(double kg, const struct wg_calendar_unit *unit, bool is_us, char out[WG_SHOWN_SIZE]) {
    wg_show_number(round_amount(kg / (is_us ? unit->us_kg : unit->kg), is_us ? unit->us_step : unit->step), out);
}

void wg_calendar_show_given(double kg, const struct wg_calendar_unit *unit, bool is_us, char out[WG_SHOWN_SIZE]) {
    const double step = is_us ? unit->us_step : unit->step;
    if (isnan(kg))
        (void)snprintf(out, WG_SHOWN_SIZE, "no limit");
    else
        wg_show_number(round(kg / (is_us ? unit->us_kg : unit->kg) / step) * step, out);
}

void wg_calendar_show_range(const struct wg_work_spread *kg, const struct wg_calendar_unit *unit,
                            char out[WG_SHOWN_SIZE]) {
    wg_show_range(round_amount(kg->q05 / unit->kg, unit->step), round_amount(kg->q95 / unit->kg, unit->step), "", out);
}

void wg_calendar_show_spread(const struct wg_work_spread *kg, const struct wg_calendar_unit *unit,
                             char out[WG_SHOWN_SIZE]) {
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    wg_calendar_show_amount(kg->q50, unit, false, middle);
    wg_calendar_show_range(kg, unit, range);
    if (isnan(kg->q50) || strcmp(middle, range) == 0)
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", middle);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.24s (%.60s)", middle, range);
}

const char *wg_calendar_advice(const struct wg_work_bin *bin) {
    if (bin->has_fault[WG_UNDERFED])
        return "more";
    if (!bin->has_fault[WG_OVERFED])
        return "";
    if (!(bin->given_wet_kg > 0)) /* no one feeds less than nothing */
        return bin->is_unfed ? "old" : "";
    return bin->wanted_kg.q50 < NEXT_TO_NOTHING * bin->given_wet_kg ? "stop" : "less";
}

/* ---- traps ---- */

static void show_days_between(double days, char out[WG_SHOWN_SIZE]) {
    if (isinf(days))
        (void)snprintf(out, WG_SHOWN_SIZE, "no need");
    else if (days > LONGEST_WAIT_SHOWN)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.0f+ days", LONGEST_WAIT_SHOWN);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, days < 1.5 ? "day" : "%.0f days", days);
}

bool wg_calendar_show_pull(const struct wg_calendar *calendar, int week, int n, int place, char out[WG_SHOWN_SIZE]) {
    double days = HUGE_VAL;
    bool has_traps = false;
    for (int w = week; w < week + n; w++) {
        if (!wg_work_has_traps(calendar->work, w, place))
            continue;
        has_traps = true;
        days = fmin(days, wg_work_pull_days(calendar->work, w, place));
    }
    if (has_traps)
        show_days_between(days, out);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
    return has_traps && isfinite(days);
}

/* ---- actions ---- */

void wg_calendar_action(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]) {
    char what[WG_ACTION_TEXT_SIZE];
    if (action->kind == WG_ACTION_MOVE && action->as.move.job > 0)
        wg_action_job_text(plan, action, what);
    else
        wg_action_text(plan, action, what);
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s%.370s",
                   action->kind == WG_ACTION_START  ? "put "
                   : action->kind == WG_ACTION_MOVE ? "move "
                                                    : "",
                   what);
}

/* Counts on how many days of from..to an action is done, and finds the first. */
static int days_due(const struct wg_action *action, int32_t from, int32_t to, int32_t *first) {
    int n = 0;
    for (int32_t day = from; day <= to; day++)
        if (wg_action_is_due(action, day) && n++ == 0)
            *first = day;
    return n;
}

/* "1 Dec" */
static void show_short_date(int32_t day, char out[WG_SHOWN_SIZE]) {
    wg_show_date(day, 0, "", out);
    *strrchr(out, ' ') = '\0';
}

/* An action that waits is named where its days begin: "from 1 Apr, once, when flies are about". */
static bool word_waits(const struct wg_action *action, int32_t begins, int32_t from, int32_t to,
                       char out[WG_SHOWN_SIZE]) {
    char date[WG_SHOWN_SIZE], when[WG_WHEN_TEXT];
    if (begins < from || begins > to)
        return false;
    show_short_date(begins, date);
    wg_when_text(&action->when, when);
    (void)snprintf(out, WG_SHOWN_SIZE, action->from == action->to ? "%.12s, if %.70s" : "from %.12s, once, when %.60s",
                   date, when);
    return true;
}

/* Words when an action is due in from..to: "1 Dec", "every 3 days", "from 1 Dec", "until 4 Dec". False: not at all. */
static bool word_due(const struct wg_plan *plan, const struct wg_action *action, int32_t from, int32_t to,
                     char out[WG_SHOWN_SIZE]) {
    const int32_t begins = action->from > plan->first_day ? action->from : plan->first_day;
    char date[WG_SHOWN_SIZE];
    int32_t first = from;
    if (action->when.kind != WG_WHEN_ALWAYS)
        return word_waits(action, begins, from, to, out);
    const int n = days_due(action, from, to, &first);
    const bool is_standing = wg_action_is_standing(action) && action->from < action->to;
    if (is_standing && begins >= from && begins <= to && begins > plan->first_day) {
        show_short_date(begins, date);
        (void)snprintf(out, WG_SHOWN_SIZE, "from %.40s", date);
    } else if (is_standing && action->to >= from && action->to <= to && action->to < plan->last_day) {
        show_short_date(action->to, date);
        (void)snprintf(out, WG_SHOWN_SIZE, "until %.40s", date);
    } else if (n == 1 && !is_standing && action->cue == WG_CUE_NONE) {
        show_short_date(first, out);
    } else if (action->cue != WG_CUE_NONE && n > 0) {
        (void)snprintf(out, WG_SHOWN_SIZE, "%s", wg_cue_name(action->cue));
    } else if (n > 1 && !is_standing) {
        (void)snprintf(out, WG_SHOWN_SIZE, action->every == 1 ? "every day" : "every %d days", (int)action->every);
    } else {
        return false;
    }
    return true;
}

/* Words a feeding as eaten by how much that is: "kitchen scraps into "trough", about 2 to 4 lb a day". That it is as eaten,
 * and its limit, stand with the work of every week. */
static void word_eaten(const struct wg_calendar *calendar, int week, int n, const struct wg_action *action,
                       char what[WG_ACTION_TEXT_SIZE]) {
    const struct wg_calendar_unit *const unit = &calendar->feed;
    struct wg_work_bin bin;
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE];
    wg_work_bin(calendar->work, week, n, action->bin, &bin);
    const double times = 7.0 / action->every;
    const struct wg_work_spread each = {bin.given_kg.q05 / times, bin.given_kg.q50 / times, bin.given_kg.q95 / times};
    struct wg_action eaten = *action;
    if (!(each.q95 > 0))
        return;
    eaten.as.feed.wet_kg = (double)INFINITY;
    wg_calendar_action(calendar->work->plan, &eaten, what);
    const size_t used = strlen(what) - strlen(" as eaten");
    wg_calendar_show_range(&each, unit, kg);
    wg_show_range(round_amount(each.q05 / unit->us_kg, unit->us_step),
                  round_amount(each.q95 / unit->us_kg, unit->us_step), "", lb);
    (void)snprintf(what + used, WG_ACTION_TEXT_SIZE - used, ", about %.30s %s (%.30s %s) %s", kg, unit->name, lb,
                   unit->us_name, action->every == 1 ? "a day" : "each time");
}

void wg_calendar_put_actions(const struct wg_calendar *calendar, int week, int n, struct wg_bytes *out) {
    const struct wg_plan *const plan = calendar->work->plan;
    const int32_t from = plan->first_day + 7 * week, to = last_day_of(calendar->work, week, n);
    char when[WG_SHOWN_SIZE], before[WG_SHOWN_SIZE] = "", what[WG_ACTION_TEXT_SIZE];
    for (int i = 0; i < calendar->n_actions; i++) {
        const struct wg_action *const action = calendar->action[i];
        const bool is_usual_pull = action->kind == WG_ACTION_PULL_TRAPS && action->from < action->to;
        if (is_usual_pull || action->kind == WG_ACTION_LAY_IN_TRAPS || !word_due(plan, action, from, to, when))
            continue; /* traps have a column of their own */
        wg_calendar_action(plan, action, what);
        if (action->kind == WG_ACTION_FEED)
            word_eaten(calendar, week, n, action, what);
        if (strcmp(when, before) != 0) {
            wg_bytes_printf(out, "%s%s: ", *before != '\0' ? "; " : "", when);
            (void)snprintf(before, sizeof before, "%s", when);
        } else {
            wg_bytes_put(out, ", ");
        }
        wg_bytes_put(out, what);
    }
}
