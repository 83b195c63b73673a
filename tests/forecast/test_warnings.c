/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Checks warnings on diaries written and counted by hand. */
#include "forecast/warnings.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct wg_error err;
static struct wg_plan plan;
static struct wg_warning_tally watch;
static struct wg_work work;
static struct wg_diary diary;
static struct wg_warnings found;

static const struct wg_warning *find(enum wg_warning_kind kind) {
    for (int i = 0; i < found.n; i++)
        if (found.list[i].kind == kind)
            return &found.list[i];
    return NULL;
}

static void begin(void) {
    watch.plan = &plan;
    cr_assert_eq(wg_work_init(&work, &plan, 100, &err), 0);
    cr_assert_eq(wg_diary_init(&diary, &plan, &err), 0);
    for (int i = 0; i < diary.n_days * diary.n_bins; i++)
        diary.bin_high[i] = 30;
}

static void see(void) {
    const struct wg_observer observers[] = {wg_warning_observer(&watch), wg_work_observer(&work)};
    for (int i = 0; i < 2; i++)
        cr_assert_eq(observers[i].on_replicate(observers[i].self, watch.n, &diary, &err), 0);
}

static void end(void) {
    wg_warnings_find(&found, &watch, &work);
    wg_diary_free(&diary);
    wg_work_free(&work);
    wg_plan_free(&plan);
}

/* The days below are written by hand; without wild flies nothing would live, and nothing would be warned of. */
static void open_plan(double temp_c, int n_days) {
    plan_laboratory(&plan, temp_c, n_days);
    plan.wild_peak_per_day = 1;
}

