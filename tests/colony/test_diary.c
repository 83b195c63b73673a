/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Outcomes of a replicate against diaries filled by hand, with hand calculations. */
#include "base/calendar.h"
#include "colony/diary.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static struct wg_diary diary;
static struct wg_error err;

static int32_t day_of(int year, int month, int day) {
    return wg_day_from_date((struct wg_date){year, month, day});
}

/* Two places, three bins. */
static void open_diary(int32_t first, int32_t last, double latitude_deg) {
    const struct wg_plan plan = {.first_day = first,
                                 .last_day = last,
                                 .n_places = 2,
                                 .n_bins = 3,
                                 .climate = {.kind = WG_CLIMATE_NORMALS, .latitude_deg = latitude_deg}};
    cr_assert_eq(wg_diary_init(&diary, &plan, &err), 0, "%s", err.text);
}

static void open_days(int n) {
    open_diary(day_of(2026, 3, 1), day_of(2026, 3, 1) + n - 1, 45.0);
}

static void close_diary(void) {
    wg_diary_free(&diary);
}

TestSuite(diary, .fini = close_diary);

static int64_t *count_on(int day) {
    return diary.count + day * WG_N_STAGES;
}

/* ---- the table ---- */

Test(diary, names_every_series_once_with_unit_and_text) {
    open_days(10);
    const struct wg_series *const table = wg_diary_series();
    for (const struct wg_series *s = table; s->name != NULL; s++) {
        cr_assert(strlen(s->unit) > 0 && strlen(s->text) > 8, "%s", s->name);
        cr_assert_not_null(wg_diary_values(&diary, s));
        for (const struct wg_series *other = table; other != s; other++) {
            cr_assert_str_neq(s->name, other->name);
            cr_assert_neq(wg_diary_values(&diary, s), wg_diary_values(&diary, other));
        }
    }
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        for (const struct wg_outcome *other = wg_diary_outcomes(); other != o; other++)
            cr_assert_str_neq(o->name, other->name);
}

Test(diary, series_are_the_fields_they_name) {
    open_days(10);
    int found = 0;
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++) {
        if (strcmp(s->name, "deaths") == 0) {
            cr_assert_eq(wg_diary_values(&diary, s), (const void *)diary.deaths);
            cr_assert_eq(wg_diary_width(&diary, s->dims), WG_N_CAUSES);
            cr_assert(s->is_count);
            found++;
        }
        if (strcmp(s->name, "bin_high") == 0) {
            cr_assert_eq(wg_diary_values(&diary, s), (const void *)diary.bin_high);
            cr_assert_eq(wg_diary_width(&diary, s->dims), 3);
            cr_assert_not(s->is_count);
            found++;
        }
    }
    cr_assert_eq(found, 2);
    diary.overlap = 1.5;
    const struct wg_outcome *last = wg_diary_outcomes();
    while (strcmp(last->name, "overlap") != 0)
        last++;
    cr_assert_eq(wg_diary_outcome(&diary, last), 1.5);
}

Test(diary, widths_follow_the_plan) {
    open_days(10);
    cr_assert_eq(wg_diary_width(&diary, WG_PER_DAY), 1);
    cr_assert_eq(wg_diary_width(&diary, WG_PER_DAY_STAGE), WG_N_STAGES);
    cr_assert_eq(wg_diary_width(&diary, WG_PER_DAY_PLACE), 2);
    cr_assert_eq(wg_diary_width(&diary, WG_PER_DAY_BIN), 3);
}

/* Adds individuals of a stage and generation to a day. */
static void put_generation(int day, enum wg_stage stage, int generation, int64_t n) {
    int64_t count[64][WG_N_STAGES] = {{0}};
    for (int g = 0; g < diary.n_generations; g++)
        for (int s = 0; s < WG_N_STAGES; s++)
            count[g][s] = wg_diary_living(&diary, day, (enum wg_stage)s, g);
    count[generation][stage] += n;
    wg_diary_set_living(&diary, day, 0, diary.n_generations, count[0]);
}

