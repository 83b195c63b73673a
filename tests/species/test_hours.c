/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* The sums over hours equal the sums of single calls, which other tests compare with the published curves. */
#include "species/clock.h"
#include "species/death.h"

#include <criterion/criterion.h>
#include <math.h>

/* 24 hours around a mean, 8 K up and down. */
static void make_day(double temp_c[24], double mean_c) {
    for (int h = 0; h < 24; h++)
        temp_c[h] = mean_c + 8 * sin(h * 0.2617993877991494);
}

static void expect_same(double got, double want, const char *what, double mean_c, int n) {
    /*
     * 1e-12: 24 roundings of terms of one sign, with an exponential each; 1e-12 a day is a negligible hazard (life.c)
     */
    cr_expect_float_eq(got, want, 1e-12 * want + 1e-12, "%s at %g, %d hours: %g against %g", what, mean_c, n, got,
                       want);
}

Test(hours, sums_are_those_of_single_hours) {
    const char *const numbers[] = {"keepers", "laboratory"};
    for (int set = 0; set < 2; set++) {
        struct wg_species species;
        cr_assert_eq(wg_species_set(&species, numbers[set]), 0);
        for (double mean_c = -30; mean_c <= 50; mean_c += 2.45)
            for (int n = 1; n <= 24; n += n < 4 ? 1 : 10) {
                double temp_c[24], heat = 0;
                make_day(temp_c, mean_c);
                const struct wg_hours hours = wg_hours_of(temp_c, n);
                for (int h = 0; h < n; h++)
                    heat += wg_hazard_heat_acute(&species, temp_c[h]);
                expect_same(wg_hazard_heat_acute_sum(&species, &hours), heat, "heat", mean_c, n);
                double lasting = 0;
                for (int h = 0; h < n; h++)
                    lasting += wg_hazard_heat_chronic(&species, temp_c[h]);
                if (species.heat_chronic_slope * (hours.warmest_c - species.heat_chronic_c) >= -7)
                    expect_same(wg_hazard_heat_chronic_sum(&species, temp_c, n), lasting, "lasting heat", mean_c, n);
                else /* so mild that the last one is used for all */
                    expect_same(wg_hazard_heat_chronic_sum(&species, temp_c, n),
                                n * wg_hazard_heat_chronic(&species, temp_c[n - 1]), "mild lasting heat", mean_c, n);
                for (int line = 0; line < WG_N_COLD_CURVES; line++) {
                    double cold = 0;
                    for (int h = 0; h < n; h++)
                        cold += wg_hazard_cold(&species, (enum wg_cold_curve)line, temp_c[h]);
                    expect_same(wg_hazard_cold_sum(&species, (enum wg_cold_curve)line, &hours), cold, "cold", mean_c,
                                n);
                }
                for (int s = 0; s < WG_N_CLOCKS; s++) {
                    double rate = 0, background = 0, frost = 0;
                    for (int h = 0; h < n; h++) {
                        rate += wg_rate_per_day(&species.rate[s], temp_c[h]);
                        background += wg_hazard_background(&species, (enum wg_clock_stage)s, temp_c[h]);
                        frost += wg_hazard_freezing(&species, (enum wg_clock_stage)s, temp_c[h]);
                    }
                    const struct wg_pace_sums sums = wg_pace_sums_of(&species, (enum wg_clock_stage)s, &hours);
                    expect_same(sums.development, rate, "rate", mean_c, n);
                    expect_same(sums.background, background, "background", mean_c, n);
                    expect_same(wg_hazard_freezing_sum(&species, (enum wg_clock_stage)s, &hours), frost, "frost",
                                mean_c, n);
                }
            }
    }
}
