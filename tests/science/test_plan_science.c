/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Feed, traps and moves against published trials and common practice.
 *
 * Fixed seeds. Ranges are those of the sources; comments say where the model lies outside one. "abstract": only the
 * abstract was read; MEMORY: from memory, source not checked again.
 */
#include "species/growth.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(plan_science);

static double sum_reals(const double *values, int from, int to) {
    double sum = 0;
    for (int i = from; i < to; i++)
        sum += values[i];
    return sum;
}

static int64_t sum_counts(const int64_t *values, int from, int to) {
    int64_t sum = 0;
    for (int i = from; i < to; i++)
        sum += values[i];
    return sum;
}

static void feed_on(struct wg_plan *plan, const char *what, int from, int to, int every, double wet_kg) {
    plan->feed_unlimited = false;
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                      .from = plan->first_day + from,
                                      .to = plan->first_day + to,
                                      .every = every,
                                      .place = -1,
                                      .as.feed = {.type = wg_feed_find(what), .wet_kg = wet_kg}});
}

/* ---- a batch: young larvae, fed, all crawl-off caught, no flies ---- */

struct batch {
    double yield_kg;     /* larvae in the bin and crawl-off, wet */
    double bioconverted; /* dry larvae per dry feed given */
    double reduction;    /* share of the dry matter given that is gone */
    double prepupa_g;    /* mean mass of the crawl-off */
    double crawled;      /* share of larvae stocked */
    double half_day;     /* day of half of the crawl-off */
    double last_day;     /* with any larva left */
};

static struct batch see_batch(struct wg_plan *plan, int64_t n) {
    const int days = plan->last_day - plan->first_day + 1;
    plan->species.laying_share_lamps = 0;
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, n);
    plan_collect(plan, 1);
    struct wg_diary d;
    plan_simulate(plan, 0, &d);
    const double given = d.total_feed_given, left = d.feed_left[days - 1] + d.residue[days - 1];
    const double crawled = (double)sum_counts(d.crawl_off_count, 0, days);
    struct batch b = {.yield_kg = d.bin_larval_mass[days - 1] + d.total_harvest_mass,
                      .reduction = given > 0 ? 1 - left / given : 0,
                      .prepupa_g = crawled > 0 ? 1000 * d.total_crawl_off_mass / crawled : 0,
                      .crawled = crawled / (double)n};
    b.bioconverted = given > 0 ? b.yield_kg * plan->species.larva_dry / given : 0;
    double out = 0;
    for (int day = 0; day < days; day++) {
        out += (double)d.crawl_off_count[day];
        if (2 * out < crawled)
            b.half_day = day + 1;
        if (d.bin_larvae[day] > 0)
            b.last_day = day;
    }
    wg_diary_free(&d);
    wg_plan_free(plan);
    return b;
}

/*
 * The handbook's dose (Dortmans et al. 2017, Eawag step-by-step guide, MEMORY): 10,000 five-day larvae, 15 kg of wet
 * waste of 75 % moisture in three portions, 12 days, about 28 degC.
 */
static struct batch handbook(const char *numbers, const char *what, int days, double wet_kg) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, days);
    cr_assert_eq(wg_species_set(&plan.species, numbers), 0);
    for (int i = 0; i < 3; i++)
        feed_on(&plan, what, i == 0 ? 0 : 2 + 3 * i, i == 0 ? 0 : 2 + 3 * i, 1, wet_kg / 3);
    return see_batch(&plan, 10000);
}

/*
 * Waste reduction; there are two measures, easily confused.
 *
 * Dry matter, in a batch of two weeks: 41.8 % of chicken feed (Diener et al. 2009, Waste Manag. Res. 27:603, MEMORY),
 * up to 50 % (MEMORY), 55 % of food waste (Lalander et al. 2019, MEMORY), 45 % of the energy of a side-stream (Parodi
 * et al. 2020, abstract: 55 % stays in the residue). The model must lie among them.
 *
 * Wet weight: 65 to 80 % (the handbook, MEMORY, uses wet weight; 65.5 to 78.9 % in Diener et al. 2011, Waste Biomass
 * Valor. 2:357, abstract). The wet residue follows from the dry one: harvested when it can be sieved, at about 50 %
 * moisture (same handbook, MEMORY). Loss of water is not modelled: larval heat of 4.2 MJ per kg eaten can evaporate
 * 1.7 kg, and larvae carry off twice their dry weight.
 */
