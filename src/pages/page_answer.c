/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words a forecast in three sentences: survival, harvest, and the cost of winter or the spring flies.
 */
#include "pages/page_parts.h"

#include "data/spring_words.h"
#include "report/forecast_parts.h"
#include "text/outcome_label.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Returns true if the outcome happened in any replicate. If out of memory, returns false and sets *code. */
static bool has_happened(const struct wg_forecast *forecast, enum wg_outcome_number outcome, struct wg_spread *spread,
                         int *code) {
    const int got = wg_summary_spread(forecast->summary, outcome, spread);
    *code = got == WG_ERR_MEMORY ? got : *code;
    return got == 0 && spread->happened > 0;
}

static void describe_survival(const struct wg_forecast *forecast, const struct wg_odds *odds,
                              char out[WG_SENTENCE_SIZE]) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    char headline[WG_ODDS_TEXT], animal[WG_ODDS_TEXT];
    wg_odds_headline(odds, plan, headline);
    wg_odds_headline_animal(odds, plan, animal);
    (void)snprintf(out, WG_SENTENCE_SIZE, "%.200s.%s%.200s%s", headline, animal[0] != '\0' ? " " : "", animal,
                   animal[0] != '\0' ? "." : "");
}

static void describe_harvest(const struct wg_forecast *forecast, char out[WG_SENTENCE_SIZE], int *code) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    struct wg_spread mass, first;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], from[WG_SHOWN_SIZE] = "", spread[3 * WG_SHOWN_SIZE] = "";
    const char *const noun = wg_forecast_noun(plan);
    const enum wg_outcome_number harvest = wg_outcome_harvest(plan);
    if (!has_happened(forecast, harvest, &mass, code) || mass.q95 <= 0) {
        (void)snprintf(out, WG_SENTENCE_SIZE, "There is nothing to harvest.");
        return;
    }
    const int digits = wg_spread_digits(mass.q05, mass.q50, mass.q95);
    const char *const verb = wg_outcome_harvest_verb(harvest);
    wg_show_rounded_mass(mass.q50, mass.q50, digits, middle);
    wg_show_rounded_mass(mass.q05, mass.q95, digits, range);
    if (has_happened(forecast, WG_OUTCOME_first_batch_50, &first, code) && isfinite(first.q50))
        wg_show_date(plan->first_day, first.q50, "", from);
    if (strcmp(middle, range) != 0)
        (void)snprintf(spread, sizeof spread, "; in 9 %s out of 10 it is %.80s", noun, range);
    (void)snprintf(out, WG_SENTENCE_SIZE, "In the middle %s %s %s in all%s.%s%s%s", wg_forecast_noun_of(plan, 1),
                   middle, verb, spread, from[0] != '\0' ? " Half of the first batch has crawled off by about " : "",
                   from, from[0] != '\0' ? "." : "");
}

/* " (10 to 15 kWh)"; empty if the range looks the same as the median. */
static const char *in_brackets(const char *middle, const char *range, char out[2 * WG_SHOWN_SIZE]) {
    out[0] = '\0';
    if (strcmp(middle, range) != 0)
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, " (%.180s)", range);
    return out;
}

/* Shows the middle and the range of 9 years out of 10, both with the figures that the range deserves. */
static void show_spread_in(const struct wg_plan *plan, enum wg_outcome_number outcome, const struct wg_spread *spread,
                           char middle[WG_SHOWN_SIZE], char range[WG_SHOWN_SIZE]) {
    const struct wg_value_style style = {wg_outcome_label(outcome)->kind,
                                         wg_spread_digits(spread->q05, spread->q50, spread->q95), plan->first_day,
                                         plan->currency};
    wg_value_show_range(&style, spread->q50, spread->q50, middle);
    wg_value_show_range(&style, spread->q05, spread->q95, range);
}

static bool describe_heat(const struct wg_forecast *forecast, char out[WG_SENTENCE_SIZE], int *code) {
    struct wg_spread energy, cost;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], brackets[2 * WG_SHOWN_SIZE], money[WG_SENTENCE_SIZE] = "";
    if (!wg_outcome_is_shown(WG_OUTCOME_total_heater_energy, &forecast->scenario->plan) ||
        !has_happened(forecast, WG_OUTCOME_total_heater_energy, &energy, code))
        return false;
    const struct wg_plan *const plan = &forecast->scenario->plan;
    show_spread_in(plan, WG_OUTCOME_total_heater_energy, &energy, middle, range);
    const bool lamps = wg_plan_has_source(plan, WG_SOURCE_LAMPS);
    if (has_happened(forecast, WG_OUTCOME_total_heater_cost, &cost, code) && cost.happened == cost.n && cost.q95 > 0) {
        char price[WG_SHOWN_SIZE], prices[WG_SHOWN_SIZE], both[2 * WG_SHOWN_SIZE];
        show_spread_in(plan, WG_OUTCOME_total_heater_cost, &cost, price, prices);
        (void)snprintf(money, sizeof money, " and cost%s %s%s", lamps ? "" : "s", price,
                       in_brackets(price, prices, both));
    }
    const bool is_range = strcmp(middle, range) != 0;
    const int n = snprintf(out, WG_SENTENCE_SIZE, "%s %s%s%s%s%s.", lamps ? "Heat and lamps take" : "Heat takes",
                           middle, is_range ? " in the middle " : "", is_range ? wg_forecast_noun_of(plan, 1) : "",
                           in_brackets(middle, range, brackets), money);
    char why[WG_SENTENCE_SIZE];
    if (wg_forecast_no_cost(plan, why))
        (void)snprintf(out + n, (size_t)(WG_SENTENCE_SIZE - n), " %s", why);
    return true;
}