Test(diary, cleared_is_as_new) {
    open_days(10);
    count_on(9)[WG_MALE] = 5;
    diary.bin_high[29] = 30.0;
    put_generation(9, WG_MALE, diary.n_generations - 1, 7);
    diary.stopped_day = 3;
    diary.peak_larvae = 9;
    wg_diary_clear(&diary);
    cr_assert_eq(count_on(9)[WG_MALE], 0);
    cr_assert_eq(diary.bin_high[29], 0.0);
    cr_assert_eq(wg_diary_living(&diary, 9, WG_MALE, diary.n_generations - 1), 0);
    cr_assert_eq(diary.n_alive, 0);
    cr_assert_eq(diary.stopped_day, -1);
    cr_assert_eq(diary.peak_larvae, 0.0);
    cr_assert_eq(diary.n_days, 10);
}

Test(diary, may_be_freed_twice) {
    open_days(10);
    wg_diary_free(&diary);
    wg_diary_free(&diary);
}

/* ---- survival, first dates ---- */

Test(diary, of_nothing_has_no_dates) {
    open_days(20);
    wg_diary_finish(&diary);
    cr_assert_eq(diary.survived, 0.0);
    cr_assert(isnan(diary.first_adult_day) && isnan(diary.first_egg_day) && isnan(diary.first_crawl_off_day));
    cr_assert(isnan(diary.spring_emergence_50) && isnan(diary.peak_larvae_day) && isnan(diary.overlap));
    cr_assert_eq(diary.peak_larvae, 0.0);
    cr_assert_eq(diary.lowest_count, 0.0);
    cr_assert_eq(diary.total_crawl_off_mass, 0.0);
}

Test(diary, survival_is_of_the_last_day) {
    open_days(20);
    count_on(19)[WG_DORMANT] = 1;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.survived, 1.0);
    count_on(19)[WG_DORMANT] = 0;
    count_on(18)[WG_DORMANT] = 1;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.survived, 0.0);
}

Test(diary, first_dates_are_days_from_the_first) {
    open_days(20);
    diary.eggs_laid[7] = 500;
    diary.eggs_laid[9] = 500;
    diary.crawl_off_count[11] = 1;
    count_on(5)[WG_FEMALE] = 1;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.first_egg_day, 7.0);
    cr_assert_eq(diary.first_crawl_off_day, 11.0);
    cr_assert_eq(diary.first_adult_day, 5.0);
}

Test(diary, a_fly_that_does_not_see_the_evening_counts_as_first) {
    open_days(20);
    diary.adults_emerged[2 * 4 + 1] = 1; /* day 4, second place */
    count_on(6)[WG_MALE] = 1;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.first_adult_day, 4.0);
}

Test(diary, peak_and_lowest_leave_out_the_days_before_the_starter) {
    open_days(10);
    const int64_t larvae[10] = {0, 0, 100, 80, 900, 900, 30, 5, 40, 60};
    for (int d = 0; d < 10; d++)
        count_on(d)[WG_LARVA] = larvae[d];
    count_on(7)[WG_PUPA] = 2;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.peak_larvae, 900.0);
    cr_assert_eq(diary.peak_larvae_day, 4.0, "the first of two");
    cr_assert_eq(diary.lowest_count, 7.0);
}

Test(diary, a_colony_that_died_out_had_none_at_its_lowest) {
    open_days(10);
    count_on(2)[WG_EGG] = 100;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.lowest_count, 0.0);
}

/* A replicate that stops on its first day has no days to sum: all is nothing, whatever the outcomes were before. */
Test(diary, finishes_anew) {
    open_days(10);
    for (int d = 0; d < 10; d++) {
        count_on(d)[WG_LARVA] = 900;
        diary.crawl_off_mass[d] = 0.5;
        diary.asked_not_there[d] = 0.1;
    }
    wg_diary_finish(&diary);
    cr_assert(diary.peak_larvae == 900.0 && diary.lowest_count == 900.0);
    cr_assert(diary.days_over_100g == 10.0 && diary.days_short_of_larvae == 10.0);
    diary.stopped_day = diary.first_day;
    wg_diary_finish(&diary);
    cr_expect(diary.peak_larvae == 0.0 && diary.lowest_count == 0.0);
    cr_expect(diary.days_over_100g == 0.0 && diary.days_short_of_larvae == 0.0);
    cr_expect(isnan(diary.peak_larvae_day) && isnan(diary.first_100g_day));
}

/* ---- batches of crawl-off ---- */