/* A mat of 60 W with a worst shortfall of 184 W needs 1.1 x 244 W = 268.4 W. One of 269 W that is short by 30 W warns too. */
Test(warnings, whatever_its_power_a_mat_that_falls_short_is_warned_of) {
    static const struct {
        double power_w, short_w, holds_w;
    } rows[] = {{60, 184, 268.4}, {269, 30, 328.9}, {269, 0, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        open_plan(27, 30);
        plan_feed(&plan, 1);
        plan.bins[0].spec.mat.power_w = rows[i].power_w;
        watch = (struct wg_warning_tally){0};
        begin();
        diary.mat_short[12] = rows[i].short_w;
        diary.power_out_hours[11] = 12; /* a power cut the day before: the shortfall does not count */
        see();
        diary.mat_short[12] = 0;
        see();
        end();
        const struct wg_warning *const mat = find(WG_WARN_MAT);
        cr_expect_eq(found.of, 2);
        cr_expect_eq(mat != NULL, rows[i].short_w > 0);
        if (mat == NULL)
            continue;
        cr_expect_eq(mat->replicates, 1);
        cr_expect_eq(mat->worst, rows[i].short_w);
        cr_expect_float_eq(mat->holds_w, rows[i].holds_w, 1e-9);
        cr_expect_str_eq(mat->about, plan.bins != NULL ? plan.bins[0].name : "tray");
    }
}

/*
 * A place is empty on a day whose evening, and the evening before, had no animal. By hand: 30 days of 4 kWh at 0.6 a day; in one
 * replicate animals live from day 10 on (days 0 to 9 are idle, 40 kWh), in the other until day 19 (days 21 to 29, 36 kWh).
 */
Test(warnings, of_energy_for_an_empty_place) {
    open_plan(27, 30);
    plan_feed(&plan, 1);
    begin();
    for (int day = 0; day < 30; day++) {
        diary.heater_energy[day] = 4;
        diary.heater_cost[day] = 0.6;
        diary.animals[day] = day >= 10;
    }
    see();
    for (int day = 0; day < 30; day++)
        diary.animals[day] = day < 20;
    see();
    end();
    const struct wg_warning *const idle = find(WG_WARN_IDLE);
    cr_assert_not_null(idle);
    cr_expect_eq(idle->replicates, 2);
    cr_expect_float_eq(idle->days, 9.5, 1e-9);
    cr_expect_float_eq(idle->kwh, 38, 1e-9);
    cr_expect_float_eq(idle->cost, 38 * 0.15, 1e-9);
    cr_expect_float_eq(idle->all_kwh, 120, 1e-9);
    cr_expect_eq(idle->months.first, 0, "all of it in January");
    cr_expect_eq(idle->months.months, 1);
}

/* Means are over the replicates in which it happened: 38 days of 40 kWh in one of two. */
Test(warnings, of_an_empty_place_in_some_replicates) {
    plan_laboratory(&plan, 27, 40);
    plan_feed(&plan, 1);
    plan.wild_peak_per_day = 1;
    watch = (struct wg_warning_tally){0};
    begin();
    for (int day = 0; day < 40; day++) {
        diary.heater_energy[day] = 40;
        diary.heater_cost[day] = 6;
        diary.animals[day] = 1;
    }
    see();
    for (int day = 0; day < 40; day++) {
        diary.heater_energy[day] = 50;
        diary.animals[day] = day < 1;
    }
    see();
    end();
    const struct wg_warning *const idle = find(WG_WARN_IDLE);
    cr_assert_not_null(idle);
    cr_expect_eq(idle->replicates, 1);
    cr_expect_float_eq(idle->days, 38, 1e-9);
    cr_expect_float_eq(idle->kwh, 38 * 50, 1e-9);
    cr_expect_float_eq(idle->cost, 38 * 6, 1e-9);
    cr_expect_float_eq(idle->all_kwh, 40 * 50, 1e-9);
}

/* A move of everything is one job: it has found animals if one of its parts has. */
Test(warnings, of_a_move_of_everything_are_judged_as_one) {
    for (int found_any = 0; found_any < 2; found_any++) {
        plan_laboratory(&plan, 27, 30);
        plan_feed(&plan, 1);
        plan.wild_peak_per_day = 1;
        for (int what = WG_MOVABLE_EGGS; what <= WG_MOVABLE_PREPUPAE; what++)
            plan_add(&plan, (struct wg_action){.kind = WG_ACTION_MOVE,
                                               .from = plan.first_day + 10,
                                               .to = plan.first_day + 10,
                                               .every = 1,
                                               .bin = what == WG_MOVABLE_PREPUPAE ? -1 : 0,
                                               .line = 7,
                                               .as.move = {.what = (enum wg_movable)what, .share = 1, .job = 1}});
        watch = (struct wg_warning_tally){0};
        begin();
        diary.count[9 * WG_N_STAGES + WG_DORMANT] = found_any;
        see();
        end();
        const struct wg_warning *const unmet = find(WG_WARN_NO_ANIMALS);
        cr_expect_eq(unmet == NULL, found_any == 1);
        int n = 0;
        for (int i = 0; i < found.n; i++)
            n += found.list[i].kind == WG_WARN_NO_ANIMALS;
        cr_expect_eq(n, 1 - found_any, "%d warnings", n);
    }
}

Test(warnings, of_little_energy_for_an_empty_place_there_are_none) {
    open_plan(27, 30);
    plan_feed(&plan, 1);
    watch = (struct wg_warning_tally){0};
    begin();
    for (int day = 0; day < 30; day++) {
        diary.heater_energy[day] = 4.5;
        diary.animals[day] = day >= 2; /* two days: 9 kWh */
    }
    see();
    end();
    cr_expect_null(find(WG_WARN_IDLE));
}

/* 12 kWh on two days, 240 and 276 kWh in all: a twentieth is enough, less is not. */
Test(warnings, of_a_small_share_of_the_energy_there_are_none) {
    for (int is_small = 0; is_small < 2; is_small++) {
        open_plan(27, 42);
        plan_feed(&plan, 1);
        watch = (struct wg_warning_tally){0};
        begin();
        for (int day = 0; day < 42; day++) {
            diary.heater_energy[day] = day < 2 ? 6 : is_small ? 6.6 : 5.7;
            diary.animals[day] = day >= 2;
        }
        see();
        end();
        cr_expect_eq(find(WG_WARN_IDLE) == NULL, is_small == 1, "%d", is_small);
    }
}

Test(warnings, of_heaters_heat_and_missing_larvae) {
    open_plan(27, 30);
    plan_feed(&plan, 1);
    plan.places[0].heater.power_w = 5000;
    begin();
    diary.heater_short[3] = 1000;
    diary.heater_short[9] = 400;
    diary.bin_high[5] = WG_WARNING_HOT_C; /* at the limit, not above it */
    diary.bin_larvae[5] = 1;
    diary.total_asked_not_there = 0.0005;
    see();
    cr_expect_eq(watch.hot[0].replicates, 0);
    cr_expect_eq(watch.scoop.replicates, 0, "half a gram is nothing");
    diary.bin_high[5] = 41;
    diary.total_asked_not_there = 0.2;
    see();
    end();
    cr_expect_eq(found.n, 3);
    cr_assert_not_null(find(WG_WARN_HEATER));
    cr_expect_eq(find(WG_WARN_HEATER)->replicates, 2);
    cr_expect_float_eq(find(WG_WARN_HEATER)->holds_w, 6600, 1e-9);
    cr_expect_eq(find(WG_WARN_HOT)->worst, 41);
    cr_expect_eq(find(WG_WARN_SCOOP)->replicates, 1);
    cr_expect_float_eq(find(WG_WARN_SCOOP)->worst, 0.2, 1e-12);
}

/* An empty bin may be as hot as it likes; with feed, residue or larvae, also such as died that day, it warns. */
Test(warnings, of_hot_bins_that_hold_something) {
    static const struct {
        int64_t larvae_before, larvae;
        double given, left, residue;
        bool is_warned_of;
    } rows[] = {{0, 0, 0, 0, 0, false},  {0, 5, 0, 0, 0, true},   {5, 0, 0, 0, 0, true},
                {0, 0, 0.1, 0, 0, true}, {0, 0, 0, 0.1, 0, true}, {0, 0, 0, 0, 0.1, true}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        watch = (struct wg_warning_tally){0};
        open_plan(27, 30);
        plan_feed(&plan, 1);
        begin();
        diary.bin_high[5] = 50;
        diary.bin_larvae[4] = rows[i].larvae_before;
        diary.bin_larvae[5] = rows[i].larvae;
        diary.feed_given[5] = rows[i].given;
        diary.feed_left[5] = rows[i].left;
        diary.residue[5] = rows[i].residue;
        see();
        end();
        cr_expect_eq(find(WG_WARN_HOT) != NULL, rows[i].is_warned_of, "row %d", (int)i);
    }
}

/* A scoop of a bin that is empty in all replicates warns; one that found larvae once, in one replicate, does not. */
Test(warnings, of_work_that_meets_nobody) {
    open_plan(27, 30);
    plan_feed(&plan, 1);
    const int32_t day = plan.first_day;
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_SCOOP,
                                       .from = day + 5,
                                       .to = day + 5,
                                       .every = 1,
                                       .place = -1,
                                       .as.scoop = {.mass_kg = -1, .share = 0.5}});
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_SCOOP,
                                       .from = day + 10,
                                       .to = day + 20,
                                       .every = 5,
                                       .place = -1,
                                       .as.scoop = {.mass_kg = -1, .share = 0.5}});
    begin();
    diary.stopped_day = -1;
    diary.first_day = day;
    see();
    diary.bin_larvae[14] = 7; /* the evening before the second of the three */
    see();
    end();
    cr_assert_eq(found.n, 1);
    cr_expect_eq(found.list[0].kind, WG_WARN_NO_ANIMALS);
    cr_expect_eq(found.list[0].from_day, day + 5);
    cr_expect(found.list[0].once && found.list[0].action == WG_ACTION_SCOOP);
}

