/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Every action of the keeper: its effect on the diary and on the balance of individuals and feed. (The colony asserts
 * its balance every step; here the diary must agree.) Expected numbers are hand calculations, the plan's own shares,
 * or closed forms of the species (see the headers). A share of n individuals is binomial: 5 standard errors (false
 * alarm below one in a million each), with fixed seeds.
 */
#include "colony/cohort.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TestSuite(actions);

/* ---- plans ---- */

/* A second bin in the first place. */
static void add_bin(struct wg_plan *plan) {
    plan->bins = realloc(plan->bins, 2 * sizeof *plan->bins);
    cr_assert(plan->bins != NULL);
    plan->bins[1] = plan->bins[0];
    strcpy(plan->bins[1].name, "other");
    plan->n_bins = 2;
}

/* An action on days from..to, every n days; bin and place 0 by default. */
static struct wg_action on_days(const struct wg_plan *plan, enum wg_action_kind kind, int from, int to, int every) {
    return (struct wg_action){
        .kind = kind, .from = plan->first_day + from, .to = plan->first_day + to, .every = every, .bin = 0, .place = 0};
}

static void scoop(struct wg_plan *plan, int day, double mass_kg, double share) {
    struct wg_action action = on_days(plan, WG_ACTION_SCOOP, day, day, 1);
    action.as.scoop.mass_kg = mass_kg;
    action.as.scoop.share = share;
    plan_add(plan, action);
}

static void traps(struct wg_plan *plan, double share) {
    struct wg_action action = on_days(plan, WG_ACTION_LAY_IN_TRAPS, 0, 1000, 1);
    action.as.traps.share = share;
    plan_add(plan, action);
}

static void pull(struct wg_plan *plan, int from, int every, int put_in) {
    struct wg_action action = on_days(plan, WG_ACTION_PULL_TRAPS, from, 1000, every);
    action.as.pull.put_in = put_in;
    plan_add(plan, action);
}

static void move(struct wg_plan *plan, int day, enum wg_movable what, double share) {
    struct wg_action action = on_days(plan, WG_ACTION_MOVE, day, day, 1);
    action.as.move.what = what;
    action.as.move.to_bin = action.as.move.to_place = 1;
    action.as.move.share = share;
    plan_add(plan, action);
}

/* ---- diaries ---- */

static int64_t alive_of(const struct wg_diary *d, int day, enum wg_stage stage) {
    return d->count[day * WG_N_STAGES + stage];
}

static int64_t sum_counts(const int64_t *values, int n) {
    int64_t sum = 0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum;
}

static double sum_reals(const double *values, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += values[i];
    return sum;
}

/* Started + laid + wild eggs = alive + dead + taken + flown, on every day. */
static void assert_nobody_lost(const struct wg_diary *d) {
    int64_t in = 0, out = 0;
    for (int day = 0; day < d->n_days; day++) {
        in += d->put_in[day] + d->eggs_laid[day] + d->wild_eggs[day];
        out += d->harvest_count[day] + d->eggs_taken[day] + d->flown[day] +
               sum_counts(d->deaths + day * WG_N_CAUSES, WG_N_CAUSES);
        cr_assert_eq(in, out + sum_counts(d->count + day * WG_N_STAGES, WG_N_STAGES), "day %d", day);
    }
}

static void live(struct wg_plan *plan, struct wg_diary *d) {
    plan_simulate(plan, 0, d);
    assert_nobody_lost(d);
}

static void done(struct wg_plan *plan, struct wg_diary *d) {
    wg_diary_free(d);
    wg_plan_free(plan);
}

/* 5 standard errors of a binomial count. */
static double errors(double n, double share) {
    return 5 * sqrt(n * share * (1 - share)) + 1e-9;
}

/* ---- starters ---- */

static void start_by_weight(struct wg_plan *plan, enum wg_movable what, double age_days, double kg) {
    struct wg_action action = on_days(plan, WG_ACTION_START, 2, 2, 1);
    action.as.start.what = what;
    action.as.start.age_days = age_days;
    action.as.start.count = -1;
    action.as.start.mass_kg = kg;
    plan_add(plan, action);
}

Test(actions, a_starter_by_count_is_there_on_its_day) {
    static const enum wg_movable what[] = {WG_MOVABLE_EGGS, WG_MOVABLE_LARVAE, WG_MOVABLE_PREPUPAE};
    static const enum wg_stage stage[] = {WG_EGG, WG_LARVA, WG_PREPUPA};
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 10);
        plan_immortal(&plan);
        plan_start(&plan, 2, what[i], what[i] == WG_MOVABLE_LARVAE ? 5 : 0, 1000);
        live(&plan, &d);
        cr_expect_eq(d.put_in[2], 1000);
        cr_expect_eq(sum_counts(d.count + 1 * WG_N_STAGES, WG_N_STAGES), 0, "nobody before");
        cr_expect_eq(alive_of(&d, 2, stage[i]), 1000);
        done(&plan, &d);
    }
}

/* Eggs of 25 microgram, prepupae of 0.2 g (species/): a pound of prepupae is 2268. */
Test(actions, a_starter_by_weight_is_counted) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 5);
    start_by_weight(&plan, WG_MOVABLE_EGGS, 0, 0.001);
    live(&plan, &d);
    cr_expect_eq(d.put_in[2], 40000);
    done(&plan, &d);

    plan_laboratory(&plan, 27, 5);
    start_by_weight(&plan, WG_MOVABLE_PREPUPAE, 0, 0.45359237);
    live(&plan, &d);
    cr_expect_eq(d.put_in[2], 2268);
    done(&plan, &d);

    plan_laboratory(&plan, 27, 5);
    plan.feed_unlimited = false; /* hungry: in the evening they have the mass they had when stocked */
    start_by_weight(&plan, WG_MOVABLE_LARVAE, 10, 1);
    live(&plan, &d);
    cr_expect_gt(d.put_in[2], 5000);
    /* larvae of ten days, an eighth to a quarter of the final mass, starve at 0.02 x 8^(1/4) = 3.4 % a day at most,
     * background takes 0.7 % */
    cr_expect_float_eq(d.bin_larval_mass[2], exp(-0.04), 0.01, "%g kg", d.bin_larval_mass[2]);
    done(&plan, &d);
}

