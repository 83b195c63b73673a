/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the work calendar as iCalendar: Desruisseaux 2009, RFC 5545; sections of it in brackets.
 */
#include "report/calendar_text.h"

#include "base/calendar.h"
#include "base/sha256.h"
#include "base/utf8.h"
#include "text/action_text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MOST_BYTES 75 /* of a line, without its end [3.1] */
#define UID_DIGITS 32

/* ---- lines ---- */

/* Appends a content line, folded between characters [3.1]. */
static void put_content_line(struct wg_bytes *out, const char *line) {
    size_t column = 0;
    for (const char *at = line; *at != '\0';) {
        size_t n = 1;
        while (at[n] != '\0' && !wg_utf8_starts(at[n]))
            n++;
        if (column + n > MOST_BYTES) {
            wg_bytes_put(out, "\r\n ");
            column = 1;
        }
        wg_bytes_add(out, at, n);
        column += n;
        at += n;
    }
    wg_bytes_put(out, "\r\n");
}

void wg_ical_put_text(struct wg_bytes *out, const char *name, const char *value) {
    struct wg_bytes line = {0};
    wg_bytes_printf(&line, "%s:", name);
    for (const char *at = value; *at != '\0'; at++) {
        if (*at == '\\' || *at == ';' || *at == ',')
            wg_bytes_printf(&line, "\\%c", *at);
        else if (*at == '\n')
            wg_bytes_put(&line, "\\n");
        else if ((unsigned char)*at >= ' ')
            wg_bytes_add(&line, at, 1);
    }
    if (!line.failed)
        put_content_line(out, line.data);
    out->failed = out->failed || line.failed;
    wg_bytes_free(&line);
}

/* ---- events ---- */

struct ical {
    const struct wg_forecast *forecast;
    struct wg_calendar calendar;
    const char *name; /* of the scenario */
    struct wg_bytes *out;
};

/* "20260501" */
static void show_ical_date(int32_t day, char out[16]) {
    const struct wg_date date = wg_date_from_day(day);
    (void)snprintf(out, 16, "%04d%02d%02d", date.year % 10000, date.month, date.day);
}

/* Begins an all-day event. `key` tells it from the others of the scenario and stays the same when amounts change. */
static void begin_event(const struct ical *ical, const char *key, int32_t day) {
    struct wg_bytes *const out = ical->out;
    struct wg_bytes named = {0};
    char from[16], to[16], stamp[16], digest[WG_SHA256_TEXT_SIZE];
    wg_bytes_put(&named, ical->name);
    wg_bytes_printf(&named, "\n%s", key);
    wg_sha256(named.data, named.size, digest);
    out->failed = out->failed || named.failed;
    wg_bytes_free(&named);
    show_ical_date(day, from);
    show_ical_date(day < WG_DAY_LAST ? day + 1 : day, to);
    show_ical_date(ical->forecast->scenario->plan.first_day, stamp);
    wg_bytes_printf(out, "BEGIN:VEVENT\r\nUID:%.*s@wintergrub.invalid\r\nDTSTAMP:%sT000000Z\r\n", UID_DIGITS, digest,
                    stamp);
    wg_bytes_printf(out, "DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s\r\nTRANSP:TRANSPARENT\r\n", from, to);
}

static void end_event(const struct ical *ical) {
    wg_bytes_put(ical->out, "END:VEVENT\r\n");
}

/* ---- the plan's actions ---- */

static void put_action_event(const struct ical *ical, const char *key, int32_t day, const char *summary,
                             const struct wg_action *repeated, int32_t until) {
    char last[16];
    begin_event(ical, key, day);
    if (repeated != NULL) {
        show_ical_date(until, last);
        wg_bytes_printf(ical->out, "RRULE:FREQ=DAILY;INTERVAL=%d;UNTIL=%s\r\n", (int)repeated->every, last);
    }
    wg_ical_put_text(ical->out, "SUMMARY", summary);
    end_event(ical);
}

/* Counts the earlier actions with the same key. */
static int earlier_twins(const struct wg_calendar *calendar, int i, const char *what) {
    char other[WG_ACTION_TEXT_SIZE];
    int n = 0;
    for (int k = i - 1; k >= 0 && calendar->action[k]->from == calendar->action[i]->from; k--) {
        wg_calendar_action(calendar->work->plan, calendar->action[k], other);
        n += strcmp(other, what) == 0;
    }
    return n;
}