/* 100 larvae of a generation crawl off, 10 a day from a day on; the colony is alive from day 0. */
static void crawl_off_ten_days(int from, int generation) {
    for (int d = from; d < from + 10; d++)
        wg_diary_add_crawl_off(&diary, d, 1, generation, 10, 0.002);
}

static void live_all_days(int n) {
    for (int d = 0; d < n; d++)
        count_on(d)[WG_PREPUPA] = 1;
}

Test(diary, a_batch_is_all_crawl_off_of_a_generation) {
    open_days(100);
    live_all_days(100);
    diary.first_batch = 0;
    wg_diary_add_crawl_off(&diary, 3, 0, 0, 1, 0.0002); /* the first of all is no date for the diary */
    crawl_off_ten_days(10, 0);
    crawl_off_ten_days(40, 1);
    wg_diary_add_crawl_off(&diary, 15, 2, 1, 1, 0.0002); /* generations overlap */
    wg_diary_finish(&diary);
    cr_expect_eq(diary.first_crawl_off_day, 3.0);
    cr_expect_eq(diary.first_batch_10, 10.0, "11 of 101, at least 10.1");
    cr_expect_eq(diary.first_batch_50, 14.0, "51 of 101, at least 50.5");
    cr_expect_eq(diary.second_batch_10, 40.0);
    cr_expect_eq(diary.second_batch_50, 44.0);
    cr_expect(isnan(diary.third_batch_10) && isnan(diary.third_batch_50));
    cr_expect_eq(diary.crawl_off_count[15], 11);
    cr_expect_eq(diary.bin_crawl_off[15 * 3 + 2], 0.0002);
}

Test(diary, offspring_are_the_first_batch_of_a_plan_without_eggs_and_larvae) {
    open_days(100);
    live_all_days(100);
    crawl_off_ten_days(40, 1);
    wg_diary_finish(&diary);
    cr_expect_eq(diary.first_batch, 1);
    cr_expect_eq(diary.first_batch_50, 44.0);
    cr_expect(isnan(diary.second_batch_50));
}

Test(diary, a_batch_cut_before_its_half_has_no_date) {
    open_days(30);
    live_all_days(30);
    crawl_off_ten_days(20, 1);
    put_generation(29, WG_LARVA, 1, 60);
    put_generation(29, WG_EGG, 1, 40);
    wg_diary_finish(&diary);
    cr_expect_eq(diary.first_batch_50, 24.0, "100 left, 100 to come");
    put_generation(29, WG_EGG, 1, 1);
    wg_diary_finish(&diary);
    cr_expect(isnan(diary.first_batch_10) && isnan(diary.first_batch_50));
}

Test(diary, batches_are_those_of_the_first_year_with_animals) {
    open_days(800);
    for (int d = 50; d < 800; d++)
        count_on(d)[WG_PREPUPA] = 1;
    crawl_off_ten_days(405, 1); /* 10 days until day 414, the last of 365 */
    crawl_off_ten_days(700, 1); /* such as offspring of wild visitors of the next year */
    wg_diary_finish(&diary);
    cr_expect_eq(diary.first_batch_50, 409.0);
    cr_expect_eq(diary.crawl_off_10, 405.0);
    cr_expect_eq(diary.crawl_off_50, 409.0);
}

Test(diary, a_day_counts_from_above_100_g_on) {
    open_days(30);
    live_all_days(30);
    diary.crawl_off_mass[4] = 0.1;
    diary.crawl_off_mass[9] = diary.crawl_off_mass[20] = 0.11;
    wg_diary_finish(&diary);
    cr_expect_eq(diary.first_100g_day, 9.0);
    cr_expect_eq(diary.days_over_100g, 2.0);
    cr_expect_eq(diary.crawl_off_50, 9.0, "0.21 of 0.32 kg");
    diary.crawl_off_mass[9] = diary.crawl_off_mass[20] = 0;
    wg_diary_finish(&diary);
    cr_expect(isnan(diary.first_100g_day));
    cr_expect_eq(diary.days_over_100g, 0.0);
}

/* ---- weeks and totals ---- */

