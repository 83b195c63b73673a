/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Distribution of clutches: whole clutches, into bins by attraction, a share of mothers into traps; and the season of
 * wild flies.
 *
 * Expected numbers come from the distributions stated in the headers (a weight for each bin, a binomial number of
 * mothers). Five standard errors (false alarm below one in a million each), with fixed seeds.
 */
#include "species/breeding.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TestSuite(laying);

/* Adds empty bins like the first to the first place. */
static void add_bins(struct wg_plan *plan, int more) {
    plan->bins = realloc(plan->bins, (size_t)(1 + more) * sizeof *plan->bins);
    cr_assert(plan->bins != NULL);
    for (int b = 1; b <= more; b++) {
        plan->bins[b] = plan->bins[0];
        (void)snprintf(plan->bins[b].name, sizeof plan->bins[b].name, "bin %d", b);
    }
    plan->n_bins = 1 + more;
}

static void feed_bin(struct wg_plan *plan, int bin, const char *what, double wet_kg) {
    plan->feed_unlimited = false;
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .bin = bin,
                                      .place = -1,
                                      .as.feed = {.type = wg_feed_find(what), .wet_kg = wet_kg}});
}

static void traps(struct wg_plan *plan, double share) {
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .bin = -1,
                                      .as.traps = {.share = share}});
}

static double larvae_days(const struct wg_diary *d, int bin) {
    double sum = 0;
    for (int day = 0; day < d->n_days; day++)
        sum += (double)d->bin_larvae[day * d->n_bins + bin];
    return sum;
}

static double sum_of(const int64_t *values, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += (double)values[i];
    return sum;
}

static void done(struct wg_plan *plan, struct wg_diary *d) {
    wg_diary_free(d);
    wg_plan_free(plan);
}

/* ---- bins ---- */

/* An empty bin without smell does not exist for a fly: exactly the same run with none, one and three. */
Test(laying, an_empty_spare_bin_changes_nothing) {
    double kg[3], eggs[3];
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_outdoors(&plan, 365);
        add_bins(&plan, i == 2 ? 3 : i);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
        plan_start(&plan, 260, WG_MOVABLE_PREPUPAE, 0, 500);
        plan_feed(&plan, 1.4);
        traps(&plan, 0.3);
        plan_simulate(&plan, 0, &d);
        kg[i] = d.total_crawl_off_mass;
        eggs[i] = d.total_eggs_laid;
        for (int b = 1; b < d.n_bins; b++)
            cr_expect_eq(larvae_days(&d, b), 0, "bin %d", b);
        done(&plan, &d);
    }
    cr_expect_gt(eggs[0], 10000);
    for (int i = 1; i < 3; i++) {
        cr_expect_eq(eggs[i], eggs[0]);
        cr_expect_eq(kg[i], kg[0], "%g kg, alone %g", kg[i], kg[0]);
    }
}

/* Cardboard is not feed: it does not attract flies. */
Test(laying, what_nobody_eats_draws_nobody) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 40);
    add_bins(&plan, 1);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    feed_bin(&plan, 0, "kitchen scraps", 0.2);
    feed_bin(&plan, 1, "cardboard", 5);
    plan_simulate(&plan, 0, &d);
    cr_expect_gt(larvae_days(&d, 0), 100000);
    cr_expect_eq(larvae_days(&d, 1), 0);
    done(&plan, &d);
}

/*
 * Three parts of feed attract three of four clutches, at any length of step, also when hardly any is left at night.
 * About 2,200 mothers; the two bins stay three to one because feed eaten still attracts, and microbes take the same
 * share of both.
 */
Test(laying, more_feed_draws_more_clutches) {
    static const int steps[] = {1, 4, 24};
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 28, 32);
        plan_immortal(&plan);
        plan.steps_per_day = steps[i];
        add_bins(&plan, 1);
        plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 10000);
        feed_bin(&plan, 0, "kitchen scraps", 3);
        feed_bin(&plan, 1, "kitchen scraps", 1);
        plan_simulate(&plan, 0, &d);
        double larvae[2];
        for (int b = 0; b < 2; b++)
            larvae[b] = (double)d.bin_larvae[31 * 2 + b];
        const double mothers = d.total_eggs_laid / 600, share = larvae[0] / (larvae[0] + larvae[1]);
        cr_expect_gt(mothers, 1000);
        cr_expect_float_eq(share, 0.75, 5 * sqrt(0.75 * 0.25 / mothers), "%d steps a day: %g of %g mothers", steps[i],
                           share, mothers);
        done(&plan, &d);
    }
}