/* Well-fed larvae take 22 d at 27 degC (species/): older ones crawl off sooner by the difference in age. */
Test(actions, older_larvae_crawl_off_sooner) {
    double half[2];
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 40);
        plan_immortal(&plan);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, i == 0 ? 2 : 10, 100000);
        live(&plan, &d);
        int day = 0;
        for (int64_t crawled = 0; crawled < 50000; day++)
            crawled += d.crawl_off_count[day];
        half[i] = day;
        done(&plan, &d);
    }
    cr_expect_float_eq(half[0] - half[1], 8, 1, "%g and %g d", half[0], half[1]); /* whole days */
}

/* ---- feed ---- */

/* Every 3 days from day 5 to day 16: days 5, 8, 11, 14. 4 kg of scraps are 1 kg dry, 0.85 kg usable (plan/feed.c). */
Test(actions, feed_comes_every_n_days_in_its_season) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 30);
    plan.feed_unlimited = false;
    struct wg_action action = on_days(&plan, WG_ACTION_FEED, 5, 16, 3);
    action.as.feed.type = wg_feed_find("kitchen scraps");
    action.as.feed.wet_kg = 4;
    plan_add(&plan, action);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 1000);
    live(&plan, &d);
    for (int day = 0; day < 30; day++)
        cr_expect_float_eq(d.feed_given[day], day >= 5 && day <= 16 && (day - 5) % 3 == 0 ? 1 : 0, 1e-12, "day %d",
                           day);
    const double gone = d.total_feed_eaten + sum_reals(d.feed_microbes, 30) + d.feed_left[29];
    cr_expect_float_eq(gone, 4 * 0.85, 1e-9);
    done(&plan, &d);
}

/* Larvae with more feed grow more, and cannot eat more than there is. */
Test(actions, feed_feeds) {
    double kg[3];
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 12);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
        plan_feed(&plan, 0.3 * i);
        live(&plan, &d);
        kg[i] = d.bin_larval_mass[11];
        for (int day = 0; day < 12; day++)
            cr_expect_leq(d.feed_eaten[day], d.feed_demand[day] + 1e-12);
        done(&plan, &d);
    }
    cr_expect(kg[0] < kg[1] && kg[1] < kg[2], "%g, %g, %g kg", kg[0], kg[1], kg[2]);
}

/* Kitchen scraps as eaten, every n days, at most so much (HUGE_VAL: no limit). */
static void feed_as_eaten(struct wg_plan *plan, int every, double most_kg) {
    plan->feed_unlimited = false;
    struct wg_action action = on_days(plan, WG_ACTION_FEED, 0, 1000, every);
    action.as.feed.type = wg_feed_find("kitchen scraps");
    action.as.feed.wet_kg = most_kg;
    action.as.feed.as_eaten = true;
    plan_add(plan, action);
}

/*
 * Larvae that die of nothing eat the dry matter they gain over its conversion (species/growth.h), whatever the keeper's
 * interval, if he gives what they will eat; microbes take part of what lies for a week (5 % a day at 27 degC, species/).
 */
Test(actions, as_eaten_gives_what_they_eat) {
    for (int every = 1; every <= 7; every += 6) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 42);
        plan_immortal(&plan);
        plan.species.laying_share_lamps = 0;
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 0, 5000);
        feed_as_eaten(&plan, every, HUGE_VAL);
        live(&plan, &d);
        const double gained_kg = d.total_crawl_off_mass + d.bin_larval_mass[41];
        const double needed_kg = gained_kg * plan.species.larva_dry / plan.species.conversion;
        cr_expect_float_eq(d.total_feed_eaten, needed_kg, 0.01 * needed_kg, "%g of %g kg", d.total_feed_eaten,
                           needed_kg);
        cr_expect_float_eq(d.mean_grub_mass, 1000 * plan.species.final_mass_g, every == 1 ? 2 : 10, "%g mg",
                           d.mean_grub_mass);
        const double usable_kg = 0.25 * 0.85 * d.total_feed_fresh;
        cr_expect(usable_kg >= d.total_feed_eaten && usable_kg < (every == 1 ? 1.02 : 1.3) * d.total_feed_eaten,
                  "%g kg given, %g eaten", usable_kg, d.total_feed_eaten);
        for (int day = 0; day < 42; day++)
            cr_expect(day % every == 0 || d.feed_fresh[day] == 0, "day %d", day);
        done(&plan, &d);
    }
}

Test(actions, as_eaten_keeps_to_its_limit) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 30);
    plan_start(&plan, 3, WG_MOVABLE_LARVAE, 5, 20000);
    feed_as_eaten(&plan, 1, 1.5);
    live(&plan, &d);
    int full = 0;
    for (int day = 0; day < 30; day++) {
        cr_expect(d.feed_fresh[day] <= 1.5 && (day >= 3 || d.feed_fresh[day] <= 0.05), "%g kg on day %d",
                  d.feed_fresh[day], day);
        /* the limit is given in full only while they could eat it: 1.5 kg of scraps have 1.5 x 0.25 x 0.85 kg */
        full += d.feed_fresh[day] >= 1.5;
        cr_expect(d.feed_fresh[day] < 1.5 || d.feed_demand[day] > 0.95 * 1.5 * 0.25 * 0.85, "day %d", day);
    }
    cr_expect_geq(full, 5);
    done(&plan, &d);
}

/* Crawl-off with feed as eaten (fresh_kg: what was given), over that of larvae that eat without limit. */
static double share_of_unlimited(int steps_per_day, double *fresh_kg) {
    double grubs_kg[2];
    for (int unlimited = 0; unlimited < 2; unlimited++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 50);
        plan.steps_per_day = steps_per_day;
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 2, 20000);
        if (!unlimited)
            feed_as_eaten(&plan, 2, 8);
        live(&plan, &d);
        *(unlimited ? &grubs_kg[1] : &grubs_kg[0]) = d.total_crawl_off_mass;
        *fresh_kg = unlimited ? *fresh_kg : d.total_feed_fresh;
        done(&plan, &d);
    }
    return grubs_kg[0] / grubs_kg[1];
}

