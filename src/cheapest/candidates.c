/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes candidates: the text of the plan with one value in each open place, read by the ordinary reader.
 */
#include "cheapest/candidates.h"

#include "colony/money.h"
#include "variants/usual_openings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ASSUMED_CHANCE 0.95 /* of survival, without a goal: judgement */

/* ---- one candidate ---- */

/* Counts as free what has no price, and adds the goal that all candidates have. */
static void settle_plan(const struct wg_candidates *candidates, struct wg_plan *plan) {
    plan->seed = candidates->base.plan.seed;
    if (!candidates->has_own_goal) {
        plan->n_goals = 1;
        plan->goal[0] = candidates->goal;
    }
    for (int p = 0; p < plan->n_places; p++) {
        struct wg_place_plan *const place = &plan->places[p];
        if (isnan(place->heater.price_per_kwh))
            place->heater.price_per_kwh = 0;
        if (isnan(place->shelter.lamp_price_per_kwh))
            place->shelter.lamp_price_per_kwh = 0;
        if (isnan(place->shelter.lamp_power_w))
            place->shelter.lamp_power_w = 0;
    }
    for (int b = 0; b < plan->n_bins; b++)
        if (isnan(plan->bins[b].spec.mat.price_per_kwh))
            plan->bins[b].spec.mat.price_per_kwh = 0;
}

int wg_candidates_read(const struct wg_candidates *candidates, const int *level, struct wg_scenario *scenario,
                       struct wg_error *err) {
    const struct wg_scenario *const base = &candidates->base;
    struct wg_mistakes mistakes = {0};
    size_t size;
    char *const text = wg_openings_text(&base->openings, base->text, base->text_size, level, &size);
    *scenario = (struct wg_scenario){0};
    if (text == NULL)
        return wg_no_memory(err, NULL);
    const int code =
        wg_scenario_read_text(scenario, base->path, text, size, base->record_text, base->record_size, &mistakes, err);
    free(text);
    wg_mistakes_free(&mistakes);
    if (code == WG_ERR_INPUT)
        return WG_SEARCH_NO_PLAN;
    if (code == 0)
        settle_plan(candidates, &scenario->plan);
    return code;
}

static int make_candidate(void *self, const int *level, struct wg_search_made *made, struct wg_error *err) {
    struct wg_scenario *const scenario = malloc(sizeof *scenario);
    if (scenario == NULL)
        return wg_no_memory(err, NULL);
    const int code = wg_candidates_read(self, level, scenario, err);
    if (code == 0) {
        *made = (struct wg_search_made){.plan = &scenario->plan, .owner = scenario};
        return 0;
    }
    wg_scenario_free(scenario);
    free(scenario);
    return code;
}

static void release_candidate(void *self, struct wg_search_made *made) {
    (void)self;
    wg_scenario_free(made->owner);
    free(made->owner);
}

/* What the plan costs, less what it earns. */
static double money_of_year(void *self, const struct wg_search_made *made, const struct wg_diary *diary) {
    struct wg_money money;
    (void)self;
    (void)made;
    wg_money_of(diary, &money);
    return money.cost - money.income;
}

struct wg_search_maker wg_candidates_maker(const struct wg_candidates *candidates) {
    return (struct wg_search_maker){.make = make_candidate,
                                    .release = release_candidate,
                                    .money = money_of_year,
                                    .self = (struct wg_candidates *)candidates};
}

/* ---- the scenario ---- */

/* Moves the names of the files that were read, which a scenario read from a text does not know. */
static void move_file_names(struct wg_scenario *from, struct wg_scenario *to) {
    to->record_file = from->record_file;
    from->record_file = NULL;
    memcpy(to->base_file, from->base_file, sizeof to->base_file);
    memset(from->base_file, 0, sizeof from->base_file);
}

/* Opens what usually decides and reads the scenario again. */
static int open_usual(struct wg_candidates *candidates, struct wg_mistakes *mistakes, struct wg_error *err) {
    struct wg_scenario *const base = &candidates->base, opened = {0};
    const struct wg_climate_spec *const climate = &base->plan.climate;
    const struct wg_usual usual = {.first_day = base->plan.first_day,
                                   .last_day = base->plan.last_day,
                                   .is_south = climate->kind != WG_CLIMATE_CONSTANT && climate->latitude_deg < 0,
                                   .is_dear = climate->record != NULL};
    struct wg_bytes text = {0};
    int code = wg_usual_openings(&usual, base->text, base->text_size, &text, &candidates->opened);
    if (code < 0)
        code = wg_no_memory(err, NULL);
    else if (candidates->opened == 0)
        code = wg_fail(err, WG_ERR_INPUT, base->path,
                       "There is nothing to search in it: no value has \"try\", and no place has a heater, a mat or "
                       "lamps. Write for example set_point: {now: 70 degF, try: 40 to 80 degF by 5}.");
    else
        code = wg_scenario_read_text(&opened, base->path, text.data, text.size, base->record_text, base->record_size,
                                     mistakes, err);
    wg_bytes_free(&text);
    if (opened.path == NULL)
        return code;
    move_file_names(base, &opened);
    wg_scenario_free(base);
    *base = opened;
    base->plan.climate.record = base->plan.climate.record != NULL ? &base->record : NULL;
    return code;
}

/* Checks that something has a price. */
static int check_prices(struct wg_candidates *candidates, struct wg_error *err) {
    const struct wg_plan *const plan = &candidates->base.plan;
    struct wg_source source;
    bool has_any = wg_plan_keeps_accounts(plan);
    for (int i = 0; wg_plan_source(plan, i, &source); i++) {
        has_any = has_any || (source.has_power && source.has_price);
        candidates->has_unpriced_energy = candidates->has_unpriced_energy || !source.has_power || !source.has_price;
    }
    if (has_any)
        return 0;
    return wg_fail(
        err, WG_ERR_INPUT, candidates->base.path,
        "Nothing in it has a price, so no plan is cheaper than another. Give the heater, mat or lamps a power "
        "and a price, for example heater: {set_point: 70 degF, power: 1500 W, price: 0.15 per kWh}.");
}

static void assume_goal(struct wg_candidates *candidates) {
    struct wg_plan *const plan = &candidates->base.plan;
    candidates->has_own_goal = plan->n_goals > 0;
    candidates->goal =
        (struct wg_goal){.kind = WG_GOAL_SURVIVE, .by = plan->last_day, .weeks = 1, .chance = ASSUMED_CHANCE};
    settle_plan(candidates, plan);
}

int wg_candidates_open(struct wg_candidates *candidates, const uint64_t *seed, struct wg_mistakes *mistakes,
                       struct wg_error *err) {
    int code = candidates->base.openings.n == 0 ? open_usual(candidates, mistakes, err) : 0;
    if (code == 0)
        code = check_prices(candidates, err);
    if (code == 0 && seed != NULL)
        candidates->base.plan.seed = *seed;
    if (code == 0)
        assume_goal(candidates);
    return code;
}

void wg_candidates_free(struct wg_candidates *candidates) {
    wg_scenario_free(&candidates->base);
}
