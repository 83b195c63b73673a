/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Tests what a plan leaves open to search: the values of ranges against values written by hand, and the text of a
 * candidate against the plan that a keeper would write for it.
 */
#include "scenario/scenario.h"
#include "variants/usual_openings.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#define SITE                                                                                                           \
    "period: {from: 2026-09-15, to: 2027-09-14}\n"                                                                     \
    "climate: {latitude: 41 N, normals: {unit: degF,\n"                                                                \
    "  daily_high: [32, 36, 47, 60, 71, 80, 84, 82, 75, 63, 49, 37],\n"                                                \
    "  daily_low: [17, 19, 28, 38, 49, 59, 63, 61, 53, 42, 33, 23]}}\n"
#define REST                                                                                                           \
    "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}]\n"                               \
    "feeding: [{in: trough, what: kitchen scraps, amount: 3 lb}]\n"

static void read_plan(struct wg_scenario *scenario, const char *text) {
    struct wg_mistakes mistakes;
    struct wg_error err = {0};
    const int code = wg_scenario_read_text(scenario, "a.yaml", text, strlen(text), NULL, 0, &mistakes, &err);
    char *const first = mistakes.n > 0 ? wg_mistake_text(&mistakes, 0) : NULL;
    cr_assert_eq(code, 0, "%s%s", err.text, first != NULL ? first : "");
    wg_mistakes_free(&mistakes);
}

static void expect_candidate(const struct wg_scenario *scenario, const int *level, const char *expected) {
    size_t size;
    char *const text = wg_openings_text(&scenario->openings, scenario->text, scenario->text_size, level, &size);
    cr_assert_not_null(text);
    cr_expect_eq(size, strlen(text));
    cr_expect_str_eq(text, expected);
    struct wg_scenario candidate;
    read_plan(&candidate, text);
    cr_expect_eq(candidate.openings.n, 0);
    wg_scenario_free(&candidate);
    free(text);
}

/* ---- values ---- */

static void expect_range(const char *range, bool is_whole, const char *expected) {
    struct wg_levels levels = {.n = 0};
    char message[WG_LEVELS_MESSAGE] = "", all[2000] = "";
    cr_assert_eq(wg_levels_add_range(&levels, range, is_whole, message), 0, "%s: %s", range, message);
    for (int i = 0; i < levels.n; i++)
        (void)snprintf(all + strlen(all), sizeof all - strlen(all), "%s%s", i > 0 ? ", " : "", levels.level[i].text);
    cr_expect_str_eq(all, expected, "%s: %s", range, all);
    wg_levels_free(&levels);
}

Test(levels, ranges) {
    expect_range("40 to 60 degF by 5", false, "40 degF, 45 degF, 50 degF, 55 degF, 60 degF");
    expect_range("40 degF to 49 degF by 5 degF", false, "40 degF, 45 degF, 49 degF");
    expect_range("40 to 80 degF", false,
                 "40 degF, 45 degF, 50 degF, 55 degF, 60 degF, 65 degF, 70 degF, 75 degF, 80 degF");
    expect_range("R-11 to R-25 by 7", false, "R-11, R-18, R-25");
    expect_range("0.1 to 0.3 m by 0.1", false, "0.1 m, 0.2 m, 0.3 m");
    expect_range("1 to 4", true, "1, 2, 3, 4");
    expect_range("2027-02-25 to 2027-03-11 by 1 week", false, "2027-02-25, 2027-03-04, 2027-03-11");
    expect_range("12-25 to 01-08 by 7", false, "12-25, 01-01, 01-08");
}

Test(levels, bad_ranges) {
    static const char *const bad[] = {"80 to 40 degF",      "40 degF to 20 degC",   "40 to 80 degF by 0",
                                      "40 to 80 degF by x", "warm to hot",          "2027-02-01 to 03-01",
                                      "1 to 9000 by 1",     "04-01 to 04-09 by 0.5"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct wg_levels levels = {.n = 0};
        char message[WG_LEVELS_MESSAGE] = "";
        cr_expect_eq(wg_levels_add_range(&levels, bad[i], false, message), WG_ERR_INPUT, "%s", bad[i]);
        cr_expect_neq(message[0], '\0');
        wg_levels_free(&levels);
    }
}

/* ---- plans ---- */

Test(openings, now_is_the_plan) {
    struct wg_scenario scenario;
    read_plan(&scenario, SITE
              "places: [{name: shed, housing: shed, heater: {set_point: {now: 59 degF, try: 40 to 50 degF by 5, or: "
              "off}, power: 2 kW}, bins: [{name: trough}]}]\n" REST);
    cr_expect_float_eq(scenario.plan.places[0].heater.set_point_c, 15, 1e-9);
    cr_assert_eq(scenario.openings.n, 1);
    const struct wg_opening *const opening = &scenario.openings.opening[0];
    cr_expect_str_eq(opening->path, "places.shed.heater.set_point");
    cr_assert_eq(opening->levels.n, 5);
    cr_expect(opening->levels.is_ordered);
    cr_expect_str_eq(opening->levels.level[0].text, "off");
    cr_expect_str_eq(opening->levels.level[1].text, "40 degF");
    cr_expect_eq(opening->now, 4);
    wg_scenario_free(&scenario);
}

