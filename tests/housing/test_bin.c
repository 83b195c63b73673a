/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* One bin: its steady rise, its time constant, evaporation, mat, and the defaults. */
#include "housing/bin.h"
#include "housing/hand_made.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

static double next_between(uint64_t *x, double low, double high) {
    *x = *x * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*x >> 11) / 9007199254740992.0;
}

static struct wg_bin_spec usual(enum wg_housing_kind kind, double foam_m) {
    struct wg_bin_spec bin;
    wg_bin_defaults(&bin, kind, 0.150, foam_m);
    return bin;
}

static struct wg_bin_day day_of(const struct wg_bin_spec *bin, double larvae_w, double mat_w) {
    struct wg_bin_day day;
    wg_bin_day_start(&day, bin, bin->u_w_m2k, bin->lid, bin->substrate_kg, larvae_w, mat_w, bin->mat.set_point_c);
    return day;
}

/* Larvae of the keepers' set: a Briere curve from 12.2 to 37.2 degC. */
static struct wg_bin_heat brood(double curve_w) {
    return (struct wg_bin_heat){.curve_w = curve_w, .from_c = 12.2, .to_c = 37.2, .root = 2.0, .fuel_j = HUGE_VAL};
}

static double settled(const struct wg_bin_day *day, struct wg_bin_surroundings around) {
    double temp_c = around.air_c;
    struct wg_bin_hour hour;
    for (int h = 0; h < 24 * 100; h++)
        wg_bin_hour(&hour, &temp_c, day, &around);
    return temp_c;
}

Test(bin, regression) {
    /*
     * 65 kg at 70 %, wall 3.0 W/m2K on 1.7 m2, no soil contact, lid 0.12, 28.284271 W of larvae: from an independent
     * program.
     */
    struct wg_bin_spec bin = usual(WG_SHED, 0.0);
    bin.u_w_m2k = 3.0;
    bin.substrate_kg = 65.0;
    const struct wg_bin_day day = day_of(&bin, 28.284271, 0.0);
    cr_assert_float_eq(day.heat_j_k, 214784.5, 0.01);
    const struct wg_bin_surroundings around = {.air_c = 20.0, .soil_c = 18.0, .vapour_kpa = 1.5};
    double temp_c = 25.0;
    struct wg_bin_hour hour;
    wg_bin_hour(&hour, &temp_c, &day, &around);
    cr_assert_float_eq(temp_c, 24.951607, 1e-6);
    cr_assert_float_eq(hour.mean_c, 24.975414, 1e-6);
    /* That program takes es at the mean, we its tangent at the start: they differ in the fourth digit. */
    cr_assert_float_eq(hour.evaporation_w, 5.796913, 1e-4);
}

/*
 * The evaporation into dry air of a bin too heavy to change its temperature gives the saturation pressure: FAO-56 eq.
 * 11 (Allen et al. 1998) with the C library's exponential. Within 1e-14 (the polynomial's 3e-15 and some roundings),
 * in the range of the polynomial and beyond it.
 */
Test(bin, saturation_is_the_formula) {
    const struct wg_bin_day day = {.wet_w_kpa = 1.0, .heat_j_k = 1e18};
    for (double from_c = -90.0; from_c < 100.0; from_c += 0.0625) {
        double temp_c = from_c;
        struct wg_bin_hour hour;
        wg_bin_hour(&hour, &temp_c, &day, &(struct wg_bin_surroundings){0});
        const double es_kpa = 0.6108 * exp(17.27 * from_c / (from_c + 237.3));
        cr_assert_float_eq(hour.evaporation_w / es_kpa, 1.0, 1e-14, "%g degC: %.17g", from_c,
                           hour.evaporation_w / es_kpa);
    }
}

