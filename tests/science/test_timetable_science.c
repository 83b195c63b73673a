/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The species against measurements and keepers' experience: durations, survival,
 * temperatures, growth. Each check names its source and the set for which it holds;
 * where a set misses, the test fixes by how much and the comment says why. "common
 * practice" is what keepers commonly report.
 */
#include "species/breeding.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/dormancy.h"
#include "species/growth.h"
#include "species/lifetable.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species keepers, laboratory;

static void both(void) {
    cr_assert_eq(wg_species_set(&keepers, "keepers"), 0);
    cr_assert_eq(wg_species_set(&laboratory, "laboratory"), 0);
}

TestSuite(durations, .init = both);
TestSuite(survival, .init = both);
TestSuite(cold, .init = both);
TestSuite(growth, .init = both);
TestSuite(flies, .init = both);
TestSuite(colony, .init = both);
TestSuite(winter, .init = both);

#define expect_within(value, low, high)                                                                                \
    cr_expect((value) >= (low) && (value) <= (high), "%s is %g, not %g..%g", #value, (double)(value), (double)(low),   \
              (double)(high))

static double days(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    return wg_stage_days(species, stage, temp_c);
}

static double egg_to_adult(const struct wg_species *species, double temp_c) {
    return days(species, WG_CLOCK_EGG, temp_c) + days(species, WG_CLOCK_LARVA, temp_c) +
           days(species, WG_CLOCK_PREPUPA, temp_c) + days(species, WG_CLOCK_PUPA, temp_c);
}

/* ---- durations ---- */

/* The durations to which the keepers' rates were set, within the rounding of the table. */
Test(durations, keepers_table) {
    static const double temps[7] = {15.0, 18.3, 20.0, 25.0, 27.0, 30.0, 36.0};
    static const double table[WG_N_CLOCKS][7] = {{23, 9.7, 7.3, 4.2, 3.6, 3.1, 3.0},
                                                 {124, 55, 42, 25, 22, 19.7, 30},
                                                 {53, 22.2, 16.8, 9.7, 8.5, 7.5, 9.3},
                                                 {62, 26.1, 19.8, 11.5, 10.0, 8.8, 11.0},
                                                 {42, 24, 20, 12.6, 11.0, 9.4, 7.9}};
    for (int i = 0; i < WG_N_CLOCKS; i++)
        for (int j = 0; j < 7; j++) {
            const double got = days(&keepers, (enum wg_clock_stage)i, temps[j]);
            /* 65 degF is 18.33 degC; the table rounds it, which changes the days by 1 % */
            const double leeway = fmax(0.05, 0.02 * table[i][j]) + (table[i][j] >= 20.0 ? 0.5 : 0.0);
            cr_expect_lt(fabs(got - table[i][j]), leeway, "stage %d at %g degC: %.2f, not %g", i, temps[j], got,
                         table[i][j]);
        }
}

/* The laboratory curve was fitted elsewhere; here its published table, days at 15 ... 37 degC. */
Test(durations, laboratory_table) {
    static const double temps[9] = {15, 18, 20, 25, 27, 30, 32, 35, 37};
    static const double larva[9] = {83.2, 45.5, 34.5, 21.8, 19.5, 17.6, 17.3, 18.9, 23.3};
    static const double egg_adult[9] = {174.4, 95.5, 72.3, 45.8, 40.9, 36.9, 36.3, 39.6, 48.8};
    for (int j = 0; j < 9; j++) {
        cr_expect_float_eq(days(&laboratory, WG_CLOCK_LARVA, temps[j]), larva[j], 0.06, "%g degC", temps[j]);
        cr_expect_float_eq(egg_to_adult(&laboratory, temps[j]) / egg_adult[j], 1.0, 0.003, "%g degC", temps[j]);
    }
}