/* Eggs and prepupae are moved on days 5 to 9; those that the evening before saw count, the other stage does not. */
Test(warnings, of_moves_that_find_no_animals) {
    static const struct {
        enum wg_stage seen;
        bool eggs_met, prepupae_met;
    } all[] = {{WG_EGG, true, false},
               {WG_PREPUPA, false, true},
               {WG_DORMANT, false, true},
               {WG_PUPA, false, true},
               {WG_LARVA, false, false}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        watch = (struct wg_warning_tally){0};
        plan_outdoors(&plan, 30);
        plan.wild_peak_per_day = 1;
        plan_add_place(&plan, WG_SHED);
        for (int what = 0; what < 2; what++)
            plan_add(&plan, (struct wg_action){.kind = WG_ACTION_MOVE,
                                               .from = plan.first_day + 5 + what,
                                               .to = plan.first_day + 9,
                                               .every = 1,
                                               .as.move = {.what = what == 0 ? WG_MOVABLE_EGGS : WG_MOVABLE_PREPUPAE,
                                                           .to_bin = 1,
                                                           .to_place = 1,
                                                           .share = 0.5}});
        begin();
        diary.stopped_day = -1;
        diary.first_day = plan.first_day;
        diary.count[7 * WG_N_STAGES + all[i].seen] = 3;
        see();
        bool vain[2] = {false, false};
        wg_warnings_find(&found, &watch, &work);
        for (int k = 0; k < found.n; k++)
            if (found.list[k].kind == WG_WARN_NO_ANIMALS)
                vain[found.list[k].from_day - plan.first_day - 5] = true;
        cr_expect(vain[0] != all[i].eggs_met && vain[1] != all[i].prepupae_met, "stage %d: in vain %d, %d",
                  (int)all[i].seen, vain[0], vain[1]);
        end();
    }
}

