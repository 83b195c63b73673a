/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The formulas of sun and sky against the worked examples of their paper (Allen, Pereira, Raes & Smith 1998, FAO-56:
 * "ex."), as other open programs quote them in their tests; against almanacs; and for consistency. Tolerance: half the
 * last digit given, unless stated otherwise.
 */
#include "climate/sun.h"

#include <criterion/criterion.h>
#include <math.h>

#define PI 3.14159265358979323846

/* ---- FAO-56 ---- */

Test(fao56, example_8_radiation_above_the_atmosphere) {
    /* 20 degrees south, 3 September */
    cr_expect_float_eq(wg_sun_distance(246), 0.985, 5e-4);
    cr_expect_float_eq(wg_sun_declination(246), 0.120, 5e-4);
    cr_expect_float_eq(wg_sun_hour_angle(-20.0, 246), 1.527, 5e-4);
    cr_expect_float_eq(wg_sun_above(-20.0, 246), 32.2, 0.05);
}

Test(fao56, example_9_daylight_hours) {
    cr_expect_float_eq(wg_sun_daylight_h(-20.0, 246), 11.7, 0.05);
}

Test(fao56, example_15_radiation_from_the_range) {
    /* Lyon in July, inland; a coast has 0.19 instead of 0.16 */
    cr_expect_float_eq(wg_sun_from_range(26.6, 14.8, 40.6, 0.16, 200.0), 22.3, 0.05);
    cr_expect_float_eq(wg_sun_from_range(26.6, 14.8, 40.6, 0.19, 200.0), 22.3 * 0.19 / 0.16, 0.06);
}

Test(fao56, example_18_clear_sky) {
    /* Brussels in July, 100 m */
    cr_expect_float_eq(wg_sun_clear(41.09, 100.0), 30.90, 0.01); /* 0.752 in the paper, computed exactly here */
}

Test(fao56, example_11_net_long_wave_loss) {
    /* Rio de Janeiro in May: 3.5 MJ m-2 d-1 (MEMORY). 0.06: the inputs have two and three digits. */
    cr_expect_float_eq(wg_sky_loss_w_m2(25.1, 19.1, 2.1, 14.5, 18.8) * 0.0864, 3.5, 0.06);
}

Test(fao56, example_3_saturated_vapour) {
    cr_expect_float_eq((wg_vapour_saturated_kpa(15.0) + wg_vapour_saturated_kpa(24.5)) / 2.0, 2.39, 0.005);
    cr_expect_float_eq(wg_vapour_saturated_kpa(14.8), 1.68, 0.005);
    /* Water boils at 101.3 kPa and 100 degC; the formula (Tetens) is made for weather: 2 %. */
    cr_expect_float_eq(wg_vapour_saturated_kpa(100.0), 101.3, 2.0);
}

Test(fao56, another_program_to_eight_digits) {
    /* 23.7951 degrees south, day 202, 546 m: from the tests of an open evapotranspiration library */
    cr_expect_float_eq(wg_sun_distance(202), 0.96884181, 1e-8);
    cr_expect_float_eq(wg_sun_declination(202), 0.35565254, 1e-8);
    cr_expect_float_eq(wg_sun_hour_angle(-23.7951, 202), 1.40626507, 1e-8);
    cr_expect_float_eq(wg_sun_daylight_h(-23.7951, 202), 10.74307382, 1e-8);
    cr_expect_float_eq(wg_sun_above(-23.7951, 202), 23.61822046, 1e-8);
    cr_expect_float_eq(wg_sun_clear(wg_sun_above(-23.7951, 202), 546.0), 17.97157631, 1e-8);
}

