/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* The house: heater, vents, sun, sky, and the first law of every hour. */
#include "housing/hand_made.h"
#include "housing/shelter.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

static double next_between(uint64_t *x, double low, double high) {
    *x = *x * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*x >> 11) / 9007199254740992.0;
}

static struct wg_shelter_spec usual(enum wg_housing_kind kind) {
    struct wg_shelter_spec shelter;
    wg_shelter_defaults(&shelter, kind);
    return shelter;
}

Test(shelter, first_law_of_every_hour) {
    /*
     * A year of hours in each house, with random weather, heater and vents at work: stored = in - out within 1e-6 of
     * the heat moved.
     */
    uint64_t x = 7;
    int heated = 0, vented = 0;
    for (int kind = WG_HOOP_HOUSE; kind <= WG_SHED; kind++) {
        const struct wg_shelter_spec spec = usual((enum wg_housing_kind)kind);
        struct wg_shelter_day day;
        struct wg_two_temps nodes = {10.0, 10.0};
        for (int i = 0; i < 8760; i++) {
            const double bins_w_k = next_between(&x, 0.0, 100.0), bin_c = next_between(&x, 5.0, 40.0);
            wg_shelter_day_start(&day, &spec, bins_w_k, next_between(&x, 10.0, 75.0), next_between(&x, 5.0, 20.0),
                                 3000.0, 21.0);
            const double out_c = next_between(&x, -15.0, 38.0), sun = fmax(0.0, next_between(&x, -800.0, 1000.0));
            const struct wg_two_temps start = nodes;
            struct wg_shelter_hour hour;
            wg_shelter_hour(&hour, &nodes, &day, out_c, sun, bins_w_k * bin_c);
            const double flow[] = {
                (day.loss_w_k + hour.open_w_k) * (out_c - hour.mean.air_c),
                bins_w_k * (bin_c - hour.mean.air_c),
                spec.mass_ground_w_k * (day.deep_c - hour.mean.mass_c),
                spec.sun_area_m2 * sun,
                -day.sky_w,
                hour.heater_w,
            };
            double in = 0.0, size = 1.0;
            for (size_t k = 0; k < sizeof flow / sizeof flow[0]; k++) {
                in += flow[k] * WG_HOUR_S;
                size += fabs(flow[k]) * WG_HOUR_S;
            }
            const double stored =
                spec.air_j_k * (nodes.air_c - start.air_c) + spec.mass_j_k * (nodes.mass_c - start.mass_c);
            cr_assert_float_eq(stored, in, 1e-6 * size, "kind %d hour %d: %.12g J against %.12g J", kind, i, stored,
                               in);
            heated += hour.heater_w > 0.0;
            vented += hour.open_w_k > 0.0;
        }
    }
    cr_assert(heated > 1000 && vented > 1000, "%d heated and %d vented hours are no test", heated, vented);
}

Test(shelter, heater_brings_the_air_to_its_set_point) {
    const struct wg_shelter_spec spec = usual(WG_GREENHOUSE);
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 12.0, 50000.0, 21.0);
    struct wg_two_temps nodes = {5.0, 8.0};
    struct wg_shelter_hour hour;
    wg_shelter_hour(&hour, &nodes, &day, -3.0, 0.0, 0.0);
    cr_assert_float_eq(nodes.air_c, 21.0, 1e-9);
    cr_assert_gt(hour.heater_w, 0.0);
    cr_assert_lt(hour.heater_w, 50000.0);
    cr_assert_eq(wg_shelter_shortfall_w(&day, -3.0, 0.0, 0.0), 0.0);
}

/* The last of ten days under a constant sky: the temperature, and the heater's shortfall. */
static double after_ten_days_c(const struct wg_shelter_spec *spec, double heater_w, double *lack_w) {
    struct wg_shelter_hour hour;
    struct wg_shelter_day day;
    struct wg_two_temps nodes = {5.0, 8.0};
    wg_shelter_day_start(&day, spec, 0.0, 0.0, 12.0, heater_w, 21.0);
    for (int h = 0; h < 240; h++)
        wg_shelter_hour(&hour, &nodes, &day, -3.0, 0.0, 0.0);
    *lack_w = wg_shelter_shortfall_w(&day, -3.0, 0.0, 0.0);
    return nodes.air_c;
}

/*
 * With its shortfall added a heater holds its set point, with a fiftieth less it does not, however cold the house was.
 */