/* Larvae can be scooped on the day on which they are moved in; eggs moved in are no larvae. */
Test(warnings, of_a_scoop_after_a_move) {
    static const struct {
        enum wg_movable what;
        int to_bin, from, to, scooped;
        bool is_vain;
    } all[] = {{WG_MOVABLE_LARVAE, 1, 5, 5, 5, false},
               {WG_MOVABLE_LARVAE, 1, 5, 9, 8, false},
               {WG_MOVABLE_LARVAE, 1, 5, 5, 6, true},
               {WG_MOVABLE_LARVAE, 0, 5, 5, 5, true},
               {WG_MOVABLE_EGGS, 1, 5, 5, 5, true}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        watch = (struct wg_warning_tally){0};
        plan_outdoors(&plan, 30);
        plan.wild_peak_per_day = 1;
        plan_add_place(&plan, WG_SHED);
        const struct wg_action move = {.kind = WG_ACTION_MOVE,
                                       .from = plan.first_day + all[i].from,
                                       .to = plan.first_day + all[i].to,
                                       .every = 1,
                                       .bin = 1 - all[i].to_bin,
                                       .as.move = {.what = all[i].what, .to_bin = all[i].to_bin, .share = 0.5}};
        const struct wg_action scoop = {.kind = WG_ACTION_SCOOP,
                                        .from = plan.first_day + all[i].scooped,
                                        .to = plan.first_day + all[i].scooped,
                                        .every = 1,
                                        .bin = 1,
                                        .as.scoop = {.mass_kg = -1, .share = 0.5}};
        plan_add(&plan, move);
        plan_add(&plan, scoop);
        begin();
        diary.stopped_day = -1;
        diary.first_day = plan.first_day;
        see();
        wg_warnings_find(&found, &watch, &work);
        bool is_vain = false;
        for (int k = 0; k < found.n; k++)
            is_vain = is_vain || (found.list[k].kind == WG_WARN_NO_ANIMALS && found.list[k].action == WG_ACTION_SCOOP);
        cr_expect_eq(is_vain, all[i].is_vain, "case %zu", i);
        end();
    }
}

/* Underfed in weeks 0, 2, 3: three weeks, two of them in a row from day 14. A single week warns too. */
Test(warnings, of_hungry_weeks) {
    open_plan(27, 30);
    plan_feed(&plan, 1);
    const int32_t first_day = plan.first_day;
    begin();
    for (int day = 0; day < 30; day++) {
        diary.feed_demand[day] = 1;
        diary.feed_eaten[day] = day < 7 || (day >= 14 && day < 28) ? 0.4 : 0.6;
    }
    see();
    end();
    cr_assert_eq(found.n, 1);
    cr_expect_eq(found.list[0].kind, WG_WARN_UNDERFED);
    cr_expect_eq(found.list[0].weeks, 3);
    cr_expect_eq(found.list[0].longest, 2);
    cr_expect_eq(found.list[0].from_day, first_day + 14);
    cr_expect_eq(found.list[0].replicates, 1);
}

/*
 * Scraps of 25 % dry matter, 85 % of it usable, 70 kg a week, given daily, weekly or fortnightly: 14.875 kg a week of dry
 * usable feed. With 16 kg of it left at each week's end all are overfed from the fifth week, with 14 kg none; feed left
 * after the last feeding still counts.
 */