Test(diary, best_week_may_start_on_any_day) {
    open_days(30);
    for (int d = 10; d < 17; d++)
        diary.crawl_off_mass[d] = 0.5;
    diary.crawl_off_mass[0] = 3.0;
    diary.harvest_mass[23] = 1.0;
    diary.harvest_mass[29] = 1.0;
    diary.harvest_mass[16] = 1.25; /* seven days before: another week */
    wg_diary_finish(&diary);
    cr_assert_eq(diary.best_week_crawl_off, 3.5);
    cr_assert_eq(diary.best_week_harvest, 2.0);
    cr_assert_eq(diary.total_crawl_off_mass, 6.5);
}

Test(diary, best_week_of_a_shorter_period_is_all_of_it) {
    open_days(3);
    for (int d = 0; d < 3; d++)
        diary.crawl_off_mass[d] = 1.0;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.best_week_crawl_off, 3.0);
}

Test(diary, weeks_without_harvest_are_whole_weeks_from_the_first_day) {
    open_days(27); /* three weeks and six days */
    wg_diary_finish(&diary);
    cr_assert_eq(diary.weeks_without_harvest, 3.0);
    diary.crawl_off_count[13] = 1; /* last day of the second week */
    wg_diary_finish(&diary);
    cr_assert_eq(diary.weeks_without_harvest, 2.0);
    diary.crawl_off_count[21] = 1; /* in the incomplete week */
    wg_diary_finish(&diary);
    cr_assert_eq(diary.weeks_without_harvest, 2.0);
}

Test(diary, totals_run_over_days_places_and_bins) {
    open_days(20);
    for (int i = 0; i < 20 * 3; i++) {
        diary.feed_given[i] = 1.0;
        diary.feed_eaten[i] = 0.5;
        diary.bin_high[i] = i == 59 ? 41.5 : -2.0;
    }
    for (int i = 0; i < 20 * 2; i++) {
        diary.heater_energy[i] = 0.25;
        diary.heater_cost[i] = 0.125;
        diary.heater_short[i] = i == 38 ? 700.0 : 10.0;
    }
    for (int d = 0; d < 20; d++)
        diary.eggs_laid[d] = INT64_C(1) << 40;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.total_feed_given, 60.0);
    cr_assert_eq(diary.total_feed_eaten, 30.0);
    cr_assert_eq(diary.total_heater_energy, 10.0);
    cr_assert_eq(diary.total_heater_cost, 5.0);
    cr_assert_eq(diary.heater_short_w, 700.0);
    cr_assert_eq(diary.hottest_bin, 41.5);
    cr_assert_eq(diary.total_eggs_laid, 20.0 * 1099511627776.0);
}

Test(diary, hottest_bin_may_be_below_zero) {
    open_days(20);
    for (int i = 0; i < 60; i++)
        diary.bin_high[i] = -5.0 - i;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.hottest_bin, -5.0);
}

/* ---- spring ---- */

/* n overwintered flies on a date, in both places. */
static void emerge(int32_t day, int64_t n) {
    const int d = day - diary.first_day;
    for (int place = 0; place < 2; place++) {
        const int64_t here = place == 0 ? n / 2 : n - n / 2;
        diary.adults_emerged[2 * d + place] += here;
        diary.spring_flies[2 * d + place] += here;
    }
}

static void assert_spring(int32_t d10, int32_t d50, int32_t d90) {
    wg_diary_finish(&diary);
    cr_assert_eq(diary.spring_emergence_10, (double)(d10 - diary.first_day));
    cr_assert_eq(diary.spring_emergence_50, (double)(d50 - diary.first_day));
    cr_assert_eq(diary.spring_emergence_90, (double)(d90 - diary.first_day));
}

static void assert_no_spring(void) {
    wg_diary_finish(&diary);
    cr_assert(isnan(diary.spring_emergence_10) && isnan(diary.spring_emergence_50) && isnan(diary.spring_emergence_90));
}

Test(diary, ten_flies_on_ten_days_emerge_on_the_first_fifth_and_ninth) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    for (int i = 0; i < 10; i++)
        emerge(day_of(2027, 5, 1) + i, 1);
    assert_spring(day_of(2027, 5, 1), day_of(2027, 5, 5), day_of(2027, 5, 9));
}

Test(diary, one_fly_is_all_of_the_spring) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    emerge(day_of(2027, 7, 31), 1);
    assert_spring(day_of(2027, 7, 31), day_of(2027, 7, 31), day_of(2027, 7, 31));
}

