/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks income and costs of a replicate against sums done by hand from what the plan buys and the diary's weights.
 */
#include "colony/money.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

enum { DAYS = 30 };

static struct wg_price price(double amount) {
    return (struct wg_price){.given = true, .amount = amount};
}

static void start_for(struct wg_plan *plan, enum wg_movable what, int64_t count, double mass_kg, double amount,
                      bool is_of_kg) {
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_START,
                                      .from = plan->first_day,
                                      .to = plan->first_day,
                                      .every = 1,
                                      .place = -1,
                                      .as.start = {.what = what,
                                                   .age_days = 8,
                                                   .count = count,
                                                   .mass_kg = mass_kg,
                                                   .price = price(amount),
                                                   .price_is_of_kg = is_of_kg}});
}

/* 5,000 larvae at 0.01, 400 prepupae by weight at 20 a kg, 0.5 kg of eggs at 300 a kg. */
Test(money, starters_cost_their_number_or_their_weight) {
    struct wg_plan plan;
    struct wg_diary diary;
    struct wg_money money;
    plan_laboratory(&plan, 27, DAYS);
    start_for(&plan, WG_MOVABLE_LARVAE, 5000, 0, 0.01, false);
    start_for(&plan, WG_MOVABLE_PREPUPAE, 400, 0, 20, true);
    start_for(&plan, WG_MOVABLE_EGGS, -1, 0.5, 300, true);
    plan_simulate(&plan, 0, &diary);
    wg_money_of(&diary, &money);
    const double expected = 5000 * 0.01 + 400 * plan.species.final_mass_g / 1000 * 20 + 0.5 * 300;
    /* a weight is made of whole eggs: within one of them, 30 ug */
    cr_expect_float_eq(money.cost, expected, 0.01, "%g, not %g", money.cost, expected);
    cr_expect_eq(money.income, 0);
    cr_expect_float_eq(money.balance, -money.cost, 1e-12);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* 30 feedings of 2 kg at 1.5 a kg; another 30 of 3 kg for which the keeper gets 0.4 a kg; half of the crawl-off sold at 7. */
Test(money, feed_costs_or_earns_and_what_is_taken_is_sold) {
    struct wg_plan plan;
    struct wg_diary diary;
    struct wg_money money;
    plan_laboratory(&plan, 27, DAYS);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 10, 20000);
    plan_feed(&plan, 2);
    plan.actions[plan.n_actions - 1].as.feed.price = price(1.5);
    struct wg_action fee = plan.actions[plan.n_actions - 1];
    fee.as.feed.wet_kg = 3;
    fee.as.feed.price = price(0.4);
    fee.as.feed.price_is_fee = true;
    plan_add(&plan, fee);
    plan_collect(&plan, 0.5);
    plan.sales.larvae_kg = price(7);
    plan_simulate(&plan, 0, &diary);
    wg_money_of(&diary, &money);
    cr_assert_gt(diary.total_harvest_mass, 0.1, "there is something to sell");
    cr_expect_float_eq(money.cost, DAYS * 2 * 1.5, 1e-9, "%g", money.cost);
    cr_expect_float_eq(money.income, DAYS * 3 * 0.4 + 7 * diary.total_harvest_mass, 1e-9, "%g", money.income);
    cr_expect_float_eq(money.balance, money.income - money.cost, 1e-9);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}
