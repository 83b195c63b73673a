/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks goals on diaries written by hand, and their odds.
 */
#include "analysis/goal_tally.h"
#include "colony/goal_met.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

#define DAYS 70

static void blank(struct wg_plan *plan, struct wg_diary *diary) {
    plan_laboratory(plan, 27, DAYS);
    cr_assert_eq(wg_diary_init(diary, plan, NULL), 0);
    wg_diary_clear(diary);
}

static struct wg_goal goal_of(const struct wg_plan *plan, enum wg_goal_kind kind, int by, double amount) {
    return (struct wg_goal){.kind = kind, .by = plan->first_day + by, .weeks = 1, .amount = amount, .chance = 0.9};
}

static void clean_up(struct wg_plan *plan, struct wg_diary *diary) {
    wg_diary_free(diary);
    wg_plan_free(plan);
}

Test(goal, survive_asks_for_anybody_at_the_end_of_the_day) {
    struct wg_plan plan;
    struct wg_diary d;
    blank(&plan, &d);
    for (int day = 0; day < 30; day++)
        d.count[day * WG_N_STAGES + WG_DORMANT] = 1;
    const struct wg_goal then = goal_of(&plan, WG_GOAL_SURVIVE, 29, 0), later = goal_of(&plan, WG_GOAL_SURVIVE, 30, 0);
    cr_expect(wg_goal_met(&then, &d));
    cr_expect_not(wg_goal_met(&later, &d));
    clean_up(&plan, &d);
}

/* A rate for three weeks: 2 kg in each week from day 10 to day 30, on one day of the week. */
Test(goal, harvest_must_last) {
    struct wg_plan plan;
    struct wg_diary d;
    blank(&plan, &d);
    for (int week = 0; week < 3; week++)
        d.harvest_mass[12 + 7 * week] = 2;
    struct wg_goal goal = goal_of(&plan, WG_GOAL_HARVEST, DAYS - 1, 2);
    for (goal.weeks = 1; goal.weeks <= 3; goal.weeks++)
        cr_expect(wg_goal_met(&goal, &d), "%d weeks", goal.weeks);
    goal.weeks = 4;
    cr_expect_not(wg_goal_met(&goal, &d));
    goal.weeks = 3;
    goal.amount = 2.001;
    cr_expect_not(wg_goal_met(&goal, &d));
    goal.amount = 2;
    goal.by = plan.first_day + 12; /* the first week is days 6 to 12 */
    cr_expect(wg_goal_met(&goal, &d));
    goal.by = plan.first_day + 11;
    cr_expect_not(wg_goal_met(&goal, &d));
    goal.by = plan.first_day + 20;
    goal.all_crawl_off = true; /* there was none */
    cr_expect_not(wg_goal_met(&goal, &d));
    clean_up(&plan, &d);
}

