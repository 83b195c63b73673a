/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the section on the keeper's work: one table, on paper a sheet of one page with boxes to tick and room for notes.
 */
#include "pages/page_parts.h"

#include "report/calendar_text.h"
#include "report/forecast_facts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROWS_OF_A_SHEET 53   /* weeks of a year */
#define MONTHS_OF_A_SHEET 12 /* in a long period */
#define MANY_BINS 2          /* from so many on, the sheet on paper has no ranges */
#define MOST_BINS 4          /* from so many on, no pounds either */

struct work_page {
    const struct wg_calendar *calendar;
    const struct wg_plan *plan;
    const struct wg_page *page;
    const char *name;                   /* of the scenario */
    int place[WG_MAX_PLACES], n_places; /* with traps */
};

/* ---- cells ---- */

static void put_work_cell(struct wg_bytes *row, const char *head, const char *name) {
    wg_bytes_put(row, "<td data-head=\"");
    wg_bytes_escape(row, head);
    if (*name != '\0') {
        wg_bytes_put(row, " ");
        wg_bytes_escape(row, name);
    }
    wg_bytes_put(row, "\">");
}

/* "<strong>2.1 kg</strong> (4.6 lb) 1.2 to 3.4 kg", less without a spread. Where a keeper writes pounds, the page of the app
 * shows what stands in data-us (app.js). */
static void put_amount(const struct wg_work_spread *spread, const struct wg_calendar_unit *unit, struct wg_bytes *row) {
    const struct wg_calendar_unit us = {.name = unit->us_name, .kg = unit->us_kg, .step = unit->us_step};
    char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], range_lb[WG_SHOWN_SIZE];
    wg_calendar_show_amount(spread->q50, unit, false, kg);
    wg_calendar_show_amount(spread->q50, unit, true, lb);
    wg_calendar_show_range(spread, unit, range);
    wg_calendar_show_range(spread, &us, range_lb);
    wg_bytes_printf(row, "<strong data-us=\"%s %s\">%s %s</strong>", lb, us.name, kg, unit->name);
    if (strcmp(kg, "0") != 0 && !isnan(spread->q50))
        wg_bytes_printf(row, " <u data-us=\"(%s %s)\">(%s %s)</u>", kg, unit->name, lb, us.name);
    if (strcmp(kg, range) != 0)
        wg_bytes_printf(row, " <small data-us=\"%s %s\">%s %s</small>", range_lb, us.name, range, unit->name);
}

/* ", plan 9.5 kg" */
static void put_given(double kg, const struct wg_calendar_unit *unit, struct wg_bytes *row) {
    char given[WG_SHOWN_SIZE], given_lb[WG_SHOWN_SIZE];
    wg_calendar_show_given(kg, unit, false, given);
    wg_calendar_show_given(kg, unit, true, given_lb);
    wg_bytes_printf(row, "<small data-us=\", plan %s %s\">, plan %s %s</small>", given_lb, unit->us_name, given,
                    unit->name);
}

static void put_bin_cell(const struct work_page *work, int week, int n, int b, struct wg_bytes *row) {
    const char *const name = work->plan->n_bins > 1 ? work->plan->bins[b].name : "";
    struct wg_work_bin bin;
    wg_work_bin(work->calendar->work, week, n, b, &bin);
    const char *const advice = wg_calendar_advice(&bin);
    put_work_cell(row, "feed", name);
    put_amount(&bin.wanted_kg, &work->calendar->feed, row);
    if (!isnan(bin.given_wet_kg))
        put_given(bin.given_wet_kg, &work->calendar->feed, row);
    if (*advice != '\0')
        wg_bytes_printf(row, " <i>%s</i>", advice);
    wg_bytes_put(row, "</td>");
}