Test(durations, eggs_hatch_in_about_a_hundred_hours) {
    /* common practice: about 100 h at 25 degC; Booth & Sheppard 1984 (MEMORY): 102-105 h at 24 degC */
    cr_expect_float_eq(24.0 * days(&keepers, WG_CLOCK_EGG, 25.0), 100.0, 3.0);
    cr_expect_float_eq(24.0 * days(&laboratory, WG_CLOCK_EGG, 25.0), 100.0, 3.0);
    expect_within(24.0 * days(&laboratory, WG_CLOCK_EGG, 24.0), 100.0, 107.0);
    expect_within(24.0 * days(&keepers, WG_CLOCK_EGG, 24.0), 100.0, 111.0); /* 109 h: set by the other figure */
}

Test(durations, eggs_stand_still_at_ten_degrees) {
    /* A day at 10 degC delays the hatch by a day (The phases and effects of low temperature exposure on embryonic
     * development in Hermetia illucens, J. Insects Food Feed, abstract). */
    cr_expect_float_eq(wg_rate_per_day(&keepers.rate[WG_CLOCK_EGG], 10.0), 0.0, 0.0);
    cr_expect_float_eq(wg_rate_per_day(&laboratory.rate[WG_CLOCK_EGG], 10.0), 0.0, 0.0);
}

Test(durations, larvae_in_the_warm_and_in_a_cool_house) {
    /* common practice: three to four weeks at 25-28 degC, six to eight at 18-20 degC */
    for (double temp_c = 25.0; temp_c <= 28.0; temp_c += 0.5)
        expect_within(days(&keepers, WG_CLOCK_LARVA, temp_c), 20.9, 28.0);
    expect_within(days(&keepers, WG_CLOCK_LARVA, 20.0), 42.0, 56.0);
    expect_within(days(&keepers, WG_CLOCK_LARVA, 18.3), 42.0, 56.0);
    /* The laboratory trays are faster throughout: 2.7 to 3.1 weeks, and 4.9 weeks at 20 degC. A deliberate miss. */
    expect_within(days(&laboratory, WG_CLOCK_LARVA, 26.0), 18.0, 28.0);
    expect_within(days(&laboratory, WG_CLOCK_LARVA, 20.0), 34.0, 42.0);
}

Test(durations, sixty_five_fahrenheit_is_near_standstill) {
    /* common practice: at 65 degF at most 40 % of the development at 27 degC */
    const double f65 = (65.0 - 32.0) / 1.8;
    cr_expect_leq(days(&keepers, WG_CLOCK_LARVA, 27.0) / days(&keepers, WG_CLOCK_LARVA, f65), 0.401);
    /* 45 % in the laboratory set: its lower threshold, 10.4 degC, is the lower of the two of Chia et al. 2018 */
    cr_expect_leq(days(&laboratory, WG_CLOCK_LARVA, 27.0) / days(&laboratory, WG_CLOCK_LARVA, f65), 0.46);
}

Test(durations, straight_lines_of_chia_2018) {
    /*
     * Chia et al. 2018, PLoS ONE 13:e0206097: 250 +- 25 degree-days above 12.3 degC and 333 +- 51 above 11.7, on two
     * diets. Where both lines hold (20 to 27 degC) the sets must lie between the fast line minus one standard error and
     * the slow line plus one.
     */
    for (double temp_c = 20.0; temp_c <= 27.0; temp_c += 1.0) {
        const double fast = 225.0 / (temp_c - 12.3), slow = 384.0 / (temp_c - 11.7);
        expect_within(days(&keepers, WG_CLOCK_LARVA, temp_c), fast, slow);
        expect_within(days(&laboratory, WG_CLOCK_LARVA, temp_c), fast, slow);
    }
}

Test(durations, tomberlin_2002_at_27_degrees) {
    /* Tomberlin, Sheppard & Joyce 2002, Ann. Entomol. Soc. Am. 95:379: larva 22-24 d, egg to adult 40-43 d */
    expect_within(days(&keepers, WG_CLOCK_LARVA, 27.0), 21.9, 24.0);
    expect_within(egg_to_adult(&laboratory, 27.0), 40.0, 43.0);
    /* Each set misses one half: keepers' prepupae and pupae are slow (44 d), laboratory larvae fast (19.5 d). */
    expect_within(egg_to_adult(&keepers, 27.0), 43.0, 44.5);
    expect_within(days(&laboratory, WG_CLOCK_LARVA, 27.0), 19.0, 22.0);
}