Test(goal, sums_and_numbers_stop_at_their_day) {
    struct wg_plan plan;
    struct wg_diary d;
    blank(&plan, &d);
    d.count[20 * WG_N_STAGES + WG_FEMALE] = 90;
    d.count[20 * WG_N_STAGES + WG_MALE] = 110;
    d.eggs_trapped[5] = 30000;
    d.eggs_trapped[25] = 20000;
    d.harvest_mass[3] = 10;
    d.harvest_mass[40] = 5;
    d.heater_cost[10] = 70;
    d.heater_cost[50] = 50;
    const struct {
        enum wg_goal_kind kind;
        int by;
        double amount;
        bool met;
    } cases[] = {
        {WG_GOAL_ADULTS, 20, 200, true},          {WG_GOAL_ADULTS, 19, 200, false},
        {WG_GOAL_ADULTS, 60, 201, false},         {WG_GOAL_EGGS_TRAPPED, 25, 50000, true},
        {WG_GOAL_EGGS_TRAPPED, 24, 50000, false}, {WG_GOAL_TOTAL_HARVEST, 69, 15, true},
        {WG_GOAL_TOTAL_HARVEST, 39, 15, false},   {WG_GOAL_COST, 69, 120, true},
        {WG_GOAL_COST, 69, 119, false},           {WG_GOAL_COST, 49, 70, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct wg_goal goal = goal_of(&plan, cases[i].kind, cases[i].by, cases[i].amount);
        cr_expect_eq(wg_goal_met(&goal, &d), cases[i].met, "case %zu, %s", i, wg_goal_name(goal.kind));
    }
    clean_up(&plan, &d);
}

/* Days that were not simulated have no harvest and no survival. */
Test(goal, days_not_lived_do_not_count) {
    struct wg_plan plan;
    struct wg_diary d;
    blank(&plan, &d);
    for (int day = 0; day < DAYS; day++) {
        d.count[day * WG_N_STAGES + WG_LARVA] = 5;
        d.harvest_mass[day] = 1;
    }
    d.stopped_day = plan.first_day + 40;
    const struct wg_goal alive = goal_of(&plan, WG_GOAL_SURVIVE, DAYS - 1, 0);
    struct wg_goal total = goal_of(&plan, WG_GOAL_TOTAL_HARVEST, DAYS - 1, 41);
    struct wg_goal weekly = goal_of(&plan, WG_GOAL_HARVEST, DAYS - 1, 7);
    cr_expect_not(wg_goal_met(&alive, &d));
    cr_expect_not(wg_goal_met(&total, &d));
    total.amount = 40;
    cr_expect(wg_goal_met(&total, &d));
    weekly.weeks = 5;
    cr_expect(wg_goal_met(&weekly, &d));
    weekly.weeks = 6;
    cr_expect_not(wg_goal_met(&weekly, &d));
    clean_up(&plan, &d);
}

Test(goal, contradictions_are_named) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, DAYS);
    struct wg_goal goal = goal_of(&plan, WG_GOAL_HARVEST, 30, 2);
    cr_expect_null(wg_goal_problem(&goal, &plan));
    goal.weeks = 6; /* first week over by day 30, five more: day 65 */
    cr_expect_null(wg_goal_problem(&goal, &plan));
    goal.weeks = 7; /* day 72 of 70 */
    cr_expect_not_null(wg_goal_problem(&goal, &plan));
    goal.weeks = 1;
    goal.by = plan.first_day + 5;
    cr_expect_not_null(wg_goal_problem(&goal, &plan));
    goal.by = plan.last_day + 1;
    cr_expect_not_null(wg_goal_problem(&goal, &plan));
    goal.by = plan.last_day;
    goal.chance = 1;
    cr_expect_not_null(wg_goal_problem(&goal, &plan));
    goal.chance = 0.9;
    goal.amount = -1;
    cr_expect_not_null(wg_goal_problem(&goal, &plan));
    wg_plan_free(&plan);
}

/* Verdicts are those of Wilson's interval. Wilson 1927 in Brown, Cai & DasGupta 2001, Stat. Sci. 16:101: 0 of 10 gives
 * 0 to 0.278; 45 of 50 by the formula 0.7864 to 0.9565. */