static void put_trap_cells(const struct work_page *work, int week, int n, struct wg_bytes *row) {
    char pull[WG_SHOWN_SIZE];
    for (int i = 0; i < work->n_places; i++) {
        put_work_cell(row, "pull traps every", work->n_places > 1 ? work->plan->places[work->place[i]].name : "");
        (void)wg_calendar_show_pull(work->calendar, week, n, work->place[i], pull);
        wg_bytes_printf(row, "%s</td>", pull);
    }
}

/* Says what to do where the plan feeds too much or too little. A long sheet on paper leaves it to the mark of the bin. */
static void put_advice(const struct work_page *work, int week, int n, int b, struct wg_bytes *out) {
    struct wg_work_bin bin;
    wg_work_bin(work->calendar->work, week, n, b, &bin);
    const char *const advice = wg_calendar_advice(&bin), *const name = work->plan->bins[b].name;
    if (*advice == '\0')
        return;
    wg_bytes_put(out, out->size > 0 ? "; " : "");
    if (*advice == 's')
        wg_bytes_printf(out, "do not feed \"%s\"", name);
    else if (*advice == 'o')
        wg_bytes_printf(out, "clear the old feed out of \"%s\"", name);
    else if (*advice == 'l')
        wg_bytes_printf(out, "feed \"%s\" less, stir and air it", name);
    else
        wg_bytes_printf(out, "feed \"%s\" more, or scoop some out", name);
}

/* Writes the cell of what is to do. */
static void put_do_cell(const struct work_page *work, int week, int n, struct wg_bytes *row) {
    struct wg_bytes actions = {0}, advice = {0};
    wg_calendar_put_actions(work->calendar, week, n, &actions);
    for (int b = 0; b < work->plan->n_bins; b++)
        put_advice(work, week, n, b, &advice);
    wg_bytes_put(row, actions.size > 0 || advice.size > 0 ? "<td class=\"do\" data-head=\"do\">" : "<td>");
    if (actions.size > 0)
        wg_bytes_escape(row, actions.data);
    if (advice.size > 0) {
        wg_bytes_put(row, actions.size > 0 ? "<span>; " : "<span>");
        wg_bytes_escape(row, advice.data);
        wg_bytes_put(row, "</span>");
    }
    wg_bytes_put(row, "</td>");
    row->failed = row->failed || actions.failed || advice.failed;
    wg_bytes_free(&actions);
    wg_bytes_free(&advice);
}

/* Writes the cells of a row after its date. */
static void put_work_cells(const struct work_page *work, int week, int n, struct wg_bytes *row) {
    struct wg_work_span span;
    char alive[WG_SHOWN_SIZE];
    wg_work_span(work->calendar->work, week, n, &span);
    wg_show_share(span.alive, alive);
    put_work_cell(row, "alive in", "");
    wg_bytes_printf(row, "%s %%</td>", alive);
    for (int b = 0; b < work->plan->n_bins; b++)
        put_bin_cell(work, week, n, b, row);
    put_trap_cells(work, week, n, row);
    put_work_cell(row, "crawl-off", "");
    put_amount(&span.crawl_off_kg, &work->calendar->crawl_off, row);
    wg_bytes_put(row, "</td>");
    put_do_cell(work, week, n, row);
    wg_bytes_put(row, "<td class=\"notes\"></td>");
}

/* ---- rows ---- */

struct work_rows {
    struct wg_bytes cells; /* of the row that waits for its end */
    int week, weeks;
};

/* Writes a date; the sheet on paper hides its year, which would take a line. */
static void put_row_date(const struct work_page *work, const char *date) {
    const char *const year = strrchr(date, ' ');
    if (work->calendar->by_month || year == NULL)
        wg_bytes_put(work->page->to, date);
    else
        wg_bytes_printf(work->page->to, "%.*s<s>%s</s>", (int)(year - date), date, year);
}

