/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the quantities of a day against a diary filled by hand.
 */
#include "inference/now.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

static double value(const struct wg_now *now, const struct wg_diary *diary, enum wg_now_kind kind, int index) {
    const int row = wg_now_find(now, kind, index);
    cr_assert_geq(row, 0);
    return wg_now_value(now, row, diary);
}

Test(now, counts_the_day_and_sums_the_weeks_after_it) {
    struct wg_plan plan;
    struct wg_diary diary;
    struct wg_now now;
    plan_laboratory(&plan, 27, 30);
    plan_feed(&plan, 2);
    cr_assert_eq(wg_diary_init(&diary, &plan, NULL), 0);
    for (int day = 0; day < 30; day++) {
        diary.crawl_off_mass[day] = day;
        diary.adults_emerged[day] = 2 * day;
        diary.feed_demand[day] = 1;
        diary.count[day * WG_N_STAGES + WG_FEMALE] = day;
        diary.count[day * WG_N_STAGES + WG_MALE] = 100;
        diary.bin_larvae[day] = 7 * day;
    }
    diary.feed_left[9] = 3;
    wg_now_init(&now, &plan, plan.first_day + 9);
    cr_expect_eq(now.n_weeks, 2, "days 10 to 29 hold two whole weeks");
    cr_expect_eq(value(&now, &diary, WG_NOW_STAGE, WG_NOW_ALL_FLIES), 109);
    cr_expect_eq(value(&now, &diary, WG_NOW_LARVAE, 0), 63);
    cr_expect_eq(value(&now, &diary, WG_NOW_CRAWL_OFF, 0), 10 + 11 + 12 + 13 + 14 + 15 + 16);
    cr_expect_eq(value(&now, &diary, WG_NOW_CRAWL_OFF, 1), 17 + 18 + 19 + 20 + 21 + 22 + 23);
    cr_expect_eq(value(&now, &diary, WG_NOW_FLIES, 0), 2 * (10 + 11 + 12 + 13 + 14 + 15 + 16));
    cr_expect_eq(value(&now, &diary, WG_NOW_REST_CRAWL, 0), (10 + 29) * 20 / 2);
    /* 7 kg dry are wanted, 3 are left; a kilogram of the feed has (1 - moisture) x usable of it */
    const struct wg_feed_type *const type = &wg_feed_types()[wg_feed_find("kitchen scraps")];
    const double usable = (1 - type->moisture) * type->usable;
    cr_expect_float_eq(value(&now, &diary, WG_NOW_WANTED, 0), 7 / usable, 1e-9);
    cr_expect_float_eq(value(&now, &diary, WG_NOW_TO_FEED, 0), 4 / usable, 1e-9);
    wg_now_init(&now, &plan, plan.last_day);
    cr_expect_eq(now.n_weeks, 0);
    cr_expect_lt(wg_now_find(&now, WG_NOW_WANTED, 0), 0, "no week is left to feed");
    cr_expect_eq(value(&now, &diary, WG_NOW_REST_CRAWL, 0), 0);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}
