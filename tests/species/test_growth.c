/*
 * Growth and appetite: the ends of the curve, that gains add up, and hand
 * calculations.
 */
#include <wintergrub/clock.h>
#include <wintergrub/growth.h>

#include <criterion/criterion.h>
#include <math.h>

static struct wg_species species;

static void keepers(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
}

TestSuite(growth, .init = keepers);

Test(growth, curve_goes_from_hatchling_to_one) {
    cr_expect_float_eq(wg_growth_share(&species, 0.0), 30e-6 / 0.20, 1e-12);
    cr_expect_float_eq(wg_growth_share(&species, -1.0), 30e-6 / 0.20, 1e-12);
    cr_expect_float_eq(wg_growth_share(&species, 1.0), 1.0, 0.0);
    cr_expect_float_eq(wg_growth_share(&species, 2.0), 1.0, 0.0);
    double before = 0.0;
    for (double x = 0.0; x <= 1.0; x += 0.001) {
        const double now = wg_growth_share(&species, x);
        cr_assert_gt(now, before);
        before = now;
    }
}

/* Logistic: the growth rate G'/G falls in a straight line with G itself, and reaches 0 just above 1. */
Test(growth, curve_is_logistic) {
    double rate[2], share[2];
    for (int i = 0; i < 2; i++) {
        const double x = 0.3 + 0.3 * i, h = 1e-5;
        share[i] = wg_growth_share(&species, x);
        rate[i] = log(wg_growth_share(&species, x + h) / wg_growth_share(&species, x - h)) / (2 * h);
    }
    const double fall = (rate[0] - rate[1]) / (share[1] - share[0]);
    cr_expect_float_eq(rate[0] + fall * share[0], species.growth_rate, 1e-4);
    cr_expect_float_eq(species.growth_rate / fall, 1.0, 1e-3);
}

Test(growth, slope_adds_up_to_the_curve) {
    double share = wg_growth_share(&species, 0.0);
    for (int i = 0; i < 20000; i++)
        share += wg_growth_slope(&species, (i + 0.5) / 20000) / 20000;
    cr_expect_float_eq(share, 1.0, 1e-6);
    cr_expect_float_eq(wg_growth_slope(&species, 1.0), 0.0, 0.0);
}

/* All gain of all larvae of a cohort adds up to one final mass each: integral of S(x) gain(x) = 1 - G(0). */
Test(growth, a_cohort_gains_one_final_mass_each) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, species.spread[WG_CLOCK_LARVA], NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, NULL), 0);
    double gained = 0.0;
    for (int i = 0; i < 30000; i++) {
        const double x = (i + 0.5) / 10000;
        gained += exp(wg_clock_log_survival(&clock, x)) * wg_cohort_gain_share(&growth, x) / 10000;
    }
    /* the tables are read linearly: a twentieth of a percent */
    cr_expect_float_eq(gained, 1.0 - wg_growth_share(&species, 0.0), 5e-4, "%.6f", gained);
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

/* Without spread the cohort is its average: mean(x) = G(x). */
Test(growth, a_narrow_cohort_is_one_larva) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, 0.02, NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, NULL), 0);
    for (double x = 0.05; x < 0.9; x += 0.05)
        cr_expect_float_eq(wg_cohort_mean_share(&growth, x), wg_growth_share(&species, x), 2e-3, "x %g", x);
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

/* Padmanabha et al. 2020, PLoS ONE 15:e0239084, start their larvae at 4.28 mg dry at an age of 7 to 10 days. */
Test(growth, weight_at_a_week) {
    struct wg_clock clock = {0};
    struct wg_cohort_growth growth = {0};
    cr_assert_eq(wg_clock_init_gamma(&clock, species.spread[WG_CLOCK_LARVA], NULL), 0);
    cr_assert_eq(wg_cohort_growth_init(&growth, &species, &clock, NULL), 0);
    const double younger = wg_cohort_mean_share(&growth, 7 / 22.0), older = wg_cohort_mean_share(&growth, 10 / 22.0);
    cr_expect_lt(younger * species.final_mass_g * species.larva_dry, 4.28e-3 * 2); /* within a factor of two below */
    cr_expect_gt(older * species.final_mass_g * species.larva_dry, 4.28e-3);
    wg_cohort_growth_free(&growth);
    wg_clock_free(&clock);
}

Test(growth, final_mass_by_temperature_and_quality) {
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, 1.0), 0.20, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 30.0, 1.0), 0.20, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 22.0, 1.0), 0.22, 1e-12);  /* + 5 x 2 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 18.0, 1.0), 0.236, 1e-12); /* + 9 x 2 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 5.0, 1.0), 0.236, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 35.0, 1.0), 0.17, 1e-12); /* - 5 x 3 % */
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, 0.6), 0.12, 1e-12);
    cr_expect_float_eq(wg_final_mass_g(&species, 27.0, -1.0), 0.0, 0.0);
    cr_expect_float_eq(wg_final_mass_g(&species, 90.0, 1.0), 0.0, 0.0); /* never negative */
}

Test(growth, appetite_by_hand) {
    /* A gain of 0.2 g fresh is 0.066 g dry; at 20 % that takes 0.33 g of dry feed. */
    species.conversion = 0.20;
    cr_expect_float_eq(wg_feed_for_gain_kg(&species, 0.2), 0.33e-3, 1e-15);
    cr_expect_float_eq(wg_feed_for_gain_kg(&species, 0.0), 0.0, 0.0);
}

Test(growth, ration_slows_development) {
    cr_expect_float_eq(wg_development_share(&species, 1.0), 1.0, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 0.5), 0.7, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 0.0), 0.4, 1e-15);
    cr_expect_float_eq(wg_development_share(&species, 7.0), 1.0, 1e-15);
}

Test(growth, microbes_double_every_ten_degrees) {
    cr_expect_float_eq(wg_microbe_rate(&species, 27.0), 0.03, 1e-15);
    cr_expect_float_eq(wg_microbe_rate(&species, 37.0), 0.06, 1e-15);
    cr_expect_float_eq(wg_microbe_rate(&species, 7.0), 0.0075, 1e-15);
}

Test(growth, age_becomes_development) {
    cr_expect_float_eq(wg_larva_x_at_age(&species, 0.0), 0.0, 0.0);
    cr_expect_float_eq(wg_larva_x_at_age(&species, 11.0), 0.5, 1e-4); /* half of 22 d */
    cr_expect_float_eq(wg_larva_x_at_age(&species, -3.0), 0.0, 0.0);
    cr_expect_lt(wg_larva_x_at_age(&species, 400.0), 1.0);
    cr_expect_float_eq(wg_larva_mass_at_x(&species, 1.0, 0.8), 0.16, 1e-12);
    cr_expect_float_eq(wg_larva_mass_at_x(&species, 0.0, 1.0), 30e-6, 1e-12);
}