static void end_work_row(const struct work_page *work, struct work_rows *rows) {
    char from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    if (rows->weeks == 0)
        return;
    wg_calendar_show_from(work->calendar, rows->week, from);
    wg_calendar_show_to(work->calendar, rows->week, rows->weeks, to);
    wg_bytes_put(work->page->to, "<tr><th scope=\"row\">");
    put_row_date(work, from);
    if (rows->weeks > wg_calendar_weeks(work->calendar, rows->week)) {
        wg_bytes_put(work->page->to, " to ");
        put_row_date(work, to);
    }
    wg_bytes_put(work->page->to, "</th>");
    wg_bytes_put(work->page->to, rows->cells.failed ? "" : rows->cells.data);
    wg_bytes_put(work->page->to, "</tr>\n");
    work->page->to->failed = work->page->to->failed || rows->cells.failed;
    wg_bytes_free(&rows->cells);
    rows->weeks = 0;
}

/* Adds a row; one that is the same but for its date extends the row before. */
static void put_work_row(const struct work_page *work, struct work_rows *rows, int week, int n) {
    struct wg_bytes cells = {0};
    put_work_cells(work, week, n, &cells);
    if (rows->weeks > 0 && !cells.failed && !rows->cells.failed && strcmp(cells.data, rows->cells.data) == 0) {
        rows->weeks += n;
        wg_bytes_free(&cells);
        return;
    }
    end_work_row(work, rows);
    rows->cells = cells;
    rows->week = week;
    rows->weeks = n;
}

static void put_work_head(const struct work_page *work) {
    const struct wg_page *const page = work->page;
    wg_bytes_printf(page->to, "<thead><tr><th scope=\"col\">%s</th><th scope=\"col\">alive in</th>",
                    work->calendar->by_month ? "month" : "week from");
    for (int b = 0; b < work->plan->n_bins; b++) {
        wg_bytes_put(page->to, "<th scope=\"col\">feed ");
        wg_bytes_escape(page->to, work->plan->n_bins > 1 ? work->plan->bins[b].name : "");
        wg_bytes_put(page->to, "</th>");
    }
    for (int i = 0; i < work->n_places; i++) {
        wg_bytes_put(page->to, "<th scope=\"col\">pull traps every ");
        wg_bytes_escape(page->to, work->n_places > 1 ? work->plan->places[work->place[i]].name : "");
        wg_bytes_put(page->to, "</th>");
    }
    wg_bytes_put(page->to, "<th scope=\"col\">crawl-off</th><th scope=\"col\" class=\"do\">do</th>"
                           "<th scope=\"col\" class=\"notes\">notes</th></tr></thead>\n<tbody>\n");
}

/* Explains the columns, so that the sheet on paper can stand alone. */
static void put_work_caption(const struct work_page *work) {
    const char *const noun = wg_forecast_noun(work->plan);
    const struct wg_page *const page = work->page;
    wg_bytes_printf(
        page->to,
        "Feed: what the larvae could eat%s%s. Feed and crawl-off are those of the %s in which the colony is "
        "alive then: the middle, then the range of 9 %s in 10.",
        work->calendar->by_month ? " in a week" : "",
        work->plan->feed_unlimited ? " (dry weight)" : " (fresh weight of the plan's feed)", noun, noun);
    if (!work->plan->feed_unlimited)
        wg_bytes_printf(
            page->to,
            " <i>more</i>: larvae get less than half of what they could eat, so feed more or scoop some out. "
            "<i>less</i>: more than a week's feed lies uneaten, turns sour and hot and gives off ammonia, so "
            "feed less, and stir and air the bin; <i>stop</i>: next to nothing is eaten; <i>old</i>: not fed "
            "for a month, but old feed lies there. The warnings and figures count all %s, these marks those in which "
            "the colony is alive.",
            noun);
    if (work->n_places > 0)
        wg_bytes_printf(
            page->to,
            " In a trap pulled that often at most %.0f %% of the eggs hatch in a usual year; no need: it is too "
            "cold or too hot for eggs to hatch; -: no traps are set.",
            100 * WG_WORK_HATCHED);
}

