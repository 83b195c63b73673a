/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the work calendar against sums done by hand: weeks, quantiles (type 7 of Hyndman & Fan 1996, Am. Stat. 50:361),
 * wet feed from dry, trap intervals from the timetable, spells of too little and too much feed.
 */
#include "forecast/work.h"
#include "species/lifetable.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(work);

static struct wg_error err;

struct fixture {
    struct wg_plan plan;
    struct wg_work work;
    struct wg_diary diary;
};

/* 30 days: four weeks and two days; kitchen scraps (75 % water, 85 % of the rest usable) at wet_kg a day. */
static void open_fixture(struct fixture *f, double wet_kg, int64_t replicates) {
    plan_laboratory(&f->plan, 27, 30);
    plan_feed(&f->plan, wet_kg);
    cr_assert_eq(wg_work_init(&f->work, &f->plan, replicates, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&f->diary, &f->plan, &err), 0, "%s", err.text);
}

static void close_fixture(struct fixture *f) {
    wg_diary_free(&f->diary);
    wg_work_free(&f->work);
    wg_plan_free(&f->plan);
}

static void show(struct fixture *f) {
    const struct wg_observer observer = wg_work_observer(&f->work);
    cr_assert_eq(observer.on_replicate(observer.self, f->work.n, &f->diary, &err), 0);
}

static void fill(double *series, int from, int to, double value) {
    for (int day = from; day < to; day++)
        series[day] = value;
}

Test(work, weeks_run_from_the_first_day_and_the_last_may_be_short) {
    struct fixture f;
    struct wg_work_week week;
    open_fixture(&f, 2, 1);
    show(&f);
    cr_assert_eq(f.work.n_weeks, 5);
    wg_work_week(&f.work, 3, &week);
    cr_expect(week.from == 21 && week.days == 7);
    cr_expect_float_eq(week.given_wet_kg, 14, 1e-12);
    wg_work_week(&f.work, 4, &week);
    cr_expect(week.from == 28 && week.days == 2);
    cr_expect_float_eq(week.given_wet_kg, 4, 1e-12);
    close_fixture(&f);
}

Test(work, feed_every_third_day_falls_into_its_weeks) {
    struct fixture f;
    struct wg_work_week week;
    plan_laboratory(&f.plan, 27, 30);
    f.plan.feed_unlimited = false;
    plan_add(&f.plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                         .from = f.plan.first_day + 4,
                                         .to = f.plan.first_day + 20,
                                         .every = 3,
                                         .place = -1,
                                         .as.feed = {.type = wg_feed_find("pet food"), .wet_kg = 1}});
    plan_start(&f.plan, 5, WG_MOVABLE_LARVAE, 9, 1000); /* moving larvae is not feeding */
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    show(&f);
    const double given[] = {1, 3, 2, 0, 0}; /* days 4; 7, 10, 13; 16, 19 */
    for (int w = 0; w < 5; w++) {
        wg_work_week(&f.work, w, &week);
        cr_expect_float_eq(week.given_wet_kg, given[w], 1e-12, "week %d: %g", w, week.given_wet_kg);
    }
    close_fixture(&f);
}

Test(work, gives_quantiles_of_weekly_sums) {
    struct fixture f;
    struct wg_work_week week;
    open_fixture(&f, 2, 21);
    for (int k = 0; k <= 20; k++) { /* a week's sum of 7 k: quantiles 5, 50, 95 % of 0, 1, ..., 20 are 1, 10, 19 */
        fill(f.diary.feed_demand, 7, 14, k);
        fill(f.diary.crawl_off_mass, 7, 14, 0.1 * k);
        show(&f);
    }
    wg_work_week(&f.work, 1, &week);
    cr_expect_float_eq(week.wanted_dry_kg.q05, 7, 1e-12);
    cr_expect_float_eq(week.wanted_dry_kg.q50, 70, 1e-12);
    cr_expect_float_eq(week.wanted_dry_kg.q95, 133, 1e-12);
    cr_expect_float_eq(week.wanted_wet_kg.q50, 70 / (0.25 * 0.85), 1e-9,
                       "scraps: 75 %% water, 85 %% of the rest usable");
    cr_expect_float_eq(week.crawl_off_kg.q95, 13.3, 1e-9);
    wg_work_week(&f.work, 0, &week);
    cr_expect_eq(week.wanted_wet_kg.q95, 0);
    close_fixture(&f);
}