/* In changing weather the number of steps makes no more difference as eaten than without limit, chance apart (0.7 %). */
Test(actions, as_eaten_is_the_same_in_any_step) {
    double first_kg, fresh_kg;
    const double first = share_of_unlimited(1, &first_kg);
    static const int steps[] = {2, 4, 24};
    for (int i = 0; i < 3; i++) {
        cr_expect_float_eq(share_of_unlimited(steps[i], &fresh_kg), first, 0.02, "%d steps", steps[i]);
        cr_expect_float_eq(fresh_kg, first_kg, 0.03 * first_kg, "%g and %g kg", fresh_kg, first_kg);
    }
}

Test(actions, residue_is_cleared_by_share) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 20);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
    plan_feed(&plan, 1);
    plan.actions[plan.n_actions - 1].to = plan.first_day + 9;
    struct wg_action action = on_days(&plan, WG_ACTION_CLEAR, 18, 18, 1);
    action.as.clear.share = 0.8;
    plan_add(&plan, action);
    live(&plan, &d);
    cr_expect_gt(d.residue[17], 0.5);
    cr_expect_float_eq(d.residue[18], 0.2 * d.residue[17], 0.02, "%g after %g kg", d.residue[18], d.residue[17]);
    cr_expect_float_eq(d.feed_left[18], d.feed_left[17], 0.1 * d.feed_left[17] + 0.05, "feed stays");
    done(&plan, &d);
}

/* ---- traps ---- */

static void laying_colony(struct wg_plan *plan, int days) {
    plan_laboratory(plan, 28, days);
    plan_start(plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
}

Test(actions, traps_take_their_share_of_the_eggs) {
    struct wg_plan plan;
    struct wg_diary d;
    laying_colony(&plan, 40);
    traps(&plan, 0.6);
    live(&plan, &d);
    const double laid = d.total_eggs_laid, trapped = (double)sum_counts(d.eggs_trapped, 40);
    cr_expect_gt(laid, 50000);
    /* clutches of 400 to 900 eggs are not split: their mean square size is 660^2 */
    cr_expect_float_eq(trapped, 0.6 * laid, 660 * errors(laid / 600, 0.6));
    done(&plan, &d);
}

/* Trapped eggs put in a bin hatch there and nowhere else. */
Test(actions, trap_eggs_put_in_a_bin_hatch_there) {
    struct wg_plan plan;
    struct wg_diary d;
    laying_colony(&plan, 40);
    add_bin(&plan);
    traps(&plan, 1);
    pull(&plan, 0, 2, 1);
    live(&plan, &d);
    int64_t first = 0, other = 0;
    for (int day = 0; day < 40; day++) {
        first += d.bin_larvae[2 * day];
        other += d.bin_larvae[2 * day + 1];
    }
    cr_expect_eq(first, 0, "all eggs were laid in traps, none hatched there");
    cr_expect_gt(other, 100000);
    cr_expect_eq(sum_counts(d.eggs_taken, 40), 0);
    done(&plan, &d);
}

Test(actions, trap_eggs_carried_off_leave_the_colony) {
    struct wg_plan plan;
    struct wg_diary d;
    laying_colony(&plan, 40);
    traps(&plan, 1);
    pull(&plan, 0, 2, -1);
    live(&plan, &d);
    cr_expect_gt(sum_counts(d.eggs_taken, 40),
                 (int64_t)(0.8 * d.total_eggs_laid)); /* a few die before, a few are still in the traps */
    cr_expect_eq(sum_counts(d.harvest_count, 40), 0, "eggs are no harvest");
    for (int day = 0; day < 40; day++)
        cr_expect_eq(alive_of(&d, day, WG_LARVA), 0);
    done(&plan, &d);
}

/* Eggs left in a trap hatch there; half of the hatchlings reach a bin (trap_hatch_reach), the rest starve. */
Test(actions, eggs_left_too_long_hatch_in_the_trap) {
    struct wg_plan plan;
    struct wg_diary d;
    laying_colony(&plan, 60);
    plan.species.hazard[WG_CLOCK_EGG] = plan.species.hazard[WG_CLOCK_LARVA] = 0;
    plan.species.rate[WG_CLOCK_PREPUPA].a *= 20; /* the first flies only: their eggs hatch before the next flies lay */
    plan.last_day = plan.first_day + 29;
    traps(&plan, 1);
    live(&plan, &d);
    int64_t starved = 0;
    for (int day = 0; day < 30; day++)
        starved += d.deaths[day * WG_N_CAUSES + WG_CAUSE_HUNGER];
    const double hatched = d.total_eggs_laid - (double)d.eggs_in_traps[29];
    cr_expect_gt(hatched, 50000);
    cr_expect_float_eq((double)starved, 0.5 * hatched, errors(hatched, 0.5), "%ld of %g", (long)starved, hatched);
    done(&plan, &d);
}

/* ---- crawl-off ---- */

/* 80 % caught, of which a tenth is given back: 72 % are taken (of 10,000 prepupae or more), 28 % reach the ground. */
Test(actions, crawl_off_is_caught_and_some_given_back) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 30);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 20000);
    struct wg_action action = on_days(&plan, WG_ACTION_COLLECT, 0, 29, 1);
    action.as.collect.share = 0.8;
    action.as.collect.give_back = 0.1;
    plan_add(&plan, action);
    live(&plan, &d);
    const double crawled = (double)sum_counts(d.crawl_off_count, 30), taken = (double)sum_counts(d.harvest_count, 30);
    cr_expect_gt(crawled, 10000);
    cr_expect_float_eq(taken, 0.72 * crawled, errors(crawled, 0.72));
    cr_expect_eq(sum_counts(d.eggs_taken, 30), 0);
    cr_expect_float_eq(d.total_harvest_mass / taken, d.total_crawl_off_mass / crawled, 1e-6, "of the mean weight");
    done(&plan, &d);
}