Test(openings, candidate_keeps_the_rest_of_the_text) {
    struct wg_scenario scenario;
    read_plan(&scenario,
              "\xEF\xBB\xBF# A plan\n" SITE "choose:\n"
              "  wake: {now: 03-15, try: [04-15]}\n"
              "  dusk: {now: 09-30, try: ['08-31']}\n"
              "places:\n"
              "  - name: shed\n"
              "    housing: {kind: shed, lamps: {hours: {try: [6, 8], now: 12 hours}, from: wake, to: dusk}} # été\n"
              "    heater:\n"
              "      set_point:\n"
              "        now: 70 degF\n"
              "        try: [45, 50]\n"
              "      power: 2 kW\n"
              "      from: wake\n"
              "      to: 10-31\n"
              "    bins: [{name: trough}]\n" REST);
    cr_assert_eq(scenario.openings.n, 4);
    cr_expect_eq(wg_openings_plans(&scenario.openings), 36);
    expect_candidate(&scenario, (const int[]){1, 0, 0, 1},
                     "\xEF\xBB\xBF# A plan\n" SITE "places:\n"
                     "  - name: shed\n"
                     "    housing: {kind: shed, lamps: {hours: 6 hours, from: 04-15, to: 08-31}} # été\n"
                     "    heater:\n"
                     "      set_point: 50 degF\n"
                     "      power: 2 kW\n"
                     "      from: 04-15\n"
                     "      to: 10-31\n"
                     "    bins: [{name: trough}]\n" REST);
    wg_scenario_free(&scenario);
}

Test(openings, groups_words_and_actions) {
    struct wg_scenario scenario;
    read_plan(&scenario,
              "{"
              "choose: {spring: {now: never, try: [2027-04-01]}},\r\n"
              "period: {from: 2026-09-15, to: 2027-09-14}, climate: {latitude: 41 N, normals: {unit: degF, "
              "daily_high: [32, 36, 47, 60, 71, 80, 84, 82, 75, 63, 49, 37], "
              "daily_low: [17, 19, 28, 38, 49, 59, 63, 61, 53, 42, 33, 23]}},\r\n"
              "places: [{name: shed, housing: {kind: shed, lamps: {now: none, try: [{hours: 8 hours, power: 100 "
              "W}]}}, heater: {set_point: off, power: 2 kW}, bins: [{name: trough}]}],\r\n"
              "keeping: [{do: change, on: spring, in: shed, set_point: 75 degF}],\r\n"
              "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}],\r\n"
              "feeding: [{in: trough, what: kitchen scraps, amount: 3 lb}]}\r\n");
    cr_expect(scenario.plan.places[0].heater.starts_off);
    const int both[] = {1, 1};
    size_t size;
    char *const text = wg_openings_text(&scenario.openings, scenario.text, scenario.text_size, both, &size);
    struct wg_scenario candidate;
    read_plan(&candidate, text);
    int n_settings[2] = {0};
    for (int i = 0; i < candidate.plan.n_actions; i++) {
        const struct wg_action *const action = &candidate.plan.actions[i];
        if (action->kind == WG_ACTION_SET)
            n_settings[action->as.set.key == WG_SET_HEATER]++;
    }
    cr_expect_eq(n_settings[0], 1); /* the set point */
    cr_expect_eq(n_settings[1], 1); /* which switches the heater on */
    cr_expect_float_eq(candidate.plan.places[0].shelter.lamp_hours, 8, 1e-9);
    for (int i = 0; i < scenario.plan.n_actions; i++)
        cr_expect_neq(scenario.plan.actions[i].kind, WG_ACTION_SET, "now: never leaves the change out");
    wg_scenario_free(&candidate);
    wg_scenario_free(&scenario);
    free(text);
}

/* ---- what is opened by itself ---- */

#define HEATED                                                                                                         \
    SITE "places: [{name: shed, housing: {kind: shed, lamps: {hours: 12 hours, power: 100 W, price: 0.15 per kWh}},\n" \
         "  heater: {set_point: 70 degF, power: 5 kW, price: 0.15 per kWh}, bins: [{name: trough, volume: 150 "        \
         "L}]}]\n" REST

/* Returns the number of combinations that are opened in a heated shed with lamps. */
static int usual_combinations(bool is_dear, int *opened) {
    const struct wg_usual usual = {.first_day = wg_day_from_date((struct wg_date){2026, 9, 15}),
                                   .last_day = wg_day_from_date((struct wg_date){2027, 9, 14}),
                                   .is_dear = is_dear};
    struct wg_bytes text = {0};
    struct wg_scenario scenario;
    cr_assert_eq(wg_usual_openings(&usual, HEATED, strlen(HEATED), &text, opened), 0);
    read_plan(&scenario, text.data);
    const int product = (int)wg_openings_plans(&scenario.openings);
    wg_scenario_free(&scenario);
    wg_bytes_free(&text);
    return product;
}

Test(usual_openings, fewer_where_years_are_dear) {
    int opened;
    const int many = usual_combinations(false, &opened);
    cr_expect_eq(opened, WG_USUAL_SET_POINT | WG_USUAL_WARM_UP | WG_USUAL_LAMPS);
    /* 40, 45 ... 80 degF, off; 75, 80 degF; never, seven days; all year, three parts of it, none */
    cr_expect_eq(many, 10 * 2 * 8 * 5, "%d", many);
    const int few = usual_combinations(true, &opened);
    cr_expect_eq(opened, WG_USUAL_SET_POINT | WG_USUAL_WARM_UP | WG_USUAL_LAMPS | WG_USUAL_FEWER);
    cr_expect_eq(few, 6 * 2 * 5 * 4, "%d", few);
}