/* 10 % of 11 is 1.1 flies: reached with the second fly. */
Test(diary, shares_are_rounded_up_to_whole_flies) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    for (int i = 0; i < 11; i++)
        emerge(day_of(2027, 5, 1) + i, 1);
    assert_spring(day_of(2027, 5, 2), day_of(2027, 5, 6), day_of(2027, 5, 10));
}

Test(diary, flies_outside_the_spring_do_not_count) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    emerge(day_of(2026, 10, 1), 1000);
    emerge(day_of(2027, 2, 1), 4);
    emerge(day_of(2027, 7, 31), 4);
    emerge(day_of(2027, 8, 1), 1000);
    assert_spring(day_of(2027, 2, 1), day_of(2027, 2, 1), day_of(2027, 7, 31));
}

Test(diary, the_last_whole_spring_counts) {
    open_diary(day_of(2026, 1, 1), day_of(2028, 7, 30), 32.4); /* 2028: one day short */
    emerge(day_of(2026, 5, 1), 10);
    emerge(day_of(2027, 6, 1), 10);
    emerge(day_of(2028, 4, 1), 10);
    assert_spring(day_of(2027, 6, 1), day_of(2027, 6, 1), day_of(2027, 6, 1));
}

Test(diary, a_period_without_a_whole_spring_has_none) {
    open_diary(day_of(2027, 2, 2), day_of(2027, 12, 31), 32.4);
    emerge(day_of(2027, 5, 1), 10);
    assert_no_spring();
}

/* Up to 30 June: the flies emerged by then, as if the season ended there. */
Test(diary, a_spring_that_the_period_cuts_counts_as_far_as_it_goes) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 6, 30), 32.4);
    for (int i = 0; i < 10; i++)
        emerge(day_of(2027, 5, 1) + i, 1);
    assert_spring(day_of(2027, 5, 1), day_of(2027, 5, 5), day_of(2027, 5, 9));
    wg_diary_free(&diary);
    open_diary(day_of(2026, 3, 1), day_of(2026, 12, 15), -34.0);
    emerge(day_of(2026, 10, 1), 10);
    assert_spring(day_of(2026, 10, 1), day_of(2026, 10, 1), day_of(2026, 10, 1));
}

Test(diary, too_little_of_a_spring_is_none) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 5, 30), 32.4);
    emerge(day_of(2027, 5, 1), 10);
    assert_no_spring();
    wg_diary_free(&diary);
    open_diary(day_of(2026, 9, 15), day_of(2027, 5, 31), 32.4);
    emerge(day_of(2027, 5, 1), 10);
    assert_spring(day_of(2027, 5, 1), day_of(2027, 5, 1), day_of(2027, 5, 1));
}

/* A replicate that stopped early has seen less of the spring than the others. */
Test(diary, a_spring_that_an_early_stop_cuts_is_none) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    emerge(day_of(2027, 5, 1), 10);
    diary.stopped_day = day_of(2027, 7, 1);
    assert_no_spring();
}

