/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The keeper's work week by week: its rows, as text, and as a calendar for a phone.
 */
#ifndef WG_REPORT_CALENDAR_TEXT_H
#define WG_REPORT_CALENDAR_TEXT_H

#include "forecast/work.h"
#include "report/forecast_facts.h"
#include "text/action_text.h"
#include "text/bytes.h"
#include "text/show.h"
#include "json/json.h"

/*
 * The rows of the work calendar, for text, page and phone: a row is a week or, in a long period, the weeks that begin in
 * a month, with amounts a week. Amounts of one column have one unit. They are those of the years in which the colony
 * lives, because a keeper works for a colony that lives.
 */

/** A unit of weight, metric and US: kg and lb, or g and oz. */
struct wg_calendar_unit {
    const char *name, *us_name;
    double kg, us_kg;     /* in kg */
    double step, us_step; /* amounts are rounded to it, or to two digits if that is coarser */
};

struct wg_calendar {
    const struct wg_work *work;
    bool by_month;
    struct wg_calendar_unit feed, crawl_off;
    const struct wg_action **action; /* what is done in the period, by first day; without feeding, which has columns */
    int n_actions;
};
/** Borrows `work`. Returns 0 or WG_ERR_MEMORY; *calendar is safe to free after both. */
int wg_calendar_init(struct wg_calendar *calendar, const struct wg_work *work, struct wg_error *err);
void wg_calendar_free(struct wg_calendar *calendar);
/** Returns the number of weeks in the row that begins with `week`; the next row begins after them. */
int wg_calendar_weeks(const struct wg_calendar *calendar, int week);
/** Heads a row: "25 Oct 2026" or "Oct 2026". */
void wg_calendar_show_from(const struct wg_calendar *calendar, int week, char out[WG_SHOWN_SIZE]);
/** Ends the rows of these weeks: their last day, or their last month. */
void wg_calendar_show_to(const struct wg_calendar *calendar, int week, int n, char out[WG_SHOWN_SIZE]);

/** Shows "2.1 (1.2 to 3.4)" of a unit, one number if there is no spread, "-" if nothing is known. */
void wg_calendar_show_spread(const struct wg_work_spread *kg, const struct wg_calendar_unit *unit,
                             char out[WG_SHOWN_SIZE]);
/** Shows "1.2 to 3.4". */
void wg_calendar_show_range(const struct wg_work_spread *kg, const struct wg_calendar_unit *unit,
                            char out[WG_SHOWN_SIZE]);
/** Shows an amount with two digits, in the US unit if `is_us`. */
void wg_calendar_show_amount(double kg, const struct wg_calendar_unit *unit, bool is_us, char out[WG_SHOWN_SIZE]);
/** Shows an amount of the plan with three digits; "no limit" for NaN. */
void wg_calendar_show_given(double kg, const struct wg_calendar_unit *unit, bool is_us, char out[WG_SHOWN_SIZE]);
/**
 * Returns how the plan should feed in those weeks: "more", "less" or, if next to nothing is eaten, "stop"; "old" if it has
 * given nothing for four weeks and the old feed should go; else "".
 */
const char *wg_calendar_advice(const struct wg_work_bin *bin);
/**
 * Words how often to pull the traps of a place in that week: "3 days", "14+ days", "no need"; "-" without traps. Returns
 * true if they must be pulled.
 */
bool wg_calendar_show_pull(const struct wg_calendar *calendar, int week, int n, int place, char out[WG_SHOWN_SIZE]);

/** What the plan has the keeper do, without feeding: "move 100 % of the larvae ...". */
void wg_calendar_action(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]);
/**
 * Appends what the plan has the keeper do in those weeks: "1 Dec: move ..., clear ...; from 4 Dec: collect ...". What
 * stands from the first day on is left out, and so are usual pulls of traps, which have a column.
 */
void wg_calendar_put_actions(const struct wg_calendar *calendar, int week, int n, struct wg_bytes *out);

/* ---- the work calendar as text and JSON: what the plan has the keeper do, feed, traps and crawl-off ---- */

/** Prints tables with a line for each week or month, 80 columns. Returns 0 or WG_ERR_MEMORY. */
int wg_work_print(const struct wg_work *work, FILE *to, struct wg_error *err);
/** Writes the same as arrays, one value a week, under the key "weeks". */
void wg_work_put_json(const struct wg_work *work, struct wg_json *json);

/*
 * The work calendar as an iCalendar file (RFC 5545) for a phone: an all-day event for each week with work, and one for
 * each action of the plan.
 */

/**
 * Appends the calendar of a forecast. It depends on nothing but the forecast: the same plan gives the same bytes, and an
 * event keeps its UID when the plan changes, so that a phone replaces it. Returns 0 or WG_ERR_MEMORY.
 */
int wg_ical_write(const struct wg_forecast *forecast, struct wg_bytes *out, struct wg_error *err);

/** Appends a content line "NAME:value" with the value escaped as TEXT (3.3.11), folded after 75 bytes (3.1). */
void wg_ical_put_text(struct wg_bytes *out, const char *name, const char *value);

#endif
