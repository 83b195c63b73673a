/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The answers of the worksheet do not depend on luck: whoever fills it in with another seed finds the same rule. The
 * tolerances are what a learner reads off: a few days, a tenth of an overlap number.
 */
#include "species/species.h"
#include "workshop/lesson.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

enum { SEEDS = 6, LIVES = 25 };

static struct wg_lesson *lesson_with_seed(int seed) {
    struct wg_lesson *const lesson = wg_lesson_new();
    cr_assert_not_null(lesson);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_SEED, seed), 0);
    return lesson;
}

static int first_grandchildren(const struct wg_lesson *lesson) {
    int day = 0;
    while (day < wg_lesson_days(lesson) && wg_lesson_count(lesson, day, WG_LARVA, 2) == 0)
        day++;
    return day;
}

/* Part 3: warmth shortens a generation by a third and leaves the overlap almost as it is. */
Test(worksheet, steady_warmth) {
    const double temp_c[3] = {24, 28, 32}, overlap[3] = {1.48, 1.57, 1.61};
    const int day[3] = {91, 70, 62};
    for (int seed = 1; seed <= SEEDS; seed++)
        for (int i = 0; i < 3; i++) {
            struct wg_lesson *const lesson = lesson_with_seed(seed);
            wg_lesson_set(lesson, WG_LESSON_TEMP_C, temp_c[i]);
            cr_assert_eq(wg_lesson_live(lesson), 0);
            cr_expect_float_eq(wg_lesson_fact(lesson, WG_LESSON_MEAN_OVERLAP), overlap[i], 0.05, "seed %d, %g degC: %g",
                               seed, temp_c[i], wg_lesson_fact(lesson, WG_LESSON_MEAN_OVERLAP));
            cr_expect_leq(abs(first_grandchildren(lesson) - day[i]), 4, "seed %d, %g degC: day %d", seed, temp_c[i],
                          first_grandchildren(lesson));
            wg_lesson_free(lesson);
        }
}

static struct wg_lesson *cold_shed(int seed, int heater) {
    struct wg_lesson *const lesson = lesson_with_seed(seed);
    wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_COLD_WINTER);
    wg_lesson_set(lesson, WG_LESSON_SHELTER, 3);
    wg_lesson_set(lesson, WG_LESSON_HEATER, heater);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    return lesson;
}

/* Part 4: without heat it is dead in spring, with heat it lives, and a kg costs the same within a third. */
Test(worksheet, heater) {
    double least = INFINITY, most = 0;
    for (int seed = 1; seed <= SEEDS; seed++) {
        struct wg_lesson *const off = cold_shed(seed, 0), *const on = cold_shed(seed, 1);
        cr_expect_eq(wg_lesson_fact(off, WG_LESSON_END), WG_LESSON_COLD, "seed %d", seed);
        cr_expect_eq(wg_lesson_fact(on, WG_LESSON_END), WG_LESSON_ALIVE, "seed %d", seed);
        const double per_kg =
            wg_lesson_fact(on, WG_LESSON_TOTAL_COST) /
            (wg_lesson_fact(on, WG_LESSON_TOTAL_HARVEST_KG) - wg_lesson_fact(off, WG_LESSON_TOTAL_HARVEST_KG));
        least = fmin(least, per_kg);
        most = fmax(most, per_kg);
        wg_lesson_free(off);
        wg_lesson_free(on);
    }
    cr_expect_lt(most, 1.33 * least, "%g to %g", least, most);
}

static int alive_of_lives(int seed, int starters) {
    struct wg_lesson *const lesson = lesson_with_seed(seed);
    int alive = 0;
    wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_MILD_WINTER);
    wg_lesson_set(lesson, WG_LESSON_STARTER, starters);
    cr_assert_eq(wg_lesson_begin(lesson), 0);
    for (int life = 0; life < LIVES; life++) {
        cr_assert_eq(wg_lesson_live_one(lesson, life), 0);
        alive += wg_lesson_fact(lesson, WG_LESSON_END) == WG_LESSON_ALIVE;
    }
    wg_lesson_free(lesson);
    return alive;
}

/*
 * Part 5: few, most and all. About 11, 63 and over 99 of 100 live (600 lives): that 25 give more than 9 of the first, fewer
 * than 9 or more than 23 of the second, or fewer than 23 of the third happens once in 500 sheets, and seeds are fixed.
 */
Test(worksheet, hundred_years) {
    for (int seed = 1; seed <= 2; seed++) {
        const int few = alive_of_lives(seed, 100), most = alive_of_lives(seed, 500), all = alive_of_lives(seed, 5000);
        cr_expect(few <= 9 && most >= 9 && most <= 23 && all >= 23, "seed %d: %d, %d, %d", seed, few, most, all);
    }
}
