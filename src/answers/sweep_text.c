/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the results of a sweep: a line of 80 columns for each scenario, and more as JSON.
 */
#include "answers/sweep_text.h"

#include "base/utf8.h"
#include "report/forecast_text.h"
#include "report/goals_report.h"
#include "text/money.h"
#include "text/outcome_label.h"
#include "text/terminal.h"

#include <math.h>
#include <string.h>

#define NAME 20 /* columns; a longer name has a line of its own */

/* ---- the cells ---- */

static double middle_of(const struct wg_summary *summary, enum wg_outcome_number outcome, int *code) {
    struct wg_spread spread;
    const int failed = wg_summary_spread(summary, outcome, &spread);
    if (failed < 0) {
        *code = failed;
        return (double)NAN;
    }
    return spread.happened > 0 ? spread.q50 : (double)INFINITY;
}

/* Whether the power of something that the plan uses is not known. */
static bool has_unknown_power(const struct wg_plan *plan) {
    struct wg_source source;
    bool has = false;
    for (int i = 0; wg_plan_source(plan, i, &source); i++)
        has = has || !source.has_power;
    return has;
}

static void show_cost(const struct wg_plan *plan, double cost, double energy_kwh, char out[WG_SHOWN_SIZE]) {
    char number[WG_SHOWN_SIZE];
    const bool known =
        cost > 0 && isfinite(cost); /* the cost is not known unless everything that draws power has a price */
    if (known)
        wg_show_money(cost, cost, 2, plan->currency, number);
    else
        wg_show_rounded_range(energy_kwh, energy_kwh, 2, " kWh", number);
    if (!known && has_unknown_power(plan))
        (void)snprintf(out, WG_SHOWN_SIZE, "unknown");
    else if (!wg_outcome_is_shown(WG_OUTCOME_total_heater_energy, plan))
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.60s", number);
}

int wg_sweep_row_fill(struct wg_sweep_row *row, const struct wg_plan *plan, const struct wg_sweep_numbers *numbers,
                      struct wg_error *err) {
    int code = 0;
    const double first = middle_of(&numbers->summary, WG_OUTCOME_first_batch_50, &code);
    const double harvest_kg = middle_of(&numbers->summary, wg_outcome_harvest(plan), &code);
    const double cost = middle_of(&numbers->summary, WG_OUTCOME_total_heater_cost, &code);
    const double energy_kwh = middle_of(&numbers->summary, WG_OUTCOME_total_heater_energy, &code);
    if (code < 0)
        return wg_no_memory(err, NULL);
    wg_goals_text_chance(wg_summary_survival(&numbers->summary), row->alive);
    if (plan->n_goals > 0)
        wg_goals_text_chance((double)numbers->odds.all / (double)numbers->odds.n, row->goals);
    else
        (void)snprintf(row->goals, sizeof row->goals, "-");
    wg_show_date(plan->first_day, first, "not by end", row->first);
    wg_show_rounded_mass(harvest_kg, harvest_kg, 2, row->harvest);
    show_cost(plan, cost, energy_kwh, row->cost);
    return 0;
}

/* ---- the table ---- */

/* Returns the columns on a terminal: characters, not bytes. */
static int width_of(const char *text) {
    int columns = 0;
    for (const char *c = text; *c != '\0'; c++)
        columns += wg_utf8_starts(*c);
    return columns;
}

/* Returns the field width for NAME columns in bytes, which printf() counts. */
static int padded(const char *text) {
    return NAME + (int)strlen(text) - width_of(text);
}

static void print_sweep_row(FILE *to, const char *name, const struct wg_sweep_row *row) {
    char text[WG_SENTENCE_SIZE];
    (void)snprintf(text, sizeof text, "%s", name);
    wg_utf8_clean(text);
    if (width_of(text) > NAME) {
        (void)fprintf(to, "%s\n", text);
        text[0] = '\0';
    }
    const int width = padded(text);
    if (row->is_failed)
        (void)fprintf(to, "%-*s could not be simulated%s\n", width, text,
                      row->is_older ? "; an older result is kept" : "");
    else
        (void)fprintf(to, "%-*s %6s %6s %11s %22s %9s\n", width, text, row->alive, row->goals, row->first, row->harvest,
                      row->cost);
}

void wg_sweep_print(const struct wg_sweep_list *list, const struct wg_sweep_row *rows, const char *folder, FILE *to) {
    struct wg_sweep_row head = {.goals = "goals"};
    int64_t kept = 0, failed = 0;
    char text[WG_SENTENCE_SIZE];
    (void)snprintf(head.alive, sizeof head.alive, "%s", wg_outcome_label(WG_OUTCOME_survived)->column);
    (void)snprintf(head.first, sizeof head.first, "%s", wg_outcome_label(WG_OUTCOME_first_batch_50)->column);
    (void)snprintf(head.harvest, sizeof head.harvest, "%s", wg_outcome_label(WG_OUTCOME_total_crawl_off_mass)->column);
    (void)snprintf(head.cost, sizeof head.cost, "%s", wg_outcome_label(WG_OUTCOME_total_heater_cost)->column);
    print_sweep_row(to, "scenario", &head);
    for (int64_t i = 0; i < list->n; i++) {
        print_sweep_row(to, list->item[i].name, &rows[i]);
        kept += rows[i].is_kept;
        failed += rows[i].is_failed;
    }
    (void)fputs("Alive, goals: share of the possible years alive at the end, with all goals met.\n"
                "1st batch: the day by which half of it has crawled off. Harvest: what is taken\n"
                "out, or all crawl-off if nothing is. Heat cost: energy where it has no price.\n"
                "Dates and amounts are the middle: half of the years lie below.\n",
                to);
    (void)snprintf(text, sizeof text, "%lld scenario%s in %.300s: %lld simulated, %lld already complete, %lld failed.",
                   (long long)list->n, list->n == 1 ? "" : "s", folder, (long long)(list->n - kept - failed),
                   (long long)kept, (long long)failed);
    wg_utf8_clean(text);
    wg_show_lines(to, 2, text);
}

/* ---- JSON ---- */

int wg_sweep_put_json(struct wg_json *json, const struct wg_sweep_item *item, const struct wg_scenario *scenario,
                      const struct wg_sweep_numbers *numbers, bool is_kept, const char *why, struct wg_error *err) {
    wg_json_object(json, NULL);
    wg_json_text(json, "name", item->name);
    wg_json_text(json, "title", wg_scenario_name(scenario));
    wg_json_text(json, "scenario", item->scenario);
    wg_json_text(json, "result", item->result);
    wg_json_flag(json, "there_already", is_kept);
    wg_json_text(json, "made_anew_because", why[0] != '\0' ? why : NULL);
    wg_forecast_put_period(json, &scenario->plan);
    wg_json_whole(json, "replicates", numbers->summary.n);
    wg_json_seed(json, scenario->plan.seed);
    wg_json_whole(json, "steps_per_day", scenario->plan.steps_per_day);
    int code = wg_forecast_put_odds(json, &scenario->plan, &numbers->summary, err);
    if (code == 0)
        code = wg_goals_json_put(json, &numbers->odds, err);
    if (code == 0 && wg_forecast_put_outcomes(json, &scenario->plan, &numbers->summary) < 0)
        code = wg_no_memory(err, NULL);
    wg_json_close(json);
    return code;
}
