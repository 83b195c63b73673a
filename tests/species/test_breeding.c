/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Mating, laying and clutches: hand calculations, the exact distribution of a clutch by
 * enumeration, and sums against it. About 40 statistical checks at 1e-6 each: false-alarm
 * rate below 1e-4 for the file.
 */
#include "base/chance_checks.h"
#include "species/breeding.h"
#include "species/clock.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species species;
static gsl_rng *rng;

static void start(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
    rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 7, 0, WG_PURPOSE_DEMOGRAPHY);
}

static void stop(void) {
    gsl_rng_free(rng);
}

TestSuite(breeding, .init = start, .fini = stop);

Test(breeding, mating_needs_two_hours_and_is_certain_at_four) {
    cr_expect_float_eq(wg_mating_chance(&species, 0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_mating_chance(&species, 1.9), 0.0, 0.0);
    cr_expect_float_eq(wg_mating_chance(&species, 2.0), 0.5, 1e-15);
    cr_expect_float_eq(wg_mating_chance(&species, 4.0), 1.0, 0.0);
    cr_expect_float_eq(wg_mating_chance(&species, 12.0), 1.0, 0.0);
    species.mate_hours_min = 0.0;
    cr_expect_float_eq(wg_mating_chance(&species, 0.0), 0.0, 0.0); /* never in the dark */
}

/* Thresholds uniform over width_k about the nominal one: half of the flies at it, none below, all above. */
Test(breeding, an_hour_at_the_threshold_counts_half) {
    species.fly_warmth_width_k = 4.0;
    const double counts[][2] = {{16, 0}, {18, 0}, {18.5, 0.125}, {19, 0.25}, {20, 0.5}, {21, 0.75}, {22, 1}, {30, 1}};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        cr_expect_float_eq(wg_warm_share(&species, 20.0, counts[i][0]), counts[i][1], 1e-12, "%g degC", counts[i][0]);
    species.fly_warmth_width_k = 0.0; /* a step */
    cr_expect_eq(wg_warm_share(&species, 20.0, 19.99), 0.0);
    cr_expect_eq(wg_warm_share(&species, 20.0, 20.0), 1.0);
}

/* The probability of a day is the same in one step and in twenty-four. */
Test(breeding, a_day_of_few_bright_hours_means_the_same_in_short_steps) {
    for (int bright = 0; bright <= 5; bright++) {
        double single = 1.0;
        for (int h = 0; h < bright; h++)
            single *= 1.0 - wg_mating_chance_between(&species, h, h + 1.0);
        cr_expect_float_eq(1.0 - single, wg_mating_chance(&species, bright), 1e-15, "%d hours", bright);
    }
    cr_expect_float_eq(wg_mating_chance_between(&species, 5.0, 6.0), 1.0, 0.0); /* just become able */
    cr_expect_float_eq(wg_mating_chance_between(&species, 5.0, 5.0), 0.0, 0.0); /* in the dark */
}

Test(breeding, waits_are_days_at_27_degrees) {
    const double rate = wg_rate_per_day(&species.rate[WG_CLOCK_ADULT], 27.0);
    cr_expect_float_eq(wg_mating_x(&species), 2.0 * rate, 1e-15);
    species.lay_after_days = 3.0;
    cr_expect_float_eq(wg_laying_x(&species), 3.0 * rate, 1e-15);
}

/* Kobelski et al. 2024, Front. Bioeng. Biotechnol. 12:1404776: the parabola over its maximum, to two figures. */
Test(breeding, clutches_by_warmth_are_the_published_ones) {
    const double table[][2] = {{15, 0.00}, {18, 0.39}, {20, 0.60}, {22, 0.76}, {25, 0.93},
                               {28, 1.00}, {30, 0.99}, {32, 0.94}, {35, 0.78}, {37, 0.62}};
    for (int i = 0; i < 10; i++)
        cr_expect_float_eq(wg_clutch_warmth(table[i][0]), table[i][1], 0.006, "%g degC: %.4f", table[i][0],
                           wg_clutch_warmth(table[i][0]));
    cr_expect_float_eq(wg_clutch_warmth(0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_clutch_warmth(50.0), 0.0, 0.0);
}

Test(breeding, size_of_the_mother) {
    cr_expect_float_eq(wg_clutch_size_factor(&species, 0.20), 1.0, 1e-15);
    cr_expect_float_eq(wg_clutch_size_factor(&species, 0.10), 0.5, 1e-15);
    cr_expect_float_eq(wg_clutch_size_factor(&species, 0.06), 0.4, 1e-15);
    /* a fifth of her mass: 900 eggs of 25 microgram times the factor weigh 0.2 x 10 mg */
    cr_expect_float_eq(wg_clutch_size_factor(&species, 0.01), 0.2 * 0.01 / (900 * 25e-6), 1e-15);
    cr_expect_float_eq(wg_clutch_size_factor(&species, 0.90), 1.2, 1e-15);
}

/* ---- one clutch ---- */

Test(breeding, a_whole_clutch_is_uniform) {
    /* A uniform integer of n values: mean (low + high)/2, variance (n^2 - 1)/12. */
    cr_expect_float_eq(wg_clutch_mean(&species, 1.0), 650.0, 1e-9);
    cr_expect_float_eq(wg_clutch_variance(&species, 1.0), (501.0 * 501.0 - 1.0) / 12.0, 1e-6);
    cr_expect_float_eq(wg_clutch_mean(&species, 0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_clutch_variance(&species, 0.0), 0.0, 0.0);
}

Test(breeding, a_scaled_clutch_is_rounded_to_the_nearest_egg) {
    /* 1, 2, 3, 4 halved and rounded: 1, 1, 2, 2 */
    species.clutch_low = 1.0;
    species.clutch_high = 4.0;
    cr_expect_float_eq(wg_clutch_mean(&species, 0.5), 1.5, 1e-15);
    cr_expect_float_eq(wg_clutch_variance(&species, 0.5), 0.25, 1e-15);
    /* 1, 2, 3, 4 times 0.3: 0.3, 0.6, 0.9, 1.2 -> 0, 1, 1, 1 */
    cr_expect_float_eq(wg_clutch_mean(&species, 0.3), 0.75, 1e-15);
    cr_expect_float_eq(wg_clutch_variance(&species, 0.3), 0.1875, 1e-15);
    species.clutch_high = 1.0;
    cr_expect_float_eq(wg_clutch_variance(&species, 1.0), 0.0, 0.0); /* every clutch is one egg */
}

/*
 * Why the clutch is enumerated: the usual approximation, variance f^2 (n^2 - 1)/12 + 1/12, is off by up to a twelfth.
 */
Test(breeding, the_short_cut_for_rounding_is_not_exact) {
    const double short_cut = (501.0 * 501.0 - 1.0) / 12.0 + 1.0 / 12.0;
    cr_expect_float_eq(short_cut - wg_clutch_variance(&species, 1.0), 1.0 / 12.0, 1e-6);
    /* at factor 0.5 every second value is rounded up by a half: the mean is 325 and a quarter, not 325 */
    cr_expect_float_eq(wg_clutch_mean(&species, 0.5), 325.0 + 0.5 * 250.0 / 501.0, 1e-9);
}

/* ---- sums ---- */

Test(breeding, nobody_lays_nothing_and_draws_nothing) {
    const uint64_t next = wg_rng_bits(rng);
    wg_rng_start(rng, 7, 0, WG_PURPOSE_DEMOGRAPHY);
    cr_expect_eq(wg_clutch_sum(&species, 0, 1.0, rng), 0);
    cr_expect_eq(wg_clutch_sum(&species, 50, 0.0, rng), 0);
    cr_expect_eq(wg_clutch_sum(&species, 5000, 0.0, rng), 0);
    cr_expect_eq(wg_rng_bits(rng), next);
}

static double one_clutch(int64_t eggs, double low, double n) {
    return eggs >= (int64_t)low && eggs < (int64_t)(low + n) ? 1.0 / n : 0.0;
}

Test(breeding, one_mother_lays_every_size_alike) {
    static struct cells cells;
    cells_cut(&cells, one_clutch, 400.0, 501.0, 400, 900, 2e5);
    for (int i = 0; i < 200000; i++)
        cells_count(&cells, wg_clutch_sum(&species, 1, 1.0, rng));
    cr_expect_gt(cells_p_value(&cells), FALSE_ALARM);
}

/* The distribution of the sum of two clutches 0..3: 1, 2, 3, 4, 3, 2, 1 of 16. */
static double two_small(int64_t eggs, double a, double b) {
    (void)a, (void)b;
    return eggs >= 0 && eggs <= 6 ? (4.0 - fabs((double)eggs - 3.0)) / 16.0 : 0.0;
}

Test(breeding, two_mothers_have_the_exact_law_of_a_sum) {
    static struct cells cells;
    species.clutch_low = 0.0;
    species.clutch_high = 3.0;
    cells_cut(&cells, two_small, 0, 0, 0, 6, 1e5);
    for (int i = 0; i < 100000; i++)
        cells_count(&cells, wg_clutch_sum(&species, 2, 1.0, rng));
    cr_expect_gt(cells_p_value(&cells), FALSE_ALARM);
}

Test(breeding, sums_have_the_mean_and_variance_of_the_law) {
    const int64_t mothers[] = {2, 64, 65, 1000, INT64_C(1) << 40};
    const double factors[] = {1.0, 0.613};
    enum { DRAWS = 20000 };
    for (int j = 0; j < 10; j++) {
        const double n = (double)mothers[j / 2], factor = factors[j % 2];
        const double mean = n * wg_clutch_mean(&species, factor);
        const double sd = sqrt(n * wg_clutch_variance(&species, factor));
        double sum = 0.0, squares = 0.0;
        for (int i = 0; i < DRAWS; i++) {
            const double z = ((double)wg_clutch_sum(&species, mothers[j / 2], factor, rng) - mean) / sd;
            sum += z;
            squares += z * z;
        }
        cr_expect_lt(fabs(sum / sqrt(DRAWS)), Z_BOUND, "%g mothers: mean off by %g", n, sum / DRAWS);
        /* variance of z^2 is at most 2, that of a normal */
        cr_expect_lt(fabs((squares - DRAWS) / sqrt(2.0 * DRAWS)), Z_BOUND, "%g mothers: variance %g", n,
                     squares / DRAWS);
    }
}

/* Switching from single clutches to a normal distribution leaves no trace in the results. */
Test(breeding, sums_are_normal_on_both_sides_of_the_change) {
    enum { DRAWS = 100000 };
    static double values[DRAWS];
    const int64_t mothers[] = {64, 65};
    for (int j = 0; j < 2; j++) {
        const double n = (double)mothers[j];
        const double sd = sqrt(n * wg_clutch_variance(&species, 1.0));
        for (int i = 0; i < DRAWS; i++) {
            const double smooth = (double)wg_clutch_sum(&species, mothers[j], 1.0, rng) + wg_uniform(rng) - 0.5;
            values[i] = (smooth - n * 650.0) / sd;
        }
        cr_expect_lt(kolmogorov_normal(values, DRAWS), KOLMOGOROV_BOUND, "%g mothers", n);
    }
}

Test(breeding, sums_stay_within_the_possible) {
    species.clutch_low = 10.0;
    species.clutch_high = 11.0;
    for (int i = 0; i < 20000; i++) {
        const int64_t few = wg_clutch_sum(&species, 5, 1.0, rng), many = wg_clutch_sum(&species, 100, 1.0, rng);
        cr_assert(few >= 50 && few <= 55);
        cr_assert(many >= 1000 && many <= 1100);
    }
    species.clutch_high = 10.0;
    cr_expect_eq(wg_clutch_sum(&species, 1000, 1.0, rng), 10000); /* no variance, no random number */
    cr_expect_eq(wg_clutch_sum(&species, INT64_C(1) << 61, 1.0, rng), INT64_C(1) << 62); /* saturates, does not wrap */
}
