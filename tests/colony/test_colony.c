/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The colony as a whole: individuals are conserved, the same stream gives the same run,
 * actions have their effect.
 */
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static int64_t alive_on(const struct wg_diary *diary, int day) {
    int64_t sum = 0;
    for (int s = 0; s < WG_N_STAGES; s++)
        sum += diary->count[day * WG_N_STAGES + s];
    return sum;
}

static double sum_of(const double *values, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum;
}

Test(colony, same_stream_same_life) {
    struct wg_plan plan;
    plan_outdoors(&plan, 300);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    plan_feed(&plan, 1.4);
    struct wg_diary a, b, c;
    plan_simulate(&plan, 3, &a);
    plan_simulate(&plan, 3, &b);
    plan_simulate(&plan, 4, &c);
    const size_t bytes = (size_t)a.n_days * WG_N_STAGES * sizeof *a.count;
    cr_expect_eq(memcmp(a.count, b.count, bytes), 0);
    cr_expect_neq(memcmp(a.count, c.count, bytes), 0, "another replicate must differ");
    wg_diary_free(&a);
    wg_diary_free(&b);
    wg_diary_free(&c);
    wg_plan_free(&plan);
}

Test(colony, generations_add_up_to_the_count) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 200);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 2000);
    plan_feed(&plan, 1);
    struct wg_diary diary;
    plan_simulate(&plan, 0, &diary);
    for (int row = 0; row < diary.n_days * WG_N_STAGES; row++) {
        int64_t sum = 0;
        for (int g = 0; g < diary.n_generations; g++)
            sum += wg_diary_living(&diary, row / WG_N_STAGES, (enum wg_stage)(row % WG_N_STAGES), g);
        cr_assert_eq(sum, diary.count[row]);
    }
    cr_expect_gt(diary.total_eggs_laid, 0);
    wg_diary_free(&diary);
    wg_plan_free(&plan);
}

/* started + laid = alive + dead + taken + flown; the ledger asserts it every step, and the diary must agree */
Test(colony, diary_balances_individuals_and_feed) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 150);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 5000);
    plan_feed(&plan, 1);
    plan_collect(&plan, 0.5);
    struct wg_diary d;
    plan_simulate(&plan, 1, &d);
    int64_t laid = 0, dead = 0, taken = 0;
    for (int day = 0; day < d.n_days; day++) {
        laid += d.eggs_laid[day];
        taken += d.harvest_count[day];
        for (int c = 0; c < WG_N_CAUSES; c++)
            dead += d.deaths[day * WG_N_CAUSES + c];
        cr_assert_eq(5000 + laid, alive_on(&d, day) + dead + taken, "day %d", day);
    }
    cr_expect_gt(taken, 0);
    /* usable share of kitchen scraps' dry matter: eaten + microbes + left */
    const struct wg_feed_type *const scraps = &wg_feed_types()[wg_feed_find("kitchen scraps")];
    const double given = sum_of(d.feed_given, d.n_days) * scraps->usable;
    const double gone = sum_of(d.feed_eaten, d.n_days) + sum_of(d.feed_microbes, d.n_days) + d.feed_left[d.n_days - 1];
    cr_expect_float_eq(given, gone, 1e-9 * given);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/*
 * started + laid + wild = alive + dead + taken + flown on every day, from the diary alone, with everything switched on
 */
Test(colony, diary_is_a_ledger) {
    struct wg_plan plan;
    plan_outdoors(&plan, 700);
    plan.wild_peak_per_day = 3;
    plan.mishaps =
        (struct wg_mishaps){.raids_per_year = 4, .raid_share = 0.3, .power_cuts_per_year = 2, .power_cut_hours = 9};
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
    plan_start(&plan, 100, WG_MOVABLE_PREPUPAE, 0, 800);
    plan_feed(&plan, 1);
    plan_collect(&plan, 0.5);
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                       .from = plan.first_day,
                                       .to = plan.last_day,
                                       .every = 1,
                                       .bin = -1,
                                       .as.traps = {.share = 0.5}});
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_PULL_TRAPS,
                                       .from = plan.first_day,
                                       .to = plan.last_day,
                                       .every = 3,
                                       .bin = -1,
                                       .as.pull = {.put_in = -1}});
    struct wg_diary d;
    plan_simulate(&plan, 2, &d);
    int64_t in = 0, out = 0;
    for (int day = 0; day < d.n_days; day++) {
        in += d.put_in[day] + d.eggs_laid[day] + d.wild_eggs[day];
        out += d.harvest_count[day] + d.eggs_taken[day] + d.flown[day];
        for (int c = 0; c < WG_N_CAUSES; c++)
            out += d.deaths[day * WG_N_CAUSES + c];
        cr_assert_eq(in, alive_on(&d, day) + out, "day %d", day);
    }
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

