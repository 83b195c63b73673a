/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks that the table of plausible animals fits the table of numbers: every number, within its limits, without
 * contradictions. Whether the animals agree with what is published is a matter of their calibration.
 */
#include "species/dormancy.h"
#include "species/plausible.h"

#include <criterion/criterion.h>
#include <math.h>

TestSuite(plausible);

Test(plausible, every_animal_may_be_a_scenario) {
    cr_assert_eq(wg_plausible_count(), 256);
    for (int i = 0; i < wg_plausible_count(); i++) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
            const double value = wg_species_get(&animal, p);
            cr_assert(value >= p->least && value <= p->most, "animal %d: %s is %g", i, p->name, value);
        }
        const char *const problem = wg_species_problem(&animal);
        cr_assert(problem == NULL, "animal %d: %s", i, problem);
    }
}

/* Cells of an animal need its clocks: few different spreads keep their number small. */
Test(plausible, spreads_have_two_decimals) {
    for (int i = 0; i < wg_plausible_count(); i++) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        for (int c = 0; c < WG_N_CLOCKS; c++)
            cr_assert_float_eq(animal.spread[c] * 100, round(animal.spread[c] * 100), 1e-9, "animal %d, clock %d", i,
                               c);
        cr_assert_float_eq(animal.dorm_heat_sigma * 100, round(animal.dorm_heat_sigma * 100), 1e-9, "animal %d", i);
    }
}

/* Lit laboratories at 20 degC report no rest (Chia et al. 2018, PLoS ONE 13:e0206097, abstract); 0.2: the finding and 3 errors. */
Test(plausible, none_rests_in_a_lit_laboratory_at_20_degrees) {
    double sum = 0;
    for (int i = 0; i < wg_plausible_count(); i++) {
        struct wg_species animal;
        wg_plausible_animal(i, &animal);
        const double resting = wg_dormancy_chance(&animal, 24, 20);
        cr_expect_lt(resting, 0.2, "animal %d: %g", i, resting);
        sum += resting;
    }
    cr_expect_lt(sum / wg_plausible_count(), 0.05);
}

Test(plausible, weights_are_not_negative_and_not_all_zero) {
    double sum = 0;
    for (int i = 0; i < wg_plausible_count(); i++) {
        const double weight = wg_plausible_weight_without_june(i);
        cr_assert(isfinite(weight) && weight >= 0, "animal %d: %g", i, weight);
        sum += weight;
    }
    cr_assert(sum > 0);
}
