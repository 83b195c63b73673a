/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the work calendar: the plan's actions, a table for colony and crawl-off, one for traps and one for each bin; and
 * the same as JSON arrays.
 */
#include "report/calendar_text.h"

#include "report/forecast_facts.h"
#include "report/forecast_parts.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* With more places the screen is too narrow, and one column shows the shortest interval of all. */
#define MAX_PLACES_SHOWN 4

/* ---- rows ---- */

/* Prints a line without spaces at its end. */
static void put_calendar_line(FILE *to, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void put_calendar_line(FILE *to, const char *format, ...) {
    char line[512];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(line, sizeof line, format, args);
    va_end(args);
    size_t end = strlen(line);
    while (end > 0 && line[end - 1] == ' ')
        end--;
    (void)fprintf(to, "%.*s\n", (int)end, line);
}

/* Rows of one table. Rows that are the same but for their date are printed once, with the day until which they hold. */
struct calendar_page {
    const struct wg_calendar *calendar;
    FILE *to;
    char row[256]; /* without its date */
    int week, rows, weeks;
};

static void end_rows(struct calendar_page *page) {
    char date[WG_SHOWN_SIZE];
    if (page->rows == 0)
        return;
    wg_calendar_show_from(page->calendar, page->week, date);
    put_calendar_line(page->to, "%-11s %s", date, page->row);
    wg_calendar_show_to(page->calendar, page->week, page->weeks, date);
    if (page->rows > 1)
        (void)fprintf(page->to, "%-11s until %s\n", "  the same", date);
    page->rows = page->weeks = 0;
}

static void put_calendar_row(struct calendar_page *page, int week, int n, const char *row) {
    if (page->rows > 0 && strcmp(row, page->row) != 0)
        end_rows(page);
    if (page->rows == 0) {
        page->week = week;
        (void)snprintf(page->row, sizeof page->row, "%s", row);
    }
    page->rows++;
    page->weeks += n;
}

static const char *row_word(const struct calendar_page *page) {
    return page->calendar->by_month ? "month" : "week from";
}

/* ---- what the plan has the keeper do ---- */

static void print_actions(const struct wg_calendar *calendar, FILE *to) {
    const struct wg_plan *const plan = calendar->work->plan;
    char when[WG_ACTION_WHEN_SIZE], what[WG_ACTION_TEXT_SIZE], text[sizeof when + sizeof what + 8];
    (void)fputs("\nWhat the plan has you do\n\n", to);
    for (int i = 0; i < calendar->n_actions; i++) {
        wg_action_when(plan, calendar->action[i], when);
        wg_calendar_action(plan, calendar->action[i], what);
        (void)snprintf(text, sizeof text, "  %s: %s", when, what);
        wg_show_lines(to, 4, text);
    }
    if (calendar->n_actions == 0)
        (void)fputs("  Nothing but to feed.\n", to);
}

/* ---- colony and crawl-off ---- */

static void put_colony_row(struct calendar_page *page, int week, int n) {
    struct wg_work_span span;
    char alive[WG_SHOWN_SIZE], kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], row[256];
    wg_work_span(page->calendar->work, week, n, &span);
    wg_show_share(span.alive, alive);
    wg_calendar_show_spread(&span.crawl_off_kg, &page->calendar->crawl_off, kg);
    wg_calendar_show_amount(span.crawl_off_kg.q50, &page->calendar->crawl_off, true, lb);
    (void)snprintf(row, sizeof row, "%6.20s %%   %-24.60s %.60s", alive, kg, lb);
    put_calendar_row(page, week, n, row);
}

static void print_colony(struct calendar_page *page) {
    const struct wg_calendar *const calendar = page->calendar;
    (void)fprintf(page->to, "\nColony and crawl-off%s\n\n", calendar->by_month ? ", a week" : "");
    (void)fprintf(page->to, "%-11s %8s   crawl-off\n", "", "alive in");
    (void)fprintf(page->to, "%-11s %8s   %-24s %s\n", row_word(page), "", calendar->crawl_off.name,
                  calendar->crawl_off.us_name);
    for (int week = 0, n; week < calendar->work->n_weeks; week += n)
        put_colony_row(page, week, n = wg_calendar_weeks(calendar, week));
    end_rows(page);
}

/* ---- traps ---- */