Test(actions, crawl_off_is_caught_in_its_season_only) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 30);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 20000);
    struct wg_action action = on_days(&plan, WG_ACTION_COLLECT, 10, 15, 1);
    action.as.collect.share = 1;
    plan_add(&plan, action);
    live(&plan, &d);
    for (int day = 0; day < 30; day++)
        cr_expect_eq(d.harvest_count[day], day >= 10 && day <= 15 ? d.crawl_off_count[day] : 0, "day %d", day);
    done(&plan, &d);
}

/* ---- scooping ---- */

Test(actions, larvae_are_scooped_by_share) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 8);
    plan_immortal(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    scoop(&plan, 3, -1, 0.3);
    live(&plan, &d);
    cr_expect_float_eq((double)d.harvest_count[3], 3000, errors(10000, 0.3));
    cr_expect_eq(d.harvest_count[3] + alive_of(&d, 3, WG_LARVA) + sum_counts(d.crawl_off_count, 4), 10000);
    cr_expect_float_eq(d.harvest_mass[3] / (double)d.harvest_count[3], d.bin_larval_mass[2] / (double)d.bin_larvae[2],
                       1e-9);
    cr_expect_eq(d.total_asked_not_there, 0);
    done(&plan, &d);
}

Test(actions, larvae_are_scooped_by_weight) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 8);
    plan_immortal(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 8, 10000);
    scoop(&plan, 3, 0.2, 0);
    live(&plan, &d);
    const double one_kg = d.bin_larval_mass[2] / (double)d.bin_larvae[2], wanted = 0.2 / one_kg;
    cr_expect_float_eq(d.harvest_mass[3], 0.2, one_kg * errors(10000, wanted / 10000));
    cr_expect_eq(d.asked_not_there[3], 0);
    done(&plan, &d);
}

Test(actions, scooping_more_than_there_is_takes_all_and_says_what_was_missing) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 8);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 8, 1000);
    scoop(&plan, 3, 5, 0);
    scoop(&plan, 5, 2, 0); /* none are left by then */
    live(&plan, &d);
    cr_expect_eq(d.harvest_count[3], d.bin_larvae[2]);
    cr_expect_float_eq(d.harvest_mass[3] + d.asked_not_there[3], 5, 1e-9);
    cr_expect_eq(alive_of(&d, 3, WG_LARVA), 0);
    cr_expect_float_eq(d.asked_not_there[5], 2, 1e-12);
    cr_expect_float_eq(d.total_asked_not_there, 7 - d.harvest_mass[3], 1e-9);
    done(&plan, &d);
}

/* ---- moving ---- */

Test(actions, larvae_and_eggs_move_between_bins) {
    static const enum wg_movable what[] = {WG_MOVABLE_LARVAE, WG_MOVABLE_EGGS};
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, i == 0 ? 27 : 11, 8); /* at 11 degC eggs do not develop */
        plan_immortal(&plan);
        add_bin(&plan);
        plan_start(&plan, 0, what[i], what[i] == WG_MOVABLE_LARVAE ? 3 : 0, 10000);
        move(&plan, 2, what[i], 0.25);
        live(&plan, &d);
        if (i == 0) {
            cr_expect_float_eq((double)d.bin_larvae[2 * 2 + 1], 2500, errors(10000, 0.25));
            cr_expect_eq(d.bin_larvae[2 * 2] + d.bin_larvae[2 * 2 + 1], 10000);
            cr_expect_float_eq(d.bin_larval_mass[4] / (double)d.bin_larvae[4],
                               d.bin_larval_mass[5] / (double)d.bin_larvae[5], 1e-12,
                               "of the same weight: they grew up together");
        }
        cr_expect_eq(sum_counts(d.count + 2 * WG_N_STAGES, WG_N_STAGES), 10000);
        done(&plan, &d);
    }
}

/* Larvae that do not develop in the cold resume where it is warm (common practice). */
Test(actions, cold_larvae_moved_into_warmth_go_on) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 120);
    plan_immortal(&plan);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 12, 15});
    plan.last_day = plan.first_day + 89;
    plan_add_place(&plan, WG_SHED);
    plan.places[1].heater =
        (struct wg_heater_spec){.power_w = 20000, .set_point_c = 27, .efficiency = 1, .season = WG_ALL_YEAR};
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 10, 5000);
    move(&plan, 30, WG_MOVABLE_LARVAE, 1);
    live(&plan, &d);
    const double before = (double)sum_counts(d.crawl_off_count, 30);
    cr_expect_lt(before, 500, "%g crawled off in the cold", before);
    cr_expect_eq(d.bin_larvae[2 * 30], 0);
    cr_expect_gt(d.bin_larvae[2 * 30 + 1], 4000);
    done(&plan, &d);
}

Test(actions, prepupae_and_pupae_move_between_grounds) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 60);
    plan_immortal(&plan);
    plan.species.laying_share_lamps = 0;
    plan_add_place(&plan, WG_LABORATORY);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 10000);
    move(&plan, 10, WG_MOVABLE_PREPUPAE, 0.7); /* some have pupated by then, and are moved too */
    live(&plan, &d);
    double here = 0, there = 0;
    for (int day = 0; day < 60; day++) {
        here += (double)d.adults_emerged[2 * day];
        there += (double)d.adults_emerged[2 * day + 1];
        cr_expect(day >= 10 || d.adults_emerged[2 * day + 1] == 0);
    }
    cr_expect_float_eq(there, 7000, errors(10000, 0.7), "%g there, %g here", there, here);
    cr_expect_eq((int64_t)(here + there), 10000, "a laboratory loses no flies");
    done(&plan, &d);
}

/* Dormant prepupae are moved, too. */
Test(actions, sleepers_move_too) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 120);
    plan_immortal(&plan);
    plan_add_place(&plan, WG_OUTDOORS);
    plan_start(&plan, 60, WG_MOVABLE_PREPUPAE, 0, 10000); /* 14 November */
    move(&plan, 90, WG_MOVABLE_PREPUPAE, 1);
    live(&plan, &d);
    cr_expect_gt(alive_of(&d, 89, WG_DORMANT), 9000);
    cr_expect_eq(sum_counts(d.count + 100 * WG_N_STAGES, WG_N_STAGES), 10000);
    for (int day = 90; day < 120; day++)
        cr_expect_eq(d.adults_emerged[2 * day], 0, "nobody is left in the first place");
    done(&plan, &d);
}