/* Flies emerge all winter: more than a twentieth as many in January as in spring, so there are spring flies without a date. */
Test(diary, a_spring_after_a_winter_with_flies_has_no_date) {
    static const struct {
        int64_t january, spring;
        bool is_undated;
    } cases[] = {{0, 0, false}, {0, 40, false}, {2, 40, false}, {3, 40, true}, {3, 0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
        diary.adults_emerged[2 * (day_of(2027, 1, 15) - diary.first_day)] = cases[i].january;
        diary.spring_flies[2 * (day_of(2027, 5, 1) - diary.first_day)] = cases[i].spring;
        wg_diary_finish(&diary);
        cr_expect_eq(wg_diary_emerges_all_winter(&diary), cases[i].is_undated, "case %zu", i);
        wg_diary_free(&diary);
    }
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
}

static void assert_within(int32_t first, int32_t last, bool southern, enum wg_spring_coverage seen, int32_t from,
                          int32_t to) {
    const struct wg_spring spring = wg_spring_within(first, last, southern);
    cr_assert(spring.seen == seen && spring.from == from && spring.to == to, "%d: %d to %d", (int)spring.seen,
              (int)spring.from, (int)spring.to);
}

Test(diary, the_spring_of_a_period) {
    const int32_t autumn = day_of(2026, 9, 15);
    assert_within(autumn, day_of(2027, 1, 31), false, WG_SPRING_NONE, 0, 0);
    assert_within(autumn, day_of(2027, 2, 1), false, WG_SPRING_TOO_FEW, day_of(2027, 2, 1), day_of(2027, 2, 1));
    assert_within(autumn, day_of(2027, 6, 30), false, WG_SPRING_CUT, day_of(2027, 2, 1), day_of(2027, 6, 30));
    assert_within(autumn, day_of(2027, 7, 31), false, WG_SPRING_WHOLE, day_of(2027, 2, 1), day_of(2027, 7, 31));
    assert_within(autumn, day_of(2028, 6, 30), false, WG_SPRING_WHOLE, day_of(2027, 2, 1), day_of(2027, 7, 31));
    assert_within(autumn, day_of(2027, 12, 31), true, WG_SPRING_CUT, day_of(2027, 8, 1), day_of(2027, 12, 31));
    assert_within(autumn, day_of(2028, 1, 31), true, WG_SPRING_WHOLE, day_of(2027, 8, 1), day_of(2028, 1, 31));
}

Test(diary, a_spring_that_is_the_whole_period_counts) {
    open_diary(day_of(2027, 2, 1), day_of(2027, 7, 31), 32.4);
    emerge(day_of(2027, 5, 1), 10);
    assert_spring(day_of(2027, 5, 1), day_of(2027, 5, 1), day_of(2027, 5, 1));
}

Test(diary, spring_in_the_south_runs_over_new_year) {
    open_diary(day_of(2026, 3, 1), day_of(2027, 4, 30), -34.0);
    emerge(day_of(2026, 7, 31), 90); /* winter there: not in the spring, but flies all winter if in the month before */
    assert_no_spring();
    wg_diary_clear(&diary);
    emerge(day_of(2026, 8, 1), 5);
    emerge(day_of(2027, 1, 31), 5);
    assert_spring(day_of(2026, 8, 1), day_of(2026, 8, 1), day_of(2027, 1, 31));
}

Test(diary, flies_all_winter_are_no_spring_emergence) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    emerge(day_of(2027, 1, 15), 6); /* more than a twentieth of a hundred */
    emerge(day_of(2027, 5, 1), 100);
    assert_no_spring();
    cr_expect(wg_diary_emerges_all_winter(&diary));
}

Test(diary, the_tropics_have_no_spring) {
    open_diary(day_of(2026, 1, 1), day_of(2026, 12, 31), 1);
    emerge(day_of(2026, 2, 10), 100);
    assert_no_spring();
    cr_expect_not(wg_diary_emerges_all_winter(&diary));
}

Test(diary, no_fly_in_spring_is_not_flies_all_winter) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    emerge(day_of(2027, 1, 15), 6);
    assert_no_spring();
    cr_expect_not(wg_diary_emerges_all_winter(&diary), "they all emerged before spring");
    emerge(day_of(2027, 5, 1), 1000);
    wg_diary_finish(&diary);
    cr_expect_not(isnan(diary.spring_emergence_50));
    cr_expect_not(wg_diary_emerges_all_winter(&diary), "few before: the spring has dates");
}

/* Flies of a place that is warm all winter are left out; the other place keeps its dates. */
Test(diary, a_heated_shed_does_not_hide_the_yards_spring) {
    open_diary(day_of(2026, 9, 15), day_of(2027, 9, 14), 32.4);
    for (int32_t day = day_of(2027, 1, 5); day < day_of(2027, 7, 1); day++) {
        const int d = day - diary.first_day;
        diary.adults_emerged[2 * d + 1] += 5000;
        if (day >= day_of(2027, 2, 1) && day < day_of(2027, 3, 1))
            diary.spring_flies[2 * d + 1] += 5000;
    }
    for (int i = 0; i < 10; i++) {
        diary.adults_emerged[2 * (day_of(2027, 5, 1) - diary.first_day + i)] += 2;
        diary.spring_flies[2 * (day_of(2027, 5, 1) - diary.first_day + i)] += 2;
    }
    assert_spring(day_of(2027, 5, 1), day_of(2027, 5, 5), day_of(2027, 5, 9));
}