/* Pet food has 10 % water and 95 % of the rest is usable; a week without feeding takes the mix of the whole period. */
Test(work, feed_wanted_is_weighed_as_the_week_s_own_feed) {
    struct fixture f;
    struct wg_work_week week;
    plan_laboratory(&f.plan, 27, 30);
    plan_feed(&f.plan, 2);
    struct wg_action *const scraps = &f.plan.actions[f.plan.n_actions - 1];
    struct wg_action kibble = *scraps;
    scraps->to = f.plan.first_day; /* 2 kg once in the first week, 1 kg of kibble once in the third */
    kibble.from = kibble.to = f.plan.first_day + 16;
    kibble.as.feed.type = wg_feed_find("pet food");
    kibble.as.feed.wet_kg = 1;
    plan_add(&f.plan, kibble);
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0, "%s", err.text);
    fill(f.diary.feed_demand, 0, 30, 1);
    show(&f);
    const double both = (2 * 0.25 * 0.85 + 0.9 * 0.95) / 3;
    const double usable[] = {0.25 * 0.85, both, 0.9 * 0.95, both};
    for (int w = 0; w < 4; w++) {
        wg_work_week(&f.work, w, &week);
        cr_expect_float_eq(week.wanted_wet_kg.q50, 7 / usable[w], 1e-9, "week %d: %g", w, week.wanted_wet_kg.q50);
    }
    close_fixture(&f);
}

/* Kitchen scraps into the first of two bins, pet food into the second, or nothing: that wants what the first gets. */
static void expect_wanted(int bin, bool is_second_fed, double usable) {
    struct fixture f;
    struct wg_work_week week;
    plan_laboratory(&f.plan, 27, 30);
    plan_feed(&f.plan, 2);
    plan_add_place(&f.plan, WG_SHED);
    if (is_second_fed) {
        struct wg_action kibble = f.plan.actions[0];
        kibble.bin = 1;
        kibble.as.feed.type = wg_feed_find("pet food");
        plan_add(&f.plan, kibble);
    }
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0, "%s", err.text);
    for (int day = 0; day < 30; day++)
        f.diary.feed_demand[2 * day + bin] = 1;
    show(&f);
    wg_work_week(&f.work, 1, &week);
    cr_expect_float_eq(week.wanted_wet_kg.q50, 7 / usable, 1e-9, "bin %d, %d", bin, is_second_fed);
    close_fixture(&f);
}

Test(work, each_bin_wants_its_own_feed_or_that_of_the_others) {
    expect_wanted(0, true, 0.25 * 0.85);
    expect_wanted(1, true, 0.9 * 0.95);
    expect_wanted(1, false, 0.25 * 0.85);
}

/* Spring flies from September to September, every day, have no middle: they fly all winter. */
Test(work, years_with_flies_all_winter_are_counted) {
    struct fixture f;
    plan_outdoors(&f.plan, 365);
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 3, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0, "%s", err.text);
    for (int is_all_winter = 0; is_all_winter < 3; is_all_winter++) {
        f.diary.spring_emergence_50 = is_all_winter > 0 ? (double)NAN : 230;
        for (int day = 0; day < 365; day++)
            f.diary.spring_flies[day] = 1;
        show(&f);
    }
    cr_expect_eq(f.work.all_winter, 2);
    close_fixture(&f);
}

Test(work, keeps_the_first_ten_thousand_replicates_and_counts_all) {
    struct fixture f;
    open_fixture(&f, 2, 1000000);
    cr_expect_eq(f.work.capacity, 10000);
    for (int k = 0; k < 10010; k++)
        show(&f);
    cr_expect_eq(f.work.n, 10010);
    close_fixture(&f);
}