/* ---- settings ---- */

static void heated_shed(struct wg_plan *plan) {
    plan_outdoors(plan, 60);
    plan->first_day = wg_day_from_date((struct wg_date){2026, 12, 1});
    plan->last_day = plan->first_day + 59;
    wg_shelter_defaults(&plan->places[0].shelter, WG_SHED);
    wg_ground_defaults(&plan->places[0].ground, WG_SHED);
    wg_bin_defaults(&plan->bins[0].spec, WG_SHED, 0.150, 0);
    plan->places[0].heater =
        (struct wg_heater_spec){.power_w = 20000, .set_point_c = 24, .efficiency = 1, .season = WG_ALL_YEAR};
    plan->bins[0].spec.mat =
        (struct wg_heater_spec){.power_w = 500, .set_point_c = 30, .efficiency = 1, .season = WG_ALL_YEAR};
}

static void change(struct wg_plan *plan, enum wg_setting_key key, int bin, double value) {
    struct wg_action action = on_days(plan, WG_ACTION_SET, 30, 30, 1);
    action.bin = bin;
    action.as.set.key = key;
    action.as.set.value = value;
    plan_add(plan, action);
}

static double mean_of(const double *values, int from, int to) {
    return sum_reals(values + from, to - from) / (to - from);
}

Test(actions, heater_off_is_colder_and_free) {
    struct wg_plan plan;
    struct wg_diary d;
    heated_shed(&plan);
    change(&plan, WG_SET_HEATER, -1, 0);
    change(&plan, WG_SET_MAT, 0, 0);
    live(&plan, &d);
    cr_expect_gt(mean_of(d.air_temperature, 10, 30), 23.5);
    cr_expect_lt(mean_of(d.air_temperature, 40, 60), 18);
    cr_expect_gt(sum_reals(d.heater_energy + 10, 20), 10);
    done(&plan, &d);
}

/* A change takes effect in the first hour of its day, however many steps a day has. */
Test(actions, a_change_is_felt_on_its_day) {
    static const int steps[] = {1, 4, 24};
    double air_c[3];
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        heated_shed(&plan);
        plan.steps_per_day = steps[i];
        change(&plan, WG_SET_HEATER, -1, 0);
        change(&plan, WG_SET_MAT, 0, 0);
        live(&plan, &d);
        cr_expect_gt(d.heater_energy[29], 10);
        cr_expect_eq(sum_reals(d.heater_energy + 30, 30), 0, "%d steps a day", steps[i]);
        cr_expect_eq(d.actions_done[30], 2);
        air_c[i] = d.air_temperature[30];
        done(&plan, &d);
    }
    /* there are no animals, so only rounding differs */
    cr_expect_float_eq(air_c[1], air_c[0], 1e-9);
    cr_expect_float_eq(air_c[2], air_c[0], 1e-9);
}

/* Two mats at two prices: each has its own cost, and outdoors neither warms the other. */
Test(actions, every_mat_pays_its_own_price) {
    double kwh[3], cost[3];
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 60);
        add_bin(&plan);
        for (int b = 0; b < 2; b++)
            plan.bins[b].spec.mat = (struct wg_heater_spec){.power_w = i == b || i == 2 ? 500 : 0,
                                                            .set_point_c = b == 0 ? 30 : 20,
                                                            .efficiency = 1,
                                                            .price_per_kwh = b == 0 ? 0.10 : 0.40,
                                                            .season = WG_ALL_YEAR};
        live(&plan, &d);
        kwh[i] = d.total_heater_energy;
        cost[i] = d.total_heater_cost;
        done(&plan, &d);
    }
    cr_expect_float_eq(cost[0], 0.10 * kwh[0], 1e-9);
    cr_expect_float_eq(cost[1], 0.40 * kwh[1], 1e-9);
    cr_expect_float_eq(kwh[2], kwh[0] + kwh[1], 1e-9);
    cr_expect_float_eq(cost[2], cost[0] + cost[1], 1e-9, "%g for both, %g and %g alone", cost[2], cost[0], cost[1]);
}

Test(actions, set_points_are_followed) {
    struct wg_plan plan;
    struct wg_diary d;
    heated_shed(&plan);
    change(&plan, WG_SET_SET_POINT, -1, 18);
    change(&plan, WG_SET_MAT_SET_POINT, 0, 26);
    live(&plan, &d);
    cr_expect_float_eq(mean_of(d.air_temperature, 10, 30), 24, 0.7);
    cr_expect_float_eq(mean_of(d.air_temperature, 40, 60), 18, 0.7);
    cr_expect_float_eq(mean_of(d.bin_temperature, 10, 30), 30, 0.7);
    cr_expect_float_eq(mean_of(d.bin_temperature, 40, 60), 26, 0.7);
    done(&plan, &d);
}

/* The mat of a bin in the second place, beside which another bin stands: the change is felt there and nowhere else. */
Test(actions, a_set_point_is_that_of_its_bin_in_any_place) {
    struct wg_plan plan;
    struct wg_diary d;
    heated_shed(&plan);
    plan_add_place(&plan, WG_SHED);
    plan.places[1].heater = plan.places[0].heater;
    plan.bins = realloc(plan.bins, 3 * sizeof *plan.bins);
    cr_assert_not_null(plan.bins);
    plan.n_bins = 3;
    plan.bins[1] = plan.bins[2] = plan.bins[0];
    plan.bins[1].place = plan.bins[2].place = 1;
    (void)snprintf(plan.bins[1].name, sizeof plan.bins[1].name, "other");
    (void)snprintf(plan.bins[2].name, sizeof plan.bins[2].name, "third");
    change(&plan, WG_SET_MAT_SET_POINT, 2, 26);
    live(&plan, &d);
    for (int b = 0; b < 3; b++) {
        double mean_c = 0;
        for (int day = 40; day < 60; day++)
            mean_c += d.bin_temperature[day * 3 + b] / 20;
        cr_expect_float_eq(mean_c, b == 2 ? 26 : 30, 0.7, "bin %d: %g degC", b, mean_c);
    }
    done(&plan, &d);
}

