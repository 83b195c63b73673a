/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes a comparison as JSON: every outcome of every setup and every difference from the first; null for what is
 * missing.
 */
#include "answers/comparison.h"

#include "report/forecast_parts.h"
#include "report/forecast_text.h"
#include "report/reasons_text.h"
#include "report/warning_lists.h"
#include "text/show.h"
#include <wintergrub/version.h>

static void put_comparison_head_json(struct wg_json *json, const struct wg_comparison *comparison) {
    const struct wg_scenario *const first = comparison->forecast[0].scenario;
    char text[WG_SENTENCE_SIZE];
    wg_json_text(json, "wintergrub", WG_VERSION);
    wg_json_text(json, "result", comparison->result_path);
    wg_forecast_put_period(json, &first->plan);
    wg_forecast_put_spring(json, &first->plan, NULL);
    wg_forecast_weather(first, text);
    wg_json_text(json, "weather", text);
    wg_json_whole(json, "replicates", comparison->compare->replicates);
    wg_json_seed(json, comparison->compare->seed);
}

static int put_setup_json(struct wg_json *json, const struct wg_comparison *comparison, int i) {
    const struct wg_forecast *const forecast = &comparison->forecast[i];
    wg_json_object(json, NULL);
    wg_json_text(json, "letter", wg_setup_letter(i));
    wg_json_text(json, "title", wg_scenario_name(forecast->scenario));
    wg_json_text(json, "scenario", forecast->scenario->path);
    wg_json_text(json, "numbers",
                 forecast->scenario->plan.animals == WG_ANIMALS_PLAUSIBLE ? NULL : forecast->scenario->plan.numbers);
    wg_json_whole(json, "steps_per_day", forecast->scenario->plan.steps_per_day);
    const struct wg_odds *const odds = &comparison->compare->setup[i].odds;
    wg_json_text(json, "animals", odds->over_animals ? "plausible" : "middle");
    wg_odds_put_json(json, odds);
    const int code = wg_forecast_put_outcomes(json, &forecast->scenario->plan, forecast->summary);
    wg_reasons_put_json(forecast->reasons, &forecast->scenario->plan, json);
    wg_notes_put_warnings(json, forecast->warnings, forecast->work);
    wg_notes_put_cautions(json, &forecast->scenario->plan);
    wg_json_close(json);
    return code;
}

