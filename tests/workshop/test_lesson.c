/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A lesson uses the same model: the same plan made by hand and simulated by the library gives the same counts, in every
 * life; its numbers keep their ranges; its results are consistent; how a colony ended agrees with a setting that allows
 * only that end.
 */
#include "support/plans.h"
#include "workshop/lesson.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_lesson *lesson;

static void setup(void) {
    lesson = wg_lesson_new();
    cr_assert_not_null(lesson);
}

static void teardown(void) {
    wg_lesson_free(lesson);
}

TestSuite(lesson, .init = setup, .fini = teardown);

static void expect_same(const struct wg_diary *diary) {
    cr_assert_eq(wg_lesson_days(lesson), diary->n_days);
    cr_assert_eq(wg_lesson_generations(lesson), diary->n_generations);
    for (int day = 0; day < diary->n_days; day++) {
        for (int stage = 0; stage < WG_N_STAGES; stage++)
            for (int generation = 0; generation < diary->n_generations; generation++)
                cr_assert_eq((int64_t)wg_lesson_count(lesson, day, stage, generation),
                             wg_diary_living(diary, day, (enum wg_stage)stage, generation));
        const double overlap = wg_lesson_value(lesson, day, WG_LESSON_OVERLAP), wanted = wg_diary_overlap(diary, day);
        cr_assert(overlap == wanted || (isnan(overlap) && isnan(wanted)));
    }
}

Test(lesson, steady_warmth_is_a_laboratory_plan) {
    struct wg_plan plan;
    struct wg_diary diary = {0};
    plan_laboratory(&plan, 30, 200);
    plan.seed = 7;
    plan.species.clutch_low = 500;
    plan.species.clutch_high = 600;
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 1000);
    plan_feed(&plan, 2);
    plan_collect(&plan, 0.25);
    plan_simulate(&plan, 0, &diary);
    const double number[][2] = {{WG_LESSON_DAYS, 200},       {WG_LESSON_TEMP_C, 30},       {WG_LESSON_SEED, 7},
                                {WG_LESSON_CLUTCH_LOW, 600}, {WG_LESSON_CLUTCH_HIGH, 500}, /* in the wrong order */
                                {WG_LESSON_STARTER, 1000},   {WG_LESSON_FEED_KG, 2},       {WG_LESSON_CATCH, 0.25}};
    for (size_t i = 0; i < sizeof number / sizeof *number; i++)
        cr_assert_eq(wg_lesson_set(lesson, (int)number[i][0], number[i][1]), 0);
    cr_assert_eq(wg_lesson_live(lesson), 0, "%s", wg_lesson_problem(lesson));
    expect_same(&diary);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

Test(lesson, a_year_is_the_plan_of_that_place) {
    struct wg_plan plan;
    struct wg_diary diary = {0};
    plan_outdoors(&plan, 365); /* the site and first day of the lesson's mild winter */
    wg_bin_defaults(&plan.bins[0].spec, WG_OUTDOORS, 0.150, 0.025);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
    plan_feed(&plan, 1);
    plan_collect(&plan, 0.5);
    plan_simulate(&plan, 0, &diary);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_MILD_WINTER), 0);
    cr_assert_eq(wg_lesson_live(lesson), 0, "%s", wg_lesson_problem(lesson));
    expect_same(&diary);
    for (int day = 0; day < 365; day++)
        cr_assert_eq(wg_lesson_value(lesson, day, WG_LESSON_BIN_C), diary.bin_temperature[day]);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* The mild winter outdoors with few larvae, where luck decides. */
static void set_few_outdoors(void) {
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_MILD_WINTER), 0);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_STARTER, 500), 0);
}

