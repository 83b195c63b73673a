/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The published parameters of the two sets, copied again from the papers that src/species/species_numbers.c names.
 *
 * If you change one deliberately, give the published value here. Judgements are left out, because nothing outside the
 * code can check them. Derived values are compared with what they were derived from, within the rounding of the table.
 */
#include "species/clock.h"
#include "species/death.h"
#include "species/species.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species set(const char *name) {
    struct wg_species species;
    cr_assert_eq(wg_species_set(&species, name), 0);
    return species;
}

Test(numbers, are_the_published_ones) {
    static const struct {
        const char *set, *name;
        double published;
        const char *source;
    } all[] = {
        {"keepers", "larva_t0", 11.7, "Chia et al. 2018, PLoS ONE 13:e0206097, non-linear"},
        {"keepers", "larva_freeze", -7.3, "Spranghers et al. 2017, J. Econ. Entomol. 110:1501"},
        {"keepers", "prepupa_freeze", -12.4, "Spranghers et al. 2017"},
        {"keepers", "pupa_freeze", -13.7, "Spranghers et al. 2017"},
        {"keepers", "dark_prepupa_factor", 1.85,
         "Holmes et al. 2017, Environ. Entomol. 46(6): 80-90 % more heat units"},
        {"keepers", "gas_share", 0.24, "Parodi et al. 2020, abstract"},
        {"keepers", "mating_after", 2.0,
         "Tomberlin & Sheppard 2002, J. Entomol. Sci. 37:345: 69 % of matings on day 2"},
        {"keepers", "laying_after", 2.0, "the same: 70 % of layings on day 4"},
        {"keepers", "female_share", 0.5, "common practice: as many females as males"},
        {"laboratory", "female_share", 0.55, "Tomberlin, Sheppard & Joyce 2002: 55-60 % of emerged flies"},
        {"laboratory", "clutch_low", 324, "Chia et al. 2018, PeerJ 6:e5885, abstract"},
        {"laboratory", "clutch_high", 787, "the same"},
        {"laboratory", "final_mass", 0.176, "Broeckx et al. 2021, Sustainability 13:12953, abstract"},
        {"laboratory", "mass_cool_limit", 24.9, "Harnden & Tomberlin 2016, Forensic Sci. Int. 266:109, abstract"},
        {"laboratory", "mass_warm_from", 32.2, "the same"},
        {"laboratory", "mating_air", 20.0, "Chia et al. 2018, in Kobelski et al. 2024"},
        {"laboratory", "laying_air", 20.0, "the same"},
    };
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const struct wg_species species = set(all[i].set);
        const struct wg_parameter *const p = wg_species_find(all[i].name);
        cr_assert_not_null(p, "%s", all[i].name);
        const double value = wg_species_get(&species, p);
        cr_expect_float_eq(value, all[i].published, 1e-12, "%s %s: %g, published %g (%s)", all[i].set, all[i].name,
                           value, all[i].published, all[i].source);
    }
}

/* The scale of each curve was derived from one duration. */
Test(numbers, scales_of_the_curves_give_the_days_they_come_from) {
    static const struct {
        const char *set;
        enum wg_clock_stage stage;
        double temp_c, days;
    } all[] = {
        {"keepers", WG_CLOCK_EGG, 25, 100.0 / 24}, {"keepers", WG_CLOCK_LARVA, 27, 22},
        {"keepers", WG_CLOCK_PREPUPA, 27, 8.5},    {"keepers", WG_CLOCK_PUPA, 27, 10},
        {"keepers", WG_CLOCK_ADULT, 27, 11},       {"laboratory", WG_CLOCK_EGG, 30, 3.3},
        {"laboratory", WG_CLOCK_LARVA, 30, 17.6},  {"laboratory", WG_CLOCK_PREPUPA, 30, 8.0},
        {"laboratory", WG_CLOCK_PUPA, 30, 8.0},    {"laboratory", WG_CLOCK_ADULT, 27, 10},
    };
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const struct wg_species species = set(all[i].set);
        const double days = 1 / wg_rate_per_day(&species.rate[all[i].stage], all[i].temp_c);
        cr_expect_float_eq(days / all[i].days, 1, 0.01, "%s, stage %d: %g d at %g degC, not %g", all[i].set,
                           (int)all[i].stage, days, all[i].temp_c, all[i].days);
    }
}

/*
 * The hazards of the laboratory set give a gamma stage of mean D days and coefficient of variation c the survival S =
 * (1 + h c^2 D)^(-1/c^2) at 27 degC, and so wherever the hazard follows the pace of development: 0.93, 0.95, 0.92 for larva, prepupa, pupa, together inside 0.74-0.97 (Tomberlin,
 * Adler & Myers 2009), and 0.80 for eggs.
 */