Test(actions, lid_and_insulation_change_what_the_mat_takes) {
    double kwh[3];
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        heated_shed(&plan);
        plan.places[0].heater.power_w = 0;
        plan.bins[0].spec.mat.power_w = 2000;
        if (i == 1)
            change(&plan, WG_SET_BIN_U, 0, 0.5);
        if (i == 2)
            change(&plan, WG_SET_BIN_LID, 0, 1);
        live(&plan, &d);
        kwh[i] = sum_reals(d.heater_energy + 35, 25);
        done(&plan, &d);
    }
    cr_expect_lt(kwh[1], kwh[0], "insulated: %g against %g kWh", kwh[1], kwh[0]);
    cr_expect_gt(kwh[2], kwh[0], "open and wet: %g against %g kWh", kwh[2], kwh[0]);
}

/* ---- lamps ---- */

static double eggs_from_may_on(enum wg_housing_kind kind, double lamp_hours, double share_under_lamps) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 60);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 5, 1});
    plan.last_day = plan.first_day + 59;
    wg_shelter_defaults(&plan.places[0].shelter, kind);
    wg_ground_defaults(&plan.places[0].ground, kind);
    wg_bin_defaults(&plan.bins[0].spec, kind, 0.150, 0);
    plan.places[0].shelter.lamp_hours = lamp_hours;
    plan.species.laying_share_lamps = share_under_lamps;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 5000);
    plan_feed(&plan, 0);
    live(&plan, &d);
    const double eggs = d.total_eggs_laid;
    done(&plan, &d);
    return eggs;
}

/*
 * Lamps that lengthen the day of a sunny greenhouse do not reduce laying; the smaller share under lamps is for dim
 * houses.
 */
Test(actions, lamps_take_nothing_from_the_sun) {
    const double sun = eggs_from_may_on(WG_GREENHOUSE, 0, 0.45), both = eggs_from_may_on(WG_GREENHOUSE, 12, 0.45);
    cr_expect_gt(sun, 100000);
    cr_expect_gt(both, 0.95 * sun, "%g with lamps, %g without", both, sun); /* 3 % is two standard errors */
    cr_expect_gt(eggs_from_may_on(WG_SHED, 12, 0.45), 10000);
    cr_expect_eq(eggs_from_may_on(WG_SHED, 12, 0), 0, "in a shed the sun alone is too little");
}

/* ---- mishaps and wild flies ---- */

/* Wild flies come on warm long days: none from December to February, some in summer; none into a laboratory. */
Test(actions, wild_visitors_keep_their_season) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 365);
    plan.wild_peak_per_day = 3;
    plan_feed(&plan, 1);
    live(&plan, &d);
    int64_t winter = 0, summer = 0;
    for (int day = 0; day < 365; day++) {
        const int month = wg_date_from_day(plan.first_day + day).month;
        winter += month == 12 || month <= 2 ? d.wild_eggs[day] : 0;
        summer += month >= 6 && month <= 8 ? d.wild_eggs[day] : 0;
    }
    cr_expect_eq(winter, 0);
    /* 92 days x 3 flies x 650 eggs and a warmth factor of 0.8 to 1; a tenth either way for the variance of both */
    cr_expect(summer > 0.7 * 92 * 3 * 650 && summer < 1.1 * 92 * 3 * 650, "%ld eggs", (long)summer);
    done(&plan, &d);

    plan_laboratory(&plan, 27, 60);
    plan.wild_peak_per_day = 3;
    plan_feed(&plan, 1);
    live(&plan, &d);
    cr_expect_eq(sum_counts(d.wild_eggs, 60), 0);
    done(&plan, &d);
}

Test(actions, wild_visitors_want_something_to_smell) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 60);
    plan.wild_peak_per_day = 3;
    plan.feed_unlimited = false;
    live(&plan, &d);
    cr_expect_eq(sum_counts(d.wild_eggs, 60), 0);
    done(&plan, &d);
}

/* A raid takes its share of the larvae in the open, and none in a closed house. */
Test(actions, raids_take_larvae_in_the_open_only) {
    for (int walls = 0; walls < 2; walls++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 20);
        if (walls)
            wg_shelter_defaults(&plan.places[0].shelter, WG_SHED);
        plan_immortal(&plan);
        plan.mishaps = (struct wg_mishaps){.raids_per_year = 1e6, .raid_share = 0.4}; /* every night */
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 2, 100000);
        live(&plan, &d);
        const double lost = (double)d.deaths[WG_CAUSE_RAID];
        if (walls)
            cr_expect_eq(lost, 0);
        else
            cr_expect_float_eq(lost, 40000, errors(100000, 0.4), "%g lost", lost);
        done(&plan, &d);
    }
}

/* ---- order ---- */

/* On the same day larvae are scooped before a starter is added, so a scoop of everything leaves the starter. */
Test(actions, a_day_has_its_order) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 6);
    plan_immortal(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 1000);
    plan_start(&plan, 3, WG_MOVABLE_LARVAE, 3, 500);
    scoop(&plan, 3, -1, 1);
    live(&plan, &d);
    cr_expect_eq(d.harvest_count[3], 1000);
    cr_expect_eq(alive_of(&d, 3, WG_LARVA), 500);
    done(&plan, &d);
}

/* Prepupae that went dormant on different days count their own days, however warm it was since. */
Test(actions, sleepers_of_different_days_stay_apart) {
    struct wg_pool pool = {0};
    cr_assert_eq(wg_pool_reserve(&pool, 3, NULL), 0);
    wg_pool_join(&pool, &(struct wg_cohort){.count = 10, .days = 30});
    wg_pool_join(&pool, &(struct wg_cohort){.count = 5, .days = 0});
    wg_pool_join(&pool, &(struct wg_cohort){.count = 7, .days = 0});
    cr_expect_eq(pool.n, 2);
    cr_expect_eq(pool.cohort[1].count, 12);
    wg_pool_free(&pool);
}