/* Against the library's replicates, in another order. */
Test(lesson, a_life_is_a_replicate) {
    struct wg_plan plan;
    struct wg_diary diary = {0};
    plan_outdoors(&plan, 365);
    wg_bin_defaults(&plan.bins[0].spec, WG_OUTDOORS, 0.150, 0.025);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 500);
    plan_feed(&plan, 1);
    plan_collect(&plan, 0.5);
    set_few_outdoors();
    cr_assert_eq(wg_lesson_begin(lesson), 0);
    cr_expect_eq(wg_lesson_days(lesson), 0);
    for (int life = 5; life >= 0; life -= 5) {
        plan_simulate(&plan, (uint64_t)life, &diary);
        cr_assert_eq(wg_lesson_live_one(lesson, life), 0, "%s", wg_lesson_problem(lesson));
        expect_same(&diary);
        cr_expect_eq(wg_lesson_fact(lesson, WG_LESSON_TOTAL_HARVEST_KG), diary.total_harvest_mass);
        cr_expect_eq(wg_lesson_fact(lesson, WG_LESSON_MEAN_OVERLAP), diary.overlap);
        cr_expect_eq(wg_lesson_fact(lesson, WG_LESSON_END) == WG_LESSON_ALIVE, diary.survived > 0);
        wg_diary_free(&diary);
    }
    wg_plan_free(&plan);
}

Test(lesson, a_life_needs_a_model) {
    cr_expect_eq(wg_lesson_live_one(lesson, 0), -1);
    cr_assert_eq(wg_lesson_begin(lesson), 0);
    cr_expect_eq(wg_lesson_live_one(lesson, -1), -1);
    cr_expect(isnan(wg_lesson_fact(lesson, WG_LESSON_END)));
    cr_assert_eq(wg_lesson_live_one(lesson, 0), 0);
    cr_expect(isnan(wg_lesson_fact(lesson, -1)) && isnan(wg_lesson_fact(lesson, WG_LESSON_N_FACTS)));
}

/*
 * Each setting leaves one way to end: a winter of frosts kills tropical flies (Spranghers et al. 2017, Insects 8:113); 37
 * degC kills larvae (Chia et al. 2018, PLoS ONE 13:e0206097); nothing to eat; all crawlers taken; air below what mating
 * needs; and the laboratory, where keepers have them for years.
 */
Test(lesson, a_colony_ends_by_what_it_lacks) {
    const struct {
        int end;
        double number[3][2];
    } lives[] = {
        {WG_LESSON_COLD, {{WG_LESSON_WEATHER, WG_LESSON_COLD_WINTER}}},
        {WG_LESSON_HEAT, {{WG_LESSON_TEMP_C, 37}}},
        {WG_LESSON_HUNGER, {{WG_LESSON_FEED_KG, 0}}},
        {WG_LESSON_TAKEN, {{WG_LESSON_CATCH, 1}}},
        {WG_LESSON_NO_YOUNG, {{WG_LESSON_TEMP_C, 20}}},
        {WG_LESSON_ALIVE, {{WG_LESSON_TEMP_C, 28}}},
    };
    for (size_t i = 0; i < sizeof lives / sizeof *lives; i++) {
        wg_lesson_free(lesson);
        lesson = wg_lesson_new();
        cr_assert_not_null(lesson);
        for (int k = 0; k < 3 && lives[i].number[k][1] + lives[i].number[k][0] > 0; k++)
            cr_assert_eq(wg_lesson_set(lesson, (int)lives[i].number[k][0], lives[i].number[k][1]), 0);
        cr_assert_eq(wg_lesson_live(lesson), 0, "%s", wg_lesson_problem(lesson));
        cr_expect_eq(wg_lesson_fact(lesson, WG_LESSON_END), lives[i].end, "setting %zu: end %g", i,
                     wg_lesson_fact(lesson, WG_LESSON_END));
        const double lost = wg_lesson_fact(lesson, WG_LESSON_LOST), most = wg_lesson_fact(lesson, WG_LESSON_LOST_MOST);
        cr_expect(most <= lost && lost <= wg_lesson_first(WG_LESSON_STARTER), "setting %zu: %g of %g", i, most, lost);
        cr_expect_eq(lost > 0, lives[i].end != WG_LESSON_ALIVE);
        cr_expect_eq(wg_lesson_fact(lesson, WG_LESSON_LAST_DAY) < 364, lives[i].end != WG_LESSON_ALIVE);
    }
}