/* Finds the places whose traps get a column each. Returns the number of all places with traps. */
static int trap_places(const struct wg_work *work, int place[WG_MAX_PLACES]) {
    int n = 0;
    for (int p = 0; p < work->plan->n_places; p++)
        if (wg_work_has_traps(work, -1, p))
            place[n++] = p;
    return n;
}

static void put_trap_row(struct calendar_page *page, int week, int n, const int *place, int n_places) {
    const int width = 68 / n_places - 1;
    char pull[WG_SHOWN_SIZE], row[256] = "";
    for (int i = 0; i < n_places; i++) {
        (void)wg_calendar_show_pull(page->calendar, week, n, place[i], pull);
        (void)snprintf(row + strlen(row), sizeof row - strlen(row), "%s%-*.*s", i > 0 ? " " : "", width, width, pull);
    }
    put_calendar_row(page, week, n, row);
}

/* Heads the columns with the places; with letters and a key if a name is too long. */
static void put_trap_head(const struct calendar_page *page, const int *place, int n_places) {
    const struct wg_place_plan *const places = page->calendar->work->plan->places;
    const int width = 68 / n_places - 1;
    char names[256] = "";
    bool fits = true;
    for (int i = 0; i < n_places; i++)
        fits = fits && (int)strlen(places[place[i]].name) <= width;
    for (int i = 0; i < n_places && !fits; i++)
        (void)fprintf(page->to, "%c: %s\n", 'a' + i, places[place[i]].name);
    for (int i = 0; i < n_places; i++) {
        const char letter[] = {(char)('a' + i), '\0'};
        (void)snprintf(names + strlen(names), sizeof names - strlen(names), " %-*s", width,
                       fits ? places[place[i]].name : letter);
    }
    put_calendar_line(page->to, fits ? "%-11s%s" : "\n%-11s%s", row_word(page), names);
}

static void print_traps(struct calendar_page *page) {
    const struct wg_work *const work = page->calendar->work;
    int place[WG_MAX_PLACES];
    const int all = trap_places(work, place);
    for (int from = 0; from < all; from += MAX_PLACES_SHOWN) {
        const int columns = all - from < MAX_PLACES_SHOWN ? all - from : MAX_PLACES_SHOWN;
        (void)fputs("\nTraps: pull them every\n\n", page->to);
        put_trap_head(page, place + from, columns);
        for (int week = 0, n; week < work->n_weeks; week += n)
            put_trap_row(page, week, n = wg_calendar_weeks(page->calendar, week), place + from, columns);
        end_rows(page);
    }
}

/* ---- bins ---- */

static void put_bin_row(struct calendar_page *page, int week, int n, int b) {
    const struct wg_calendar *const calendar = page->calendar;
    struct wg_work_bin bin;
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], given_kg[WG_SHOWN_SIZE], given_lb[WG_SHOWN_SIZE],
        crawl_off[WG_SHOWN_SIZE] = "", row[256];
    wg_work_bin(calendar->work, week, n, b, &bin);
    wg_calendar_show_spread(&bin.wanted_kg, &calendar->feed, kg);
    wg_calendar_show_amount(bin.wanted_kg.q50, &calendar->feed, true, lb);
    wg_calendar_show_given(bin.given_wet_kg, &calendar->feed, false, given_kg);
    wg_calendar_show_given(bin.given_wet_kg, &calendar->feed, true, given_lb);
    if (calendar->work->plan->n_bins > 1)
        wg_calendar_show_spread(&bin.crawl_off_kg, &calendar->crawl_off, crawl_off);
    (void)snprintf(row, sizeof row, "%-18.60s %5.12s %6.12s %6.12s %4s  %.60s", kg, lb,
                   isnan(bin.given_wet_kg) ? "" : given_kg, isnan(bin.given_wet_kg) ? "" : given_lb,
                   wg_calendar_advice(&bin), crawl_off);
    put_calendar_row(page, week, n, row);
}

