/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The heat of a kilogram of feed eaten against carbon, energy and published calorimetry.
 */
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>

/*
 * 24 % of the carbon eaten leaves as CO2 (Parodi et al. 2020, abstract). Dry feed is 45 % carbon (common practice), a
 * gram of carbon is 44/12 g of CO2, and a gram of CO2 from sugar releases 10.6 kJ (2,805 kJ and 264 g per mol of
 * glucose, MEMORY), from mixed feed 10.7. The product is rounded in the table: 2 %.
 */
Test(heat_science, is_that_of_the_gas) {
    const char *const numbers[] = {"keepers", "laboratory"};
    for (int i = 0; i < 2; i++) {
        struct wg_species s;
        cr_assert_eq(wg_species_set(&s, numbers[i]), 0);
        const double derived = s.gas_share * 0.45 * 44 / 12 * 10.7e6;
        cr_expect_float_eq(s.heat_per_dry_feed / derived, 1.0, 0.02, "%s: %g, derived %g J/kg", numbers[i],
                           s.heat_per_dry_feed, derived);
    }
}

/*
 * Larvae keep 53 to 58 % of the carbon they assimilate: 14 to 18 MJ of heat per kg of dry matter gained (Eriksen
 * 2024).
 */
Test(heat_science, of_a_kilogram_gained) {
    struct wg_species s;
    cr_assert_eq(wg_species_set(&s, "keepers"), 0);
    const double mj_kg = s.heat_per_dry_feed / s.conversion / 1e6;
    cr_expect(mj_kg > 14 && mj_kg < 18, "%.2f MJ/kg", mj_kg);
}

/*
 * Larvae in a calorimeter gave 18.3, 10.2 and 5.75 W per kg fresh mass in groups of 100, 300 and 500 (McEachern 2018,
 * thesis). Group size has no effect here: the mean over well-fed growth from 5 days of age at 27 degC must lie between.
 */
Test(heat_science, of_a_kilogram_of_larvae) {
    struct wg_plan plan;
    struct wg_diary d;
    double mean_w_kg = 0, days = 0;
    plan_laboratory(&plan, 27, 20);
    plan.species.laying_share_lamps = 0;
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 2000);
    plan_simulate(&plan, 0, &d);
    for (int day = 1; day < 14; day++, days += 1)
        mean_w_kg += d.feed_eaten[day] * plan.species.heat_per_dry_feed / 86400 /
                     ((d.larval_mass[day - 1] + d.larval_mass[day]) / 2);
    mean_w_kg /= days;
    cr_expect(mean_w_kg > 5.75 && mean_w_kg < 18.3, "%.2f W/kg", mean_w_kg);
    wg_diary_free(&d);
    wg_plan_free(&plan);
}
