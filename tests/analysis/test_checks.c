/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks of newcomers and defaults: which apply, and what they change.
 *
 * Outside check of the counts: an ensemble of a plan changed by hand, number by number. (tests/cli/test_reasons.py does the
 * same with scenarios.)
 */
#include "analysis/checks.h"
#include "analysis/limits.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

#define LIVES 16

static struct wg_error err;

/* A cold yard in which ten thousand larvae start, with wild visitors. */
static void visited_yard(struct wg_plan *plan) {
    plan_outdoors(plan, 365);
    plan->replicates = LIVES;
    plan->wild_peak_per_day = 3;
    for (int m = 0; m < 12; m++) {
        plan->climate.high_c[m] -= 6;
        plan->climate.low_c[m] -= 9;
    }
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(plan, 1.4);
    plan_collect(plan, 0.8);
}

static int count_alive(const struct wg_plan *plan) {
    int alive = 0;
    for (uint64_t k = 0; k < LIVES; k++) {
        struct wg_diary diary;
        plan_simulate(plan, k, &diary);
        alive += diary.survived > 0;
        wg_diary_free(&diary);
    }
    return alive;
}

static double mean_harvest_kg(const struct wg_plan *plan) {
    double sum = 0;
    for (uint64_t k = 0; k < LIVES; k++) {
        struct wg_diary diary;
        plan_simulate(plan, k, &diary);
        sum += diary.total_harvest_mass;
        wg_diary_free(&diary);
    }
    return sum / LIVES;
}

Test(checks, newcomers_are_taken_away) {
    struct wg_plan plan;
    struct wg_checks checks;
    visited_yard(&plan);
    const struct wg_ensemble_options options = {.threads = 2};
    cr_assert_eq(wg_checks_find(&checks, &plan, LIVES, true, &options, &err), 0, "%s", err.text);
    const struct wg_check *const own = wg_checks_newcomers(&checks);
    cr_assert_not_null(own);
    cr_expect_eq(checks.n, 2, "newcomers alone");
    cr_expect_eq(checks.check[0].n_alive, count_alive(&plan));
    cr_expect_float_eq(checks.check[0].mean_harvest_kg, mean_harvest_kg(&plan), 1e-9);
    plan.wild_peak_per_day = 0;
    cr_expect_eq(own->n_alive, count_alive(&plan));
    cr_expect_gt(checks.check[0].n_alive, own->n_alive);
    cr_expect(own->decides);
    wg_plan_free(&plan);
}

Test(checks, nothing_is_checked_in_a_laboratory_or_without_newcomers) {
    struct wg_plan plan;
    struct wg_checks checks;
    plan_laboratory(&plan, 27, 30);
    for (int kind = 0; kind < WG_N_CHECKS; kind++)
        cr_expect_not(wg_check_applies((enum wg_check_kind)kind, &plan), "%s", wg_check_name((enum wg_check_kind)kind));
    cr_expect_eq(wg_checks_find(&checks, &plan, LIVES, false, &(struct wg_ensemble_options){0}, &err), 0);
    cr_expect_eq(checks.lives, 0);
    cr_expect_null(wg_checks_newcomers(&checks));
    wg_plan_free(&plan);
}

Test(checks, wild_flies_that_found_a_colony_are_not_taken_away) {
    struct wg_plan plan;
    visited_yard(&plan);
    cr_expect(wg_check_applies(WG_CHECK_NEWCOMERS, &plan));
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_START)
            plan.actions[i] = plan.actions[--plan.n_actions];
    cr_expect_not(wg_check_applies(WG_CHECK_NEWCOMERS, &plan));
    wg_plan_free(&plan);
}

/* Applies a check to a copy; the plan stays as it was. */
static struct wg_plan changed(const struct wg_plan *plan, enum wg_check_kind kind) {
    struct wg_plan copy;
    cr_assert(wg_check_applies(kind, plan), "%s", wg_check_name(kind));
    cr_assert_eq(wg_lifted_copy(&copy, plan, &err), 0);
    wg_check_change(&copy, kind);
    return copy;
}

Test(checks, change_what_the_scenario_leaves_open) {
    struct wg_plan plan;
    visited_yard(&plan);
    wg_shelter_defaults(&plan.places[0].shelter, WG_SHED);
    wg_bin_defaults(&plan.bins[0].spec, WG_SHED, 0.150, 0);
    struct wg_plan copy = changed(&plan, WG_CHECK_LAMPS);
    cr_expect_eq(copy.places[0].shelter.lamp_hours, wg_check_value(WG_CHECK_LAMPS, &plan));
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_TIGHT);
    cr_expect_lt(copy.places[0].shelter.u_w_m2k, plan.places[0].shelter.u_w_m2k);
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_LEAKY);
    cr_expect_gt(copy.places[0].shelter.u_w_m2k, plan.places[0].shelter.u_w_m2k);
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_FOAM);
    cr_expect_lt(copy.bins[0].spec.u_w_m2k, plan.bins[0].spec.u_w_m2k);
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_SHALLOW);
    cr_expect_eq(copy.places[0].ground.soil.depth_m, 0.05);
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_DEEP);
    cr_expect_eq(copy.places[0].ground.soil.depth_m, 0.2);
    wg_lifted_free(&copy);
    copy = changed(&plan, WG_CHECK_GIVE_BACK);
    for (int i = 0; i < copy.n_actions; i++)
        if (copy.actions[i].kind == WG_ACTION_COLLECT)
            cr_expect_eq(copy.actions[i].as.collect.give_back, wg_check_value(WG_CHECK_GIVE_BACK, &plan));
    wg_lifted_free(&copy);
    wg_plan_free(&plan);
}

Test(checks, leave_alone_what_the_scenario_gives) {
    struct wg_plan plan;
    visited_yard(&plan);
    wg_shelter_defaults(&plan.places[0].shelter, WG_HOOP_HOUSE);
    plan.places[0].lamps_given = plan.places[0].loss_given = plan.places[0].depth_given = true;
    plan.bins[0].foam_given = true;
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_COLLECT)
            plan.actions[i].as.collect.give_back_given = true;
    for (int kind = WG_CHECK_LAMPS; kind < WG_N_CHECKS; kind++)
        cr_expect_not(wg_check_applies((enum wg_check_kind)kind, &plan), "%s", wg_check_name((enum wg_check_kind)kind));
    wg_plan_free(&plan);
}