Test(durations, chia_2018_on_twelve_diets_near_28_degrees) {
    /* Chia et al. 2018, PeerJ: larva 16-21, prepupa 8-11, pupa 8.7-9.1 d; pupae within half a day */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        expect_within(days(sets[i], WG_CLOCK_LARVA, 28.0), 16.0, 21.0);
        expect_within(days(sets[i], WG_CLOCK_PREPUPA, 28.0), 8.0, 11.0);
        expect_within(days(sets[i], WG_CLOCK_PUPA, 28.0), 8.2, 9.6);
    }
}

/* Five-day larva to adult, days, at a constant temperature. */
static double five_day_larva_to_adult(const struct wg_species *species, double temp_c) {
    return egg_to_adult(species, temp_c) - days(species, WG_CLOCK_EGG, temp_c) - 5.0;
}

Test(durations, tomberlin_2009_at_27_and_30_degrees) {
    /*
     * Tomberlin, Adler & Myers 2009, Environ. Entomol. 38:930: about 4 d or 11 % longer at 27 than at 30 degC, hence
     * about 40 and 36 d. Both sets are shorter (keepers 35.5 and 31.0, laboratory 32.2 and 28.6: their grain diet was
     * slow); the difference agrees: 4.5 and 3.6 d, which is 15 and 13 % of the shorter times.
     */
    expect_within(five_day_larva_to_adult(&keepers, 27.0), 34.5, 41.0);
    expect_within(five_day_larva_to_adult(&keepers, 30.0), 30.5, 37.0);
    expect_within(five_day_larva_to_adult(&keepers, 27.0) - five_day_larva_to_adult(&keepers, 30.0), 3.4, 4.6);
    expect_within(five_day_larva_to_adult(&laboratory, 27.0) - five_day_larva_to_adult(&laboratory, 30.0), 3.4, 4.6);
    expect_within(five_day_larva_to_adult(&keepers, 27.0) / five_day_larva_to_adult(&keepers, 30.0), 1.08, 1.15);
    expect_within(five_day_larva_to_adult(&laboratory, 27.0) / five_day_larva_to_adult(&laboratory, 30.0), 1.08, 1.15);
}

Test(durations, darkness_delays_prepupae) {
    /*
     * Holmes, VanLaerhoven & Tomberlin 2017, Environ. Entomol. 46(6): without light 80-90 % more heat units from the
     * end of feeding to pupation. From egg to adult they found 38-39 %; ours, with the prepupa a fifth of the whole,
     * is 16 %: their other stages slowed too, ours only the prepupa.
     */
    expect_within(keepers.dark_prepupa_factor, 1.80, 1.90);
    const double longer = (keepers.dark_prepupa_factor - 1.0) * days(&keepers, WG_CLOCK_PREPUPA, 27.0);
    expect_within(longer / egg_to_adult(&keepers, 27.0), 0.12, 0.40);
}

/* ---- survival ---- */

/* The background follows the pace of development, down to a floor. */
static double background(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    const double pace = days(species, stage, 27.0) / days(species, stage, temp_c);
    return species->hazard[stage] * fmax(pace, species->background_floor);
}

/* Closed form: a gamma stage of mean 1/rate and spread c under a constant hazard. */
static double stage_survival(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    const double c2 = species->spread[stage] * species->spread[stage];
    const double hazard = background(species, stage, temp_c) + wg_hazard_heat_chronic(species, temp_c) +
                          wg_hazard_heat_acute(species, temp_c);
    return pow(1.0 + hazard * c2 / wg_rate_per_day(&species->rate[stage], temp_c), -1.0 / c2);
}

/* No larva leaves the stage by day five, so deaths of the first five days factor out. */
static double five_day_larva_survival(const struct wg_species *species, double temp_c) {
    const double hazard = background(species, WG_CLOCK_LARVA, temp_c) + wg_hazard_heat_chronic(species, temp_c) +
                          wg_hazard_heat_acute(species, temp_c);
    return stage_survival(species, WG_CLOCK_LARVA, temp_c) * exp(5.0 * hazard) *
           stage_survival(species, WG_CLOCK_PREPUPA, temp_c) * stage_survival(species, WG_CLOCK_PUPA, temp_c);
}