Test(work, unlimited_feed_has_no_wet_weight_and_no_faults) {
    struct fixture f;
    struct wg_work_week week;
    struct wg_work_spell spell;
    plan_laboratory(&f.plan, 27, 30);
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    fill(f.diary.feed_demand, 0, 30, 1);
    show(&f);
    wg_work_week(&f.work, 0, &week);
    cr_expect(isnan(week.given_wet_kg) && isnan(week.wanted_wet_kg.q50));
    cr_expect_float_eq(week.wanted_dry_kg.q50, 7, 1e-12);
    cr_expect_not(wg_work_spell(&f.work, WG_UNDERFED, 0, 0, &spell));
    close_fixture(&f);
}

/* The timetable's interval in whole days: 3 at 27 degC, infinite where eggs do not develop. */
Test(work, traps_are_pulled_by_the_air_of_the_week) {
    struct fixture f;
    open_fixture(&f, 2, 3);
    for (int k = 0; k < 3; k++) {
        fill(f.diary.air_temperature, 0, 30, 27 + 3 * (k - 1)); /* median 27 */
        fill(f.diary.air_temperature, 14, 21, 8);
        show(&f);
    }
    const double exact = wg_trap_interval_days(&f.plan.species, 27, WG_WORK_HATCHED);
    cr_expect_float_eq(wg_work_air_c(&f.work, 0, 0), 27, 1e-12);
    cr_expect_eq(wg_work_pull_days(&f.work, 0, 0), floor(exact), "%g of %g", wg_work_pull_days(&f.work, 0, 0), exact);
    cr_expect_eq(wg_work_pull_days(&f.work, 2, 0), HUGE_VAL);
    close_fixture(&f);
}

Test(work, traps_are_where_and_when_the_plan_sets_them) {
    struct fixture f;
    plan_laboratory(&f.plan, 27, 30);
    const int32_t first = f.plan.first_day;
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    cr_expect_not(wg_work_has_traps(&f.work, -1, 0), "a bin is no trap");
    wg_work_free(&f.work);
    plan_add(
        &f.plan,
        (struct wg_action){
            .kind = WG_ACTION_LAY_IN_TRAPS, .from = first + 10, .to = first + 13, .every = 1, .bin = -1, .place = 0});
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    cr_expect(wg_work_has_traps(&f.work, -1, 0));
    const bool wanted[] = {false, true, false, false, false}; /* days 10 to 13: the last is the last of week 1 */
    for (int w = 0; w < 5; w++)
        cr_expect_eq(wg_work_has_traps(&f.work, w, 0), wanted[w], "week %d", w);
    cr_expect_not(wg_work_has_traps(&f.work, 1, 1));
    wg_work_free(&f.work);
    wg_plan_free(&f.plan);
}

/* Of 30 years the colony lives in 21 beyond week 1, with the sums of the test of quantiles. */
Test(work, a_span_is_over_the_years_in_which_the_colony_lives) {
    struct fixture f;
    struct wg_work_span span;
    struct wg_work_bin bin;
    open_fixture(&f, 2, 30);
    for (int k = 0; k < 30; k++) {
        wg_diary_clear(&f.diary);
        f.diary.count[3 * WG_N_STAGES + WG_LARVA] = 1;
        if (k < 21) {
            f.diary.count[10 * WG_N_STAGES + WG_EGG] = f.diary.count[20 * WG_N_STAGES + WG_EGG] = 1;
            fill(f.diary.feed_demand, 7, 21, k);
            fill(f.diary.bin_crawl_off, 7, 14, 0.1 * k);
            fill(f.diary.crawl_off_mass, 7, 14, 0.1 * k);
        }
        show(&f);
    }
    wg_work_span(&f.work, 1, 1, &span);
    wg_work_bin(&f.work, 1, 1, 0, &bin);
    cr_expect_float_eq(span.alive, 0.7, 1e-12);
    cr_expect_float_eq(span.crawl_off_kg.q05, 0.7, 1e-9);
    cr_expect_float_eq(bin.crawl_off_kg.q50, 7, 1e-9);
    cr_expect_float_eq(bin.wanted_kg.q95, 133 / (0.25 * 0.85), 1e-9, "wet scraps, as above");
    cr_expect_float_eq(bin.given_wet_kg, 14, 1e-9);
    wg_work_span(&f.work, 0, 1, &span);
    cr_expect_float_eq(span.alive, 1, 1e-12);
    wg_work_span(&f.work, 3, 1, &span);
    cr_expect(span.alive == 0 && isnan(span.crawl_off_kg.q50), "nobody lives in week 3");
    close_fixture(&f);
}