static void print_bin_work(struct calendar_page *page, int b) {
    const struct wg_calendar *const calendar = page->calendar;
    const struct wg_plan *const plan = calendar->work->plan;
    const struct wg_calendar_unit *const feed = &calendar->feed;
    const bool is_one = plan->n_bins == 1, no_limit = plan->feed_unlimited;
    char text[2 * WG_NAME_SIZE + 80];
    (void)snprintf(text, sizeof text, "Bin \"%s\" in \"%s\": feed%s, %s", plan->bins[b].name,
                   plan->places[plan->bins[b].place].name, calendar->by_month ? " a week" : "",
                   no_limit ? "dry weight" : "fresh weight of the plan's feed");
    (void)fputc('\n', page->to);
    wg_show_lines(page->to, 2, text);
    (void)fputc('\n', page->to);
    put_calendar_line(page->to, "%-11s %-24s %-13s %-5s %s", "", "the larvae could eat",
                      no_limit ? "" : "the plan gives", no_limit ? "" : "feed", is_one ? "" : " crawl-off");
    put_calendar_line(page->to, "%-11s %-18s %5s %6s %6s %4s  %s", row_word(page), feed->name, feed->us_name,
                      no_limit ? "" : feed->name, no_limit ? "" : feed->us_name, "",
                      is_one ? "" : calendar->crawl_off.name);
    for (int week = 0, n; week < calendar->work->n_weeks; week += n)
        put_bin_row(page, week, n = wg_calendar_weeks(calendar, week), b);
    end_rows(page);
}

/* ---- notes ---- */

/* Notes a short last week, whose sums would otherwise look like a drop. */
static void put_last_week(const struct wg_calendar *calendar, FILE *to) {
    const struct wg_plan *const plan = calendar->work->plan;
    const int days = (plan->last_day - plan->first_day + 1) % 7;
    if (days > 0 && !calendar->by_month)
        (void)fprintf(to, "The last row covers only %d day%s.\n", days, days == 1 ? "" : "s");
}

#define FEW_LEFT 20 /* the 5 % quantile of fewer is the smallest of them, or near it */

static void put_few_left(const struct wg_calendar *calendar, FILE *to) {
    const struct wg_work *const work = calendar->work;
    bool few = false;
    for (int w = 0; w < work->n_weeks; w++)
        few = few || (work->alive[w] > 0 && work->alive[w] < FEW_LEFT);
    if (few)
        (void)fprintf(to, "Where the colony lives in fewer than %d %s, the range is only rough.\n", FEW_LEFT,
                      wg_forecast_noun(work->plan));
}

/* Explains "more", "less", "stop" and "old" if they occur. */
static void explain_advice(const struct wg_calendar *calendar, FILE *to) {
    const char *const noun = wg_forecast_noun(calendar->work->plan);
    bool more = false, less = false, stop = false, old = false;
    struct wg_work_bin bin;
    for (int week = 0, n; week < calendar->work->n_weeks; week += n) {
        n = wg_calendar_weeks(calendar, week);
        for (int b = 0; b < calendar->work->plan->n_bins; b++) {
            wg_work_bin(calendar->work, week, n, b, &bin);
            more = more || *wg_calendar_advice(&bin) == 'm';
            less = less || *wg_calendar_advice(&bin) == 'l';
            stop = stop || *wg_calendar_advice(&bin) == 's';
            old = old || *wg_calendar_advice(&bin) == 'o';
        }
    }
    char text[256];
    (void)snprintf(text, sizeof text,
                   "more: underfed. In most of these %s larvae got less than half of what they could eat. Feed more in "
                   "those weeks, or scoop some larvae out.",
                   noun);
    if (more)
        wg_show_lines(to, 2, text);
    (void)snprintf(
        text, sizeof text,
        "less: overfed. In most of these %s more than a week's feed lay uneaten, which turns sour and hot and "
        "gives off ammonia. Feed less, and stir and air the bin.",
        noun);
    if (less)
        wg_show_lines(to, 2, text);
    if (stop)
        wg_show_lines(
            to, 2, "stop: overfed, and the larvae eat next to nothing (less than a hundredth of what the plan gives).");
    if (old)
        wg_show_lines(to, 2,
                      "old: not fed for a month, but more than a week's feed still lies in the bin. Clear it out.");
}

