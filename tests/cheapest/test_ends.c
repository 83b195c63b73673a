/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks at which end of the values tried a value stands, against a calendar: the plan begins on 15 September.
 */
#include "cheapest/ends.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static const char YAML[] =
    "period: {from: 2026-09-15, to: 2027-09-14}\n"
    "climate: {latitude: 41 N, normals: {unit: degC, daily_high: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12],\n"
    "                                    daily_low: [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]}}\n"
    "choose: {wake: {now: 03-15, try: [10-01, 04-15]}, rest: {now: 01-01, try: 01-01 to 12-01 by 30 days}}\n"
    "places:\n"
    "  - name: shed\n"
    "    housing: {kind: shed, lamps: {hours: 12 hours, from: wake, to: 09-30}}\n"
    "    heater: {set_point: {now: 70 degF, try: [40 degF, 50 degF], or: off}, power: 1 kW, from: 09-15, to: rest}\n"
    "    bins: [{name: trough}]\n"
    "starter: [{on: 2026-09-15, in: trough, stage: larva, age: 8 days, count: 300}]\n"
    "feeding: [{in: trough, what: kitchen scraps, amount: 1 lb, to: 2026-10-31}]\n"
    "keeping:\n"
    "  - {do: change, on: {now: never, try: [2026-09-15, 2027-03-15, 2027-05-01]}, in: shed, set_point: 75 degF}\n";

static struct wg_scenario scenario;
static struct wg_search_answer *answer;
static struct wg_cheapest cheapest;

static void read_openings(void) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    cr_assert_eq(wg_scenario_read_text(&scenario, "plan.yaml", YAML, strlen(YAML), NULL, 0, &mistakes, &err), 0, "%s",
                 err.text);
    wg_mistakes_free(&mistakes);
    answer = calloc(1, sizeof *answer);
    cr_assert_not_null(answer);
    cheapest = (struct wg_cheapest){.base = &scenario, .answer = answer, .winner_plan = &scenario.plan};
}

static void free_openings(void) {
    free(answer);
    wg_scenario_free(&scenario);
}

/* Returns "earliest" and the like for a value of the opening with this path; "" for no end. */
static const char *end_at(const char *path, const char *text) {
    struct wg_tried_end end;
    for (int i = 0; i < scenario.openings.n; i++) {
        const struct wg_opening *const opening = &scenario.openings.opening[i];
        const int level = wg_levels_find(&opening->levels, text);
        if (strcmp(opening->path, path) != 0)
            continue;
        cr_assert_geq(level, 0, "%s", text);
        struct wg_search_judged *const judged = &answer->judged[0];
        judged->level[i] = level;
        judged->end[i] = level == 0 ? -1 : level == opening->levels.n - 1;
        return wg_cheapest_end(&cheapest, judged, i, &end) ? end.which : "";
    }
    return "no such opening";
}

TestSuite(ends, .init = read_openings, .fini = free_openings);

/* From 15 September on, 1 October comes before 15 March, although the year of the calendar ends with it. */
Test(ends, follow_the_period) {
    cr_expect_str_eq(end_at("choose.wake", "10-01"), "earliest");
    cr_expect_str_eq(end_at("choose.wake", "03-15"), "");
    cr_expect_str_eq(end_at("choose.wake", "04-15"), "latest");
}

/* Lamps from 1 October to 30 September burn all year: no earlier date lights them longer. */
Test(ends, know_a_whole_year) {
    struct wg_plan plan = scenario.plan;
    cheapest.winner_plan = &plan;
    plan.places[0].shelter.lamp_season = (struct wg_season){273, 272};
    cr_expect_str_eq(end_at("choose.wake", "10-01"), "");
    plan.places[0].shelter.lamp_season = (struct wg_season){273, 271};
    cr_expect_str_eq(end_at("choose.wake", "10-01"), "earliest");
}

/* Every thirty days, the year round: no date is the last. */
Test(ends, are_none_all_round_the_year) {
    for (const char *const *date = (const char *[]){"01-01", "01-31", "08-29", "09-28", "12-01", NULL}; *date != NULL;
         date++)
        cr_expect_str_eq(end_at("choose.rest", *date), "", "%s", *date);
}

/* Before the first day of the plan there is nothing to try. */
Test(ends, of_dates_and_numbers) {
    const char *const on = "keeping.1.on", *const set_point = "places.shed.heater.set_point";
    cr_expect_str_eq(end_at(on, "2026-09-15"), "");
    cr_expect_str_eq(end_at(on, "2027-03-15"), "");
    cr_expect_str_eq(end_at(on, "2027-05-01"), "latest");
    cr_expect_str_eq(end_at(on, "never"), "");
    cr_expect_str_eq(end_at(set_point, "70 degF"), "highest");
    cr_expect_str_eq(end_at(set_point, "50 degF"), "");
    cr_expect_str_eq(end_at(set_point, "off"), "");
}