/* Without attraction, and with unlimited feed, all bins are equal. */
Test(laying, bins_that_smell_alike_share_evenly) {
    for (int unlimited = 0; unlimited < 2; unlimited++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 28, 32);
        plan_immortal(&plan);
        plan.feed_unlimited = unlimited;
        add_bins(&plan, 1);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 1000); /* they eat in the first bin only */
        plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 10000);
        plan_simulate(&plan, 0, &d);
        const double one = (double)d.bin_larvae[31 * 2] - 1000 + sum_of(d.crawl_off_count, 32);
        const double other = (double)d.bin_larvae[31 * 2 + 1], mothers = d.total_eggs_laid / 600;
        cr_expect_gt(mothers, 1000);
        cr_expect_float_eq(one / (one + other), 0.5, 5 * sqrt(0.25 / mothers), "%g and %g", one, other);
        done(&plan, &d);
    }
}

/* Larvae that hatch in a trap reach the bin that smells. */
Test(laying, hatchlings_from_traps_find_the_feed) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_laboratory(&plan, 28, 40);
    add_bins(&plan, 1);
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 1000);
    feed_bin(&plan, 1, "kitchen scraps", 1);
    traps(&plan, 1);
    plan_simulate(&plan, 0, &d);
    cr_expect_eq(larvae_days(&d, 0), 0);
    cr_expect_gt(larvae_days(&d, 1), 10000);
    done(&plan, &d);
}

/* ---- clutches ---- */

/* All clutches of one size, so that mothers can be counted: `eggs` each at 28.6 degC. */
static void plan_few_mothers(struct wg_plan *plan, int eggs) {
    plan_laboratory(plan, 28.6, 40);
    plan->species.clutch_low = plan->species.clutch_high = eggs;
    plan->species.clutch_mass_low = plan->species.clutch_mass_high = 1;
    plan_start(plan, 0, WG_MOVABLE_PREPUPAE, 0, 40);
}

/*
 * Of M mothers a binomial number lay in traps, each her whole clutch: given M, the trapped clutches have mean 0.9 M
 * and variance 0.09 M, and all are trapped with probability 0.9^M. (If eggs were distributed singly, the variance
 * would be a 500th of that and the probability 0.) 600 colonies of about seven mothers.
 */
Test(laying, a_clutch_goes_whole) {
    enum { COLONIES = 600, CLUTCH = 500 };
    struct wg_plan plan;
    plan_few_mothers(&plan, CLUTCH);
    traps(&plan, 0.9);
    double off = 0, squares = 0, variance = 0, fourth = 0, all = 0, due = 0, due_variance = 0;
    for (uint64_t k = 0; k < COLONIES; k++) {
        struct wg_diary d;
        plan_simulate(&plan, k, &d);
        const double mothers = d.total_eggs_laid / CLUTCH, trapped = sum_of(d.eggs_trapped, d.n_days) / CLUTCH;
        cr_assert_eq(mothers, floor(mothers), "%g eggs", d.total_eggs_laid);
        cr_assert_eq(trapped, floor(trapped), "a clutch was parted: %g", trapped);
        const double error = trapped - 0.9 * mothers, v = 0.09 * mothers, chance = pow(0.9, mothers);
        off += error;
        variance += v;
        squares += error * error;
        fourth += v * (1 + 3 * v * (1 - 2 / fmax(mothers, 1)) - 6 * 0.09) - v * v; /* of the square: binomial moments */
        all += trapped == mothers;
        due += chance;
        due_variance += chance * (1 - chance);
        wg_diary_free(&d);
    }
    cr_expect_gt(variance, 0.09 * 4 * COLONIES, "some seven mothers each");
    cr_expect_float_eq(off, 0, 5 * sqrt(variance));
    cr_expect_float_eq(squares, variance, 5 * sqrt(fourth), "variance %g, expected %g", squares, variance);
    cr_expect_float_eq(all, due, 5 * sqrt(due_variance), "all trapped in %g, expected %g", all, due);
    cr_expect_gt(due, 100);
    wg_plan_free(&plan);
}

/* The same over two bins of equal attraction. */
Test(laying, a_clutch_hatches_in_one_bin) {
    enum { COLONIES = 200, CLUTCH = 500 };
    struct wg_plan plan;
    plan_few_mothers(&plan, CLUTCH);
    plan_immortal(&plan);
    add_bins(&plan, 1);
    for (int stage = 0; stage < WG_N_CLOCKS; stage++)
        plan.species.spread[stage] = 0.02; /* all eggs have hatched before the first larva leaves */
    int64_t whole = 0;
    for (uint64_t k = 0; k < COLONIES; k++) {
        struct wg_diary d;
        plan_simulate(&plan, k, &d);
        cr_expect_eq(d.count[(d.n_days - 1) * WG_N_STAGES + WG_EGG], 0);
        cr_expect_eq(d.total_crawl_off_mass, 0);
        for (int b = 0; b < 2; b++) {
            const int64_t larvae = d.bin_larvae[(d.n_days - 1) * 2 + b];
            cr_expect_eq(larvae % CLUTCH, 0, "%ld larvae", (long)larvae);
            whole += larvae / CLUTCH;
        }
        wg_diary_free(&d);
    }
    cr_expect_gt(whole, 4 * COLONIES);
    wg_plan_free(&plan);
}