static void print_calendar_notes(const struct wg_calendar *calendar, FILE *to) {
    const char *const noun = wg_forecast_noun(calendar->work->plan);
    int place[WG_MAX_PLACES];
    char text[512];
    (void)snprintf(
        text, sizeof text,
        "\nAmounts are for the %s in which the colony lives in that %s: the middle and, in brackets, the range "
        "of 9 %s in 10.%s",
        noun, calendar->by_month ? "month" : "week", noun,
        calendar->by_month ? " A month is the weeks that begin in it." : "");
    wg_show_lines(to, 0, text);
    put_few_left(calendar, to);
    put_last_week(calendar, to);
    if (trap_places(calendar->work, place) > 0)
        (void)fprintf(to,
                      "In a trap pulled that often at most %.0f %% of the eggs hatch in a usual year.\n"
                      "\"no need\": it is too cold or too hot for eggs to hatch; \"-\": no traps are set.\n",
                      100 * WG_WORK_HATCHED);
    explain_advice(calendar, to);
}

int wg_work_print(const struct wg_work *work, FILE *to, struct wg_error *err) {
    struct wg_calendar calendar;
    const int code = wg_calendar_init(&calendar, work, err);
    struct calendar_page page = {.calendar = &calendar, .to = to};
    if (code == 0) {
        print_actions(&calendar, to);
        print_colony(&page);
        print_traps(&page);
        for (int b = 0; b < work->plan->n_bins; b++)
            print_bin_work(&page, b);
        print_calendar_notes(&calendar, to);
    }
    wg_calendar_free(&calendar);
    return code;
}

/* ---- JSON ---- */

enum part { WANTED_DRY, WANTED_WET, CRAWL_OFF };

static double week_quantile(const struct wg_work_week *week, enum part part, int q) {
    const struct wg_work_spread *const s = part == WANTED_DRY   ? &week->wanted_dry_kg
                                           : part == WANTED_WET ? &week->wanted_wet_kg
                                                                : &week->crawl_off_kg;
    return q == 0 ? s->q05 : q == 1 ? s->q50 : s->q95;
}