static double sum(int series) {
    double total = 0;
    for (int day = 0; day < wg_lesson_days(lesson); day++)
        total += wg_lesson_value(lesson, day, series);
    return total;
}

Test(lesson, the_heater_has_the_same_winter_and_costs_what_it_uses) {
    double outdoors[365];
    wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_COLD_WINTER);
    wg_lesson_set(lesson, WG_LESSON_SHELTER, WG_SHED);
    wg_lesson_set(lesson, WG_LESSON_PRICE, 0.5);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    for (int day = 0; day < 365; day++)
        outdoors[day] = wg_lesson_value(lesson, day, WG_LESSON_OUTDOOR_C);
    cr_expect_eq(sum(WG_LESSON_HEATER_KWH), 0);
    cr_expect_eq(wg_lesson_heater_w(lesson), 0);
    wg_lesson_set(lesson, WG_LESSON_HEATER, 1);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    for (int day = 0; day < 365; day++)
        cr_assert_eq(wg_lesson_value(lesson, day, WG_LESSON_OUTDOOR_C), outdoors[day]);
    cr_expect_gt(wg_lesson_heater_w(lesson), 0);
    cr_expect_gt(sum(WG_LESSON_HEATER_KWH), 100);
    cr_expect_leq(sum(WG_LESSON_HEATER_KWH), 365 * 24 * wg_lesson_heater_w(lesson) / 1000);
    cr_expect_geq(wg_lesson_heater_short_w(lesson), 0);
    wg_lesson_set(lesson, WG_LESSON_SET_POINT_C, 5); /* the same house needs less */
    const double kwh = sum(WG_LESSON_HEATER_KWH), cost = sum(WG_LESSON_HEATER_COST);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    cr_expect_lt(sum(WG_LESSON_HEATER_KWH), kwh);
    cr_expect_float_eq(cost, 0.5 * kwh, 1e-6); /* sums of 365 roundings */
}

/*
 * On the warm coast flies emerge all winter, in the mild winter of a yard they do not: by the model's own outcome, for
 * every seed.
 */
Test(lesson, the_first_fly_of_spring_is_told_only_where_there_is_one) {
    int with = 0, without = 0;
    for (int seed = 1; seed <= 8; seed++)
        for (int weather = WG_LESSON_MILD_WINTER; weather <= WG_LESSON_WARM_COAST; weather += 2) {
            cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_WEATHER, weather), 0);
            cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_SEED, seed), 0);
            cr_assert_eq(wg_lesson_live(lesson), 0, "%s", wg_lesson_problem(lesson));
            const int first = wg_lesson_spring_day(lesson), february = 139; /* days from 15 September to 1 February */
            double in_january = 0;
            for (int day = february - 31; day < february; day++)
                for (int generation = 0; generation < wg_lesson_generations(lesson); generation++)
                    in_january += wg_lesson_count(lesson, day, WG_FEMALE, generation);
            cr_assert(first == -1 || (first >= february && in_january < 50),
                      "seed %d, weather %d: day %d, %g in January", seed, weather, first, in_january);
            with += first >= 0;
            without += first < 0;
            if (weather == WG_LESSON_WARM_COAST)
                cr_assert_eq(first, -1, "flies on every day of January");
        }
    cr_assert(with >= 6 && without >= 8, "%d and %d", with, without);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_STEADY), 0);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    cr_assert_eq(wg_lesson_spring_day(lesson), -1, "a laboratory has no spring");
}

Test(lesson, no_heater_outdoors) {
    wg_lesson_set(lesson, WG_LESSON_WEATHER, WG_LESSON_MILD_WINTER);
    wg_lesson_set(lesson, WG_LESSON_HEATER, 1);
    cr_assert_eq(wg_lesson_live(lesson), 0);
    cr_expect_eq(wg_lesson_heater_w(lesson), 0);
    cr_expect_eq(sum(WG_LESSON_HEATER_KWH), 0);
}