/* ---- wild flies ---- */

/* Wild flies live outdoors: a hoop house kept warm all winter attracts none of them in the frost. */
Test(laying, wild_flies_go_by_the_air_outdoors) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 300);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 11, 1});
    plan.last_day = plan.first_day + 299;
    plan.climate.latitude_deg = 41;
    for (int m = 0; m < 12; m++) { /* nine degrees colder than the invented site of the other tests */
        plan.climate.high_c[m] -= 9;
        plan.climate.low_c[m] -= 9;
    }
    wg_shelter_defaults(&plan.places[0].shelter, WG_HOOP_HOUSE);
    wg_ground_defaults(&plan.places[0].ground, WG_HOOP_HOUSE);
    plan.places[0].heater =
        (struct wg_heater_spec){.power_w = 50000, .set_point_c = 24, .efficiency = 1, .season = WG_ALL_YEAR};
    plan.wild_peak_per_day = 3;
    plan_feed(&plan, 1);
    double eggs = 0;
    for (uint64_t k = 0; k < 5; k++) {
        plan_simulate(&plan, k, &d);
        for (int day = 0; day < d.n_days; day++)
            if (d.wild_eggs[day] > 0) {
                eggs += (double)d.wild_eggs[day];
                cr_expect_geq(d.outdoor_temperature[day], plan.species.wild_air_c, "%g degC outdoors, %g in the house",
                              d.outdoor_temperature[day], d.air_temperature[day]);
            }
        wg_diary_free(&d);
    }
    cr_expect_gt(eggs, 10000, "in summer they come");
    wg_plan_free(&plan);
}

/* Unlimited feed attracts, eaten or not: a colony can begin with wild flies alone. */
Test(laying, wild_flies_come_to_unlimited_feed) {
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 90);
    plan.first_day = wg_day_from_date((struct wg_date){2027, 6, 1});
    plan.last_day = plan.first_day + 89;
    plan.wild_peak_per_day = 3;
    plan_simulate(&plan, 0, &d);
    cr_expect_gt(sum_of(d.wild_eggs, 90), 50000);
    cr_expect_eq(d.survived, 1);
    done(&plan, &d);
}

/* ---- what sets the number of eggs ---- */

/*
 * A clutch depends on the mean air temperature of three days: today's 24 hours and two whole days before. A heated
 * shed has another temperature on each of them; all clutches are of one size but for the warmth, and mothers lay on
 * the last day only.
 */
Test(laying, a_clutch_goes_by_three_days_of_air) {
    static const double set_point_c[] = {24, 33, 24, 27.5, 20.5}; /* of the last five days */
    enum { DAYS = 30, EGGS = 2000 };
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, DAYS);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 12, 1});
    plan.last_day = plan.first_day + DAYS - 1;
    wg_shelter_defaults(&plan.places[0].shelter, WG_SHED);
    wg_ground_defaults(&plan.places[0].ground, WG_SHED);
    wg_bin_defaults(&plan.bins[0].spec, WG_SHED, 0.150, 0);
    plan.places[0].shelter.lamp_hours = 24;
    plan.places[0].heater =
        (struct wg_heater_spec){.power_w = 100000, .set_point_c = 24, .efficiency = 1, .season = WG_ALL_YEAR};
    for (int i = 0; i < 5; i++)
        plan_add(&plan, (struct wg_action){.kind = WG_ACTION_SET,
                                           .from = plan.last_day - 4 + i,
                                           .to = plan.last_day - 4 + i,
                                           .every = 1,
                                           .bin = -1,
                                           .as.set = {.key = WG_SET_SET_POINT, .value = set_point_c[i]}});
    struct wg_species *const species = &plan.species;
    species->clutch_low = species->clutch_high = EGGS;
    species->clutch_mass_low = species->clutch_mass_high = species->clutch_most = 1;
    species->egg_mass_g = 1e-6;
    species->lay_air_c = 10;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 2000);
    plan_simulate(&plan, 0, &d);
    const double *const air_c = d.air_temperature;
    int days = 0;
    for (int day = 2; day < DAYS; day++) {
        const double mean_c = (air_c[day] + air_c[day - 1] + air_c[day - 2]) / 3;
        const double clutch = floor(EGGS * wg_clutch_warmth(mean_c) + 0.5); /* exact: breeding.h */
        if (d.eggs_laid[day] == 0)
            continue;
        const double mothers = (double)d.eggs_laid[day] / clutch;
        cr_expect_eq(mothers, floor(mothers), "day %d: %ld eggs are no whole number of clutches of %g", day,
                     (long)d.eggs_laid[day], clutch);
        days += day >= DAYS - 3;
    }
    cr_expect_eq(days, 3, "mothers laid on %d days after the changes", days);
    done(&plan, &d);
}

