/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The life table against sums that do not use its closed forms: a cohort stepped
 * through its stages, and limits by hand.
 */
#include "species/breeding.h"
#include "species/clock.h"
#include "species/death.h"
#include "species/lifetable.h"
#include "species/survival_curve.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

static struct wg_species species;

static void keepers(void) {
    cr_assert_eq(wg_species_set(&species, "keepers"), 0);
}

TestSuite(lifetable, .init = keepers);

static struct wg_lifetable at(double temp_c) {
    const struct wg_lifetable_setting setting = {
        .temp_c = temp_c, .light_h = 12.0, .laying_share = species.laying_share_lamps, .quality = 1.0};
    struct wg_lifetable table;
    wg_lifetable_make(&table, &species, &setting);
    return table;
}

Test(lifetable, stage_days_are_the_clocks) {
    const struct wg_lifetable table = at(27.0);
    double sum = table.laying_days;
    for (int i = 0; i < WG_N_CLOCKS; i++) {
        cr_expect_float_eq(table.days[i], wg_stage_days(&species, (enum wg_clock_stage)i, 27.0), 1e-12);
        sum += i < WG_CLOCK_ADULT ? table.days[i] : 0.0;
    }
    cr_expect_float_eq(table.egg_to_egg_days, sum, 1e-9);
    cr_expect_float_eq(table.generations_per_year, 365.0 / sum, 1e-9);
}

Test(lifetable, flies_at_27_degrees_mate_on_day_two_and_lay_on_day_four) {
    const struct wg_lifetable table = at(27.0);
    cr_expect_float_eq(table.mating_days, 2.0, 1e-6);
    cr_expect_float_eq(table.laying_days, 4.0, 1e-6);
}

/* Half the daily probability: a geometric wait, one day longer on average. */
Test(lifetable, rare_light_makes_flies_wait) {
    species.hazard[WG_CLOCK_ADULT] = 0.0;
    species.rate[WG_CLOCK_ADULT].a *= 0.05; /* long lives, so that none die waiting; waits remain whole days */
    struct wg_lifetable table;
    const struct wg_lifetable_setting dim = {.temp_c = 27.0, .light_h = 2.0, .laying_share = 1.0, .quality = 1.0};
    wg_lifetable_make(&table, &species, &dim);
    cr_expect_float_eq(table.mating_days, 3.0, 1e-4);
    cr_expect_float_eq(table.laying_days, 5.0, 1e-4);
    cr_expect_float_eq(table.survival[WG_CLOCK_ADULT], 1.0, 1e-4);
}

/*
 * All mate on day 2 and lay on day 4: who lives 4.5 days lays, and of gamma lives of mean D and coefficient of variation c
 * that is the upper tail of the gamma distribution at 4.5/D (GSL's), times exp(-4.5 h).
 */
Test(lifetable, flies_live_to_lay_by_the_gamma_distribution) {
    const double days = wg_stage_days(&species, WG_CLOCK_ADULT, 27.0), hazard = species.hazard[WG_CLOCK_ADULT];
    for (double c = 0.3; c < 1.0; c += 0.15) {
        species.spread[WG_CLOCK_ADULT] = c;
        const struct wg_lifetable table = at(27.0);
        const double left = gsl_cdf_gamma_Q(4.5 / days, 1 / (c * c), c * c) * exp(-4.5 * hazard);
        cr_assert_float_eq(table.laying_days, 4.0, 1e-6);
        cr_expect_float_eq(table.survival[WG_CLOCK_ADULT], left, 1e-6, "spread %g: %g, not %g", c,
                           table.survival[WG_CLOCK_ADULT], left);
    }
}

/* ---- against a cohort stepped in time ---- */

/*
 * Passes arrivals per step through a stage; entrants of a step enter in its middle. The time axis is in steps of `dt`
 * days.
 */
enum { STEPS = 3200 };
static const double dt = 1.0 / 16.0;

