/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The forecast for other programs: the same numbers, every outcome of the table,
 * units beside them. What did not happen by the end is null.
 */
#include "report/forecast_text.h"

#include "analysis/winters.h"
#include "report/calendar_text.h"
#include "report/forecast_parts.h"
#include "report/goals_report.h"
#include "report/reasons_text.h"
#include "report/warning_lists.h"
#include "text/outcome_label.h"
#include <math.h>
#include <wintergrub/version.h>

void wg_forecast_put_period(struct wg_json *json, const struct wg_plan *plan) {
    char date[WG_SHOWN_SIZE];
    wg_json_object(json, "period");
    (void)wg_show_iso_date(plan->first_day, 0, date);
    wg_json_text(json, "from", date);
    (void)wg_show_iso_date(plan->last_day, 0, date);
    wg_json_text(json, "to", date);
    wg_json_whole(json, "days", plan->last_day - plan->first_day + 1);
    wg_json_close(json);
}

/* Counts the replicates with a date of the spring flies, and those without one by the reason. */
static void put_spring_counts(struct wg_json *json, const struct wg_forecast *forecast) {
    const double *const half = wg_summary_outcome(forecast->summary, WG_OUTCOME_spring_emergence_50);
    const int64_t all_winter = forecast->work->all_winter;
    int64_t dated = 0;
    for (int64_t i = 0; i < forecast->summary->n; i++)
        dated += !isnan(half[i]);
    wg_json_whole(json, "dated", dated);
    wg_json_whole(json, "flies_all_winter", all_winter);
    wg_json_whole(json, "no_overwintered_fly", forecast->summary->n - dated - all_winter);
}

void wg_forecast_put_spring(struct wg_json *json, const struct wg_plan *plan, const struct wg_forecast *forecast) {
    static const char *const seen[] = {[WG_SPRING_NONE] = "none",
                                       [WG_SPRING_TOO_FEW] = "too short to tell",
                                       [WG_SPRING_CUT] = "cut by the end of the period",
                                       [WG_SPRING_WHOLE] = "whole"};
    const struct wg_spring spring = wg_plan_spring(plan);
    const bool is_counted = spring.seen >= WG_SPRING_CUT;
    char date[WG_SHOWN_SIZE];
    wg_json_object(json, "spring");
    wg_json_text(json, "seen", seen[spring.seen]);
    (void)wg_show_iso_date(spring.from, 0, date);
    wg_json_text(json, "counted_from", is_counted ? date : NULL);
    (void)wg_show_iso_date(spring.to, 0, date);
    wg_json_text(json, "counted_to", is_counted ? date : NULL);
    if (is_counted && forecast != NULL)
        put_spring_counts(json, forecast);
    wg_json_close(json);
}

static void put_forecast_head_json(struct wg_json *json, const struct wg_forecast *forecast) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    char text[WG_SENTENCE_SIZE];
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "title", wg_scenario_name(forecast->scenario));
    wg_json_text(json, "scenario", forecast->scenario->path);
    wg_json_text(json, "result", forecast->result_path);
    wg_forecast_put_period(json, plan);
    wg_forecast_put_spring(json, plan, forecast);
    wg_forecast_weather(forecast->scenario, text);
    wg_json_text(json, "weather", text);
    wg_json_text(json, "numbers", plan->animals == WG_ANIMALS_PLAUSIBLE ? NULL : plan->numbers); /* each has its own */
    wg_json_text(json, "currency", plan->currency[0] != '\0' ? plan->currency : NULL);
    wg_json_whole(json, "replicates", forecast->summary->n);
    wg_json_seed(json, plan->seed);
    wg_json_whole(json, "steps_per_day", plan->steps_per_day);
}

int wg_forecast_put_odds(struct wg_json *json, const struct wg_plan *plan, const struct wg_summary *summary,
                         struct wg_error *err) {
    struct wg_odds odds;
    struct wg_winters winters;
    int code = wg_odds_find(&odds, plan, summary, err);
    if (code == 0)
        code = wg_winters_count(&winters, plan, summary, err);
    if (code < 0)
        return code;
    wg_json_text(json, "animals", odds.over_animals ? "plausible" : "middle");
    wg_odds_put_json(json, &odds);
    if (winters.n == 0)
        return 0;
    wg_json_list(json, "survival_by_winter");
    for (int i = 0; i < winters.n; i++) {
        wg_json_object(json, NULL);
        wg_json_whole(json, "year", winters.winter[i].year);
        wg_json_whole(json, "of", winters.winter[i].n);
        wg_json_whole(json, "alive", winters.winter[i].alive);
        wg_json_close(json);
    }
    wg_json_close(json);
    return 0;
}

static void put_dates_json(struct wg_json *json, int32_t first_day, const char *const *name, const double *value,
                           int n) {
    char date[WG_SHOWN_SIZE];
    wg_json_object(json, "dates");
    for (int i = 0; i < n; i++)
        wg_json_text(json, name[i], wg_show_iso_date(first_day, value[i], date) == 0 ? date : NULL);
    wg_json_close(json);
}