Test(bin, first_law_of_every_hour) {
    uint64_t x = 3;
    for (int i = 0; i < 20000; i++) {
        struct wg_bin_spec bin = usual(WG_OUTDOORS, i % 2 ? 0.025 : 0.0);
        bin.substrate_kg = next_between(&x, 0.0, 200.0);
        struct wg_bin_day day = day_of(&bin, next_between(&x, 0.0, 100.0), i % 3 ? 60.0 : 0.0);
        /* any power, up to what would boil the bin within a second but for the end of the curve at 37.2 degC */
        const struct wg_bin_heat heat = brood(pow(10.0, next_between(&x, -6.0, 12.0)));
        if (i % 5 > 0)
            day.heat = &heat;
        const double fuel_w = i % 5 == 1 ? next_between(&x, 0.0, 200.0) : HUGE_VAL;
        const struct wg_bin_surroundings around = {.air_c = next_between(&x, -15.0, 38.0),
                                                   .soil_c = next_between(&x, 0.0, 25.0),
                                                   .vapour_kpa = next_between(&x, 0.3, 3.0),
                                                   .sun_w_m2 = fmax(0.0, next_between(&x, -500.0, 1000.0)),
                                                   .fuel_w = fuel_w};
        const double start_c = next_between(&x, -5.0, 45.0);
        double temp_c = start_c;
        struct wg_bin_hour hour;
        wg_bin_hour(&hour, &temp_c, &day, &around);
        const double flow[] = {day.wall_w_k * (around.air_c - hour.mean_c),
                               day.ground_w_k * (around.soil_c - hour.mean_c),
                               day.larvae_w + hour.larvae_w,
                               day.sun_m2 * around.sun_w_m2,
                               hour.mat_w,
                               -hour.evaporation_w};
        double in = 0.0, size = 1.0;
        for (size_t k = 0; k < sizeof flow / sizeof flow[0]; k++) {
            in += flow[k] * WG_HOUR_S;
            size += fabs(flow[k]) * WG_HOUR_S;
        }
        cr_assert_float_eq(day.heat_j_k * (temp_c - start_c), in, 1e-6 * size, "hour %d", i);
        cr_assert(hour.larvae_w >= 0.0 && hour.larvae_w <= fuel_w * (1.0 + 1e-9), "hour %d: %g of %g W", i,
                  hour.larvae_w, fuel_w);
        /* Larvae never warm their bin past the end of their curve: above it only sun, air and mat do. */
        double without_c = start_c, from_there_c = 37.2;
        day.heat = NULL;
        wg_bin_hour(&hour, &without_c, &day, &around);
        wg_bin_hour(&hour, &from_there_c, &day, &around);
        const double alone_c = fmax(37.2, fmax(without_c, from_there_c));
        cr_assert_leq(temp_c, alone_c + 0.01, "hour %d: %g degC", i, temp_c);
    }
}

/* Metabolic heat that rises with temperature and ends where it is too warm: second by second with the curve itself. */
Test(bin, larvae_along_the_tangent_are_good_enough) {
    const struct wg_bin_spec bin = usual(WG_OUTDOORS, 0.025);
    const struct wg_bin_surroundings around = {.air_c = 20.0, .soil_c = 18.0, .vapour_kpa = 1.5, .fuel_w = HUGE_VAL};
    for (double most_w = 5.0; most_w < 6000.0; most_w *= 2.0) { /* at the best temperature, near 31 degC */
        struct wg_bin_heat heat = brood(most_w / (31.0 * 18.8 * sqrt(6.2)));
        struct wg_bin_day day = day_of(&bin, 0.0, 0.0);
        day.heat = &heat;
        double fine = 24.0, temp_c = 24.0, given_j = 0.0, fine_j = 0.0;
        for (int h = 0; h < 24; h++) {
            struct wg_bin_hour hour;
            wg_bin_hour(&hour, &temp_c, &day, &around);
            given_j += hour.larvae_w * 3600.0;
            for (int s = 0; s < 3600; s++) {
                const double es = 0.6108 * exp(17.27 * fine / (fine + 237.3));
                const double larvae_w = heat.curve_w * fine * (fine - 12.2) * sqrt(fmax(0.0, 37.2 - fine));
                fine += (day.wall_w_k * (20.0 - fine) + day.ground_w_k * (18.0 - fine) + larvae_w -
                         day.wet_w_kpa * (es - 1.5)) /
                        day.heat_j_k;
                fine_j += larvae_w;
            }
            cr_assert_float_eq(temp_c, fine, 0.15, "%g W, hour %d: %g and %g degC", most_w, h, temp_c, fine);
        }
        cr_assert_float_eq(given_j / fine_j, 1.0, 0.02, "%g W: %g of %g J", most_w, given_j, fine_j);
    }
}

Test(bin, evaporation_along_the_tangent_is_good_enough) {
    /* Minute by minute with the exact curve against one step of an hour. */
    const struct wg_bin_spec bin = usual(WG_OUTDOORS, 0.0);
    const struct wg_bin_day day = day_of(&bin, 30.0, 0.0);
    const struct wg_bin_surroundings around = {.air_c = 10.0, .soil_c = 12.0, .vapour_kpa = 0.9, .sun_w_m2 = 300.0};
    double fine = 30.0, temp_c = 30.0;
    for (int i = 0; i < 36000; i++) {
        const double es = 0.6108 * exp(17.27 * fine / (fine + 237.3));
        const double w = day.wall_w_k * (10.0 - fine) + day.ground_w_k * (12.0 - fine) + 30.0 + day.sun_m2 * 300.0 -
                         0.15 * 0.30 * (89.0 + 78.2 * 0.3) * (es - 0.9);
        fine += 0.1 * w / day.heat_j_k;
    }
    struct wg_bin_hour hour;
    wg_bin_hour(&hour, &temp_c, &day, &around);
    cr_assert_float_eq(temp_c, fine, 2e-3); /* second-order term: es'' dT^2 /6 of 4.5 W/kPa */
}