/* ---- generations ---- */

Test(diary, keeps_only_the_generations_that_live) {
    open_days(90);
    const int last = diary.n_generations - 1;
    put_generation(3, WG_PUPA, 2, 7);
    put_generation(80, WG_EGG, last, 9);
    cr_assert_eq(diary.n_alive, 2 * WG_N_STAGES);
    put_generation(4, WG_LARVA, 1, 5);
    put_generation(4, WG_FEMALE, 3, 6); /* next to it, with an empty generation between: written again */
    cr_assert_eq(diary.n_alive, (2 + 1 + 3) * WG_N_STAGES);
    for (int day = 0; day < 90; day++)
        for (int s = 0; s < WG_N_STAGES; s++)
            for (int g = 0; g <= last; g++) {
                const int64_t due = day == 3 && s == WG_PUPA && g == 2      ? 7
                                    : day == 80 && s == WG_EGG && g == last ? 9
                                    : day == 4 && s == WG_LARVA && g == 1   ? 5
                                    : day == 4 && s == WG_FEMALE && g == 3  ? 6
                                                                            : 0;
                cr_assert_eq(wg_diary_living(&diary, day, (enum wg_stage)s, g), due);
            }
}

/* ---- overlap of generations ---- */

/* Hill (1973): k equal shares count as k. */
Test(diary, equal_generations_overlap_by_their_number) {
    open_days(90);
    for (int g = 0; g < 4; g++) {
        put_generation(3, WG_LARVA, g, 100);
        put_generation(3, WG_MALE, g, 100);
    }
    cr_assert_float_eq(wg_diary_overlap(&diary, 3), 4.0, 1e-14, "four logs and an exp of rounding");
    put_generation(5, WG_PUPA, 1, 7);
    cr_assert_eq(wg_diary_overlap(&diary, 5), 1.0);
}

/* Shares 1/4 and 3/4: exp(-(ln(1/4)/4 + 3 ln(3/4)/4)) = 4 / 3^(3/4). */
Test(diary, unequal_generations_overlap_by_less) {
    open_days(20);
    put_generation(0, WG_LARVA, 0, 25);
    put_generation(0, WG_PREPUPA, 1, 75);
    cr_assert_float_eq(wg_diary_overlap(&diary, 0), 4.0 / pow(3.0, 0.75), 1e-14);
}

Test(diary, eggs_do_not_count_in_the_overlap) {
    open_days(20);
    put_generation(0, WG_LARVA, 0, 10);
    put_generation(0, WG_EGG, 1, 1000000);
    cr_assert_eq(wg_diary_overlap(&diary, 0), 1.0);
    put_generation(1, WG_EGG, 1, 1000000);
    cr_assert(isnan(wg_diary_overlap(&diary, 1)), "only eggs are nobody past the egg");
}

Test(diary, overlap_is_the_mean_of_the_last_year_where_anyone_lives) {
    open_days(500);
    for (int g = 0; g < 2; g++) {
        put_generation(100, WG_LARVA, g, 5); /* more than 365 days before the end: left out */
        put_generation(499, WG_LARVA, g, 5);
    }
    put_generation(135, WG_LARVA, 0, 5); /* the first of the last 365 */
    put_generation(300, WG_LARVA, 0, 5);
    wg_diary_finish(&diary);
    cr_assert_float_eq(diary.overlap, (1.0 + 1.0 + 2.0) / 3.0, 1e-14);
}

/* ---- stopped early ---- */

Test(diary, of_a_colony_that_outgrew_its_ceiling_ends_the_day_before) {
    open_days(30);
    for (int d = 0; d < 30; d++) {
        count_on(d)[WG_LARVA] = 1 + d;
        diary.crawl_off_mass[d] = 1.0;
    }
    diary.stopped_day = diary.first_day + 20;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.peak_larvae, 20.0);
    cr_assert_eq(diary.total_crawl_off_mass, 20.0);
    cr_assert_eq(diary.survived, 1.0);
    diary.stopped_day = diary.first_day;
    wg_diary_finish(&diary);
    cr_assert_eq(diary.survived, 0.0);
    cr_assert_eq(diary.total_crawl_off_mass, 0.0);
}