Test(shelter, a_small_heater_says_how_much_is_missing) {
    static const enum wg_housing_kind kinds[] = {WG_GREENHOUSE, WG_SHED};
    for (int i = 0; i < 2; i++) {
        const struct wg_shelter_spec spec = usual(kinds[i]);
        double short_w, lack_w;
        cr_assert_lt(after_ten_days_c(&spec, 100.0, &short_w), 20.0);
        cr_expect_float_eq(after_ten_days_c(&spec, 100.0 + 1.001 * short_w, &lack_w), 21.0, 1e-6);
        cr_expect_eq(lack_w, 0.0);
        cr_expect_lt(after_ten_days_c(&spec, 100.0 + 0.98 * short_w, &lack_w), 20.9, "%g W", short_w);
        cr_expect_float_eq(lack_w, 0.02 * short_w, 1e-6);
    }
}

Test(shelter, warm_air_needs_no_heater) {
    const struct wg_shelter_spec spec = usual(WG_GREENHOUSE);
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 18.0, 5000.0, 21.0);
    struct wg_two_temps nodes = {25.0, 25.0};
    struct wg_shelter_hour hour;
    wg_shelter_hour(&hour, &nodes, &day, 24.0, 0.0, 0.0);
    cr_assert_eq(hour.heater_w, 0.0);
}

Test(shelter, vents_hold_their_temperature_when_they_can) {
    const struct wg_shelter_spec spec = usual(WG_HOOP_HOUSE); /* opens above 30 degC */
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 18.0, 0.0, 0.0);
    for (double out_c = -10.0; out_c <= 15.0; out_c += 0.25) {
        struct wg_two_temps nodes = {28.0, 26.0};
        struct wg_shelter_hour hour;
        wg_shelter_hour(&hour, &nodes, &day, out_c, 1000.0, 3000.0);
        if (hour.open_w_k == 0.0)
            continue;
        cr_assert_float_eq(nodes.air_c, 30.0, 1e-6, "%.2f outside: %.9f", out_c, nodes.air_c);
        cr_assert(hour.open_w_k > 0.0 && hour.open_w_k < day.vent_w_k);
    }
}

/* Also where the air is far from its rest, so that opening by half does not halve what it is above the outside. */
Test(shelter, vents_hold_their_temperature_from_any_start) {
    int held = 0;
    for (int kind = 0; kind < 2; kind++) {
        const struct wg_shelter_spec spec = usual(kind == 0 ? WG_HOOP_HOUSE : WG_SHED);
        const double above_c = spec.vent_above_c;
        struct wg_shelter_day day;
        wg_shelter_day_start(&day, &spec, 0.0, 0.0, 18.0, 0.0, 0.0);
        for (double start_c = 10.0; start_c <= 60.0; start_c += 10.0)
            for (double sun_w_m2 = 0.0; sun_w_m2 <= 1000.0; sun_w_m2 += 200.0)
                for (double out_c = -20.0; out_c < above_c; out_c += 2.0) {
                    struct wg_two_temps nodes = {start_c, start_c};
                    struct wg_shelter_hour hour;
                    wg_shelter_hour(&hour, &nodes, &day, out_c, sun_w_m2, 0.0);
                    if (hour.open_w_k <= 0.0 || hour.open_w_k >= day.vent_w_k)
                        continue;
                    held++;
                    cr_expect_float_eq(nodes.air_c, above_c, 1e-6, "%g degC, %g W/m2, %g outside: %.9f", start_c,
                                       sun_w_m2, out_c, nodes.air_c);
                }
    }
    cr_expect_gt(held, 300, "%d hours of holding are no test", held);
}

Test(shelter, on_a_hot_day_vents_are_wide_open) {
    const struct wg_shelter_spec spec = usual(WG_HOOP_HOUSE);
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 18.0, 0.0, 0.0);
    struct wg_two_temps nodes = {34.0, 30.0};
    struct wg_shelter_hour hour;
    wg_shelter_hour(&hour, &nodes, &day, 33.0, 900.0, 0.0);
    cr_assert_eq(hour.open_w_k, day.vent_w_k);
    cr_assert_gt(nodes.air_c, 33.0);
}

Test(shelter, vents_stay_shut_when_it_is_hotter_outside) {
    const struct wg_shelter_spec spec = usual(WG_SHED); /* opens above 32 degC */
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 18.0, 0.0, 0.0);
    struct wg_two_temps nodes = {33.0, 33.0};
    struct wg_shelter_hour hour;
    wg_shelter_hour(&hour, &nodes, &day, 45.0, 0.0, 0.0);
    cr_assert_eq(hour.open_w_k, 0.0);
    cr_assert_gt(nodes.air_c, 32.0);
}

