/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The hazards: their values at their reference temperatures, where they are 0, and
 * that worse weather never kills fewer.
 */
#include "species/death.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species species;

static void keepers(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
}

TestSuite(hazard, .init = keepers);

/* r(20) / r(27) = 20 x 8 x sqrt(18) / (27 x 15 x sqrt(11)) = 0.50537 for prepupae: no more digits than by hand. */
Test(hazard, of_the_background_follows_the_pace_down_to_the_floor) {
    const double at_27 = species.hazard[WG_CLOCK_PREPUPA];
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 27), at_27, 1e-15);
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 20), 0.50537 * at_27, 1e-5 * at_27);
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 15), 0.2 * at_27, 1e-15); /* the pace is 0.16 */
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, -40), 0.2 * at_27, 1e-15);
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 60), 0.2 * at_27, 1e-15);
    species.background_floor = 0;
    cr_expect_float_eq(wg_hazard_background(&species, WG_CLOCK_PREPUPA, 5), 0, 0);
}

Test(hazard, of_lasting_heat) {
    cr_expect_float_eq(wg_hazard_heat_chronic(&species, 36.0), 0.15, 1e-15);
    cr_expect_float_eq(wg_hazard_heat_chronic(&species, 37.0) / wg_hazard_heat_chronic(&species, 36.0), exp(1.1),
                       1e-12);
    cr_expect_lt(wg_hazard_heat_chronic(&species, 27.0), 1e-4);
}

Test(hazard, of_a_hot_hour) {
    cr_expect_float_eq(wg_hazard_heat_acute(&species, 47.0), 24.0, 1e-12);
    cr_expect_lt(wg_hazard_heat_acute(&species, 38.0) / 24.0, 1e-5); /* an hour at 38 degC is not acutely harmful */
}

Test(hazard, of_cold_at_four_degrees) {
    for (int line = 0; line < WG_N_COLD_CURVES; line++) {
        const struct wg_cold *const each[] = {&species.cold_egg,     &species.cold_young_larva, &species.cold_old_larva,
                                              &species.cold_prepupa, &species.cold_pupa,        &species.cold_adult};
        const double want = each[line]->h4 * (1.0 - exp(-12.0 * each[line]->s));
        cr_expect_float_eq(wg_hazard_cold(&species, (enum wg_cold_curve)line, 4.0), want, 1e-12, "line %d", line);
    }
}

Test(hazard, of_cold_ends_at_the_limit_and_never_jumps) {
    for (int line = 0; line < WG_N_COLD_CURVES; line++) {
        double before = 0.0;
        for (double temp_c = 40.0; temp_c > -40.0; temp_c -= 0.01) {
            const double now = wg_hazard_cold(&species, (enum wg_cold_curve)line, temp_c);
            cr_assert_geq(now, before, "line %d at %g degC", line, temp_c);
            cr_assert(temp_c < 16.0 || now <= 0.0);
            cr_assert_lt(now - before, 0.005 * (1.0 + now)); /* 0.01 K changes it by at most s/100 of itself */
            before = now;
        }
        cr_expect(isfinite(before));
    }
}

Test(hazard, of_cold_is_log_linear_between_young_and_old_larvae) {
    const double middle = 0.5 * (species.young_larva_x + species.old_larva_x);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, 0.0, 1.6, 0.1), 1.6, 0.0);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, species.young_larva_x, 1.6, 0.1), 1.6, 0.0);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, middle, 1.6, 0.1), 0.4, 1e-12); /* the geometric mean */
    cr_expect_float_eq(wg_hazard_cold_larva(&species, species.old_larva_x, 1.6, 0.1), 0.1, 0.0);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, 1.7, 1.6, 0.1), 0.1, 0.0);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, middle, 0.0, 0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_hazard_cold_larva(&species, middle, 1.0, 0.0), 0.0, 0.0);
    /* integrated over half a step, both halve, and so does the result */
    cr_expect_float_eq(wg_hazard_cold_larva(&species, 0.2, 0.8, 0.05),
                       0.5 * wg_hazard_cold_larva(&species, 0.2, 1.6, 0.1), 1e-15);
}

Test(hazard, of_frost_is_a_switch) {
    for (int stage = 0; stage < WG_N_CLOCKS; stage++) {
        const enum wg_clock_stage which = (enum wg_clock_stage)stage;
        cr_expect_float_eq(wg_hazard_freezing(&species, which, species.freeze_c[stage] + 0.01), 0.0, 0.0);
        cr_expect_float_eq(wg_hazard_freezing(&species, which, species.freeze_c[stage] - 0.01), species.freeze_hazard,
                           0.0);
    }
}

Test(hazard, of_hunger) {
    cr_expect_float_eq(wg_hazard_hunger(&species, 1.0), 0.0, 0.0);
    cr_expect_float_eq(wg_hazard_hunger(&species, 0.5), 0.005, 1e-15);
    cr_expect_float_eq(wg_hazard_hunger(&species, 0.0), 0.02, 1e-15);
    /*
     * scarce feed: larval time up to four months (Feedipedia, node 16388): some full-grown larvae must survive that
     * long
     */
    cr_expect_float_eq(exp(-120 * wg_hazard_hunger(&species, 0.0)), 0.09, 0.01);
}

/*
 * Reserves scale with mass, metabolism with mass^(3/4) (Kleiber 1932): a sixteenth of the mass starves twice as fast.
 */
Test(hazard, of_hunger_by_size) {
    cr_expect_float_eq(wg_hunger_by_size(&species, 0.20), 1.0, 1e-15);
    cr_expect_float_eq(wg_hunger_by_size(&species, 0.20 / 16), 2.0, 1e-15);
    cr_expect_float_eq(wg_hunger_by_size(&species, 30e-6), pow(0.20 / 30e-6, 0.25), 1e-12);
    cr_expect_float_eq(wg_hunger_by_size(&species, 0.0), pow(0.20 / 30e-6, 0.25), 1e-12);
}

Test(names, of_causes) {
    cr_expect_str_eq(wg_cause_name(WG_CAUSE_BACKGROUND), "background");
    cr_expect_str_eq(wg_cause_name(WG_CAUSE_AGE), "old age");
    cr_expect_str_eq(wg_cause_name(WG_CAUSE_RAID), "raid");
}
