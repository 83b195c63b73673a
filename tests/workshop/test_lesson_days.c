/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Daily values of a lesson against physics and book-keeping: a mean is not below the lowest hour, soil lags and damps
 * the air (Fourier's law; Campbell & Norman 1998, An Introduction to Environmental Biophysics, ch. 2), cost is energy
 * times price, a heater does not exceed its power, and a harvest does not exceed crawl-off.
 */
#include "workshop/lesson.h"

#include <criterion/criterion.h>
#include <math.h>

enum { DAYS = 365, MILD = WG_LESSON_MILD_WINTER, OUTDOORS = 0, HOOP_HOUSE = 1 };

static struct wg_lesson *live(int weather, int shelter, int heater) {
    struct wg_lesson *const lesson = wg_lesson_new();
    const double number[][2] = {{WG_LESSON_WEATHER, weather}, {WG_LESSON_SHELTER, shelter}, {WG_LESSON_HEATER, heater},
                                {WG_LESSON_SET_POINT_C, 22},  {WG_LESSON_PRICE, 0.25},      {WG_LESSON_CATCH, 0.5}};
    cr_assert_not_null(lesson);
    for (size_t i = 0; i < sizeof number / sizeof *number; i++)
        cr_assert_eq(wg_lesson_set(lesson, (int)number[i][0], number[i][1]), 0);
    cr_assert_eq(wg_lesson_live(lesson), 0, "%s", wg_lesson_problem(lesson));
    cr_assert_eq(wg_lesson_days(lesson), DAYS);
    return lesson;
}

static double sum_of(const struct wg_lesson *lesson, int series) {
    double sum = 0;
    for (int day = 0; day < DAYS; day++)
        sum += wg_lesson_value(lesson, day, series);
    return sum;
}

static double variance_of(const struct wg_lesson *lesson, int series) {
    const double mean = sum_of(lesson, series) / DAYS;
    double squares = 0;
    for (int day = 0; day < DAYS; day++)
        squares += pow(wg_lesson_value(lesson, day, series) - mean, 2);
    return squares / DAYS;
}

Test(lesson_days, temperatures_keep_their_order) {
    struct wg_lesson *const lesson = live(MILD, HOOP_HOUSE, 0);
    for (int day = 0; day < DAYS; day++)
        cr_expect_leq(wg_lesson_value(lesson, day, WG_LESSON_AIR_LOW_C), wg_lesson_value(lesson, day, WG_LESSON_AIR_C),
                      "day %d", day);
    cr_expect_lt(variance_of(lesson, WG_LESSON_GROUND_C), variance_of(lesson, WG_LESSON_AIR_C));
    cr_expect_gt(sum_of(lesson, WG_LESSON_AIR_C), sum_of(lesson, WG_LESSON_OUTDOOR_C), "a hoop house is the warmer");
    cr_expect_gt(sum_of(lesson, WG_LESSON_BIN_C), sum_of(lesson, WG_LESSON_OUTDOOR_C));
    wg_lesson_free(lesson);
}

Test(lesson_days, outdoors_the_air_is_that_outdoors) {
    struct wg_lesson *const lesson = live(MILD, OUTDOORS, 0);
    for (int day = 0; day < DAYS; day++)
        cr_expect_float_eq(wg_lesson_value(lesson, day, WG_LESSON_AIR_C),
                           wg_lesson_value(lesson, day, WG_LESSON_OUTDOOR_C), 1e-9, "day %d", day);
    cr_expect_lt(variance_of(lesson, WG_LESSON_GROUND_C), variance_of(lesson, WG_LESSON_OUTDOOR_C));
    cr_expect_eq(sum_of(lesson, WG_LESSON_HEATER_KWH), 0);
    cr_expect_eq(sum_of(lesson, WG_LESSON_HEATER_COST), 0);
    wg_lesson_free(lesson);
}

Test(lesson_days, money_is_energy_times_price) {
    struct wg_lesson *const lesson = live(MILD, HOOP_HOUSE, 1);
    const double most_kwh = 24 * wg_lesson_heater_w(lesson) / 1000;
    cr_expect_gt(sum_of(lesson, WG_LESSON_HEATER_KWH), 0);
    for (int day = 0; day < DAYS; day++) {
        const double kwh = wg_lesson_value(lesson, day, WG_LESSON_HEATER_KWH);
        cr_expect(kwh >= 0 && kwh <= most_kwh * (1 + 1e-9), "day %d: %g of %g kWh", day, kwh, most_kwh);
        cr_expect_float_eq(wg_lesson_value(lesson, day, WG_LESSON_HEATER_COST), 0.25 * kwh, 1e-9, "day %d", day);
    }
    wg_lesson_free(lesson);
}

/* A grub weighs less than a gram (common practice: a full-grown one a fifth to a quarter of it). */
Test(lesson_days, a_harvest_is_what_crawled_off) {
    struct wg_lesson *const lesson = live(WG_LESSON_WARM_COAST, OUTDOORS, 0);
    for (int day = 0; day < DAYS; day++) {
        const double crawled = wg_lesson_value(lesson, day, WG_LESSON_CRAWL_OFF);
        const double harvest_kg = wg_lesson_value(lesson, day, WG_LESSON_HARVEST_KG);
        cr_expect(harvest_kg >= 0 && harvest_kg <= 1e-3 * crawled, "day %d: %g kg of %g", day, harvest_kg, crawled);
        cr_expect_geq(wg_lesson_value(lesson, day, WG_LESSON_EGGS_LAID), 0);
    }
    cr_expect_gt(sum_of(lesson, WG_LESSON_HARVEST_KG), 0);
    cr_expect_gt(sum_of(lesson, WG_LESSON_EGGS_LAID), 0);
    wg_lesson_free(lesson);
}

Test(lesson_days, there_is_nothing_outside) {
    struct wg_lesson *const lesson = live(MILD, OUTDOORS, 0);
    cr_expect(isnan(wg_lesson_value(lesson, -1, WG_LESSON_AIR_C)));
    cr_expect(isnan(wg_lesson_value(lesson, DAYS, WG_LESSON_AIR_C)));
    cr_expect(isnan(wg_lesson_value(lesson, 0, -1)));
    cr_expect(isnan(wg_lesson_value(lesson, 0, WG_LESSON_N_SERIES)));
    cr_expect(isnan(wg_lesson_count(lesson, DAYS, 0, 0)));
    cr_expect(isnan(wg_lesson_count(lesson, 0, -1, 0)));
    cr_expect(isnan(wg_lesson_count(lesson, 0, 0, wg_lesson_generations(lesson))));
    wg_lesson_free(lesson);
}