Test(shelter, sky_makes_a_clear_night_colder_and_no_heat_is_lost_twice) {
    const struct wg_shelter_spec spec = usual(WG_HOOP_HOUSE);
    struct wg_shelter_day cloudy, clear;
    wg_shelter_day_start(&cloudy, &spec, 0.0, 0.0, 12.0, 0.0, 0.0);
    wg_shelter_day_start(&clear, &spec, 0.0, 70.0, 12.0, 0.0, 0.0);
    struct wg_two_temps a = {8.0, 12.0}, b = a;
    struct wg_shelter_hour hour;
    for (int h = 0; h < 12; h++) {
        wg_shelter_hour(&hour, &a, &cloudy, 2.0, 0.0, 0.0);
        wg_shelter_hour(&hour, &b, &clear, 2.0, 0.0, 0.0);
    }
    /* Sol-air: 0.035 m2K/W x 70 W/m2 lowers the outside by 2.45 K for the cover, of which the air feels its share. */
    cr_assert(a.air_c - b.air_c > 1.2 && a.air_c - b.air_c < 2.45, "%.3f K", a.air_c - b.air_c);
}

Test(shelter, steady_state_is_the_balance_of_watts) {
    struct wg_shelter_spec spec = usual(WG_SHED);
    plain_house(&spec);
    struct wg_shelter_day day;
    wg_shelter_day_start(&day, &spec, 0.0, 0.0, 0.0, 0.0, 0.0);
    struct wg_two_temps nodes = {0.0, 0.0};
    struct wg_shelter_hour hour;
    for (int h = 0; h < 24 * 60; h++)
        wg_shelter_hour(&hour, &nodes, &day, 4.0, 0.0, 250.0);
    /* 250 W through 0.50 x 37.8 + 0.5 x 21.6 x 1207/3600 = 22.521 W/K. */
    cr_assert_float_eq(nodes.air_c, 4.0 + 250.0 / 22.521, 1e-9);
}

Test(shelter, heater_size_is_the_loss_and_a_fifth) {
    const struct wg_shelter_spec spec = usual(WG_GREENHOUSE); /* 4.0 x 40 + 0.75 x 28 x 1207/3600 = 167.04 W/K */
    cr_assert_float_eq(wg_heater_size_w(&spec, 21.0, -9.0), 1.2 * 167.0408333 * 30.0, 1e-3);
    cr_assert_eq(wg_heater_size_w(&spec, 21.0, 25.0), 0.0);
}

Test(shelter, usual_houses_are_those_of_the_table) {
    const struct wg_shelter_spec hoop = usual(WG_HOOP_HOUSE), house = usual(WG_GREENHOUSE), shed = usual(WG_SHED);
    cr_assert_float_eq(hoop.cover_m2, 40.0, 1e-12);
    cr_assert_float_eq(hoop.volume_m3, 28.0, 1e-12);
    cr_assert_float_eq(hoop.sun_area_m2, 9.0, 1e-12);
    cr_assert_float_eq(hoop.mass_air_w_k, 90.0, 1e-12);
    cr_assert_float_eq(hoop.mass_ground_w_k, 50.4, 1e-12);
    cr_assert_float_eq(hoop.mass_j_k, 5549340.0, 10.0); /* the depth of the daily wave has six digits */
    cr_assert_float_eq(hoop.air_j_k, 202776.0, 1e-6);
    cr_assert_eq(hoop.u_w_m2k, 6.5);
    cr_assert_eq(house.u_w_m2k, 4.0);
    cr_assert_float_eq(house.sun_area_m2, 8.1, 1e-12);
    cr_assert_float_eq(shed.cover_m2, 37.8, 1e-12);
    cr_assert_float_eq(shed.volume_m3, 21.6, 1e-12);
    cr_assert_float_eq(shed.mass_air_w_k, 234.0, 1e-12);
    cr_assert_float_eq(shed.mass_j_k, 2.808e6, 1e-3);
    cr_assert_float_eq(shed.sun_area_m2, 0.33, 1e-12);
    cr_assert(shed.light_through < 0.5);
    for (int kind = 0; kind < WG_N_HOUSINGS; kind++) /* a dark house stays dark without lamps */
        cr_assert_eq(usual((enum wg_housing_kind)kind).lamp_hours, 0.0);
    cr_assert_eq(usual(WG_OUTDOORS).light_through, 1.0);
    cr_assert_eq(usual(WG_OUTDOORS).cover_m2, 0.0);
    cr_assert_str_eq(wg_housing_name(WG_HOOP_HOUSE), "hoop house");
}