Test(fao56, example_19_one_hour) {
    /*
     * N'Diaye, 16 deg 13 min north, 1 October: 3.543 MJ m-2 in the hour about the hour angle 0.682 (MEMORY). That hour
     * lies between our solar hours, whose midpoints are at 0.654 and 0.916: a parabola through three of them is exact
     * to 1e-3 here.
     */
    double share[24];
    wg_sun_shares(16.0 + 13.0 / 60.0, 274, share);
    const double above = wg_sun_above(16.0 + 13.0 / 60.0, 274), x = 12.0 / PI * 0.682 - 2.5;
    const double hour =
        share[14] + x * (share[15] - share[13]) / 2.0 + x * x * (share[15] - 2.0 * share[14] + share[13]) / 2.0;
    cr_expect_float_eq(above * hour, 3.543, 0.005, "%.4f", above * hour);
}

/* ---- shares of the hours ---- */

Test(shares, add_up_and_mirror_at_noon) {
    for (int latitude = -66; latitude <= 66; latitude += 6)
        for (int day = 1; day <= 366; day += 5) {
            double share[24], sum = 0.0;
            wg_sun_shares(latitude, day, share);
            for (int h = 0; h < 24; h++) {
                cr_assert(share[h] >= 0.0 && share[h] < 0.6, "%d deg, day %d, hour %d", latitude, day, h);
                cr_assert_float_eq(share[h], share[23 - h], 1e-12);
                sum += share[h];
            }
            cr_assert_float_eq(sum, 1.0, 1e-12);
        }
}

Test(shares, are_the_height_of_the_sun) {
    /* By the midpoint rule in steps of 0.36 s: the sine of the solar altitude, where it is positive. */
    const double latitude = 40.0 * PI / 180.0, declination = wg_sun_declination(181);
    double share[24], hour[24] = {0}, sum = 0.0;
    wg_sun_shares(40.0, 181, share);
    for (int i = 0; i < 240000; i++) {
        const double angle = PI / 12.0 * ((i + 0.5) / 10000.0 - 12.0);
        const double height = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(angle);
        hour[i / 10000] += fmax(0.0, height);
        sum += fmax(0.0, height);
    }
    for (int h = 0; h < 24; h++)
        cr_expect_float_eq(share[h], hour[h] / sum, 1e-8);
}

Test(shares, regression) {
    /* 40 degrees north, day 181, hours 4 to 11: from an independent program with the same equations */
    const double expected[] = {.001606, .018378, .039299, .059506, .077624, .092417, .102878, .108292};
    double share[24];
    wg_sun_shares(40.0, 181, share);
    cr_expect_float_eq(share[3], 0.0, 0.0);
    for (int i = 0; i < 8; i++)
        cr_expect_float_eq(share[4 + i], expected[i], 5e-7);
}

Test(shares, polar_night_has_none) {
    double share[24];
    wg_sun_shares(80.0, 355, share);
    for (int h = 0; h < 24; h++)
        cr_expect_float_eq(share[h], 0.0, 0.0);
    cr_expect_float_eq(wg_sun_above(80.0, 355), 0.0, 1e-12);
    cr_expect_float_eq(wg_sun_daylight_h(80.0, 355), 0.0, 0.0);
    cr_expect_float_eq(wg_sun_daylight_h(80.0, 172), 24.0, 0.0);
}

/* ---- day length ---- */

Test(day_length, almanac) {
    /* Sunrise to sunset from almanacs (MEMORY): 0.05 h, a minute or two for the formula and one for the site. */
    cr_expect_float_eq(wg_day_length_h(40.0, 172), 15.0 + 1.0 / 60.0, 0.05);
    cr_expect_float_eq(wg_day_length_h(40.0, 355), 9.0 + 20.0 / 60.0, 0.05);
    cr_expect_float_eq(wg_day_length_h(47.6, 172), 15.0 + 59.0 / 60.0, 0.05); /* Seattle */
    cr_expect_float_eq(wg_day_length_h(47.6, 355), 8.0 + 25.0 / 60.0, 0.05);
    cr_expect_float_eq(wg_day_length_h(0.0, 80), 12.0 + 7.0 / 60.0, 0.02); /* refraction and upper limb: 7 minutes */
    cr_expect_float_eq(wg_day_length_h(0.0, 80), 12.11, 0.01);
}