/* Writes the table of the rows that begin in weeks from..to-1. */
static void put_work_table(const struct work_page *work, int from, int to) {
    struct work_rows rows = {0};
    wg_bytes_printf(work->page->to, "<table class=\"cards work%s%s\">\n<caption>",
                    work->plan->n_bins >= MANY_BINS ? " many" : "", work->plan->n_bins >= MOST_BINS ? " most" : "");
    put_work_caption(work);
    wg_bytes_put(work->page->to, "</caption>\n");
    put_work_head(work);
    for (int week = from, n; week < to; week += n)
        put_work_row(work, &rows, week, n = wg_calendar_weeks(work->calendar, week));
    end_work_row(work, &rows);
    wg_page_table_end(work->page);
}

/* ---- the section ---- */

/* Lists what the plan has the keeper do again and again; the rows hold what is done once. */
static void put_standing_orders(const struct work_page *work) {
    char when[WG_ACTION_WHEN_SIZE], what[WG_ACTION_TEXT_SIZE];
    int n = 0;
    for (int i = 0; i < work->calendar->n_actions; i++) {
        const struct wg_action *const action = work->calendar->action[i];
        if (action->from == action->to)
            continue;
        wg_action_when(work->plan, action, when);
        wg_calendar_action(work->plan, action, what);
        wg_bytes_put(work->page->to, n++ == 0 ? "<ul>\n<li>" : "<li>");
        wg_bytes_escape(work->page->to, when);
        wg_bytes_put(work->page->to, ": ");
        wg_bytes_escape(work->page->to, what);
        wg_bytes_put(work->page->to, "</li>\n");
    }
    if (n > 0)
        wg_bytes_put(work->page->to, "</ul>\n");
}

/* Returns the first week after a sheet that begins with `week`. */
static int end_of_sheet(const struct wg_calendar *calendar, int week) {
    const int most = calendar->by_month ? MONTHS_OF_A_SHEET : ROWS_OF_A_SHEET;
    for (int rows = 0; rows < most && week < calendar->work->n_weeks; rows++)
        week += wg_calendar_weeks(calendar, week);
    return week;
}

/* Folds the weeks of a later year. */
static void put_later_year(const struct work_page *work, int from, int to) {
    char first[WG_SHOWN_SIZE], last[WG_SHOWN_SIZE];
    wg_calendar_show_from(work->calendar, from, first);
    wg_calendar_show_to(work->calendar, from, to - from, last);
    wg_bytes_printf(work->page->to, "<details>\n<summary>%s to %s</summary>\n", first, last);
    put_work_table(work, from, to);
    wg_bytes_put(work->page->to, "</details>\n");
}

int wg_report_work(const struct wg_work *weekly, const char *name, const struct wg_page *page, struct wg_error *err) {
    struct wg_calendar calendar;
    const int code = wg_calendar_init(&calendar, weekly, err);
    struct work_page work = {.calendar = &calendar, .plan = weekly->plan, .page = page};
    for (int p = 0; p < weekly->plan->n_places; p++)
        if (wg_work_has_traps(weekly, -1, p))
            work.place[work.n_places++] = p;
    if (code == 0) {
        int week = end_of_sheet(&calendar, 0);
        wg_bytes_printf(page->to,
                        "<p class=\"screen\"><a href=\"#%ssheet\">Only the sheet on paper</a>: follow this link, then "
                        "print.</p>\n<div id=\"%ssheet\" class=\"sheet scroll\" tabindex=\"0\" role=\"group\" "
                        "aria-label=\"work\">\n<h3>",
                        page->prefix, page->prefix);
        wg_bytes_escape(page->to, name);
        wg_bytes_put(page->to, calendar.by_month ? ": the work by month</h3>\n" : ": the work by week</h3>\n");
        put_standing_orders(&work);
        put_work_table(&work, 0, week);
        wg_bytes_put(page->to, "</div>\n");
        for (int end; week < weekly->n_weeks; week = end)
            put_later_year(&work, week, end = end_of_sheet(&calendar, week));
    }
    wg_calendar_free(&calendar);
    return code;
}