Test(survival, tomberlin_2009_at_27_30_and_36_degrees) {
    /* Tomberlin, Adler & Myers 2009: 74-97 % of 4- to 6-day larvae become adults at 27 and 30 degC, 0.1 % at 36 */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        expect_within(five_day_larva_survival(sets[i], 27.0), 0.74, 0.97);
        expect_within(five_day_larva_survival(sets[i], 30.0), 0.74, 0.97);
        expect_within(five_day_larva_survival(sets[i], 36.0), 0.0005, 0.0015); /* rounds to 0.1 % */
    }
}

Test(survival, chia_2018_on_twelve_diets) {
    /* Chia et al. 2018, PeerJ: larva 86-99, prepupa 71-95, pupa 65-91 %; tolerance of two points at the ends */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        expect_within(stage_survival(sets[i], WG_CLOCK_LARVA, 28.0), 0.84, 1.0);
        expect_within(stage_survival(sets[i], WG_CLOCK_PREPUPA, 28.0), 0.69, 0.97);
        expect_within(stage_survival(sets[i], WG_CLOCK_PUPA, 28.0), 0.63, 0.93);
    }
}

Test(survival, life_table_agrees_with_the_closed_form) {
    const struct wg_lifetable_setting setting = {.temp_c = 27.0, .light_h = 12.0, .laying_share = 0.45, .quality = 1.0};
    struct wg_lifetable table;
    wg_lifetable_make(&table, &keepers, &setting);
    for (int i = 0; i < WG_CLOCK_ADULT; i++)
        cr_expect_float_eq(table.survival[i], stage_survival(&keepers, (enum wg_clock_stage)i, 27.0), 1e-12);
}

/* ---- cold ---- */

static double alive(const struct wg_species *species, enum wg_clock_stage stage, enum wg_cold_curve line, double temp_c,
                    double for_days) {
    const double hazard = background(species, stage, temp_c) + wg_hazard_cold(species, line, temp_c) +
                          wg_hazard_freezing(species, stage, temp_c);
    return exp(-hazard * for_days);
}

static double larvae_alive(const struct wg_species *species, double x, double temp_c, double for_days) {
    const double cold = wg_hazard_cold_larva(species, x, wg_hazard_cold(species, WG_COLD_YOUNG_LARVA, temp_c),
                                             wg_hazard_cold(species, WG_COLD_OLD_LARVA, temp_c));
    const double hazard =
        background(species, WG_CLOCK_LARVA, temp_c) + cold + wg_hazard_freezing(species, WG_CLOCK_LARVA, temp_c);
    return exp(-hazard * for_days);
}

/* Middles of the instars in larval development: the first five share the first half (after Gligorescu et al. 2019). */
static const double second_instar = 0.15, third_instar = 0.25, fifth_instar = 0.45;

Test(cold, villazana_2019_three_days_at_four_degrees) {
    /* Villazana & Alyokhin 2019, J. Econ. Entomol. 112:2632: eggs and second instars 2 %, third over 80 %, fifth over
       90 %, pupae 23 % */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        expect_within(alive(sets[i], WG_CLOCK_EGG, WG_COLD_EGG, 4.0, 3.0), 0.015, 0.025);
        expect_within(larvae_alive(sets[i], second_instar, 4.0, 3.0), 0.015, 0.025);
        expect_within(larvae_alive(sets[i], third_instar, 4.0, 3.0), 0.80, 0.90);
        expect_within(larvae_alive(sets[i], fifth_instar, 4.0, 3.0), 0.90, 0.95);
        expect_within(alive(sets[i], WG_CLOCK_PUPA, WG_COLD_PUPA, 4.0, 3.0), 0.20, 0.26);
    }
}