static void put_spread(struct wg_json *json, const char *key, const struct wg_work *work, enum part part) {
    static const char *const name[] = {"q05", "q50", "q95"};
    struct wg_work_week week;
    wg_json_object(json, key);
    for (int q = 0; q < 3; q++) {
        wg_json_list(json, name[q]);
        for (int w = 0; w < work->n_weeks; w++) {
            wg_work_week(work, w, &week);
            wg_json_real(json, NULL, week_quantile(&week, part, q));
        }
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_weeks(struct wg_json *json, const struct wg_work *work) {
    struct wg_work_week week;
    char date[WG_SHOWN_SIZE];
    wg_json_list(json, "from");
    for (int w = 0; w < work->n_weeks; w++)
        wg_json_text(json, NULL, wg_show_iso_date(work->plan->first_day, 7.0 * w, date) == 0 ? date : NULL);
    wg_json_close(json);
    wg_json_list(json, "given_wet_kg");
    for (int w = 0; w < work->n_weeks; w++) {
        wg_work_week(work, w, &week);
        wg_json_real(json, NULL, week.given_wet_kg);
    }
    wg_json_close(json);
}

static void put_traps(struct wg_json *json, const struct wg_work *work) {
    wg_json_list(json, "traps");
    for (int p = 0; p < work->plan->n_places; p++) {
        if (!wg_work_has_traps(work, -1, p))
            continue;
        wg_json_object(json, NULL);
        wg_json_text(json, "place", work->plan->places[p].name);
        wg_json_list(json, "air_degc");
        for (int w = 0; w < work->n_weeks; w++)
            wg_json_real(json, NULL, wg_work_air_c(work, w, p));
        wg_json_close(json);
        wg_json_list(json, "pull_every_days");
        for (int w = 0; w < work->n_weeks; w++)
            wg_json_real(json, NULL, wg_work_pull_days(work, w, p));
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
}

/* Writes a spread of every week of a bin, in the years in which the colony lives. */
static void put_bin_spread(struct wg_json *json, const char *key, const struct wg_work *work, int b, bool is_feed) {
    static const char *const name[] = {"q05", "q50", "q95"};
    struct wg_work_bin bin;
    wg_json_object(json, key);
    for (int q = 0; q < 3; q++) {
        wg_json_list(json, name[q]);
        for (int w = 0; w < work->n_weeks; w++) {
            wg_work_bin(work, w, 1, b, &bin);
            const struct wg_work_spread *const s = is_feed ? &bin.wanted_kg : &bin.crawl_off_kg;
            wg_json_real(json, NULL, q == 0 ? s->q05 : q == 1 ? s->q50 : s->q95);
        }
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_bin_json(struct wg_json *json, const struct wg_work *work, int b) {
    const struct wg_plan *const plan = work->plan;
    struct wg_work_bin bin;
    wg_json_object(json, NULL);
    wg_json_text(json, "bin", plan->bins[b].name);
    wg_json_text(json, "place", plan->places[plan->bins[b].place].name);
    put_bin_spread(json, plan->feed_unlimited ? "could_eat_dry_kg" : "could_eat_wet_kg", work, b, true);
    put_bin_spread(json, "crawl_off_kg", work, b, false);
    wg_json_list(json, "given_wet_kg");
    for (int w = 0; w < work->n_weeks; w++) {
        wg_work_bin(work, w, 1, b, &bin);
        wg_json_real(json, NULL, bin.given_wet_kg);
    }
    wg_json_close(json);
    wg_json_list(json, "feed");
    for (int w = 0; w < work->n_weeks; w++) {
        wg_work_bin(work, w, 1, b, &bin);
        wg_json_text(json, NULL, *wg_calendar_advice(&bin) != '\0' ? wg_calendar_advice(&bin) : NULL);
    }
    wg_json_close(json);
    wg_json_close(json);
}

/* Writes the weeks of the years in which the colony lives, and their share. */
static void put_living(struct wg_json *json, const struct wg_work *work) {
    struct wg_work_span span;
    wg_json_object(json, "if_alive");
    wg_json_list(json, "share");
    for (int w = 0; w < work->n_weeks; w++) {
        wg_work_span(work, w, 1, &span);
        wg_json_real(json, NULL, span.alive);
    }
    wg_json_close(json);
    wg_json_list(json, "bins");
    for (int b = 0; b < work->plan->n_bins; b++)
        put_bin_json(json, work, b);
    wg_json_close(json);
    wg_json_close(json);
}

/* Dates an entry of moves: by its day, or by its condition and the days on which any replicate moved an animal. */
static void put_move_days(struct wg_json *json, const struct wg_work *work, int i) {
    const struct wg_work_move *const move = &work->move[i];
    const bool is_one_day = move->from == move->to, is_seen = move->first <= move->last;
    char date[WG_SHOWN_SIZE], when[WG_WHEN_TEXT];
    (void)wg_show_iso_date(move->from, 0, date);
    wg_json_text(json, "date", is_one_day ? date : NULL);
    wg_json_text(json, "when", wg_move_waits_for(work, i, when) ? when : NULL);
    if (is_seen)
        (void)wg_show_iso_date(move->first, 0, date);
    wg_json_text(json, "first", is_seen ? date : NULL);
    if (is_seen)
        (void)wg_show_iso_date(move->last, 0, date);
    wg_json_text(json, "last", is_seen ? date : NULL);
}

/* What each entry of moves carried, by stage. */
static void put_moves(struct wg_json *json, const struct wg_work *work) {
    wg_json_list(json, "moves");
    for (int i = 0; i < work->n_moves; i++) {
        int64_t of;
        wg_json_object(json, NULL);
        put_move_days(json, work, i);
        wg_json_whole(json, "nothing", wg_work_moved_nothing(work, i, &of));
        wg_json_whole(json, "of", of);
        for (int stage = 0; stage < WG_N_STAGES; stage++) {
            const struct wg_work_spread moved = wg_work_moved(work, i, (enum wg_stage)stage);
            if (!(moved.q95 > 0))
                continue;
            wg_json_object(json, wg_stage_name((enum wg_stage)stage));
            wg_json_real(json, "q05", moved.q05);
            wg_json_real(json, "q50", moved.q50);
            wg_json_real(json, "q95", moved.q95);
            wg_json_close(json);
        }
        wg_json_close(json);
    }
    wg_json_close(json);
}

void wg_work_put_json(const struct wg_work *work, struct wg_json *json) {
    wg_json_object(json, "weeks");
    put_weeks(json, work);
    put_spread(json, "could_eat_dry_kg", work, WANTED_DRY);
    put_spread(json, "could_eat_wet_kg", work, WANTED_WET);
    put_spread(json, "crawl_off_kg", work, CRAWL_OFF);
    put_living(json, work);
    put_traps(json, work);
    put_moves(json, work);
    wg_json_close(json);
}