/* Starvation scales with the pace of development: at 12 degC larvae survive weeks without feed, at 28 degC they die. */
Test(actions, hungry_larvae_wait_in_the_cold) {
    double left[2];
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, i == 0 ? 12 : 28, 40);
        plan.species.laying_share_lamps = 0;
        plan.feed_unlimited = false;
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 10, 10000);
        live(&plan, &d);
        left[i] = (double)d.bin_larvae[39];
        done(&plan, &d);
    }
    cr_expect_gt(left[0], 5000, "%g", left[0]);
    cr_expect_lt(left[1], 500, "%g", left[1]);
}

/* ---- several moves on one day ---- */

static struct wg_action larvae_moved(const struct wg_plan *plan, int day, int from, int to, double share) {
    struct wg_action action = on_days(plan, WG_ACTION_MOVE, day, day, 1);
    action.bin = from;
    action.as.move.what = WG_MOVABLE_LARVAE;
    action.as.move.to_bin = to;
    action.as.move.to_place = -1;
    action.as.move.share = share;
    return action;
}

static void three_bins(struct wg_plan *plan) {
    plan_laboratory(plan, 27, 6);
    plan_immortal(plan);
    plan->bins = realloc(plan->bins, 3 * sizeof *plan->bins);
    cr_assert(plan->bins != NULL);
    plan->bins[1] = plan->bins[2] = plan->bins[0];
    plan->n_bins = 3;
}

/* A rotation: every larva moves by one bin, in whatever order the lines are. */
Test(actions, moves_of_a_day_do_not_chain) {
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        three_bins(&plan);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 1000);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 600);
        plan.actions[1].bin = 1;
        plan_add(&plan, larvae_moved(&plan, 2, i, i + 1, 1));
        plan_add(&plan, larvae_moved(&plan, 2, 1 - i, 2 - i, 1));
        live(&plan, &d);
        cr_expect_eq(d.bin_larvae[2 * 3], 0);
        cr_expect_eq(d.bin_larvae[2 * 3 + 1], 1000, "%ld", (long)d.bin_larvae[2 * 3 + 1]);
        cr_expect_eq(d.bin_larvae[2 * 3 + 2], 600, "%ld", (long)d.bin_larvae[2 * 3 + 2]);
        done(&plan, &d);
    }
}

/* Two bins exchange larvae, and two halves of one bin make a whole. */
Test(actions, moves_of_a_day_share_the_morning) {
    struct wg_plan plan;
    struct wg_diary d;
    three_bins(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 1000);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 600);
    plan.actions[1].bin = 1;
    plan_add(&plan, larvae_moved(&plan, 2, 0, 1, 1));
    plan_add(&plan, larvae_moved(&plan, 2, 1, 0, 1));
    plan_add(&plan, larvae_moved(&plan, 4, 1, 0, 0.5));
    plan_add(&plan, larvae_moved(&plan, 4, 1, 2, 0.5));
    live(&plan, &d);
    cr_expect_eq(d.bin_larvae[2 * 3], 600);
    cr_expect_eq(d.bin_larvae[2 * 3 + 1], 1000);
    cr_expect_eq(d.bin_larvae[4 * 3 + 1], 0, "two halves are all: %ld left", (long)d.bin_larvae[4 * 3 + 1]);
    cr_expect_float_eq((double)d.bin_larvae[4 * 3 + 2], 500, errors(1000, 0.5));
    done(&plan, &d);
}

/* Moved cohorts join those of the same day: no pool grows by moving back and forth. */
Test(actions, moved_animals_join_their_equals) {
    struct wg_pool pool = {0};
    cr_assert_eq(wg_pool_reserve(&pool, 4, NULL), 0);
    wg_pool_add(&pool, &(struct wg_cohort){.count = 10, .x = 0.5});
    wg_pool_add(&pool, &(struct wg_cohort){.count = 20, .x = 0.25});
    wg_pool_begin_moves(&pool);
    pool.cohort[1].count = 0;
    wg_pool_add(&pool, &(struct wg_cohort){.count = 5, .x = 0.5});
    wg_pool_add(&pool, &(struct wg_cohort){.count = 7, .x = 0.125});
    wg_pool_end_moves(&pool);
    cr_expect_eq(pool.n, 2);
    cr_expect_eq(pool.cohort[0].count, 15);
    cr_expect_eq(pool.cohort[1].count, 7);
    wg_pool_free(&pool);
}

/* Equal actions keep the order of the file, whatever the C library's qsort() does. */
Test(actions, a_plan_is_sorted_the_same_everywhere) {
    enum { N = 500 };
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 6);
    plan.actions = calloc(N, sizeof *plan.actions);
    cr_assert(plan.actions != NULL);
    plan.n_actions = N;
    for (int i = 0; i < N; i++) {
        plan.actions[i] = larvae_moved(&plan, 2, 0, 1, 0.001);
        plan.actions[i].kind = i % 2 == 0 ? WG_ACTION_MOVE : WG_ACTION_CLEAR;
        plan.actions[i].line = 7;
        plan.actions[i].as.move.to_bin = i;
    }
    for (int again = 0; again < 2; again++)
        wg_plan_sort(&plan);
    for (int i = 1; i < N; i++)
        if (plan.actions[i].kind == plan.actions[i - 1].kind)
            cr_expect_lt(plan.actions[i - 1].as.move.to_bin, plan.actions[i].as.move.to_bin);
    wg_plan_free(&plan);
}

/* ---- starvation ---- */

/*
 * Larvae without any feed do not become flies; on ever scarcer feed the lightest prepupae weigh pupation_mass, and no
 * clutch weighs more than a fifth of its mother (clutch_most), all of which have a prepupa's mass here.
 */
Test(actions, nobody_grows_up_on_nothing) {
    for (int i = 0; i < 6; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 27, 120);
        plan.species.starvation = 0; /* so that some survive to be checked by mass */
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
        plan_feed(&plan, 0.01 * i);
        live(&plan, &d);
        const double crawled = (double)sum_counts(d.crawl_off_count, 120);
        const double eggs_g = d.total_eggs_laid * plan.species.egg_mass_g;
        if (i == 0)
            cr_expect_eq(crawled, 0, "%g larvae pupated without a meal", crawled);
        if (crawled > 0)
            cr_expect_geq(1000 * d.total_crawl_off_mass / crawled, plan.species.pupation_mass_g);
        cr_expect_leq(eggs_g, plan.species.clutch_most * 1000 * d.total_crawl_off_mass, "%g g of eggs", eggs_g);
        done(&plan, &d);
    }
}