Test(plan_science, handbook_dose_reduces_the_waste) {
    static const char *const numbers[] = {"keepers", "laboratory"};
    for (int i = 0; i < 2; i++) {
        const struct batch b = handbook(numbers[i], "kitchen scraps", 12, 15);
        const double wet = 1 - (1 - b.reduction) * (1 - 0.75) / (1 - 0.50);
        cr_expect(b.reduction > 0.95 * 0.418 && b.reduction < 0.55, "%s, dry: %g", numbers[i], b.reduction);
        cr_expect(wet > 0.65 && wet < 0.80, "%s, wet: %g", numbers[i], wet);
    }
}

/* Diener et al. 2011 (see above): at least 65.5 %; without a drain the model is within a tenth of it (judgement). */
Test(plan_science, a_bin_fed_for_two_months_reduces_more) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 60);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 40000);
    plan_feed(&plan, 1);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    const double reduction = 1 - (d.feed_left[59] + d.residue[59]) / d.total_feed_given;
    cr_expect(reduction > 0.9 * 0.655 && reduction < 0.789, "%g", reduction);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/*
 * Dry larvae per dry waste given: 13.9 % of food waste (Lalander et al. 2019, MEMORY) to about 20 % (Dortmans et al.
 * 2017, MEMORY), and 14 to 48 % of the dry matter removed (Eriksen 2024, Front. Bioeng. Biotechnol., 30 April,
 * abstract). The model: 15 % on day 12. 20 % of this dose would need larvae of 0.25 g, heavier than any reported (0.22
 * g, Feedipedia, node 16388); 20 % of the usable matter is reached where it is all eaten.
 */
Test(plan_science, handbook_dose_bioconverts) {
    static const char *const numbers[] = {"keepers", "laboratory"};
    for (int i = 0; i < 2; i++) {
        const struct batch twelve = handbook(numbers[i], "kitchen scraps", 12, 15);
        cr_expect(twelve.bioconverted > 0.139 && twelve.bioconverted < 0.21, "%s: %g", numbers[i], twelve.bioconverted);
        const double of_gone = twelve.bioconverted / twelve.reduction;
        cr_expect(of_gone > 0.14 && of_gone < 0.48, "%s: %g", numbers[i], of_gone);
        /*
         * a larva of 17 days weighs 0.1 g or more (common practice: harvested at that age) and no more than the
         * heaviest reported, 0.22 g (Feedipedia, node 16388)
         */
        const double each_g = 1000 * twelve.yield_kg / 9500;
        cr_expect(each_g > 0.10 && each_g < 0.22, "%s: %g g", numbers[i], each_g);
    }
}

/* Spent brewery grain converts less than scraps, both fed in excess (common practice). */
Test(plan_science, spent_grain_converts_less) {
    const struct batch scraps = handbook("keepers", "kitchen scraps", 30, 20);
    const struct batch grain = handbook("keepers", "spent brewery grain", 30, 45);
    cr_expect_gt(scraps.bioconverted, 0.10);
    cr_expect_lt(grain.bioconverted, 0.75 * scraps.bioconverted, "%g against %g", grain.bioconverted,
                 scraps.bioconverted);
}

/*
 * Lignin and cellulose are not eaten (common practice): all the cardboard remains, and most larvae starve, so that less
 * than a quarter of them survive (judgement; the model gives about a fifth, one replicate within 4 % of that).
 */
Test(plan_science, cardboard_is_not_eaten) {
    struct wg_species keepers;
    cr_assert_eq(wg_species_set(&keepers, "keepers"), 0);
    const double put_in_kg = 10 * wg_larva_mass_at_x(&keepers, wg_larva_x_at_age(&keepers, 5), 1);
    const struct batch b = handbook("keepers", "cardboard", 40, 10);
    cr_expect_float_eq(b.reduction, 0, 1e-12);
    cr_expect_lt(b.yield_kg, 0.25 * put_in_kg, "%g of %g kg", b.yield_kg, put_in_kg);
}

/*
 * Diener et al. 2009, Waste Manag. Res. 27:603 (MEMORY): 100 mg of feed of 60 % moisture per larva and day was best,
 * with 42 % of it consumed. The mean daily demand of a well-fed larva of the model (fermented grain, 60 % moisture)
 * must not exceed that dose, nor fall below the 42 mg consumed.
 */