Test(colony, shorter_steps_tell_the_same_story) {
    double emerged[4] = {0}, crawl_off[4] = {0};
    const int steps[4] = {1, 2, 4, 24};
    for (int i = 0; i < 4; i++) {
        struct wg_plan plan;
        plan_outdoors(&plan, 330);
        plan.steps_per_day = steps[i];
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
        plan_feed(&plan, 1.4);
        for (uint64_t k = 0; k < 10; k++) {
            struct wg_diary d;
            plan_simulate(&plan, k, &d);
            emerged[i] += isnan(d.first_adult_day) ? 0 : d.first_adult_day / 10;
            crawl_off[i] += d.total_crawl_off_mass / 10;
            wg_diary_free(&d);
        }
        wg_plan_free(&plan);
    }
    /*
     * The same years, so only the steps differ. The first of thousands of flies is the fastest, and a daily step
     * delays it by up to half a day in each of five stages: 2.5 days. A tenth of the crawl-off: judgement.
     */
    for (int i = 1; i < 4; i++) {
        cr_expect_float_eq(emerged[i], emerged[0], 2.5, "first adult %g against %g", emerged[i], emerged[0]);
        cr_expect_float_eq(crawl_off[i], crawl_off[0], 0.1 * crawl_off[0], "%g against %g", crawl_off[i], crawl_off[0]);
    }
}

Test(colony, unlimited_growth_stops_and_says_when) {
    struct wg_plan plan;
    plan_laboratory(&plan, 30, 1500);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 100000);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    cr_expect_gt(d.stopped_day, plan.first_day + 200);
    cr_expect_lt(d.stopped_day, plan.last_day);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

Test(colony, mishaps_do_not_depend_on_what_else_happens) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 365);
    plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 12, .power_cut_hours = 5};
    struct wg_diary a, b;
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 10);
    plan_feed(&plan, 1);
    plan_simulate(&plan, 7, &a);
    plan.mishaps.raids_per_year = 3;
    plan_start(&plan, 5, WG_MOVABLE_LARVAE, 5, 5000);
    plan_simulate(&plan, 7, &b);
    cr_expect_eq(memcmp(a.power_out_hours, b.power_out_hours, (size_t)a.n_days * sizeof(double)), 0);
    cr_expect_gt(sum_of(a.power_out_hours, a.n_days), 0);
    wg_diary_free(&a);
    wg_diary_free(&b);
    wg_plan_free(&plan);
}

/*
 * A cut every day, from a random hour and 20 hours long: the part that reaches into the next day is kept when the next
 * cut begins. The hours are reconstructed from the stream of mishaps: the second of the four numbers of a day is the
 * hour.
 */
Test(colony, a_power_cut_lasts_over_midnight) {
    const int lasts_h = 20, days = 60;
    struct wg_plan plan;
    plan_laboratory(&plan, 28, days);
    plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 1e6, .power_cut_hours = lasts_h};
    bool out[60 * 24 + 48] = {false};
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, plan.seed, 0, WG_PURPOSE_MISHAPS);
    for (int day = 0; day < days; day++) {
        double u[4];
        for (int i = 0; i < 4; i++)
            u[i] = wg_uniform(rng);
        for (int h = 0; h < lasts_h; h++)
            out[24 * day + (int)(24 * u[1]) + h] = true;
    }
    gsl_rng_free(rng);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    for (int day = 0; day < days; day++) {
        int hours = 0;
        for (int h = 0; h < 24; h++)
            hours += out[24 * day + h];
        cr_expect_eq(d.power_out_hours[day], hours, "day %d: %g hours, not %d", day, d.power_out_hours[day], hours);
    }
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

Test(colony, taking_more_than_there_is_takes_what_there_is) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 30);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 10, 1000);
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_SCOOP,
                                       .from = plan.first_day + 5,
                                       .to = plan.first_day + 5,
                                       .every = 1,
                                       .place = -1,
                                       .as.scoop = {.mass_kg = 100, .share = -1}});
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    cr_expect_gt(d.harvest_count[5], 800); /* some died or crawled off before */
    cr_expect_eq(d.count[5 * WG_N_STAGES + WG_LARVA], 0);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