/*
 * Outdoors the share laying_share_sun of females ever lays. Immortal flies in July, which all mate in the end: eggs
 * over the females that stayed (female_share of the flies), with clutches of one size. 5 standard errors of about
 * 4,000.
 */
Test(laying, in_the_sun_its_share_of_the_females_lays) {
    enum { CLUTCH = 1000 };
    struct wg_plan plan;
    struct wg_diary d;
    plan_outdoors(&plan, 90);
    plan.first_day = wg_day_from_date((struct wg_date){2027, 6, 1});
    plan.last_day = plan.first_day + 89;
    plan_immortal(&plan);
    struct wg_species *const species = &plan.species;
    species->rate[WG_CLOCK_ADULT].a /= 5; /* they live long enough for every wait */
    species->mate_after_days /= 5;
    species->lay_after_days /= 5;
    species->clutch_low = species->clutch_high = CLUTCH;
    species->clutch_mass_low = species->clutch_mass_high = species->clutch_most = 1;
    species->egg_mass_g = 1e-6;
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 20000);
    plan_feed(&plan, 0);
    plan_simulate(&plan, 0, &d);
    double emerged = 0, mothers = 0;
    for (int day = 0; day < 90; day++) {
        double air_c = d.outdoor_temperature[day];
        for (int k = 1; k < 3; k++)
            air_c += d.outdoor_temperature[day >= k ? day - k : 0];
        emerged += (double)d.adults_emerged[day];
        if (d.eggs_laid[day] > 0)
            mothers += (double)d.eggs_laid[day] / floor(CLUTCH * wg_clutch_warmth(air_c / 3) + 0.5);
    }
    const double females = emerged * species->female_share, share = mothers / females;
    cr_expect_gt(females, 1000);
    cr_expect_float_eq(share, 0.8, 5 * sqrt(0.8 * 0.2 / females) + 5 * sqrt(0.25 / emerged), "%g of %g females", share,
                       females);
    done(&plan, &d);
}

/*
 * Of flies that emerge in the open 3 in 10 stay, in a closed house 9 in 10, in a laboratory all: the share of those
 * emerged is binomial. 5 standard errors of some thousands.
 */
Test(laying, a_share_of_the_flies_stays) {
    const struct {
        enum wg_housing_kind kind;
        double share;
    } of[] = {{WG_OUTDOORS, 0.3}, {WG_SHED, 0.9}, {WG_LABORATORY, 1.0}};
    for (size_t i = 0; i < sizeof of / sizeof *of; i++) {
        struct wg_plan plan;
        struct wg_diary d;
        plan_laboratory(&plan, 28, 60);
        wg_shelter_defaults(&plan.places[0].shelter, of[i].kind);
        wg_ground_defaults(&plan.places[0].ground, of[i].kind);
        plan_immortal(&plan);
        plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 5000);
        plan_simulate(&plan, 0, &d);
        const double stayed = sum_of(d.adults_emerged, 60), all = stayed + sum_of(d.flown, 60);
        cr_expect_gt(all, 1000);
        cr_expect_float_eq(stayed / all, of[i].share, 5 * sqrt(of[i].share * (1 - of[i].share) / all), "%g of %g flies",
                           stayed, all);
        done(&plan, &d);
    }
}

/* Prepupae moved to a second place, with and without a bin there: flies emerge, mate and lay only where there is one. */
Test(laying, without_bin_and_traps_nothing_is_laid) {
    for (int has_bin = 0; has_bin < 2; has_bin++) {
        struct wg_plan plan;
        struct wg_diary diary;
        plan_laboratory(&plan, 27, 40);
        plan_add_place(&plan, WG_LABORATORY);
        plan.n_bins = 1 + has_bin;
        plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 500);
        plan_add(&plan,
                 (struct wg_action){.kind = WG_ACTION_MOVE,
                                    .from = plan.first_day + 1,
                                    .to = plan.first_day + 1,
                                    .every = 1,
                                    .as.move = {.what = WG_MOVABLE_PREPUPAE, .to_bin = -1, .to_place = 1, .share = 1}});
        plan_simulate(&plan, 1, &diary);
        cr_assert_gt(sum_of(diary.adults_emerged, 2 * diary.n_days), 300); /* of 500 */
        cr_expect_eq(sum_of(diary.eggs_laid, diary.n_days) > 0, has_bin == 1, "%d", has_bin);
        wg_diary_free(&diary);
        wg_plan_free(&plan);
    }
}