Test(bin, an_open_top_loses_heat_a_dry_or_foggy_one_does_not) {
    struct wg_bin_spec bin = usual(WG_SHED, 0.0);
    bin.lid = 1.0;
    const struct wg_bin_day wet = day_of(&bin, 0.0, 0.0);
    bin.lid = 0.0;
    const struct wg_bin_day dry = day_of(&bin, 0.0, 0.0);
    cr_assert_lt(settled(&wet, (struct wg_bin_surroundings){.air_c = 20.0, .vapour_kpa = 1.2}), 18.0);
    cr_assert_float_eq(settled(&dry, (struct wg_bin_surroundings){.air_c = 20.0, .vapour_kpa = 1.2}), 20.0, 1e-9);
    cr_assert_float_eq(settled(&wet, (struct wg_bin_surroundings){.air_c = 20.0, .vapour_kpa = 2.4}), 20.0, 1e-9);
}

Test(bin, twice_the_watts_twice_the_rise) {
    struct wg_bin_spec bin = usual(WG_SHED, 0.0);
    dry_bin(&bin);
    const struct wg_bin_day one = day_of(&bin, 20.0, 0.0), two = day_of(&bin, 40.0, 0.0);
    const struct wg_bin_surroundings around = {.air_c = 15.0, .vapour_kpa = 1.0};
    const double rise = settled(&one, around) - 15.0;
    cr_assert_float_eq(rise, 20.0 / (3.5 * 1.7), 1e-9);
    cr_assert_float_eq(settled(&two, around) - 15.0, 2.0 * rise, 1e-9);
}

Test(bin, mat_holds_its_set_point) {
    struct wg_bin_spec bin = usual(WG_HOOP_HOUSE, 0.025);
    bin.mat.power_w = 60.0;
    const struct wg_bin_day day = day_of(&bin, 0.0, 60.0);
    double temp_c = 27.0;
    struct wg_bin_hour hour;
    for (int h = 0; h < 240; h++) {
        wg_bin_hour(&hour, &temp_c, &day,
                    &(struct wg_bin_surroundings){.air_c = 3.0, .soil_c = 5.0, .vapour_kpa = 0.5});
        cr_assert_float_eq(temp_c, 27.0, 1e-9);
        cr_assert_eq(hour.short_w, 0.0);
    }
    cr_assert(hour.mat_w > 40.0 && hour.mat_w < 60.0, "%.1f W", hour.mat_w);
}

Test(bin, power_off_it_cools_with_its_time_constant) {
    struct wg_bin_spec bin = usual(WG_SHED, 0.025);
    dry_bin(&bin);
    const struct wg_bin_day day = day_of(&bin, 0.0, 0.0);
    const double tau_h = day.heat_j_k / day.wall_w_k / 3600.0;
    double temp_c = 27.0;
    struct wg_bin_hour hour;
    for (int h = 1; h <= 48; h++) {
        wg_bin_hour(&hour, &temp_c, &day, &(struct wg_bin_surroundings){.air_c = 7.0, .vapour_kpa = 1.0});
        cr_assert_float_eq(temp_c, 7.0 + 20.0 * exp(-h / tau_h), 1e-9);
    }
}

Test(bin, usual_time_constants) {
    /*
     * 60 kg and 5 kg of larvae: plain 7 to 10 h, 25 mm of foam 28 to 35 h, 50 mm 50 to 70 h (from U, area and Siebel's
     * heat capacity).
     */
    const double foam_m[] = {0.0, 0.025, 0.050}, low[] = {7.0, 28.0, 50.0}, high[] = {10.5, 38.0, 70.0};
    for (int i = 0; i < 3; i++) {
        struct wg_bin_spec bin = usual(WG_SHED, foam_m[i]);
        bin.substrate_kg = 65.0;
        const struct wg_bin_day day = day_of(&bin, 0.0, 0.0);
        const double tau_h = day.heat_j_k / day.wall_w_k / 3600.0;
        cr_assert(tau_h > low[i] && tau_h < high[i], "%.1f mm: %.1f h", 1000.0 * foam_m[i], tau_h);
    }
}

Test(bin, siebel) {
    /* Siebel 1892: 0.837 + 3.349 X kJ/(kg K): 3.18 at 70 %, 3.52 at 80 %. */
    cr_assert_float_eq((wg_bin_heat_j_k(1.0, 0.70) - wg_bin_heat_j_k(0.0, 0.70)) / 1000.0, 3.18, 0.005);
    cr_assert_float_eq((wg_bin_heat_j_k(1.0, 0.80) - wg_bin_heat_j_k(0.0, 0.80)) / 1000.0, 3.52, 0.005);
}