Test(colony, traps_hold_eggs_until_pulled) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 60);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                       .from = plan.first_day,
                                       .to = plan.last_day,
                                       .every = 1,
                                       .bin = -1,
                                       .as.traps = {.share = 1}});
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_PULL_TRAPS,
                                       .from = plan.first_day,
                                       .to = plan.last_day,
                                       .every = 2,
                                       .bin = -1,
                                       .as.pull = {.put_in = -1}});
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    int64_t laid = 0, trapped = 0, larvae = 0;
    for (int day = 0; day < d.n_days; day++) {
        laid += d.eggs_laid[day];
        trapped += d.eggs_trapped[day];
        larvae += d.count[day * WG_N_STAGES + WG_LARVA];
        /* pulled in the morning of every other day: in the evening only that day's eggs are left */
        if (day % 2 == 0)
            cr_expect_leq(d.eggs_in_traps[day], d.eggs_trapped[day]);
    }
    cr_expect_gt(laid, 10000);
    cr_expect_eq(laid, trapped);
    cr_expect_eq(larvae, 0, "eggs carried off every second day hatch elsewhere");
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* On days of sleep's length all sleep in ground that is cooler than the threshold over seven days, and none in warmer. */
Test(colony, sleep_goes_by_a_week_of_the_ground) {
    for (int cool = 0; cool < 2; cool++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 25); /* September: the ground has some 25 degC */
        plan.species.dorm_day_h = 24;
        plan.species.dorm_temp_c = cool ? 40 : 10;
        plan.species.dorm_temp_scale = 0.1;
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 18, 2000);
        plan_simulate(&plan, 0, &d);
        int64_t crawled = 0, sleep = 0, awake = 0;
        for (int day = 0; day < 25; day++) {
            crawled += d.crawl_off_count[day];
            sleep += d.count[day * WG_N_STAGES + WG_DORMANT];
            awake += d.count[day * WG_N_STAGES + WG_PREPUPA];
        }
        cr_expect_gt(crawled, 200);
        cr_expect((sleep > 0) == cool && (awake > 0) != cool, "%lld asleep and %lld awake", (long long)sleep,
                  (long long)awake);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
}

/*
 * At 16.5 degC nothing dies of cold (species->cold_limit_c is 16), nearly all prepupae go dormant if only cold counts, and
 * none wake within 50 days, for days below 15 degC are missing. So of n that sleep n exp(-50 h) are left: by hand, with
 * the dormant hazard h, whatever that of the awake. By day length none sleep, for a laboratory is lit day and night.
 */
Test(colony, dormant_prepupae_die_at_their_own_rate) {
    for (int by_cold = 0; by_cold < 2; by_cold++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 16.5, 50);
        plan.species.dorm_by_day = !by_cold;
        plan.species.dorm_by_cold_c = 22;
        plan.species.hazard[WG_CLOCK_PREPUPA] = 0.1;
        plan.species.dormant_hazard = 0.004;
        plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000000);
        plan_simulate(&plan, 0, &d);
        const double asleep = (double)d.count[(ptrdiff_t)49 * WG_N_STAGES + WG_DORMANT];
        const double sleeping = 1e6 / (1 + exp((16.5 - plan.species.dorm_by_cold_c) / plan.species.dorm_temp_scale));
        /* six standard errors: false alarm below 1e-8 */
        const double want = by_cold ? sleeping * exp(-0.004 * 50) : 0;
        cr_expect_float_eq(asleep, want, 6 * sqrt(want * 0.2), "%g, not %g", asleep, want);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
}

/*
 * Prepupae reared at 20 degC in lit laboratories pupate without a rest (Chia et al. 2018, PLoS ONE 13:e0206097, abstract), so
 * if only cold counts, hardly any may sleep there: at most one in twenty (judgement; of 20,000 the model sends 2.9 %).
 */
Test(colony, by_cold_only_none_rest_in_a_laboratory_at_20_degrees) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 20, 60);
    plan.species.dorm_by_day = 0;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 20000);
    plan_simulate(&plan, 0, &d);
    cr_expect_lt(d.count[WG_DORMANT], 1000);
    int64_t flies = 0;
    for (int day = 0; day < 60; day++)
        flies += d.adults_emerged[day];
    cr_expect_gt(flies, 10000, "%lld flies within sixty days", (long long)flies);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* Outdoors prepupae overwinter (common practice): those of the end of November sleep in January. */
