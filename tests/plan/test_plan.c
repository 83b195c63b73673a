/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks what a plan says by itself: where its animals' sleep is a guess, and when spring begins.
 *
 * Outside: at the equator the sun is above the horizon for 12.1 hours on every day (astronomy), and the chance of sleep in
 * a ground that is cool beyond doubt is the falling logistic curve of that length alone.
 */
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

/* True where prepupae may sleep at any season: at a latitude, with a day length of half sleep and its scale. */
static bool guesses(double latitude_deg, double half_h, double scale_h, double warmth_scale_k) {
    struct wg_plan plan;
    plan_outdoors(&plan, 30);
    plan.climate.latitude_deg = latitude_deg;
    plan.species.dorm_day_h = half_h;
    plan.species.dorm_day_scale = scale_h;
    plan.species.dorm_temp_scale = warmth_scale_k;
    const bool guess = wg_plan_dormancy_is_a_guess(&plan);
    wg_plan_free(&plan);
    return guess;
}

/* The limit is that of plan.h: less than 15 degrees. */
Test(plan, sleep_is_a_guess_only_within_the_tropics) {
    const double within[] = {-14.9, -0.1, 0, 14.9}, beyond[] = {-15, 15, 32.4, -32.4, 60};
    for (size_t i = 0; i < sizeof within / sizeof *within; i++)
        cr_expect(guesses(within[i], 12, 0.25, 1), "%g degrees", within[i]);
    for (size_t i = 0; i < sizeof beyond / sizeof *beyond; i++)
        cr_expect_not(guesses(beyond[i], 12, 0.25, 1), "%g degrees", beyond[i]);
}

/* Some: one in twenty (judgement). A day of 12.1 h sends off 1/(1 + exp((12.1 - half)/scale)). */
Test(plan, sleep_is_a_guess_where_the_equator_s_day_lets_some_sleep) {
    for (double half_h = 10; half_h <= 14; half_h += 0.1) {
        const double chance = 1 / (1 + exp((12.1 - half_h) / 0.25));
        if (fabs(chance - 0.05) > 0.005)
            for (double warmth_scale_k = 0.25; warmth_scale_k < 8; warmth_scale_k *= 4)
                cr_expect_eq(guesses(5, half_h, 0.25, warmth_scale_k), chance > 0.05, "half at %g h, scale %g K: %g",
                             half_h, warmth_scale_k, chance);
    }
}

/* A bench has no sky, whatever latitude stands in the plan. */
Test(plan, sleep_in_a_laboratory_is_no_guess) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 30);
    plan.climate.latitude_deg = 0;
    cr_expect_not(wg_plan_dormancy_is_a_guess(&plan));
    wg_plan_free(&plan);
}

/* Spring begins on 1 February in the north and on 1 August in the south (plan.h), once a year; a bench has none. */
Test(plan, spring_begins_once_a_year_half_a_year_apart) {
    struct wg_plan plan;
    plan_outdoors(&plan, 365);
    const struct {
        double latitude_deg;
        struct wg_date date;
    } spring[] = {{50, {2027, 2, 1}}, {0, {2027, 2, 1}}, {-34, {2027, 8, 1}}};
    const int32_t first = wg_day_from_date((struct wg_date){2027, 1, 1});
    for (size_t i = 0; i < sizeof spring / sizeof *spring; i++) {
        plan.climate.latitude_deg = spring[i].latitude_deg;
        for (int32_t day = first; day < first + 365; day++)
            cr_expect_eq(wg_spring_begins(&plan, day), day == wg_day_from_date(spring[i].date), "day %d at %g degrees",
                         (int)(day - first), spring[i].latitude_deg);
    }
    wg_plan_free(&plan);
    plan_laboratory(&plan, 27, 30);
    cr_expect_not(wg_spring_begins(&plan, wg_day_from_date((struct wg_date){2027, 2, 1})));
    wg_plan_free(&plan);
}