static void put_difference_json(struct wg_json *json, enum wg_compared compared, const struct wg_difference *d) {
    const struct wg_outcome *const outcome = &wg_diary_outcomes()[wg_compared_outcome(compared)];
    wg_json_object(json, outcome->name);
    wg_json_text(json, "unit", outcome->unit);
    wg_json_text(json, "meaning", outcome->text);
    wg_json_text(json, "better", wg_compared_better(compared) == WG_MORE_IS_BETTER ? "more" : "less");
    wg_json_whole(json, "of", d->n);
    wg_json_real(json, "mean", d->mean);
    wg_json_real(json, "low", d->interval.low);
    wg_json_real(json, "high", d->interval.high);
    wg_json_real(json, "sd", d->sd);
    wg_json_whole(json, "times_better", d->better);
    wg_json_whole(json, "times_worse", d->worse);
    wg_json_whole(json, "ties", d->ties);
    wg_json_real(json, "chance_better", d->chance);
    wg_json_real(json, "chance_low", d->chance_interval.low);
    wg_json_real(json, "chance_high", d->chance_interval.high);
    wg_json_real(json, "variance_factor", d->variance_factor);
    const struct wg_animals_won *const animals = &d->animals;
    if (animals->better + animals->same + animals->worse + animals->without > 0) {
        wg_json_object(json, "animals");
        wg_json_whole(json, "better", animals->better);
        wg_json_whole(json, "same", animals->same);
        wg_json_whole(json, "worse", animals->worse);
        wg_json_whole(json, "without", animals->without);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_price(struct wg_json *json, const struct wg_extra_price *price) {
    wg_json_object(json, "price_of_extra_harvest");
    wg_json_real(json, "per_kg", price->per_kg);
    wg_json_real(json, "low", price->interval.low);
    wg_json_real(json, "high", price->interval.high);
    wg_json_real(json, "per_lb", price->per_kg * WG_KG_PER_LB);
    wg_json_text(json, "why_none", wg_comparison_no_price(price->why));
    wg_json_close(json);
}

static void put_pair_json(struct wg_json *json, const struct wg_comparison *comparison, int i) {
    const struct wg_setup_pair *const pair = &comparison->compare->pair[i];
    char also[WG_SENTENCE_SIZE];
    wg_json_object(json, NULL);
    wg_json_text(json, "setup", wg_setup_letter(i));
    wg_json_text(json, "against", wg_setup_letter(0));
    wg_json_real(json, "confidence", WG_COMPARE_CONFIDENCE);
    wg_json_object(json, "differences");
    for (int c = 0; c < wg_compare_compared_kept(comparison->compare); c++)
        put_difference_json(json, (enum wg_compared)c, &pair->difference[c]);
    wg_json_close(json);
    put_price(json, &pair->extra);
    wg_json_list(json, "also_different");
    for (int k = 0; wg_comparison_also(comparison, i, k, also); k++)
        wg_json_text(json, NULL, also);
    wg_json_close(json);
    wg_json_close(json);
}

static void put_letters(struct wg_json *json, const char *key, int n, const int *setup) {
    wg_json_list(json, key);
    for (int i = 0; i < n; i++)
        wg_json_text(json, NULL, wg_setup_letter(setup[i]));
    wg_json_close(json);
}

static void put_steps(struct wg_json *json, const struct wg_choice *choice) {
    wg_json_list(json, "steps");
    for (int i = 0; i < choice->n_steps; i++) {
        const struct wg_choice_step *const step = &choice->step[i];
        wg_json_object(json, NULL);
        wg_json_text(json, "setup", wg_setup_letter(step->setup));
        wg_json_text(json, "beyond", wg_setup_letter(step->from));
        wg_json_real(json, "per_kg", step->price.per_kg);
        wg_json_real(json, "low", step->price.interval.low);
        wg_json_real(json, "high", step->price.interval.high);
        wg_json_close(json);
    }
    wg_json_close(json);
}

static void put_valleys(struct wg_json *json, const struct wg_choice *choice) {
    wg_json_list(json, "more_energy_and_less_often_alive");
    for (int i = 0; i < choice->n_valleys; i++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "setup", wg_setup_letter(choice->valley[i].setup));
        wg_json_text(json, "than", wg_setup_letter(choice->valley[i].better));
        wg_json_close(json);
    }
    wg_json_close(json);
}

/* Which setup ends best, and the share of the years in which each ends above zero. */
static void put_above_zero(struct wg_json *json, const struct wg_choice *choice) {
    put_letters(json, "best_balance", choice->n_best, choice->by_balance);
    wg_json_object(json, "ends_above_zero");
    for (int i = 0; i < choice->n; i++)
        wg_json_real(json, wg_setup_letter(i), choice->setup[i].above_zero);
    wg_json_close(json);
}

/* "verdict" as the screen words it, and what it rests on. */
static void put_verdict_json(struct wg_json *json, const struct wg_comparison *comparison) {
    const struct wg_verdict_facts verdict = wg_comparison_verdict(comparison);
    const struct wg_choice *const choice = comparison->choice;
    struct wg_bytes words = {0};
    wg_verdict_words(&verdict, &words);
    wg_json_text(json, "verdict", words.data);
    wg_bytes_free(&words);
    wg_json_object(json, "choice");
    put_letters(json, "alive_most_often", choice->n_longest, choice->by_survival);
    put_letters(json, "largest_harvest", choice->n_largest, choice->by_harvest);
    if (choice->has_accounts)
        put_above_zero(json, choice);
    wg_json_text(json, "cheapest", wg_setup_letter(choice->start));
    wg_json_text(json, "cheapest_alive_most_often", wg_setup_letter(choice->safe));
    wg_json_text(json, "steps_in", choice->is_priced ? "money" : "kWh");
    put_steps(json, choice);
    put_valleys(json, choice);
    wg_json_close(json);
}

static void put_varied_json(struct wg_json *json, const struct wg_varied *varied) {
    wg_json_list(json, "varied");
    for (int k = 0; k < varied->n; k++) {
        wg_json_object(json, NULL);
        wg_json_text(json, "what", varied->subject[k]);
        wg_json_list(json, "values");
        for (int i = 0; i < varied->n_values[k]; i++)
            wg_json_text(json, NULL, varied->value[k][i]);
        wg_json_close(json);
        wg_json_close(json);
    }
    wg_json_close(json);
}

int wg_comparison_print_json(const struct wg_comparison *comparison, FILE *to, struct wg_error *err) {
    struct wg_json *const json = wg_json_new();
    int code = 0;
    put_comparison_head_json(json, comparison);
    put_verdict_json(json, comparison);
    put_varied_json(json, comparison->varied);
    wg_json_list(json, "setups");
    for (int i = 0; i < comparison->n && code == 0; i++)
        code = put_setup_json(json, comparison, i);
    wg_json_close(json);
    wg_json_list(json, "pairs");
    for (int i = 1; i < comparison->n; i++)
        put_pair_json(json, comparison, i);
    wg_json_close(json);
    if (code == 0)
        return wg_json_print(json, to, err);
    wg_json_drop(json);
    return wg_no_memory(err, NULL);
}