Test(colony, by_cold_only_prepupae_sleep_through_the_winter_outdoors) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 120);
    plan.species.dorm_by_day = 0;
    plan_start(&plan, 75, WG_MOVABLE_PREPUPAE, 0, 10000);
    plan_simulate(&plan, 0, &d);
    const int64_t *const january = d.count + (ptrdiff_t)112 * WG_N_STAGES;
    cr_expect_gt(january[WG_DORMANT], 1000);
    cr_expect_lt(20 * (january[WG_PREPUPA] + january[WG_PUPA]), january[WG_DORMANT],
                 "%lld prepupae, %lld pupae, %lld asleep", (long long)january[WG_PREPUPA], (long long)january[WG_PUPA],
                 (long long)january[WG_DORMANT]);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* A heater far too weak for its set point always draws its 10 W, except while the power is out: energy is power times time. */
Test(colony, a_heater_draws_nothing_while_the_power_is_out) {
    const int steps[] = {1, 24};
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 40);
        plan.first_day += 90; /* December */
        plan.last_day += 90;
        plan.steps_per_day = steps[i];
        plan_add_place(&plan, WG_SHED);
        plan.places[1].heater = (struct wg_heater_spec){
            .power_w = 10, .set_point_c = 26, .efficiency = 1, .price_per_kwh = (double)NAN, .season = WG_ALL_YEAR};
        plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 200, .power_cut_hours = 7};
        plan_simulate(&plan, 0, &d);
        cr_expect_gt(sum_of(d.power_out_hours, d.n_days), 50);
        for (int day = 0; day < d.n_days; day++)
            cr_expect_float_eq(d.heater_energy[2 * day + 1], 0.010 * (24 - d.power_out_hours[day]), 1e-9,
                               "%d steps, day %d: %g kWh, %g hours without power", steps[i], day,
                               d.heater_energy[2 * day + 1], d.power_out_hours[day]);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
}

/*
 * Two power cuts a year: 4,000 in 2,000 years of 365.25 days (Poisson: 5 standard deviations are 316, a false alarm
 * once in a million). Cuts last one hour, so each is one hour without mains; a year of 304 days would give 4,800.
 */
Test(colony, power_cuts_come_as_often_as_said) {
    enum { DAYS = 36525, REPLICATES = 20 };
    struct wg_plan plan;
    plan_laboratory(&plan, 5, DAYS);
    plan.mishaps = (struct wg_mishaps){.power_cuts_per_year = 2, .power_cut_hours = 1};
    double hours = 0;
    for (uint64_t k = 0; k < REPLICATES; k++) {
        struct wg_diary d;
        plan_simulate(&plan, k, &d);
        hours += sum_of(d.power_out_hours, DAYS);
        wg_diary_free(&d);
    }
    cr_expect_float_eq(hours, 4000, 316, "%g cuts", hours);
    wg_plan_free(&plan);
}

/*
 * Sixteen warm years: generations stay distinct to the end. Their overlap grows with the variance of birth times over
 * many generations (about with the square root of time), and does not collapse when numbers are reused after ten
 * years.
 */
Test(colony, generations_are_told_apart_for_many_years) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 16 * 365);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 500);
    plan_feed(&plan, 0.3);
    plan_simulate(&plan, 0, &d);
    cr_expect_eq(d.n_generations, 64);
    double mean[16] = {0};
    int most = 0;
    for (int day = 0; day < d.n_days; day++) {
        int there = 0;
        mean[day / 365] += wg_diary_overlap(&d, day) / 365;
        for (int g = 0; g < d.n_generations; g++)
            for (int s = 0; s < WG_N_STAGES; s++)
                if (wg_diary_living(&d, day, (enum wg_stage)s, g) > 0) {
                    there++;
                    break;
                }
        most = there > most ? there : most;
    }
    cr_expect_gt(mean[6], 2.5);
    for (int year = 10; year < 16; year++)
        cr_expect_gt(mean[year], mean[6], "year %d: %g, year 6: %g", year, mean[year], mean[6]);
    cr_expect_lt(most, 40, "%d at once: far from using a number twice", most);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}