Test(cold, villazana_2019_an_hour_at_minus_twelve) {
    /* same: 2 % of eggs, fewer than 1 % of larvae, no pupa alive after 60 min */
    const double hour = 1.0 / 24.0;
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        cr_expect_leq(alive(sets[i], WG_CLOCK_EGG, WG_COLD_EGG, -12.0, hour), 0.02);
        cr_expect_lt(larvae_alive(sets[i], third_instar, -12.0, hour), 0.01);
        cr_expect_lt(larvae_alive(sets[i], fifth_instar, -12.0, hour), 0.01);
    }
    cr_expect_leq(alive(&laboratory, WG_CLOCK_PUPA, WG_COLD_PUPA, -12.0, hour), 0.02);
    /*
     * Keepers' pupae: a third survives, because in Spranghers et al. 2017 pupae freeze only at -13.7 degC. Unresolved.
     */
    expect_within(alive(&keepers, WG_CLOCK_PUPA, WG_COLD_PUPA, -12.0, hour), 0.25, 0.40);
}

Test(cold, spranghers_2017_half_of_prepupae_after_23_days_at_five_degrees) {
    const double keeps = alive(&keepers, WG_CLOCK_PREPUPA, WG_COLD_PREPUPA, 5.0, 23.0);
    const double lab = alive(&laboratory, WG_CLOCK_PREPUPA, WG_COLD_PREPUPA, 5.0, 23.0);
    expect_within(keeps, 0.45, 0.55);
    expect_within(lab, 0.45, 0.55);
}

Test(cold, a_day_at_ten_degrees_spares_most_eggs) {
    /* Egg-chilling trial, abstract: over 80 % of unchilled eggs at the best age, 70 % or less at others */
    const double hardly = exp(-wg_hazard_cold(&keepers, WG_COLD_EGG, 10.0));
    expect_within(hardly, 0.65, 0.85);
    expect_within(exp(-wg_hazard_cold(&laboratory, WG_COLD_EGG, 10.0)), 0.65, 0.85);
}

Test(cold, stalled_larvae_outlive_weeks_in_a_cellar) {
    /* common practice: larvae keep several weeks at 10-16 degC and resume when warmed. */
    cr_expect_gt(larvae_alive(&keepers, fifth_instar, 12.0, 28.0), 0.6);
    cr_expect_gt(larvae_alive(&laboratory, fifth_instar, 12.0, 28.0), 0.6);
}

/* ---- growth ---- */

Test(growth, larvae_at_a_week_or_ten_days) {
    /*
     * Padmanabha et al. 2020 and 2023 start their growth model with 4.28 mg dry at 7 to 10 d, 14 mg fresh at 30 % dry
     * matter and 30 mg at 15 %. Of all parameters here, only growth_rate was set to it.
     */
    const double mg = 1e3 * wg_larva_mass_at_x(&keepers, wg_larva_x_at_age(&keepers, 8.5), 1.0);
    expect_within(mg, 14.0, 30.0);
    expect_within(1e3 * wg_larva_mass_at_x(&laboratory, wg_larva_x_at_age(&laboratory, 8.5), 1.0), 14.0, 30.0);
    /* and the curve flattens: the last tenth of development adds less than the tenth before its middle */
    cr_expect_lt(1.0 - wg_growth_share(&keepers, 0.9), wg_growth_share(&keepers, 0.6) - wg_growth_share(&keepers, 0.5));
}

Test(growth, final_masses_are_in_the_published_range) {
    /*
     * Feedipedia, node 16388: at most 0.22 g; Insects 2023, 14:434: prepupae 0.225 g; Broeckx et al. 2021: 0.038-0.176
     * g
     */
    expect_within(wg_final_mass_g(&keepers, 27.0, 1.0), 0.038, 0.225);
    expect_within(wg_final_mass_g(&laboratory, 27.0, 1.0), 0.038, 0.1765);
}

Test(growth, harnden_2016_contradicts_the_keepers) {
    /* Harnden & Tomberlin 2016, Forensic Sci. Int. 266:109: about 30 % heavier at 27.6 and 32.2 than at 24.9 degC */
    const double lab = wg_final_mass_g(&laboratory, 27.6, 1.0) / wg_final_mass_g(&laboratory, 24.9, 1.0);
    expect_within(lab, 1.25, 1.35);
    cr_expect_float_eq(wg_final_mass_g(&laboratory, 32.2, 1.0), wg_final_mass_g(&laboratory, 27.6, 1.0), 1e-9);
    /* common practice: larger grubs in a cool winter house. Both cannot be true; each set follows one. */
    cr_expect_gt(wg_final_mass_g(&keepers, 19.0, 1.0), wg_final_mass_g(&keepers, 27.0, 1.0));
}