Test(day_length, civil_twilight) {
    /* 20 degrees north, shortest and longest: 11.7 and 14.2 h, published with the formula; 0.06 for its digits */
    cr_expect_float_eq(wg_day_length_at_h(20.0, 355, 6.0), 11.7, 0.06);
    cr_expect_float_eq(wg_day_length_at_h(20.0, 172, 6.0), 14.2, 0.06);
}

Test(day_length, equinox) {
    /* 20 March and 23 September: the sun's centre is up for 12 h everywhere, within a day of error of the formula. */
    for (int latitude = -60; latitude <= 60; latitude += 20) {
        cr_expect_float_eq(wg_day_length_at_h(latitude, 79, 0.0), 12.0, 0.15, "%d deg", latitude);
        cr_expect_float_eq(wg_day_length_at_h(latitude, 266, 0.0), 12.0, 0.15, "%d deg", latitude);
    }
}

Test(day_length, two_formulas_agree) {
    /*
     * FAO-56 approximates the declination by one sine, which is up to 1.5 degrees off in autumn (-1.1 at the September
     * equinox): 2 x 1.5/15 h x tan latitude in day length, and a tenth more towards the solstice.
     */
    for (int latitude = -60; latitude <= 60; latitude += 5)
        for (int day = 1; day <= 365; day++) {
            const double forsythe_h = wg_day_length_at_h(latitude, day, 0.0), fao_h = wg_sun_daylight_h(latitude, day);
            const double most_h = 0.22 * fabs(tan(latitude * PI / 180.0)) + 1e-9;
            cr_assert_float_eq(forsythe_h, fao_h, most_h, "%d deg, day %d: %.3f and %.3f", latitude, day, forsythe_h,
                               fao_h);
        }
}

Test(day_length, never_vanishes_where_the_program_goes) {
    double least = 24.0;
    for (int latitude = -66; latitude <= 66; latitude++)
        for (int day = 1; day <= 366; day++)
            least = fmin(least, fmin(wg_day_length_h(latitude, day), wg_sun_daylight_h(latitude, day) + 1.0));
    cr_expect_gt(least, 1.5); /* the hourly curve needs more than the hour from sunrise to the low */
    cr_expect_float_eq(wg_day_length_h(75.0, 355), 0.0, 0.0);
    cr_expect_float_eq(wg_day_length_h(75.0, 172), 24.0, 0.0);
}

Test(day_length, south_is_north_at_the_other_solstice) {
    cr_expect_float_eq(wg_day_length_h(-40.0, 355), wg_day_length_h(40.0, 172), 0.01);
    cr_expect_float_eq(wg_day_length_h(-40.0, 172), wg_day_length_h(40.0, 355), 0.01);
}

/* ---- limits ---- */

Test(limits, range_never_beats_a_clear_sky) {
    cr_expect_float_eq(wg_sun_from_range(40.0, 0.0, 30.0, 0.16, 0.0), 0.75 * 30.0, 1e-12);
    cr_expect_float_eq(wg_sun_from_range(10.0, 12.0, 30.0, 0.16, 0.0), 0.0, 0.0);
}

Test(limits, sky_loss_between_cloud_and_clear) {
    const double dull = wg_sky_loss_w_m2(20.0, 10.0, 1.2, 0.0, 30.0);
    cr_expect_float_eq(dull, wg_sky_loss_w_m2(20.0, 10.0, 1.2, 9.0, 30.0), 1e-12); /* ratio 0.3 and below */
    const double clear = wg_sky_loss_w_m2(20.0, 10.0, 1.2, 30.0, 30.0);
    cr_expect_float_eq(clear, wg_sky_loss_w_m2(20.0, 10.0, 1.2, 40.0, 30.0), 1e-12);
    cr_expect_float_eq(dull / clear, 1.35 * 0.3 - 0.35, 1e-12);
    cr_expect(clear > 60.0 && clear < 80.0, "%.1f W m-2: clear nights lose 60 to 80, common practice", clear);
    cr_expect(isfinite(wg_sky_loss_w_m2(-10.0, -20.0, 0.1, 0.0, 0.0)));
}