Test(goal, odds_and_verdicts) {
    struct wg_plan plan;
    struct wg_diary d;
    blank(&plan, &d);
    plan.n_goals = 2;
    plan.goal[0] = goal_of(&plan, WG_GOAL_TOTAL_HARVEST, DAYS - 1, 1);
    plan.goal[1] = goal_of(&plan, WG_GOAL_SURVIVE, DAYS - 1, 0);
    plan.goal[0].chance = 0.75;
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    const struct wg_observer observer = wg_goal_tally_observer(&odds);
    for (int k = 0; k < 50; k++) {
        d.harvest_mass[0] = k < 45;
        d.count[(DAYS - 1) * WG_N_STAGES] = k >= 40;
        cr_assert_eq(observer.on_replicate(observer.self, k, &d, NULL), 0);
    }
    struct wg_goal_chance one, two, all;
    cr_assert_eq(wg_goal_tally_chance(&odds, 0, 0.95, &one, NULL), 0);
    cr_assert_eq(wg_goal_tally_chance(&odds, 1, 0.95, &two, NULL), 0);
    cr_assert_eq(wg_goal_tally_chance_of_all(&odds, 0.95, &all, NULL), 0);
    cr_expect_eq(one.hits, 45);
    cr_expect_float_eq(one.interval.low, 0.7864, 5e-5);
    cr_expect_float_eq(one.interval.high, 0.9565, 5e-5);
    cr_expect_eq(one.verdict, WG_YES);
    cr_expect_eq(two.hits, 10);
    cr_expect_eq(two.verdict, WG_NO);
    cr_expect_eq(odds.all, 5);
    cr_expect_eq(all.hits, 5);
    cr_expect_eq(all.verdict, WG_NO);
    cr_expect_eq(wg_verdict((struct wg_interval){0.7, 0.95}, 0.9), WG_UNDECIDED);
    cr_expect_eq(wg_verdict((struct wg_interval){0.9, 0.95}, 0.9), WG_YES);
    clean_up(&plan, &d);
}

/*
 * With plausible animals the interval allows for them: 512 years in which 16 of 64 animals always fail are worth little more
 * than 64 animals, whose Wilson interval is 0.63 to 0.84 (by the formula); 512 independent years would give 0.71 to 0.79.
 */
Test(goal, odds_over_animals_are_clustered) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, DAYS);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan.n_goals = 2;
    plan.goal[0] = plan.goal[1] = goal_of(&plan, WG_GOAL_SURVIVE, DAYS - 1, 0);
    plan.goal[0].chance = 0.7;
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    for (int64_t k = 0; k < 512; k++) {
        const bool is_met[] = {k % 64 >= 16, true};
        cr_assert_eq(wg_goal_tally_add(&odds, k, true, is_met, NULL), 0);
    }
    struct wg_goal_chance chance;
    cr_assert_eq(wg_goal_tally_chance(&odds, 0, 0.95, &chance, NULL), 0);
    cr_expect_eq(chance.hits, 384);
    cr_expect_float_eq(chance.interval.low, 0.63, 0.02);
    cr_expect_float_eq(chance.interval.high, 0.84, 0.02);
    cr_expect_eq(chance.verdict, WG_UNDECIDED, "independent years would say yes");
    cr_expect_eq(chance.split.n_animals, 64);
    cr_expect(chance.split.animals.q05 < 0.01 && chance.split.animals.q95 > 0.99);
    cr_assert_eq(wg_goal_tally_chance(&odds, WG_GOALS_ALL, 0.95, &chance, NULL), 0);
    cr_expect_eq(chance.hits, 384, "the second goal is always met");
    cr_assert_eq(wg_goal_tally_chance(&odds, WG_GOALS_ALIVE, 0.95, &chance, NULL), 0);
    cr_expect_eq(chance.hits, 512);
    wg_goal_tally_free(&odds);
    wg_plan_free(&plan);
}

/* The observer of an ensemble counts the same as single replicates. */
Test(goal, the_observer_agrees_with_single_replicates) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 90);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 6);
    plan.n_goals = 1;
    plan.goal[0] = goal_of(&plan, WG_GOAL_SURVIVE, 89, 0);
    struct wg_goal_tally odds;
    wg_goal_tally_init(&odds, &plan);
    const struct wg_observer observer = wg_goal_tally_observer(&odds);
    cr_assert_eq(wg_ensemble_run(&plan, &(struct wg_ensemble_options){.count = 20, .threads = 2}, &observer, 1, NULL),
                 0);
    int met = 0;
    for (int k = 0; k < 20; k++) {
        struct wg_diary d;
        plan_simulate(&plan, (uint64_t)k, &d);
        met += wg_goal_met(&plan.goal[0], &d);
        wg_diary_free(&d);
    }
    cr_expect_eq(odds.hits[0], met);
    cr_expect_eq(odds.n, 20);
    wg_plan_free(&plan);
}