Test(plan_science, appetite_is_that_of_the_feeding_trial) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 45);
    plan.species.laying_share_lamps = 0;
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 10000);
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    double larva_days = 0;
    for (int day = 0; day < 45; day++)
        larva_days += (double)d.bin_larvae[day];
    const struct wg_feed_type *const grain = &wg_feed_types()[wg_feed_find("fermented grain")];
    const double wet_mg = 1e6 * sum_reals(d.feed_demand, 0, 45) / larva_days / ((1 - grain->moisture) * grain->usable);
    cr_expect(wet_mg > 42 && wet_mg < 100, "%g mg", wet_mg);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/*
 * Water in what is fed, as published: MEMORY for all, from tables of food composition unless named. Food waste of
 * households: Dortmans et al. 2017, step-by-step guide. The trial's feed: Diener et al. 2009, 60 %. Fresh brewery grain:
 * Feedipedia. Prunings: Tchobanoglous, Theisen & Vigil 1993, Integrated Solid Waste Management. Board lying open: 7 to 9 %
 * in the standard air of ISO 187 (23 degC, half saturated). Manure as excreted by hens and cattle: ASAE D384. Soaked corn
 * has taken up about its own weight of water.
 */
Test(plan_science, feed_is_as_moist_as_published) {
    static const struct {
        const char *name;
        double least, most;
    } published[] = {
        {"kitchen scraps", 0.70, 0.80},
        {"fermented grain", 0.59, 0.61},
        {"pet food", 0.09, 0.11},
        {"fruit", 0.84, 0.90},
        {"spent brewery grain", 0.73, 0.80},
        {"coffee grounds", 0.55, 0.65},
        {"garden trimmings", 0.55, 0.65},
        {"cardboard", 0.07, 0.09},
        {"fish offal", 0.70, 0.80},
        {"bread", 0.34, 0.40},
        {"fermented corn", 0.45, 0.65},
        {"chicken manure", 0.72, 0.80},
        {"cattle manure", 0.83, 0.88},
    };
    for (size_t i = 0; i < sizeof published / sizeof *published; i++) {
        const double moisture = wg_feed_types()[wg_feed_find(published[i].name)].moisture;
        cr_expect(published[i].least <= moisture && moisture <= published[i].most, "%s: %g", published[i].name,
                  moisture);
    }
    cr_expect_null(wg_feed_types()[sizeof published / sizeof *published].name, "a feed without published water");
}

/* ---- feed is the limit ---- */

/* A colony is limited by its feed: twice the feed, twice the harvest, in the second year on a bench. */
Test(plan_science, feed_supply_sets_the_standing_stock) {
    double crawl_off[2], larvae[2];
    for (int i = 0; i < 2; i++) {
        struct wg_plan plan;
        plan_laboratory(&plan, 28, 730);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 5000);
        plan_feed(&plan, i == 0 ? 1 : 2);
        plan_collect(&plan, 0.5);
        struct wg_diary d;
        plan_simulate(&plan, 0, &d);
        crawl_off[i] = sum_reals(d.crawl_off_mass, 365, 730);
        larvae[i] = (double)sum_counts(d.bin_larvae, 365, 730);
        wg_diary_free(&d);
        wg_plan_free(&plan);
    }
    cr_expect_gt(crawl_off[0], 5);
    cr_expect_float_eq(crawl_off[1] / crawl_off[0], 2, 0.1, "harvest %g", crawl_off[1] / crawl_off[0]);
    cr_expect_float_eq(larvae[1] / larvae[0], 2, 0.1, "larvae %g", larvae[1] / larvae[0]);
}

/* The same tray and feed for 1, 2.5 and 5 times the larvae. */
static void crowd(struct batch out[3]) {
    static const int64_t n[] = {4000, 10000, 20000};
    for (int i = 0; i < 3; i++) {
        struct wg_plan plan;
        plan_laboratory(&plan, 28, 90);
        plan_feed(&plan, 0.7);
        out[i] = see_batch(&plan, n[i]);
    }
}

/* Opare et al. 2022, J. Insects Food Feed 8:783, abstract: crowding lowers mass and survival and lengthens development.
 * Directions only: the abstract gives no numbers. */
Test(plan_science, crowded_larvae_are_smaller_slower_and_fewer) {
    struct batch b[3];
    crowd(b);
    for (int i = 1; i < 3; i++) {
        cr_expect_lt(b[i].prepupa_g, b[i - 1].prepupa_g, "%g against %g g", b[i].prepupa_g, b[i - 1].prepupa_g);
        cr_expect_lt(b[i].crawled, b[i - 1].crawled, "%g against %g", b[i].crawled, b[i - 1].crawled);
        cr_expect_gt(b[i].half_day, b[i - 1].half_day, "%g against %g d", b[i].half_day, b[i - 1].half_day);
    }
}