Test(growth, feed_for_a_tray_of_the_handbook) {
    /*
     * Dortmans et al. 2017 (MEMORY): 10,000 five-day larvae on 15 kg of wet waste, about 75 % moist, in 12 days. At 30
     * degC that is day 5 to day 17; the demand must be of the order of the feed given, 3.75 kg dry.
     */
    const double per_day = wg_rate_per_day(&keepers.rate[WG_CLOCK_LARVA], 30.0);
    const double share = wg_growth_share(&keepers, 17.0 * per_day) - wg_growth_share(&keepers, 5.0 * per_day);
    const double gain_g = wg_final_mass_g(&keepers, 30.0, 1.0) * share;
    expect_within(1e4 * wg_feed_for_gain_kg(&keepers, gain_g), 1.9, 3.75);
}

/* ---- flies ---- */

static struct wg_lifetable table_at(const struct wg_species *species, double temp_c) {
    const struct wg_lifetable_setting setting = {
        .temp_c = temp_c, .light_h = 12.0, .laying_share = species->laying_share_lamps, .quality = 1.0};
    struct wg_lifetable table;
    wg_lifetable_make(&table, species, &setting);
    return table;
}

Test(flies, tomberlin_2002_mate_on_day_two_and_lay_on_day_four) {
    /* Tomberlin & Sheppard 2002, J. Entomol. Sci. 37:345: 69 % of matings on day 2, 70 % of layings on day 4 */
    const struct wg_lifetable table = table_at(&keepers, 27.0);
    cr_expect_float_eq(table.mating_days, 2.0, 0.05);
    cr_expect_float_eq(table.laying_days, 4.0, 0.05);
}

Test(flies, dickerson_2024_nearly_all_on_days_two_to_six) {
    /* Dickerson et al. 2024, J. Econ. Entomol.: 98 % of matings and 92 % of layings on days 2 to 6 */
    for (double temp_c = 25.0; temp_c <= 30.0; temp_c += 1.0) {
        expect_within(table_at(&keepers, temp_c).mating_days, 1.5, 6.0);
        expect_within(table_at(&keepers, temp_c).laying_days, 2.0, 6.0);
    }
}

Test(flies, kobelski_2024_days_to_laying) {
    /* Kobelski et al. 2024, Front. Bioeng. Biotechnol. 12:1404776: 4.3, 3.1 and 2.46 d at 25, 30 and 35 degC */
    cr_expect_float_eq(table_at(&laboratory, 25.0).laying_days, 4.3, 0.25);
    cr_expect_float_eq(table_at(&laboratory, 30.0).laying_days, 3.1, 0.25);
    cr_expect_float_eq(table_at(&laboratory, 35.0).laying_days, 2.46, 0.25);
}

Test(flies, live_as_long_as_published) {
    /* Tomberlin et al. 2002: females 8 d at 27 degC; Chia et al. 2018, PeerJ: 11-14 d with water near 28 degC;
       Nakamura et al. 2016 (in Kobelski et al. 2024): about 18 d at 25 degC. Accidents shorten the clock's life. */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        const double rate = wg_rate_per_day(&sets[i]->rate[WG_CLOCK_ADULT], 27.0);
        const double hazard = sets[i]->hazard[WG_CLOCK_ADULT];
        /* mean life with both: (1 - E[exp(-h D/r)])/h, or 1/r without accidents */
        const double c2 = sets[i]->spread[WG_CLOCK_ADULT] * sets[i]->spread[WG_CLOCK_ADULT];
        const double life = hazard > 0.0 ? (1.0 - pow(1.0 + hazard * c2 / rate, -1.0 / c2)) / hazard : 1.0 / rate;
        expect_within(life, 8.0, 14.0);
    }
}