/* ---- overwintering ---- */

/*
 * Dormant prepupae stocked on 2 February have overwintered like those of 31 January; those stocked when flies of the
 * year fly have not.
 */
Test(actions, prepupae_fetched_in_spring_overwintered) {
    double flies[3], half[3];
    static const int day[] = {138, 140, 280}; /* 31 January, 2 February, 22 June */
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 365);
        if (i == 2)
            plan_start(&plan, 138, WG_MOVABLE_PREPUPAE, 0, 2000);
        plan_start(&plan, day[i], WG_MOVABLE_PREPUPAE, 0, 2000);
        plan_feed(&plan, 0);
        live(&plan, &d);
        flies[i] = (double)sum_counts(d.spring_flies, 365);
        half[i] = d.spring_emergence_50;
        done(&plan, &d);
    }
    cr_expect_gt(flies[0], 200, "%g flies", flies[0]);
    cr_expect_float_eq(flies[1], flies[0], 0.2 * flies[0], "%g and %g flies", flies[1], flies[0]);
    cr_expect_float_eq(half[1], half[0], 7, "day %g and %g", half[1], half[0]);
    cr_expect_float_eq(flies[2], flies[0], 0.1 * flies[0], "those of June are not spring's: %g", flies[2]);
}

/* The diary counts what a move carries: half of the larvae, in their stage. */
Test(actions, the_diary_counts_what_is_moved) {
    struct wg_plan plan;
    struct wg_diary d;
    three_bins(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 3, 10000);
    plan_add(&plan, larvae_moved(&plan, 2, 0, 1, 0.5));
    live(&plan, &d);
    for (int day = 0; day < 6; day++)
        for (int stage = 0; stage < WG_N_STAGES; stage++) {
            const int64_t moved = d.moved[day * WG_N_STAGES + stage];
            if (day == 2 && stage == WG_LARVA)
                cr_expect(llabs(moved - 5000) < errors(10000, 0.5) && moved == d.bin_larvae[2 * 3 + 1], "%ld",
                          (long)moved);
            else
                cr_expect_eq(moved, 0);
        }
    done(&plan, &d);
}

/* ---- actions that wait for a cue ---- */

/*
 * Traps stay until their oldest eggs, laid during day f, have developed nine tenths by the next morning: at D days to
 * hatch, k days later with (k + 1) / D between 0.9 and 0.9 + 1 / D, half a day more or less for the hour of laying.
 */
Test(actions, traps_are_pulled_before_they_hatch) {
    struct wg_plan plan;
    struct wg_diary d;
    laying_colony(&plan, 40);
    plan_immortal(&plan); /* so that a count of eggs falls only when they are pulled, or hatch */
    traps(&plan, 1);
    pull(&plan, 0, 1, 0);
    for (int i = 0; i < plan.n_actions; i++)
        if (plan.actions[i].kind == WG_ACTION_PULL_TRAPS)
            plan.actions[i].cue = WG_CUE_BEFORE_HATCH;
    live(&plan, &d);
    const double hatch_days = wg_stage_days(&plan.species, WG_CLOCK_EGG, 28);
    int first = 0, pulls = 0;
    while (d.eggs_in_traps[first] == 0)
        first++;
    for (int day = first + 1; day < 40 && d.eggs_trapped[day] > 0; day++) {
        if (d.eggs_in_traps[day] > d.eggs_trapped[day])
            continue; /* of earlier days, too */
        const double done = (day - first + 1) / hatch_days;
        cr_expect(done >= 0.9 - 0.5 / hatch_days && done <= 0.9 + 1.5 / hatch_days, "after %d of %g days", day - first,
                  hatch_days);
        first = day;
        pulls++;
    }
    cr_expect_geq(pulls, 3);
    done(&plan, &d);
}

/* A bin of 150 L whose substrate is as moist as the default is four fifths full with 0.8 x 150 x (1 - moisture) kg dry. */
Test(actions, residue_is_cleared_when_the_bin_is_full) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 20, 90);
    plan_start(&plan, 0, WG_MOVABLE_EGGS, 0, 1);
    plan_feed(&plan, 4);
    plan.actions[1].as.feed.type = wg_feed_find("cardboard"); /* all of it stays: 4 x 0.92 kg a day */
    struct wg_action action = on_days(&plan, WG_ACTION_CLEAR, 0, 89, 1);
    action.as.clear.share = 1;
    action.cue = WG_CUE_WHEN_FULL;
    plan_add(&plan, action);
    live(&plan, &d);
    const double full_kg = 0.8 * 150 * (1 - plan.bins[0].spec.moisture), day_kg = 4 * 0.92;
    int clears = 0;
    for (int day = 1; day < 90; day++) {
        cr_expect_leq(d.residue[day], full_kg + day_kg, "%g kg on day %d", d.residue[day], day);
        if (d.residue[day] > d.residue[day - 1])
            continue;
        clears++;
        cr_expect_geq(d.residue[day - 1], full_kg - 1e-9, "cleared at %g of %g kg", d.residue[day - 1], full_kg);
    }
    cr_expect_eq(clears, (int)(89 / ceil(full_kg / day_kg)), "%d times", clears);
    done(&plan, &d);
}

/* More is asked than there is, and three tenths must stay. */
Test(actions, a_scoop_leaves_its_share) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 27, 6);
    plan_immortal(&plan);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 100000);
    for (int day = 3; day <= 4; day++) {
        struct wg_action action = on_days(&plan, WG_ACTION_SCOOP, day, day, 1);
        action.as.scoop.mass_kg = day == 3 ? 1000 : 0.001;
        action.as.scoop.leave = 0.3;
        plan_add(&plan, action);
    }
    live(&plan, &d);
    cr_expect_float_eq(d.bin_larvae[3], 30000, errors(100000, 0.3));
    cr_expect_gt(d.asked_not_there[3], 900);
    cr_expect_eq(d.asked_not_there[4], 0);
    cr_expect_eq(d.days_short_of_larvae, 1);
    done(&plan, &d);
}
