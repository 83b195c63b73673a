/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the goals of a scenario. tests/data/broken/112 and 113 have the messages for invalid goals.
 * 1 lb = 0.45359237 kg exactly (international agreement of 1959).
 */
#include "base/calendar.h"
#include "scenario/scenario.h"
#include "text/goal_text.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static void read_with(struct wg_scenario *scenario, const char *goal) {
    char text[2000];
    struct wg_mistakes problems;
    struct wg_error err = {0};
    snprintf(text, sizeof text,
             "period: {from: 2026-09-15, to: 2027-09-14}\n"
             "climate: {latitude: 32.4 degrees, normals: {unit: degC, daily_high: [14, 17, 21, 25, 29, 33, 34, 33, 31, "
             "26, 20, 16], "
             "daily_low: [2, 4, 8, 12, 17, 21, 22, 22, 18, 12, 7, 3]}}\n"
             "places: [{name: house, housing: hoop house, heater: {set_point: 20 degC, power: 5 kW, price: 0.15 per "
             "kWh}, bins: "
             "[{name: trough}]}]\n"
             "starter: [{on: 2026-09-15, in: trough, stage: egg, count: 1000}]\n"
             "feeding: unlimited\n"
             "keeping: [{do: collect crawl-off, in: trough, share: 80 %%}, {do: set traps, in: house, "
             "share_laid_in_traps: 60 %%}]\n"
             "goal: %s\n",
             goal);
    cr_assert_eq(wg_scenario_read_text(scenario, "x.yaml", text, strlen(text), NULL, 0, &problems, &err), 0, "%s: %s",
                 goal, problems.n > 0 ? problems.items[0].message : err.text);
    wg_mistakes_free(&problems);
}

Test(goal, goal_with_every_key) {
    struct wg_scenario s;
    read_with(&s, "{harvest: 5 lb/week, by: 2027-05-01, lasting: 4 weeks, chance: 85 %}");
    cr_assert_eq(s.plan.n_goals, 1);
    const struct wg_goal *const goal = &s.plan.goal[0];
    cr_expect_eq(goal->kind, WG_GOAL_HARVEST);
    cr_expect_float_eq(goal->amount, 5 * 0.45359237, 1e-9);
    cr_expect_eq(goal->by, wg_day_from_date((struct wg_date){2027, 5, 1}));
    cr_expect_eq(goal->weeks, 4);
    cr_expect_float_eq(goal->chance, 0.85, 1e-12);
    cr_expect_not(goal->all_crawl_off);
    char text[WG_GOAL_SENTENCE_SIZE];
    wg_goal_text(goal, "", text);
    cr_expect_str_eq(text, "2.27 kg (5 lb) a week taken out by 1 May 2027, for 4 weeks");
    wg_scenario_free(&s);
}

Test(goal, list_of_goals_with_defaults) {
    struct wg_scenario s;
    read_with(&s,
              "[{survive: yes}, {harvest: 1 kg/day, lasting: 3 weeks, of: crawl-off}, {adults: 200, by: 2026-12-01}, "
              "{eggs_trapped: 50000}, {total_harvest: 40 kg}, {cost: at most 120.50}, {survive: yes, by: 2027-03-01}]");
    cr_assert_eq(s.plan.n_goals, 7);
    const int32_t last = s.plan.last_day;
    cr_expect_eq(s.plan.goal[0].by, last);
    cr_expect_float_eq(s.plan.goal[0].chance, WG_GOAL_CHANCE, 1e-12);
    cr_expect_float_eq(s.plan.goal[1].amount, 7, 1e-9);
    cr_expect_eq(s.plan.goal[1].by, last - 14, "the first of three weeks ends two weeks before the period does");
    cr_expect(s.plan.goal[1].all_crawl_off);
    cr_expect_eq(s.plan.goal[2].amount, 200);
    cr_expect_eq(s.plan.goal[3].kind, WG_GOAL_EGGS_TRAPPED);
    cr_expect_eq(s.plan.goal[4].amount, 40);
    cr_expect_eq(s.plan.goal[5].amount, 120.5);
    for (int i = 0; i < s.plan.n_goals; i++)
        cr_expect_null(wg_goal_problem(&s.plan.goal[i], &s.plan));
    wg_scenario_free(&s);
}

Test(goal, cost_without_at_most) {
    struct wg_scenario s;
    read_with(&s, "{cost: 120}");
    cr_expect_eq(s.plan.goal[0].amount, 120);
    wg_scenario_free(&s);
}