/* Weeks 1 to 4 are 23 days; amounts are those of a mean week. */
Test(work, several_weeks_show_the_mean_week) {
    struct fixture f;
    struct wg_work_span span;
    struct wg_work_bin bin;
    open_fixture(&f, 2, 1);
    f.diary.count[8 * WG_N_STAGES + WG_LARVA] = 1;
    fill(f.diary.crawl_off_mass, 0, 30, 1);
    fill(f.diary.feed_demand, 10, 11, 23);
    show(&f);
    wg_work_span(&f.work, 1, 4, &span);
    wg_work_bin(&f.work, 1, 4, 0, &bin);
    cr_expect(span.from == 7 && span.days == 23);
    cr_expect_float_eq(span.alive, 1, 1e-12);
    cr_expect_float_eq(span.crawl_off_kg.q50, 7, 1e-9);
    cr_expect_float_eq(bin.given_wet_kg, 14, 1e-9);
    cr_expect_float_eq(bin.wanted_kg.q50, 7 / (0.25 * 0.85), 1e-9);
    close_fixture(&f);
}

/* A dead colony's feed lies uneaten in every year; it is no fault of the years that live. */
Test(work, faults_of_a_bin_are_those_of_the_living) {
    struct fixture f;
    struct wg_work_bin bin;
    struct wg_work_spell spell;
    open_fixture(&f, 2, 4);
    for (int k = 0; k < 4; k++) {
        wg_diary_clear(&f.diary);
        f.diary.count[8 * WG_N_STAGES + WG_LARVA] = k == 0;
        f.diary.feed_left[13] = k == 0 ? 0 : 9;
        fill(f.diary.feed_demand, 7, 14, k == 0);
        show(&f);
    }
    wg_work_bin(&f.work, 1, 1, 0, &bin);
    cr_expect(bin.has_fault[WG_UNDERFED] && !bin.has_fault[WG_OVERFED]);
    cr_expect(wg_work_spell(&f.work, WG_OVERFED, 0, 0, &spell));
    close_fixture(&f);
}

/* Underfed: eaten below half of the demand. Weeks 1 and 2 in two of three replicates, week 3 in one, week 4 in all. */
Test(work, hunger_counts_in_more_than_half) {
    struct fixture f;
    struct wg_work_spell spell;
    open_fixture(&f, 2, 3);
    for (int k = 0; k < 3; k++) {
        fill(f.diary.feed_demand, 0, 30, 1);
        fill(f.diary.feed_eaten, 0, 30, 0.5);
        if (k > 0)
            fill(f.diary.feed_eaten, 7, 21, 0.49);
        if (k == 0)
            fill(f.diary.feed_eaten, 21, 28, 0.1);
        fill(f.diary.feed_eaten, 28, 30, 0.1);
        show(&f);
    }
    cr_assert(wg_work_spell(&f.work, WG_UNDERFED, 0, 0, &spell));
    cr_expect(spell.week == 1 && spell.weeks == 2, "week %d, %d weeks", spell.week, spell.weeks);
    cr_expect_float_eq(spell.share, 2.0 / 3, 1e-12);
    cr_assert(wg_work_spell(&f.work, WG_UNDERFED, 0, 1, &spell));
    cr_expect(spell.week == 4 && spell.weeks == 1, "week %d, %d weeks", spell.week, spell.weeks);
    cr_expect_not(wg_work_spell(&f.work, WG_UNDERFED, 0, 2, &spell));
    cr_expect_not(wg_work_spell(&f.work, WG_OVERFED, 0, 0, &spell));
    close_fixture(&f);
}