Test(lesson, numbers_keep_their_ranges) {
    for (int i = 0; i < WG_LESSON_N_NUMBERS; i++) {
        cr_expect_leq(wg_lesson_least(i), wg_lesson_first(i));
        cr_expect_leq(wg_lesson_first(i), wg_lesson_most(i));
        cr_expect_eq(wg_lesson_set(lesson, i, wg_lesson_least(i)), 0);
        cr_expect_eq(wg_lesson_set(lesson, i, wg_lesson_most(i)), 0);
        cr_expect_eq(wg_lesson_set(lesson, i, wg_lesson_most(i) + 1), -1);
        cr_expect_eq(wg_lesson_set(lesson, i, wg_lesson_least(i) - 1), -1);
        cr_expect_eq(wg_lesson_set(lesson, i, (double)NAN), -1);
    }
    cr_expect_eq(wg_lesson_set(lesson, -1, 1), -1);
    cr_expect_eq(wg_lesson_set(lesson, WG_LESSON_N_NUMBERS, 1), -1);
    cr_expect(isnan(wg_lesson_first(-1)) && isnan(wg_lesson_first(WG_LESSON_N_NUMBERS)));
}

Test(lesson, nothing_is_read_that_was_not_lived) {
    cr_expect_eq(wg_lesson_days(lesson), 0);
    cr_expect(isnan(wg_lesson_count(lesson, 0, 0, 0)) && isnan(wg_lesson_value(lesson, 0, 0)));
    cr_assert_eq(wg_lesson_live(lesson), 0);
    const int days = wg_lesson_days(lesson), generations = wg_lesson_generations(lesson);
    cr_expect(isnan(wg_lesson_count(lesson, -1, 0, 0)) && isnan(wg_lesson_count(lesson, days, 0, 0)));
    cr_expect(isnan(wg_lesson_count(lesson, 0, -1, 0)) && isnan(wg_lesson_count(lesson, 0, WG_N_STAGES, 0)));
    cr_expect(isnan(wg_lesson_count(lesson, 0, 0, -1)) && isnan(wg_lesson_count(lesson, 0, 0, generations)));
    cr_expect(isnan(wg_lesson_value(lesson, days, WG_LESSON_BIN_C)));
    cr_expect(isnan(wg_lesson_value(lesson, 0, -1)) && isnan(wg_lesson_value(lesson, 0, WG_LESSON_N_SERIES)));
    cr_expect_str_eq(wg_lesson_problem(lesson), "");
}

/* The ends of every slider, one at a time and all together. */
Test(lesson, every_corner_of_the_sliders_lives) {
    for (int i = 0; i < WG_LESSON_N_NUMBERS; i++)
        for (int end = 0; end < 2; end++)
            for (int weather = 0; weather < WG_LESSON_N_WEATHERS; weather++) {
                wg_lesson_free(lesson);
                lesson = wg_lesson_new();
                cr_assert_not_null(lesson);
                wg_lesson_set(lesson, WG_LESSON_WEATHER, weather);
                wg_lesson_set(lesson, WG_LESSON_SHELTER, WG_SHED);
                wg_lesson_set(lesson, WG_LESSON_HEATER, 1);
                wg_lesson_set(lesson, i, end ? wg_lesson_most(i) : wg_lesson_least(i));
                cr_assert_eq(wg_lesson_live(lesson), 0, "number %d: %s", i, wg_lesson_problem(lesson));
            }
    for (int end = 0; end < 2; end++) {
        for (int i = 0; i < WG_LESSON_N_NUMBERS; i++)
            wg_lesson_set(lesson, i, end ? wg_lesson_most(i) : wg_lesson_least(i));
        cr_assert_eq(wg_lesson_live(lesson), 0, "all at end %d: %s", end, wg_lesson_problem(lesson));
    }
}