/* An action has an event on its day or days; what stands has one on its first day and one on its last. */
static void put_action_events(const struct ical *ical, int i) {
    const struct wg_plan *const plan = ical->calendar.work->plan;
    const struct wg_action *const action = ical->calendar.action[i];
    const int32_t late = plan->first_day > action->from ? plan->first_day - action->from : 0;
    const int32_t first = action->from + (late + action->every - 1) / action->every * action->every;
    const int32_t last = action->to < plan->last_day ? action->to : plan->last_day;
    char what[WG_ACTION_TEXT_SIZE], text[WG_ACTION_TEXT_SIZE + 8], key[WG_ACTION_TEXT_SIZE + 64];
    wg_calendar_action(plan, action, what);
    const int twins = earlier_twins(&ical->calendar, i, what);
    (void)snprintf(key, sizeof key, "action %d %d %s", (int)action->from, twins, what);
    if (first > last || action->kind == WG_ACTION_FEED || action->cue != WG_CUE_NONE) /* the weeks say how much, when */
        return;
    if (!wg_action_is_standing(action)) {
        const bool waits = action->when.kind != WG_WHEN_ALWAYS;
        if (waits) {
            char when[WG_WHEN_TEXT], plain[WG_ACTION_TEXT_SIZE];
            wg_when_text(&action->when, when);
            (void)snprintf(plain, sizeof plain, "%s", what);
            (void)snprintf(what, sizeof what, "once, when %s: %.280s", when, plain);
        }
        what[0] = (char)(what[0] >= 'a' && what[0] <= 'z' ? what[0] - 'a' + 'A' : what[0]);
        put_action_event(ical, key, first, what, !waits && first + action->every <= last ? action : NULL, last);
        return;
    }
    (void)snprintf(text, sizeof text, "Begin: %s", what);
    put_action_event(ical, key, first, text, NULL, 0);
    if (action->to >= plan->last_day)
        return;
    (void)snprintf(text, sizeof text, "End: %s", what);
    (void)snprintf(key, sizeof key, "end %d %d %s", (int)action->from, twins, what);
    put_action_event(ical, key, last, text, NULL, 0);
}

/* ---- weeks ---- */

/* Words the feed of a bin in two forms: briefly for the summary, with everything for the description. */
static bool word_feed(const struct ical *ical, int week, int n, int b, struct wg_bytes *brief, struct wg_bytes *full) {
    const struct wg_calendar *const calendar = &ical->calendar;
    const struct wg_calendar_unit *const unit = &calendar->feed;
    const char *const name = calendar->work->plan->bins[b].name;
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], spread[WG_SHOWN_SIZE], given[WG_SHOWN_SIZE];
    struct wg_work_bin bin;
    wg_work_bin(calendar->work, week, n, b, &bin);
    wg_calendar_show_amount(bin.wanted_kg.q50, unit, false, kg);
    wg_calendar_show_amount(bin.wanted_kg.q50, unit, true, lb);
    wg_calendar_show_spread(&bin.wanted_kg, unit, spread);
    wg_calendar_show_given(bin.given_wet_kg, unit, false, given);
    const bool is_fed = bin.wanted_kg.q50 > 0 && strcmp(kg, "0") != 0;
    if (is_fed)
        wg_bytes_printf(brief, "%s \"%s\" %s %s (%s %s)", brief->size > 0 ? "," : "Feed", name, kg, unit->name, lb,
                        unit->us_name);
    wg_bytes_printf(full, "Larvae in \"%s\" could eat %s %s", name, spread, unit->name);
    if (!isnan(bin.given_wet_kg))
        wg_bytes_printf(full, "; the plan gives %s %s", given, unit->name);
    if (*wg_calendar_advice(&bin) != '\0')
        wg_bytes_printf(full, ": %s",
                        *wg_calendar_advice(&bin) == 's'   ? "stop feeding"
                        : *wg_calendar_advice(&bin) == 'o' ? "clear the old feed out"
                        : *wg_calendar_advice(&bin) == 'l' ? "feed less"
                                                           : "feed more");
    wg_bytes_put(full, ".\n");
    return is_fed;
}

/* True if the plan pulls the traps of a place in that week, so that the action has an event. */
static bool is_pulled(const struct wg_plan *plan, int place, int32_t from) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_PULL_TRAPS && plan->actions[i].place == place &&
            plan->actions[i].cue == WG_CUE_NONE && plan->actions[i].from <= from + 6 && plan->actions[i].to >= from)
            return true;
    return false;
}