/* 2 kg of scraps a day are 7 x 2 x 0.25 x 0.85 = 2.975 kg of usable dry feed a week. */
Test(work, more_than_a_week_of_feed_left_is_too_much) {
    struct fixture f;
    struct wg_work_spell spell;
    open_fixture(&f, 2, 1);
    f.diary.feed_left[6] = 2.9; /* the evening of the week's last day counts */
    f.diary.feed_left[8] = 9;
    f.diary.feed_left[13] = 3.0;
    f.diary.feed_left[20] = 3.0;
    f.diary.feed_left[27] = 2.9;
    f.diary.feed_left[29] = 2.9; /* two days, but the weekly ration */
    show(&f);
    cr_assert(wg_work_spell(&f.work, WG_OVERFED, 0, 0, &spell));
    cr_expect(spell.week == 1 && spell.weeks == 2, "week %d, %d weeks", spell.week, spell.weeks);
    cr_expect_not(wg_work_spell(&f.work, WG_OVERFED, 0, 1, &spell));
    close_fixture(&f);
}

/* 2 kg of scraps once are 2 x 0.25 x 0.85 = 0.425 kg, for four weeks; every week or every ten days, until the next. */
Test(work, one_large_load_is_no_weekly_ration) {
    static const struct {
        int every, loads;
        double ration;
    } plan[] = {{1, 1, 0.425 / 4}, {1, 2, 0.85 / 4}, {7, 5, 0.425}, {10, 4, 0.425 * 0.7}, {28, 2, 0.425 / 4}};
    for (size_t i = 0; i < sizeof plan / sizeof *plan; i++)
        for (int is_over = 0; is_over < 2; is_over++) {
            struct fixture f;
            struct wg_work_spell spell;
            plan_laboratory(&f.plan, 27, 42);
            plan_feed(&f.plan, 2);
            f.plan.actions[0].every = plan[i].every;
            f.plan.actions[0].to = f.plan.actions[0].from + (plan[i].loads - 1) * plan[i].every;
            cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
            cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
            f.diary.feed_left[6] = plan[i].ration * (is_over ? 1.01 : 0.99);
            show(&f);
            cr_expect_eq(wg_work_spell(&f.work, WG_OVERFED, 0, 0, &spell), is_over == 1, "plan %zu, %d", i, is_over);
            close_fixture(&f);
        }
}

/* The calendar of a simulated colony agrees with its diary. */
Test(work, agrees_with_a_colony_that_lived) {
    struct fixture f;
    struct wg_work_week week;
    plan_laboratory(&f.plan, 28, 60);
    plan_start(&f.plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(&f.plan, 1);
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    plan_simulate(&f.plan, 0, &f.diary);
    show(&f);
    double crawl_off = 0;
    for (int w = 0; w < f.work.n_weeks; w++) {
        wg_work_week(&f.work, w, &week);
        crawl_off += week.crawl_off_kg.q50;
    }
    cr_expect_float_eq(crawl_off, f.diary.total_crawl_off_mass, 1e-9);
    cr_expect_gt(crawl_off, 0.5);
    close_fixture(&f);
}

/* As eaten, what is given is an outcome (the quantiles of 7 k), and what lies there is not overfeeding. */
Test(work, feed_as_eaten_is_what_was_given) {
    struct fixture f;
    struct wg_work_bin bin;
    struct wg_work_week week;
    struct wg_work_spell spell;
    plan_laboratory(&f.plan, 27, 30);
    plan_feed(&f.plan, 3);
    f.plan.actions[0].as.feed.as_eaten = true;
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 21, &err), 0);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    for (int k = 0; k <= 20; k++) {
        f.diary.count[10 * WG_N_STAGES + WG_LARVA] = 1;
        fill(f.diary.feed_fresh, 7, 14, k);
        fill(f.diary.feed_left, 0, 30, 100);
        show(&f);
    }
    wg_work_week(&f.work, 1, &week);
    wg_work_bin(&f.work, 1, 1, 0, &bin);
    cr_expect_float_eq(week.given_wet_kg, 70, 1e-12);
    cr_expect_float_eq(bin.given_kg.q05, 7, 1e-12);
    cr_expect_float_eq(bin.given_wet_kg, 70, 1e-12);
    cr_expect_float_eq(bin.given_kg.q95, 133, 1e-12);
    cr_expect_not(wg_work_spell(&f.work, WG_OVERFED, 0, 0, &spell));
    close_fixture(&f);
}

