/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The hours give the same bits at every vector width.
 *
 * The library chooses at load time (src/species/hours.c). Here the same source is compiled again without that choice,
 * with the flags of a test, and the results are compared. On a processor without the wider registers, and where the
 * library has no choice, the two are the same and the test shows nothing.
 */
#define WIDEST
#define wg_hours_of narrow_hours_of
#define wg_pace_sums_of narrow_pace_sums_of
#define wg_hazard_heat_acute_sum narrow_heat_acute_sum
#define wg_hazard_heat_chronic_sum narrow_heat_chronic_sum
#define wg_hazard_cold_sum narrow_cold_sum
#define wg_hazard_freezing_sum narrow_freezing_sum
#include "species/hours.c"
#undef wg_hours_of
#undef wg_pace_sums_of
#undef wg_hazard_heat_acute_sum
#undef wg_hazard_heat_chronic_sum
#undef wg_hazard_cold_sum
#undef wg_hazard_freezing_sum

#include "base/random.h"
#include <criterion/criterion.h>
#include <string.h>

struct wg_hours wg_hours_of(const double *temp_c, int n);
struct wg_pace_sums wg_pace_sums_of(const struct wg_species *species, enum wg_clock_stage stage,
                                    const struct wg_hours *hours);
double wg_hazard_heat_acute_sum(const struct wg_species *species, const struct wg_hours *hours);
double wg_hazard_heat_chronic_sum(const struct wg_species *species, const double *mean24_c, int n);
double wg_hazard_cold_sum(const struct wg_species *species, enum wg_cold_curve line, const struct wg_hours *hours);
double wg_hazard_freezing_sum(const struct wg_species *species, enum wg_clock_stage stage,
                              const struct wg_hours *hours);

static void expect_same(double wide, double narrow, const char *what, int n) {
    cr_assert_eq(memcmp(&wide, &narrow, sizeof wide), 0, "%s over %d hours: %.17g and %.17g", what, n, wide, narrow);
}

static void compare(const struct wg_species *species, const double *temp_c, int n) {
    const struct wg_hours wide = wg_hours_of(temp_c, n), narrow = narrow_hours_of(temp_c, n);
    expect_same(wide.coldest_c, narrow.coldest_c, "coldest", n);
    expect_same(wide.warmest_c, narrow.warmest_c, "warmest", n);
    expect_same(wide.sum_c, narrow.sum_c, "sum", n);
    expect_same(wg_hazard_heat_acute_sum(species, &wide), narrow_heat_acute_sum(species, &narrow), "heat", n);
    expect_same(wg_hazard_heat_chronic_sum(species, temp_c, n), narrow_heat_chronic_sum(species, temp_c, n),
                "lasting heat", n);
    for (int stage = 0; stage < WG_N_CLOCKS; stage++) {
        const struct wg_pace_sums a = wg_pace_sums_of(species, (enum wg_clock_stage)stage, &wide);
        const struct wg_pace_sums b = narrow_pace_sums_of(species, (enum wg_clock_stage)stage, &narrow);
        expect_same(a.development, b.development, "rate", n);
        expect_same(a.background, b.background, "background", n);
        expect_same(wg_hazard_freezing_sum(species, (enum wg_clock_stage)stage, &wide),
                    narrow_freezing_sum(species, (enum wg_clock_stage)stage, &narrow), "frost", n);
    }
    for (int line = 0; line < WG_N_COLD_CURVES; line++)
        expect_same(wg_hazard_cold_sum(species, (enum wg_cold_curve)line, &wide),
                    narrow_cold_sum(species, (enum wg_cold_curve)line, &narrow), "cold", n);
}

Test(hours, mean_the_same_at_every_width) {
    struct wg_species species;
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 1, 0, WG_PURPOSE_WEATHER);
    for (int day = 0; day < 20000; day++) {
        double temp_c[24];
        const double mean_c = -15 + 55 * wg_uniform(rng);
        for (int h = 0; h < 24; h++)
            temp_c[h] = mean_c + 8 * wg_normal(rng);
        compare(&species, temp_c, 1 + day % 24);
    }
    gsl_rng_free(rng);
}
