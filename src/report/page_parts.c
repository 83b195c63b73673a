/*
 * What else belongs in a report: the work week by week, and on what it all rests.
 */
#include "report/page.h"
#include "text/show.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- work ---- */

#define LONGEST_WAIT_SHOWN 14.0 /* days, as in the calendar of the forecast */

static void show_trap_interval(double days, char out[WG_SHOWN_SIZE]) {
    if (isinf(days))
        (void)snprintf(out, WG_SHOWN_SIZE, "no need");
    else if (days > LONGEST_WAIT_SHOWN)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.0f days or more", LONGEST_WAIT_SHOWN);
    else
        (void)snprintf(out, WG_SHOWN_SIZE, days < 1.5 ? "%.0f day" : "%.0f days", days);
}

static double shortest_pull(const struct wg_work *work, int week) {
    double days = HUGE_VAL;
    for (int place = 0; place < work->plan->n_places; place++)
        if (wg_work_has_traps(work->plan, place))
            days = fmin(days, wg_work_pull_days(work, week, place));
    return days;
}

static void put_week(const struct wg_work *work, int week, const char *const *head, struct wg_bytes *page) {
    struct wg_work_week w;
    char date[WG_SHOWN_SIZE], wanted[WG_SHOWN_SIZE], given[WG_SHOWN_SIZE] = "without limit", pull[WG_SHOWN_SIZE],
                                                     crawl_off[WG_SHOWN_SIZE];
    wg_work_week(work, week, &w);
    const struct wg_work_spread *const kg = work->plan->feed_unlimited ? &w.wanted_dry_kg : &w.wanted_wet_kg;
    wg_show_date(work->plan->first_day, w.from, "", date);
    if (isnan(kg->q50))
        (void)snprintf(wanted, sizeof wanted, "-");
    else
        wg_show_mass_range(kg->q05, kg->q95, wanted);
    if (!isnan(w.given_wet_kg))
        wg_show_mass(w.given_wet_kg, given);
    show_trap_interval(shortest_pull(work, week), pull);
    wg_show_mass_range(w.crawl_off_kg.q05, w.crawl_off_kg.q95, crawl_off);
    const char *const cell[] = {date, wanted, given, pull, crawl_off};
    wg_page_table_row(page, head, cell, 5);
}

void wg_report_work(const struct wg_work *work, struct wg_bytes *page) {
    const char *const head[] = {
        "week from", work->plan->feed_unlimited ? "the larvae could eat (dry)" : "the larvae could eat (wet)",
        "the plan gives", "pull traps every", "crawl-off"};
    char words[96] = "Ranges hold 9 in 10.";
    const int days = (work->plan->last_day - work->plan->first_day + 1) % 7;
    if (days > 0)
        (void)snprintf(words, sizeof words, "Ranges hold 9 in 10. The last row is of %d day%s only.", days,
                       days == 1 ? "" : "s");
    wg_page_table_begin(page, words, head, 5);
    for (int week = 0; week < work->n_weeks; week++)
        put_week(work, week, head, page);
    wg_page_table_end(page);
}

/* ---- assumptions ---- */

/* "judgement" in a source says that nobody measured it. */
static bool is_judged(const struct wg_result_parameter *parameter) {
    return strstr(parameter->source, "judgement") != NULL;
}

/* Is it the default of the set of numbers the scenario names? */
static bool is_changed(const struct wg_species *defaults, const struct wg_result_parameter *parameter) {
    const struct wg_parameter *const known = wg_species_find(parameter->name);
    return known != NULL && wg_species_get(defaults, known) != strtod(parameter->value, NULL);
}

void wg_report_assumptions(const struct wg_result_data *data, const struct wg_plan *plan, struct wg_bytes *page) {
    static const char *const head[] = {"number", "what it is", "value", "unit", "where the default comes from", "mark"};
    struct wg_species defaults;
    const bool has_defaults = wg_species_set(&defaults, plan->numbers) == 0;
    wg_page_table_begin(page,
                        "Marked: judgement, where nobody measured it; set, where the scenario says otherwise. MEMORY: "
                        "from memory, the source not checked again.",
                        head, 6);
    for (int i = 0; i < data->n_parameters; i++) {
        const struct wg_result_parameter *const p = &data->parameter[i];
        const bool changed = has_defaults && is_changed(&defaults, p);
        const char *const cell[] = {p->name,   p->meaning,
                                    p->value,  strcmp(p->unit, "1") == 0 ? "" : p->unit,
                                    p->source, changed ? "set" : is_judged(p) ? "judgement" : ""};
        wg_page_table_row(page, NULL, cell, 6);
    }
    wg_page_table_end(page);
}