Test(warnings, of_too_much_feed_however_it_is_parted) {
    static const int every[] = {1, 7, 14};
    for (int i = 0; i < 3; i++)
        for (int much = 0; much < 2; much++) {
            open_plan(27, 98);
            plan.feed_unlimited = false;
            plan_add(&plan, (struct wg_action){
                                .kind = WG_ACTION_FEED,
                                .from = plan.first_day,
                                .to = plan.first_day + 69,
                                .every = every[i],
                                .place = -1,
                                .as.feed = {.type = wg_feed_find("kitchen scraps"), .wet_kg = 10.0 * every[i]}});
            watch = (struct wg_warning_tally){0};
            begin();
            for (int day = 28; day < 98; day++)
                diary.feed_left[day] = much ? 16 : 14;
            see();
            end();
            const struct wg_warning *const over = find(WG_WARN_OVERFED);
            cr_expect_eq(over != NULL, much == 1, "every %d days", every[i]);
            if (over != NULL)
                cr_expect_eq(over->longest, 10, "every %d days: %d weeks in a row", every[i], over->longest);
            if (over != NULL) /* fed last on day 69, 63 or 56; weeks that end on day 98, and on day 91 of the last */
                cr_expect_eq(over->unfed, every[i] == 14 ? 2 : 1, "every %d days: %d weeks", every[i], over->unfed);
        }
}

Test(warnings, cautions_are_called_for_by_the_plan) {
    plan_outdoors(&plan, 30);
    plan.feed_unlimited = false;
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_NOTHING));
    plan.wild_peak_per_day = 1;
    for (int c = 0; c < WG_N_CAUTIONS; c++)
        cr_expect_not(wg_caution_applies(&plan, (enum wg_caution)c), "%d", c);
    plan.wild_peak_per_day = 0;
    plan_start(&plan, 9, WG_MOVABLE_EGGS, 0, 100); /* 20 days before the last */
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_SHORT));
    plan.last_day++;
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_SHORT));
    plan.last_day--;
    const int n_actions = plan.n_actions;
    plan_start(&plan, 9, WG_MOVABLE_LARVAE, 5, 100); /* 25 days old on the last */
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_SHORT));
    plan.n_actions = n_actions;
    plan_start(&plan, 20, WG_MOVABLE_PREPUPAE, 0, 100); /* flies soon */
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_SHORT));
    plan.sales.residue_kg = (struct wg_price){true, 0.1};
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_RESIDUE));
    plan_add(&plan,
             (struct wg_action){.kind = WG_ACTION_CLEAR, .from = plan.first_day, .to = plan.first_day, .every = 1});
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_RESIDUE));
    wg_shelter_defaults(&plan.places[0].shelter, WG_SHED);
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_DARK));
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_POWER));
    plan.places[0].shelter.lamp_hours = 12; /* lamps without a heater need the caution too */
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_POWER));
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_DARK));
    plan.places[0].shelter.lamp_hours = 0;
    plan.bins[0].spec.mat.power_w = 20;
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_POWER));
    plan_collect(&plan, 0.5);
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_LAW));
    wg_shelter_defaults(&plan.places[0].shelter, WG_ROOM);
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_DARK_ROOM));
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_FOOD));
    plan.places[0].shelter.light_through = 0.5; /* behind the glass of a sunny window */
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_DARK_ROOM));
    wg_shelter_defaults(&plan.places[0].shelter, WG_REFRIGERATOR);
    cr_expect(wg_caution_applies(&plan, WG_CAUTION_FOOD));
    cr_expect_not(wg_caution_applies(&plan, WG_CAUTION_DARK_ROOM));
    wg_plan_free(&plan);
}

/* One energy source without a price, or lamps without a power, make the cost unknown. */
Test(warnings, a_cost_needs_a_price_of_all_that_draws_power) {
    struct wg_source source;
    plan_outdoors(&plan, 30);
    wg_shelter_defaults(&plan.places[0].shelter, WG_SHED);
    cr_expect(wg_plan_has_cost(&plan, &source), "nothing draws power");
    plan.places[0].heater = (struct wg_heater_spec){.power_w = 1000, .efficiency = 1, .price_per_kwh = 0.1};
    plan.bins[0].spec.mat.power_w = 50;
    plan.bins[0].spec.mat.price_per_kwh = (double)NAN;
    cr_expect_not(wg_plan_has_cost(&plan, &source));
    cr_expect(source.kind == WG_SOURCE_MAT && source.has_power && !source.has_price);
    cr_expect_str_eq(source.where, plan.bins[0].name);
    plan.bins[0].spec.mat.price_per_kwh = 0; /* a price of 0 is a known price */
    cr_expect(wg_plan_has_cost(&plan, &source));
    plan.places[0].shelter.lamp_hours = 12;
    plan.places[0].shelter.lamp_power_w = (double)NAN;
    cr_expect_not(wg_plan_has_cost(&plan, &source));
    cr_expect(source.kind == WG_SOURCE_LAMPS && !source.has_power);
    wg_plan_free(&plan);
}