Test(bin, defaults) {
    const struct wg_bin_spec plain = usual(WG_SHED, 0.0), out = usual(WG_OUTDOORS, 0.0),
                             hoop = usual(WG_HOOP_HOUSE, 0.0);
    cr_assert_float_eq(plain.wall_m2, 1.7, 1e-12);
    cr_assert_float_eq(plain.top_m2, 0.30, 1e-12);
    cr_assert_float_eq(plain.substrate_kg, 60.0, 1e-12);
    cr_assert_eq(plain.u_w_m2k, 3.5);
    cr_assert_eq(out.u_w_m2k, 4.5);
    cr_assert_eq(plain.ground_w_k, 0.0);
    cr_assert_eq(out.ground_w_k, 0.5);
    cr_assert_eq(out.sun_m2, 0.06);
    cr_assert_eq(hoop.sun_m2, 0.02);
    cr_assert_eq(out.lid, 0.15);
    cr_assert_eq(hoop.lid, 0.12);
    cr_assert_not(out.summer_switch);
    /* Foam by the series of resistances: about 1.0 and 0.5 W/m2K for 25 and 50 mm. */
    cr_assert_float_eq(usual(WG_OUTDOORS, 0.025).u_w_m2k, 1.0, 0.02);
    cr_assert_float_eq(usual(WG_SHED, 0.025).u_w_m2k, 1.0, 0.10);
    cr_assert_float_eq(usual(WG_SHED, 0.050).u_w_m2k, 0.5, 0.06);
}

/* Defaults as README describes them: a covered bin, two fifths full of wet waste, opened from May to September. */
Test(bin, defaults_of_what_is_seldom_said) {
    const struct wg_bin_spec plain = usual(WG_SHED, 0.0), out = usual(WG_OUTDOORS, 0.0);
    cr_assert_eq(plain.moisture, 0.70);
    cr_assert_eq(plain.wind_m_s, 0.1);
    cr_assert_eq(out.wind_m_s, 0.3);
    cr_assert_eq(out.summer_lid, 0.3);
    cr_assert_eq(out.summer_u_w_m2k, out.u_w_m2k);
    cr_assert_eq(out.summer.from, wg_season_index(wg_day_from_date((struct wg_date){2026, 5, 1})));
    cr_assert_eq(out.summer.to, wg_season_index(wg_day_from_date((struct wg_date){2026, 9, 30})));
    cr_assert_eq(out.mat.set_point_c, 27.0);
    cr_assert_eq(out.mat.efficiency, 1.0);
    cr_assert_eq(out.mat.power_w, 0.0);
    cr_assert_eq(usual(WG_OUTDOORS, 0.025).sun_m2, 0.02);
    cr_assert_eq(usual(WG_GREENHOUSE, 0.025).sun_m2, 0.01);
    cr_assert_eq(usual(WG_OUTDOORS, 0.025).ground_w_k, 0.3);
}

Test(ground, defaults) {
    struct wg_ground_spec yard, bench;
    wg_ground_defaults(&yard, WG_OUTDOORS);
    wg_ground_defaults(&bench, WG_LABORATORY);
    cr_assert_eq(yard.kind, WG_GROUND_SOIL);
    cr_assert_eq(bench.kind, WG_GROUND_BOX);
    cr_assert_eq(yard.soil.depth_m, 0.10);
    /* de Vries 1963: between moist clay and moist sand 0.58e-6 m2/s, peat 0.12 to 0.16e-6 */
    cr_assert_float_eq(yard.soil.diffusivity_m2_day, 0.58e-6 * 86400, 5e-4);
    cr_assert_float_eq(yard.soil.mulch_diffusivity_m2_day, 0.14e-6 * 86400, 5e-4);
    cr_assert_eq(yard.soil.frost_damping, 0.5);
    cr_assert_eq(yard.soil.offset_k, 1.0);
    cr_assert_eq(yard.soil.mulch_m, 0.0);
    cr_assert_not(yard.dark);
}

Test(bin, a_bigger_bin_of_the_same_shape) {
    struct wg_bin_spec big;
    wg_bin_defaults(&big, WG_OUTDOORS, 1.200, 0.0); /* eight times the volume, twice the edge */
    cr_assert_float_eq(big.wall_m2, 4.0 * 1.7, 1e-9);
    cr_assert_float_eq(big.top_m2, 4.0 * 0.30, 1e-9);
    cr_assert_float_eq(big.sun_m2, 4.0 * 0.06, 1e-9);
    cr_assert_float_eq(big.ground_w_k, 4.0 * 0.5, 1e-9);
    cr_assert_float_eq(big.substrate_kg, 8.0 * 60.0, 1e-9);
    cr_assert_eq(big.u_w_m2k, 4.5);
}