static bool describe_spring_flies(const struct wg_forecast *forecast, char out[WG_SENTENCE_SIZE], int *code) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    struct wg_spread spring;
    char middle[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], range[2 * WG_SHOWN_SIZE],
        brackets[2 * WG_SHOWN_SIZE];
    char undated[WG_SPRING_TEXT];
    char end[WG_SHOWN_SIZE], cut[2 * WG_SHOWN_SIZE] = "";
    const struct wg_spring season = wg_plan_spring(plan);
    if (!has_happened(forecast, WG_OUTCOME_spring_emergence_50, &spring, code))
        return false;
    wg_show_date(plan->first_day, spring.q50, "", middle);
    wg_show_date(plan->first_day, spring.q05, "", low);
    wg_show_date(plan->first_day, spring.q95, "", high);
    const bool is_one = strcmp(low, high) == 0;
    (void)snprintf(range, sizeof range, "%.40s%s%.40s", low, is_one ? "" : " to ", is_one ? "" : high);
    wg_spring_words(&(struct wg_spring_counts){spring.n, spring.happened, forecast->work->all_winter},
                    wg_forecast_noun_of(plan, spring.n), undated);
    wg_show_date(season.to, 0, "", end);
    if (season.seen == WG_SPRING_CUT)
        (void)snprintf(cut, sizeof cut, " Counted until %.40s, where the period ends.", end);
    (void)snprintf(out, WG_SENTENCE_SIZE, "Half of the spring flies are out by%s %s%s%s%s.%s", is_one ? "" : " about",
                   middle, in_brackets(middle, range, brackets), undated[0] != '\0' ? "; " : "", undated, cut);
    return true;
}

static void describe_larvae(const struct wg_forecast *forecast, char out[WG_SENTENCE_SIZE], int *code) {
    struct wg_spread number;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], brackets[2 * WG_SHOWN_SIZE];
    if (!has_happened(forecast, WG_OUTCOME_peak_larvae, &number, code) || number.q95 <= 0) {
        (void)snprintf(out, WG_SENTENCE_SIZE, "There are no larvae.");
        return;
    }
    show_spread_in(&forecast->scenario->plan, WG_OUTCOME_peak_larvae, &number, middle, range);
    (void)snprintf(out, WG_SENTENCE_SIZE, "At its peak the colony has %s larvae%s.", middle,
                   in_brackets(middle, range, brackets));
}

void wg_report_answer_note(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                           char out[WG_SENTENCE_SIZE]) {
    const struct wg_plan *const plan = &forecast->scenario->plan;
    char bands[WG_ODDS_TEXT], dormancy[WG_ODDS_TEXT], rest[WG_ODDS_TEXT], mean[WG_SHOWN_SIZE];
    out[0] = '\0';
    if (sentence > 1)
        return;
    wg_odds_bands(odds, plan, sentence == 1, bands);
    wg_odds_dormancy(odds, plan, dormancy);
    wg_odds_rest_on(odds, plan, rest);
    wg_show_rounded_mass(odds->harvest.mean, odds->harvest.mean, 2, mean);
    if (sentence == 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "%.220s%s%.140s%s%.140s", bands, bands[0] != '\0' ? " " : "", dormancy,
                       dormancy[0] != '\0' ? " " : "", rest);
    else if (bands[0] != '\0' && odds->harvest.mean > 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "On average %.60s. %.320s", mean, bands);
}

int wg_report_answer(const struct wg_forecast *forecast, const struct wg_odds *odds, int sentence,
                     char out[WG_SENTENCE_SIZE]) {
    int code = 0;
    if (sentence == 0)
        describe_survival(forecast, odds, out);
    else if (sentence == 1)
        describe_harvest(forecast, out, &code);
    else if (!describe_heat(forecast, out, &code) && !describe_spring_flies(forecast, out, &code))
        describe_larvae(forecast, out, &code);
    return code;
}