Test(flies, clutches) {
    /* common practice: 400 to 900; published: 324-787 (Chia et al. 2018, PeerJ), 569-650 (Julita et al. 2020) */
    expect_within(table_at(&keepers, 28.0).clutch, 569.0, 700.0);
    expect_within(table_at(&laboratory, 28.0).clutch, 324.0, 787.0);
    /* Kobelski et al. 2024: 315 mg of eggs from 50 females at 25 degC are 225-252 a female, layers or not */
    const struct wg_lifetable table = table_at(&keepers, 25.0);
    expect_within(table.clutch * keepers.laying_share_lamps * table.survival[WG_CLOCK_ADULT], 215.0, 265.0);
}

/* ---- the colony ---- */

Test(colony, growth_rate_at_thirty_degrees) {
    /*
     * Samayoa et al. 2016, J. Econ. Entomol. 109:2076 (MEMORY): 0.076 per day, R0 68; Chia et al. 2018, PLoS ONE: 0.122
     * and 0.127 per day, doubling in 5.7 and 5.5 d. Ours must lie between the two laboratories.
     */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        const struct wg_lifetable table = table_at(sets[i], 30.0);
        expect_within(table.growth_per_day, 0.076, 0.127);
        expect_within(table.doubling_days, 5.5, 9.2);
        expect_within(table.daughters_and_sons, 60.0, 125.0);
    }
}

Test(colony, thirty_degrees_is_best) {
    /* Chia et al. 2018, PLoS ONE: of the constant temperatures at which they bred */
    const double temps[6] = {15.0, 20.0, 25.0, 30.0, 35.0, 37.0};
    for (int j = 0; j < 6; j++) {
        if (j == 3)
            continue;
        cr_expect_lt(table_at(&keepers, temps[j]).growth_per_day, table_at(&keepers, 30.0).growth_per_day);
        cr_expect_lt(table_at(&laboratory, temps[j]).growth_per_day, table_at(&laboratory, 30.0).growth_per_day);
    }
}

Test(colony, generations_a_year_in_a_forced_house) {
    /*
     * common practice: 5 to 7 a year with heating all year. A house is not at 27 degC day and night: 24 degC gives 6.1
     * in the keepers' set, and 27 degC 7.6, the shortest possible generation time.
     */
    expect_within(table_at(&keepers, 24.0).generations_per_year, 5.0, 7.0);
    expect_within(table_at(&laboratory, 22.0).generations_per_year, 5.0, 7.0);
    expect_within(table_at(&keepers, 27.0).generations_per_year, 7.0, 8.0);
}

Test(colony, traps_are_pulled_before_the_hatch) {
    /* common practice: eggs hatch after about 4 days in the warm, so traps are pulled about every 3 days */
    for (double temp_c = 25.0; temp_c <= 30.0; temp_c += 1.0) {
        const double interval = wg_trap_interval_days(&keepers, temp_c, 0.05);
        expect_within(interval, 3.0, 4.5);
        cr_expect_gt(interval, days(&keepers, WG_CLOCK_EGG, temp_c)); /* the oldest eggs may hatch */
    }
}

/* ---- winter ---- */

Test(winter, prepupae_sleep_in_cold_short_days_only) {
    /* common practice: dormant prepupae outdoors in winter, none in a heated house or in summer */
    const struct wg_species *const sets[2] = {&keepers, &laboratory};
    for (int i = 0; i < 2; i++) {
        cr_expect_gt(wg_dormancy_chance(sets[i], 10.5, 12.0), 0.99);
        cr_expect_lt(wg_dormancy_chance(sets[i], 14.0, 26.0), 0.001);
    }
}

Test(winter, emergence_takes_weeks) {
    /*
     * common practice: an overwintered cohort emerges over weeks, not at once. The heat that 80 % need lies between
     * exp(-1.2816 s) and exp(1.2816 s) of the median; at 8 degC above the base that range takes so many weeks.
     */
    const double s = keepers.dorm_heat_sigma;
    const double per_day = wg_dormancy_heat(&keepers, keepers.dorm_heat_base_c + 8.0);
    const double weeks = (exp(1.2816 * s) - exp(-1.2816 * s)) / per_day / 7.0;
    expect_within(weeks, 2.0, 6.0);
}