static int put_outcome(struct wg_json *json, const struct wg_summary *summary, enum wg_outcome_number number) {
    const struct wg_outcome *const outcome = &wg_diary_outcomes()[number];
    static const char *const name[] = {"q05", "q25", "q50", "q75", "q95"};
    struct wg_spread spread;
    const int code = wg_summary_spread(summary, number, &spread);
    if (code < 0)
        return code;
    const double value[] = {spread.q05, spread.q25, spread.q50, spread.q75, spread.q95};
    wg_json_object(json, outcome->name);
    wg_json_text(json, "unit", outcome->unit);
    wg_json_text(json, "meaning", outcome->text);
    wg_json_whole(json, "happened", spread.happened);
    wg_json_whole(json, "of", spread.n);
    wg_json_text(json, "others_count_as", outcome->missing == WG_MISSING_LATER ? "later than all" : "left out");
    for (int i = 0; i < 5; i++)
        wg_json_real(json, name[i], value[i]);
    wg_json_real(json, "mean", spread.mean);
    if (wg_outcome_label(number)->kind == WG_VALUE_DATE)
        put_dates_json(json, summary->first_day, name, value, 5);
    wg_json_close(json);
    return 0;
}

int wg_forecast_put_outcomes(struct wg_json *json, const struct wg_plan *plan, const struct wg_summary *summary) {
    int code = 0;
    wg_json_object(json, "outcomes");
    for (int o = 0; o < WG_N_OUTCOMES && code == 0; o++)
        if (wg_outcome_is_kept((enum wg_outcome_number)o, plan))
            code = put_outcome(json, summary, (enum wg_outcome_number)o);
    wg_json_close(json);
    return code;
}

/* As eaten, the weight is an outcome of its own, of which this is the middle. */
static int put_feed_json(struct wg_json *json, const struct wg_plan *plan, const struct wg_summary *summary) {
    const bool as_eaten = wg_plan_feeds_as_eaten(plan, -1, plan->first_day, plan->last_day);
    struct wg_spread given = {0};
    const int code = wg_summary_spread(summary, WG_OUTCOME_total_feed_fresh, &given);
    wg_json_object(json, "feed");
    wg_json_flag(json, "unlimited", plan->feed_unlimited);
    wg_json_flag(json, "as_eaten", as_eaten);
    if (!plan->feed_unlimited)
        wg_json_real(json, "given_wet_kg", as_eaten ? given.q50 : wg_plan_feed_kg(plan));
    wg_json_close(json);
    return code;
}

static void put_no_cost(struct wg_json *json, const struct wg_plan *plan) {
    char why[WG_SENTENCE_SIZE];
    wg_json_text(json, "why_no_cost", wg_forecast_no_cost(plan, why) ? why : NULL);
}

static int put_balance_json(struct wg_json *json, const struct wg_forecast *forecast, struct wg_error *err) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    struct wg_balance balance;
    if (!wg_plan_keeps_accounts(plan))
        return 0;
    const int code = wg_balance_find(&balance, plan, forecast->summary, err);
    if (code == 0)
        wg_money_put_json(json, &balance, plan);
    return code;
}

static int put_reserve_json(struct wg_json *json, const struct wg_forecast *forecast, struct wg_error *err) {
    struct wg_reserve reserve;
    if (!wg_plan_has_neighbour(&forecast->scenario->plan))
        return 0;
    const int code = wg_reserve_find(&reserve, &forecast->scenario->plan, forecast->summary, err);
    if (code == 0)
        wg_reserve_put_json(json, &reserve);
    return code;
}

int wg_forecast_print_json(const struct wg_forecast *forecast, FILE *to, struct wg_error *err) {
    struct wg_json *const json = wg_json_new();
    put_forecast_head_json(json, forecast);
    int code = wg_forecast_put_odds(json, &forecast->scenario->plan, forecast->summary, err);
    if (code == 0 && forecast->odds != NULL)
        code = wg_goals_json_put(json, forecast->odds, err);
    wg_reasons_put_json(forecast->reasons, &forecast->scenario->plan, json);
    if (code == 0 && (put_feed_json(json, &forecast->scenario->plan, forecast->summary) < 0 ||
                      wg_forecast_put_outcomes(json, &forecast->scenario->plan, forecast->summary) < 0))
        code = wg_no_memory(err, NULL);
    put_no_cost(json, &forecast->scenario->plan);
    if (code == 0)
        code = put_balance_json(json, forecast, err);
    if (code == 0)
        code = put_reserve_json(json, forecast, err);
    wg_work_put_json(forecast->work, json);
    wg_notes_put_warnings(json, forecast->warnings, forecast->work);
    wg_notes_put_cautions(json, &forecast->scenario->plan);
    if (code == 0)
        return wg_json_print(json, to, err);
    wg_json_drop(json);
    return code;
}