static void pass_stage(const double in[STEPS], double out[STEPS], double rate, double spread, double hazard) {
    struct wg_clock clock;
    cr_assert_eq(wg_clock_init_gamma(&clock, spread, NULL), 0);
    static double done[STEPS]; /* share that leaves alive in the j-th step after entering */
    double left = 1.0;
    for (int j = 0; j < STEPS; j++) {
        const double from = wg_clock_log_survival(&clock, j * dt * rate);
        const double exits = -left * expm1(wg_clock_log_survival(&clock, (j + 1) * dt * rate) - from);
        done[j] = exits * exp(-hazard * (j + 0.5) * dt);
        left -= exits;
    }
    for (int t = 0; t < STEPS; t++) {
        out[t] = 0.0;
        /* leaves in the middle of a step, on average: half counts at its start, half at its end */
        for (int j = 0; j <= t; j++)
            out[t] += 0.5 * in[t - j] * (done[j] + (j > 0 ? done[j - 1] : 0.0));
    }
    wg_clock_free(&clock);
}

static double discounted(const double births[STEPS], double growth) {
    double sum = 0.0;
    for (int t = 0; t < STEPS; t++)
        sum += births[t] * exp(-growth * t * dt);
    return sum;
}

Test(lifetable, growth_solves_the_renewal_equation_of_a_stepped_cohort) {
    static double flow[2][STEPS];
    const double temps[] = {25.0, 30.0, 34.0};
    for (int k = 0; k < 3; k++) {
        const struct wg_lifetable table = at(temps[k]);
        for (int t = 0; t < STEPS; t++)
            flow[0][t] = t == 0 ? 1.0 : 0.0;
        for (int i = 0; i < WG_CLOCK_ADULT; i++) {
            const double pace = wg_stage_days(&species, (enum wg_clock_stage)i, 27.0) / table.days[i];
            const double hazard = species.hazard[i] * pace + wg_hazard_heat_chronic(&species, temps[k]) +
                                  wg_hazard_heat_acute(&species, temps[k]);
            pass_stage(flow[i % 2], flow[1 - i % 2], 1.0 / table.days[i], species.spread[i], hazard);
        }
        /* flies: all lay on the mean laying day; laying spans at most two days here */
        const double eggs =
            species.female_share * species.laying_share_lamps * table.clutch * table.survival[WG_CLOCK_ADULT];
        const double r0 = eggs * discounted(flow[0], 0.0);
        const double sum =
            eggs * discounted(flow[0], table.growth_per_day) * exp(-table.growth_per_day * table.laying_days);
        cr_expect_float_eq(r0 / table.daughters_and_sons, 1.0, 1e-3, "%g degC: %g and %g", temps[k], r0,
                           table.daughters_and_sons);
        /* the variance of the laying day, below 1 d2, adds r^2/2 of it: at most 0.008 */
        cr_expect_float_eq(sum, 1.0, 0.01, "%g degC: %g", temps[k], sum);
        cr_expect_float_eq(table.doubling_days * table.growth_per_day, log(2.0), 1e-12);
    }
}

Test(lifetable, survival_multiplies_to_the_net_reproduction) {
    const struct wg_lifetable table = at(28.0);
    double product = species.female_share * species.laying_share_lamps * table.clutch;
    for (int i = 0; i < WG_N_CLOCKS; i++)
        product *= table.survival[i];
    cr_expect_float_eq(table.daughters_and_sons, product, 1e-9 * product);
}

/* In the cold the larva's hazard is integrated numerically; with two equal cold curves it must give the closed form. */
Test(lifetable, cold_larvae_with_one_hazard_have_the_closed_form) {
    species.cold_old_larva = species.cold_young_larva;
    const double temp_c = 15.0, c2 = 0.22 * 0.22;
    const double rate = wg_rate_per_day(&species.rate[WG_CLOCK_LARVA], temp_c);
    const double background = species.hazard[WG_CLOCK_LARVA] * species.background_floor; /* the pace is 0.18 */
    const double hazard = background + wg_hazard_cold(&species, WG_COLD_YOUNG_LARVA, temp_c);
    cr_expect_float_eq(at(temp_c).survival[WG_CLOCK_LARVA], pow(1.0 + hazard * c2 / rate, -1.0 / c2), 1e-5);
}

/* ---- no growth ---- */