/* U of growers' tables, W/(m2 K); light by the transmittances there, less for frame and dirt, and less through two layers. */
Test(shelter, covers_are_those_of_growers_tables) {
    static const struct {
        const char *name;
        double u_least, u_most, light_most;
    } table[] = {{"single film", 6.5, 6.8, 0.90},
                 {"double film", 3.9, 4.1, 0.80},
                 {"twin wall", 3.0, 3.3, 0.80},
                 {"glass", 6.3, 6.5, 0.90}};
    struct wg_shelter_spec house[4];
    for (int i = 0; i < 4; i++) {
        house[i] = usual(WG_HOOP_HOUSE);
        cr_assert_eq(wg_shelter_set_cover(&house[i], table[i].name), 0);
        cr_expect(house[i].u_w_m2k >= table[i].u_least && house[i].u_w_m2k <= table[i].u_most, "%s", table[i].name);
        cr_expect(house[i].light_through > 0.6 && house[i].light_through < table[i].light_most, "%s", table[i].name);
    }
    cr_expect_lt(house[1].light_through, house[0].light_through, "two films pass less than one");
    cr_expect_lt(house[2].light_through, house[3].light_through, "two walls pass less than one pane");
    cr_expect_gt(house[0].sky_view_m2k_w, house[3].sky_view_m2k_w, "film lets long waves through, glass does not");
}

/* 68 degF: the U.S. Department of Energy's thermostat in winter; 40 degF: the FDA's warmest refrigerator. */
Test(shelter, rooms_and_refrigerators_are_as_warm_as_advised) {
    cr_assert_float_eq(usual(WG_ROOM).steady_c, (68 - 32) * 5 / 9.0, 1e-12);
    cr_assert_float_eq(usual(WG_REFRIGERATOR).steady_c, (40 - 32) * 5 / 9.0, 1e-12);
}

Test(shelter, a_bigger_floor_carries_everything_along) {
    struct wg_shelter_spec hoop = usual(WG_HOOP_HOUSE);
    cr_assert_eq(wg_shelter_set_floor(&hoop, 72.0), 0);
    cr_assert_float_eq(hoop.volume_m3, 4.0 * 28.0, 1e-9);
    cr_assert_float_eq(hoop.sun_area_m2, 36.0, 1e-9);
    cr_assert(hoop.cover_m2 > 2.0 * 40.0 && hoop.cover_m2 < 4.0 * 40.0); /* ends and sides scale with the square root */
    cr_assert_eq(wg_shelter_set_cover(&hoop, "double film"), 0);
    cr_assert_float_eq(hoop.sun_area_m2, 0.45 * 72.0, 1e-9);
    cr_assert_eq(hoop.u_w_m2k, 4.0);
    cr_assert_eq(wg_shelter_set_floor(&hoop, 36.0), 0);
    cr_assert_float_eq(hoop.sun_area_m2, 0.45 * 36.0, 1e-9); /* the cover stays the same */
    /* A 30 ft x 96 ft tunnel has about 1.5 times its floor in film: common practice. */
    cr_assert_eq(wg_shelter_set_floor(&hoop, 267.6), 0);
    cr_assert_float_eq(hoop.cover_m2 / hoop.floor_m2, 1.5, 0.1);
}

Test(shelter, what_makes_no_sense_changes_nothing) {
    struct wg_shelter_spec open = usual(WG_OUTDOORS), shed = usual(WG_SHED), hoop = usual(WG_HOOP_HOUSE);
    const struct wg_shelter_spec before = hoop;
    cr_assert_eq(wg_shelter_set_floor(&open, 10.0), -1);
    cr_assert_eq(wg_shelter_set_cover(&shed, "glass"), -1);
    cr_assert_eq(wg_shelter_set_cover(&hoop, "brick"), -1);
    cr_assert_eq(wg_shelter_set_floor(&hoop, 0.0), -1);
    cr_assert_eq(wg_shelter_set_floor(&hoop, (double)NAN), -1);
    cr_assert_eq(memcmp(&hoop, &before, sizeof hoop), 0);
}