/*
 * Starved larvae take up to four months (Feedipedia, node 16388; the temperature is not given). Hungry larvae take
 * nearly twice as long here, and the last of them, at 20 degC, more than three months.
 */
Test(plan_science, scarce_feed_lengthens_larval_time_to_months) {
    static const double temps_c[] = {20, 27};
    for (int t = 0; t < 2; t++) {
        struct batch b[2];
        for (int i = 0; i < 2; i++) {
            struct wg_plan plan;
            plan_laboratory(&plan, temps_c[t], 240);
            plan_feed(&plan, i == 0 ? 2 : 0.05);
            b[i] = see_batch(&plan, 10000);
        }
        cr_expect_gt(b[1].half_day, 1.6 * b[0].half_day, "%g against %g d", b[1].half_day, b[0].half_day);
        cr_expect_gt(b[1].last_day, t == 0 ? 90 : 45, "%g d", b[1].last_day);
        cr_expect_lt(b[1].prepupa_g, 0.8 * b[0].prepupa_g, "%g against %g g", b[1].prepupa_g, b[0].prepupa_g);
    }
}

/* ---- traps ---- */

/* One well-filled trap holds tens of thousands of eggs, of a few dozen females, 400 to 900 each (common practice). */
Test(plan_science, a_well_filled_trap) {
    struct wg_plan plan;
    plan_laboratory(&plan, 28, 40);
    plan.species.laying_share_lamps = 1; /* count only females that lay */
    plan_start(&plan, 0, WG_MOVABLE_PREPUPAE, 0, 120);
    plan_add(&plan, (struct wg_action){.kind = WG_ACTION_LAY_IN_TRAPS,
                                       .from = plan.first_day,
                                       .to = plan.last_day,
                                       .every = 1,
                                       .bin = -1,
                                       .as.traps = {.share = 1}});
    struct wg_diary d;
    plan_simulate(&plan, 0, &d);
    const double females = 0.5 * (double)sum_counts(d.adults_emerged, 0, 40);
    const double trapped = (double)sum_counts(d.eggs_trapped, 0, 40);
    cr_expect(females > 24 && females < 84, "%g females", females);
    cr_expect(trapped > 10000 && trapped < 100000, "%g eggs", trapped);
    cr_expect(trapped / females > 0.5 * 400 && trapped / females < 900, "%g eggs each; some die before they lay",
              trapped / females);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}

/* ---- cold larvae brought in ---- */

/* A bin outdoors and a heated shed; on 10 January the larvae are moved indoors, or not. */
static void winter(bool moved, struct wg_diary *d) {
    struct wg_plan plan;
    plan_outdoors(&plan, 1);
    plan.first_day = wg_day_from_date((struct wg_date){2026, 11, 15});
    plan.last_day = plan.first_day + 119;
    plan_add_place(&plan, WG_SHED);
    plan.places[1].heater =
        (struct wg_heater_spec){.power_w = 20000, .set_point_c = 26, .efficiency = 1, .season = WG_ALL_YEAR};
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 12, 5000);
    const int32_t january_10 = wg_day_from_date((struct wg_date){2027, 1, 10});
    if (moved)
        plan_add(&plan, (struct wg_action){.kind = WG_ACTION_MOVE,
                                           .from = january_10,
                                           .to = january_10,
                                           .every = 1,
                                           .as.move = {.what = WG_MOVABLE_LARVAE, .to_bin = 1, .share = 1}});
    plan_simulate(&plan, 0, d);
    wg_plan_free(&plan);
}

/* Larvae that do not develop in the cold give a harvest within weeks of warmth (common practice). */
Test(plan_science, cold_larvae_moved_indoors_give_a_harvest) {
    const int move = 56, month = 28; /* 10 January; four weeks */
    double kg[2];
    for (int moved = 0; moved < 2; moved++) {
        struct wg_diary d;
        winter(moved, &d);
        if (moved) {
            const double larvae = (double)d.bin_larvae[2 * (move - 1)];
            const double crawled = (double)sum_counts(d.crawl_off_count, move, move + month);
            cr_expect_gt(larvae, 1000, "%g of 5000 are left after eight weeks of cold", larvae);
            cr_expect_gt(crawled, 0.5 * larvae, "%g of %g", crawled, larvae);
        }
        kg[moved] = sum_reals(d.crawl_off_mass, move, move + month);
        wg_diary_free(&d);
    }
    cr_expect_lt(kg[0], 0.1 * kg[1], "%g against %g kg", kg[0], kg[1]);
    cr_expect_gt(kg[1], 0.1, "%g kg", kg[1]);
}