/* Each hour counts for more from 22 to 26 degC: of 24 hours at T degC (T - 22)/4 are warm, and they lay from two hours on. */
Test(lifetable, flies_lay_where_enough_hours_are_warm) {
    species.mate_air_c = 10.0;
    species.lay_air_c = 24.0;
    species.fly_warmth_width_k = 4.0;
    species.lay_hours_min = 2.0;
    for (double temp_c = 22.05; temp_c < 24.0; temp_c += 0.1) {
        const double hours = 24.0 * (temp_c - 22.0) / 4.0;
        cr_expect_eq(isfinite(at(temp_c).laying_days), hours >= 2.0, "%g degC: %g warm hours", temp_c, hours);
    }
}

Test(lifetable, too_cold_to_lay_is_no_growth) {
    const struct wg_lifetable table = at(20.0);
    cr_expect(isinf(table.laying_days) && isinf(table.egg_to_egg_days) && isinf(table.doubling_days));
    cr_expect_float_eq(table.daughters_and_sons, 0.0, 0.0);
    cr_expect_float_eq(table.generations_per_year, 0.0, 0.0);
    cr_expect(isinf(table.growth_per_day) && table.growth_per_day < 0.0);
}

Test(lifetable, too_hot_to_replace_themselves_is_decline) {
    const struct wg_lifetable table = at(36.0);
    cr_expect_lt(table.daughters_and_sons, 1.0);
    cr_expect(isfinite(table.growth_per_day) && table.growth_per_day < 0.0);
    cr_expect(isinf(table.doubling_days));
}

/* R0 is proportional to the share that lays. Close to R0 = 1, r = ln R0 / T with T the mean generation time (Lotka 1925). */
Test(lifetable, barely_too_few_offspring_is_a_slow_decline) {
    const double full = at(30.0).daughters_and_sons, wanted[] = {0.85, 0.97};
    const double share = species.laying_share_lamps;
    for (int k = 0; k < 2; k++) {
        species.laying_share_lamps = share * wanted[k] / full;
        const struct wg_lifetable table = at(30.0);
        double generation_days = table.laying_days;
        for (int i = 0; i < WG_CLOCK_ADULT; i++)
            generation_days += table.days[i];
        cr_expect_float_eq(table.daughters_and_sons, wanted[k], 1e-9);
        cr_expect_float_eq(table.growth_per_day * generation_days / log(wanted[k]), 1.0, 0.05,
                           "%g: growth %g, generation %g d", wanted[k], table.growth_per_day, generation_days);
    }
    species.laying_share_lamps = share;
}

Test(lifetable, no_stage_that_stands_still_is_passed) {
    const double temps[] = {-20.0, 5.0, 11.0, 45.0, 60.0};
    for (int i = 0; i < 5; i++) {
        const struct wg_lifetable table = at(temps[i]);
        cr_expect(isinf(table.days[WG_CLOCK_LARVA]), "%g degC", temps[i]);
        cr_expect_float_eq(table.survival[WG_CLOCK_LARVA], 0.0, 0.0);
        cr_expect_float_eq(table.daughters_and_sons, 0.0, 0.0);
    }
}

/* ---- egg traps ---- */

Test(trap, interval_leaves_the_asked_share_hatched) {
    keepers();
    const double shares[] = {0.01, 0.05, 0.20};
    for (int i = 0; i < 3; i++) {
        const double tau = wg_trap_interval_days(&species, 25.0, shares[i]);
        const double rate = wg_rate_per_day(&species.rate[WG_CLOCK_EGG], 25.0);
        double hatched = 0.0;
        const int n = 4000; /* ages from 0 to tau */
        for (int a = 0; a < n; a++)
            hatched -= expm1(wg_gamma_point(1.0 / (0.06 * 0.06), rate * tau * (a + 0.5) / n).log_s) / n;
        cr_expect_float_eq(hatched, shares[i], 1e-6, "%g", hatched);
    }
    cr_expect(isinf(wg_trap_interval_days(&species, 10.0, 0.05)));
}

/* Without variation an egg hatches at 1/r, and a share s has hatched after tau = 1/(r (1 - s)). */
Test(trap, interval_of_eggs_all_alike) {
    keepers();
    species.spread[WG_CLOCK_EGG] = 0.02;
    const double days = wg_stage_days(&species, WG_CLOCK_EGG, 27.0);
    cr_expect_float_eq(wg_trap_interval_days(&species, 27.0, 0.2), days / 0.8, 0.01);
}