/* Words how often to pull the traps of each place that has any; briefly only where the plan does not say it. */
static void word_traps(const struct ical *ical, int week, int n, struct wg_bytes *brief, struct wg_bytes *full) {
    const struct wg_plan *const plan = ical->calendar.work->plan;
    char pull[WG_SHOWN_SIZE];
    for (int p = 0; p < plan->n_places; p++) {
        if (!wg_calendar_show_pull(&ical->calendar, week, n, p, pull))
            continue;
        wg_bytes_printf(full, "Pull the traps in \"%s\" every %s.\n", plan->places[p].name, pull);
        if (!is_pulled(plan, p, plan->first_day + 7 * week))
            wg_bytes_printf(brief, "%s traps in \"%s\" every %s", brief->size > 0 ? "; pull the" : "Pull the",
                            plan->places[p].name, pull);
    }
}

static void word_crawl_off(const struct ical *ical, int week, int n, struct wg_bytes *full) {
    const struct wg_calendar *const calendar = &ical->calendar;
    char spread[WG_SHOWN_SIZE], alive[WG_SHOWN_SIZE];
    struct wg_work_span span;
    wg_work_span(calendar->work, week, n, &span);
    wg_calendar_show_spread(&span.crawl_off_kg, &calendar->crawl_off, spread);
    wg_show_share(span.alive, alive);
    wg_bytes_printf(
        full,
        "Crawl-off %s %s.\nAmounts are for a week, in the %s %% of the %s in which the colony lives then: the "
        "middle, and in brackets the range of 9 in 10.",
        spread, calendar->crawl_off.name, alive, wg_forecast_noun(calendar->work->plan));
}

/* Writes the event of a week, or of a month's weeks. None if there is nothing to do and was nothing to feed before. */
static bool put_week_event(const struct ical *ical, int week, int n, bool was_fed) {
    const struct wg_plan *const plan = ical->calendar.work->plan;
    struct wg_bytes brief = {0}, full = {0};
    char key[32];
    bool is_fed = false;
    for (int b = 0; b < plan->n_bins; b++)
        is_fed = word_feed(ical, week, n, b, &brief, &full) || is_fed;
    if (is_fed)
        wg_bytes_put(&brief, ical->calendar.by_month ? " a week" : " this week");
    else if (was_fed)
        wg_bytes_put(&brief, "Feed nothing from now on");
    word_traps(ical, week, n, &brief, &full);
    word_crawl_off(ical, week, n, &full);
    (void)snprintf(key, sizeof key, "week %d", (int)(plan->first_day + 7 * week));
    if (brief.size > 0 && !full.failed) {
        begin_event(ical, key, plan->first_day + 7 * week);
        wg_ical_put_text(ical->out, "SUMMARY", brief.data);
        wg_ical_put_text(ical->out, "DESCRIPTION", full.data);
        end_event(ical);
    }
    ical->out->failed = ical->out->failed || brief.failed || full.failed;
    wg_bytes_free(&brief);
    wg_bytes_free(&full);
    return is_fed;
}

int wg_ical_write(const struct wg_forecast *forecast, struct wg_bytes *out, struct wg_error *err) {
    struct ical ical = {.forecast = forecast, .name = wg_scenario_name(forecast->scenario), .out = out};
    const int code = wg_calendar_init(&ical.calendar, forecast->work, err);
    char name[WG_SENTENCE_SIZE];
    (void)snprintf(name, sizeof name, "%s", ical.name);
    wg_utf8_clean(name);
    wg_bytes_put(out, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//wintergrub//wintergrub//EN\r\nCALSCALE:GREGORIAN\r\n"
                      "METHOD:PUBLISH\r\n");
    wg_ical_put_text(out, "X-WR-CALNAME", name);
    for (int i = 0; i < ical.calendar.n_actions && code == 0; i++)
        put_action_events(&ical, i);
    bool is_fed = false;
    for (int week = 0, n; week < forecast->work->n_weeks && code == 0; week += n) {
        n = wg_calendar_weeks(&ical.calendar, week);
        is_fed = put_week_event(&ical, week, n, is_fed);
    }
    wg_bytes_put(out, "END:VCALENDAR\r\n");
    wg_calendar_free(&ical.calendar);
    return code == 0 ? wg_bytes_failed(out, err) : code;
}