Test(numbers, hazards_leave_the_survival_they_come_from) {
    const double wanted[] = {
        [WG_CLOCK_EGG] = 0.80, [WG_CLOCK_LARVA] = 0.93, [WG_CLOCK_PREPUPA] = 0.95, [WG_CLOCK_PUPA] = 0.92};
    const struct wg_species species = set("laboratory");
    for (int stage = WG_CLOCK_EGG; stage <= WG_CLOCK_PUPA; stage++) {
        const double c = species.spread[stage];
        for (int temp_c = 18; temp_c <= 33; temp_c += 5) {
            const double days = 1 / wg_rate_per_day(&species.rate[stage], temp_c);
            const double hazard = wg_hazard_background(&species, (enum wg_clock_stage)stage, temp_c);
            const double left = pow(1 + hazard * c * c * days, -1 / (c * c));
            cr_expect_float_eq(left, wanted[stage], 0.002, "stage %d at %d degC: %g of %g live through", stage, temp_c,
                               left, wanted[stage]);
        }
    }
}

/*
 * Half of acclimated prepupae are dead after 23 days at 5 degC, of cold and background together, awake or dormant
 * (Spranghers et al. 2017, J. Econ. Entomol. 110:1501, abstract). None develop at 5 degC (Chia et al. 2018, PLoS ONE: the
 * lowest threshold is 10.4 degC), so the background is at its floor.
 */
Test(numbers, half_of_prepupae_outlive_23_days_at_five_degrees) {
    const char *const sets[] = {"keepers", "laboratory"};
    for (int i = 0; i < 2; i++) {
        const struct wg_species species = set(sets[i]);
        const double cold = wg_hazard_cold(&species, WG_COLD_PREPUPA, 5);
        const double awake = species.background_floor * species.hazard[WG_CLOCK_PREPUPA];
        cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 5), awake, 1e-15);
        cr_expect_float_eq(exp(-23 * (cold + awake)), 0.5, 0.005, "%s: %g", sets[i], exp(-23 * (cold + awake)));
        cr_expect_float_eq(exp(-23 * (cold + species.dormant_hazard)), 0.5, 0.005, "%s, dormant", sets[i]);
    }
}

/* Of 72 h at 4 degC 2 % of eggs and second instars and 23 % of pupae come out alive (Villazana & Alyokhin 2019). */
Test(numbers, keepers_cold_goes_through_the_survivals_after_three_days_at_four_degrees) {
    static const struct {
        enum wg_cold_curve line;
        enum wg_clock_stage stage;
        double left;
    } all[] = {{WG_COLD_EGG, WG_CLOCK_EGG, 0.02},
               {WG_COLD_YOUNG_LARVA, WG_CLOCK_LARVA, 0.02},
               {WG_COLD_PUPA, WG_CLOCK_PUPA, 0.23}};
    const struct wg_species species = set("keepers");
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const double hazard =
            wg_hazard_cold(&species, all[i].line, 4) + wg_hazard_background(&species, all[i].stage, 4);
        cr_expect_float_eq(exp(-3 * hazard), all[i].left, 0.005, "curve %d: %g", (int)all[i].line, exp(-3 * hazard));
    }
}

/*
 * The laboratory's cold lines come from the survival S of three days at 4 degC (of prepupae 23 days at 5 degC, Spranghers et
 * al. 2017) and of one hour at -12 degC (Villazana & Alyokhin 2019, J. Econ. Entomol. 112:2632: 2 % of eggs, 1 % of older
 * stages; second instars as eggs): s = ln(hazard ratio) per K, and h4 what the background leaves of the hazard there.
 */
Test(numbers, cold_lines_go_through_the_survivals_they_come_from) {
    static const struct {
        const char *name;
        enum wg_cold_curve line;
        enum wg_clock_stage stage;
        double temp_c, days, left, frost_left;
    } all[] = {
        {"egg", WG_COLD_EGG, WG_CLOCK_EGG, 4, 3, 0.02, 0.02},
        {"second instar", WG_COLD_YOUNG_LARVA, WG_CLOCK_LARVA, 4, 3, 0.02, 0.02},
        {"fifth instar", WG_COLD_OLD_LARVA, WG_CLOCK_LARVA, 4, 3, 0.90, 0.01},
        {"prepupa", WG_COLD_PREPUPA, WG_CLOCK_PREPUPA, 5, 23, 0.50, 0.01},
        {"pupa", WG_COLD_PUPA, WG_CLOCK_PUPA, 4, 3, 0.23, 0.01},
    };
    const struct wg_species species = set("laboratory");
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const double cold = -log(all[i].left) / all[i].days, frost = -log(all[i].frost_left) * 24;
        const double slope = wg_cold_of(&species, all[i].line).s;
        cr_expect_float_eq(slope, log(frost / cold) / (all[i].temp_c + 12), 0.001, "%s: %g", all[i].name, slope);
        const double hazard = wg_hazard_cold(&species, all[i].line, all[i].temp_c) +
                              wg_hazard_background(&species, all[i].stage, all[i].temp_c);
        const double left = exp(-hazard * all[i].days);
        cr_expect_float_eq(left, all[i].left, 0.002, "%s: %g live", all[i].name, left);
    }
}

/* An hour at -12 degC leaves fewer than 1 % of larvae (Villazana & Alyokhin 2019); the hazard is no larger than needed. */
Test(numbers, frost_kills_as_published) {
    const struct wg_species species = set("keepers");
    const double left = exp(-species.freeze_hazard / 24);
    cr_expect(left < 0.01 && left > 0.005, "%g", left);
}
