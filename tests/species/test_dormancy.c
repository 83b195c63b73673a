/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Dormancy: the probability falls with day length and temperature, it opens once,
 * and only heat above the base counts.
 */
#include "species/dormancy.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species species;

static void keepers(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
}

TestSuite(dormancy, .init = keepers);

Test(dormancy, chance_at_the_ends_and_the_middle) {
    cr_expect_gt(wg_dormancy_chance(&species, 10.2, 12.0), 0.99); /* December in the south of the USA */
    cr_expect_lt(wg_dormancy_chance(&species, 14.2, 27.0), 1e-5); /* June */
    cr_expect_float_eq(wg_dormancy_chance(&species, 12.0, 22.0), 0.25, 1e-12);
    cr_expect_lt(wg_dormancy_chance(&species, 10.2, 30.0), 1e-3); /* in a warm house in December none go dormant */
    cr_expect_lt(wg_dormancy_chance(&species, 16.0, 12.0), 1e-6); /* nor in a cold one under lamps */
}

/* By cold only, half go dormant in ground of dorm_by_cold_c on any day; a share between mixes the two by its weight. */
Test(dormancy, by_cold_only_does_not_see_the_day) {
    const double by_day = wg_dormancy_chance(&species, 16.0, 12.0);
    species.dorm_by_day = 0;
    cr_expect_float_eq(wg_dormancy_chance(&species, 10.0, 16.5), 0.5, 1e-12);
    cr_expect_float_eq(wg_dormancy_chance(&species, 24.0, 16.5), 0.5, 1e-12);
    const double by_cold = wg_dormancy_chance(&species, 16.0, 12.0);
    cr_expect_float_eq(by_cold, 1 / (1 + exp(-4.5)), 1e-12);
    species.dorm_by_day = 0.25;
    cr_expect_float_eq(wg_dormancy_chance(&species, 16.0, 12.0), 0.25 * by_day + 0.75 * by_cold, 1e-12);
}

Test(dormancy, chance_falls_with_day_length_and_warmth) {
    for (double day_h = 8.0; day_h < 16.0; day_h += 0.05)
        for (double ground_c = 0.0; ground_c < 35.0; ground_c += 0.5) {
            const double here = wg_dormancy_chance(&species, day_h, ground_c);
            cr_assert(here >= 0.0 && here <= 1.0);
            cr_assert_leq(wg_dormancy_chance(&species, day_h + 0.05, ground_c), here);
            cr_assert_leq(wg_dormancy_chance(&species, day_h, ground_c + 0.5), here);
        }
}

Test(dormancy, opens_after_cold_or_long_enough) {
    cr_expect_not(wg_dormancy_open(&species, 0.0, 0.0));
    cr_expect_not(wg_dormancy_open(&species, 20.9, 59.9));
    cr_expect(wg_dormancy_open(&species, 21.0, 21.0));
    cr_expect(wg_dormancy_open(&species, 0.0, 60.0));
}

Test(dormancy, only_warmth_counts) {
    cr_expect_float_eq(wg_dormancy_heat(&species, 5.0), 0.0, 0.0);
    cr_expect_float_eq(wg_dormancy_heat(&species, 12.0), 0.0, 0.0);
    cr_expect_float_eq(wg_dormancy_heat(&species, 20.0), 8.0 / 150, 1e-15); /* 8 degC days of 150 */
}