/* What two moves of a day carry is summed, and years in which they carry nothing are counted. */
Test(work, moves_are_summed_by_day_and_stage) {
    struct fixture f;
    int64_t of;
    plan_laboratory(&f.plan, 27, 30);
    for (int i = 0; i < 3; i++)
        plan_add(&f.plan, (struct wg_action){.kind = WG_ACTION_MOVE,
                                             .from = f.plan.first_day + (i == 2 ? 20 : 10),
                                             .to = f.plan.first_day + (i == 2 ? 20 : 10),
                                             .every = 1});
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 21, &err), 0);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    cr_expect_eq(f.work.n_moves, 2);
    cr_expect_not(f.work.has_more_moves);
    for (int k = 0; k <= 20; k++) {
        f.diary.moved[10 * WG_N_STAGES + WG_LARVA] = k;
        show(&f);
    }
    cr_expect_float_eq(wg_work_moved(&f.work, 0, WG_LARVA).q50, 10, 1e-12);
    cr_expect_float_eq(wg_work_moved(&f.work, 0, WG_LARVA).q95, 19, 1e-12);
    cr_expect_eq(wg_work_moved(&f.work, 0, WG_EGG).q95, 0);
    cr_expect_eq(wg_work_moved_nothing(&f.work, 0, &of), 1);
    cr_expect_eq(wg_work_moved_nothing(&f.work, 1, &of), 21);
    cr_expect_eq(of, 21);
    close_fixture(&f);
}

/* Only the first are listed, which the last of them says. */
Test(work, moves_left_out_are_known) {
    struct fixture f;
    plan_laboratory(&f.plan, 27, 30);
    for (int i = 0; i <= WG_WORK_MOVES; i++) {
        const int32_t day = f.plan.first_day + 2 * i;
        plan_add(&f.plan, (struct wg_action){.kind = WG_ACTION_MOVE, .from = day, .to = day, .every = 1});
    }
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 1, &err), 0);
    cr_expect_eq(f.work.n_moves, WG_WORK_MOVES);
    cr_expect(f.work.has_more_moves);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    close_fixture(&f);
}

/* A move that waits counts on whichever of its days it is done, and other moves in its days with it. */
Test(work, a_move_that_waits_is_summed_over_its_days) {
    struct fixture f;
    int64_t of;
    plan_laboratory(&f.plan, 27, 30);
    plan_add(&f.plan, (struct wg_action){.kind = WG_ACTION_MOVE,
                                         .from = f.plan.first_day + 5,
                                         .to = f.plan.first_day + 99,
                                         .every = 1,
                                         .when = {.kind = WG_WHEN_OURS_DEAD}});
    plan_add(&f.plan,
             (struct wg_action){
                 .kind = WG_ACTION_MOVE, .from = f.plan.first_day + 20, .to = f.plan.first_day + 20, .every = 1});
    cr_assert_eq(wg_work_init(&f.work, &f.plan, 21, &err), 0);
    cr_assert_eq(wg_diary_init(&f.diary, &f.plan, &err), 0);
    cr_assert_eq(f.work.n_moves, 1);
    for (int k = 0; k <= 20; k++) { /* none in the first future, in the others on days 6 to 25 */
        for (int day = 0; day < 30; day++)
            f.diary.moved[day * WG_N_STAGES + WG_LARVA] = k > 0 && day == 5 + k ? 100 : 0;
        show(&f);
    }
    cr_expect_float_eq(wg_work_moved(&f.work, 0, WG_LARVA).q50, 100, 1e-12);
    cr_expect_eq(wg_work_moved_nothing(&f.work, 0, &of), 1);
    cr_expect_eq(f.work.move[0].from, f.plan.first_day + 5);
    cr_expect_eq(f.work.move[0].to, f.plan.last_day);
    cr_expect_eq(f.work.move[0].first, f.plan.first_day + 6);
    cr_expect_eq(f.work.move[0].last, f.plan.first_day + 25);
    close_fixture(&f);
}
