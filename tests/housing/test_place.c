/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* A whole place over days, as the colony uses it. */
#include "housing/hand_made.h"

#include <criterion/criterion.h>
#include <math.h>

static struct wg_place_model place; /* too big for a small stack; every test is a process of its own */
static struct wg_place_settings settings;
static struct wg_place_state state;
static struct wg_place_hours hours;
static double watts[WG_MAX_BINS_PER_PLACE];

static void begin(const struct wg_sky *sky) {
    wg_place_settings_start(&settings, &place);
    wg_place_start(&state, &place, sky);
}

static struct wg_sky sunny_winter_day(void) {
    struct wg_sky sky = still_sky(4.0);
    for (int h = 0; h < 24; h++) {
        sky.air_c[h] = 4.0 - 5.0 * cos((h - 2.5) * 3.14159265358979323846 / 12.0);
        sky.sun_w_m2[h] = fmax(0.0, 350.0 * sin((h - 7.0) * 3.14159265358979323846 / 10.0));
        if (h < 7 || h > 16)
            sky.sun_w_m2[h] = 0.0;
    }
    sky.vapour_kpa = 0.6;
    sky.sky_loss_w_m2 = 55.0;
    return sky;
}

Test(place, laboratory_is_exactly_as_warm_as_said) {
    usual_place(&place, WG_LABORATORY, 3, 11.0);
    const struct wg_sky sky = still_sky(27.1);
    begin(&sky);
    cr_assert_eq(state.ground_c, 27.1);
    watts[0] = 500.0;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    for (int h = 0; h < 24; h++) {
        cr_assert_eq(hours.air_c[h], 27.1);
        cr_assert_eq(hours.bin_c[0][h], 27.1);
        cr_assert_eq(hours.bin_c[2][h], 27.1);
        cr_assert_eq(hours.ground_c[h], 27.1);
        cr_assert_eq(hours.light_w_m2[h], 200.0);
    }
    cr_assert_eq(hours.heater_kwh, 0.0);
    const struct wg_sky warmer = still_sky(29.3); /* a room that is set anew: all is as warm by the evening */
    whole_day(&state, &place, &settings, &warmer, watts, &hours);
    cr_assert(state.air_c == 29.3 && state.mass_c == 29.3 && state.ground_c == 29.3 && state.bin_c[2] == 29.3);
}

Test(place, outdoors_air_is_the_air_and_light_the_light) {
    usual_place(&place, WG_OUTDOORS, 1, 6.0);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    for (int h = 0; h < 24; h++) {
        cr_assert_eq(hours.air_c[h], sky.air_c[h]);
        cr_assert_eq(hours.light_w_m2[h], sky.sun_w_m2[h]);
    }
}

Test(place, an_empty_bin_outdoors_looks_at_the_sky) {
    usual_place(&place, WG_OUTDOORS, 1, 6.0);
    dry_bin(&place.bin[0]);
    struct wg_sky sky = still_sky(5.0);
    sky.sky_loss_w_m2 = 60.0;
    begin(&sky);
    for (int d = 0; d < 30; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(hours.bin_c[0][23], 5.0 - 0.010 * 60.0, 1e-9);
}

Test(place, ground_moves_in_a_straight_line_through_the_day) {
    usual_place(&place, WG_OUTDOORS, 0, 10.0);
    struct wg_sky sky = still_sky(5.0);
    begin(&sky);
    cr_assert_eq(state.ground_c, 10.0);
    same_soil(&place.ground_soil, 12.4);
    wg_place_run(&state, &place, &settings, &sky, 0, 12, steady(watts), NULL, false, &hours);
    cr_assert_eq(state.ground_c, 10.0); /* the day is not over */
    wg_place_run(&state, &place, &settings, &sky, 12, 24, steady(watts), NULL, false, &hours);
    for (int h = 0; h < 24; h++)
        cr_assert_float_eq(hours.ground_c[h], 10.0 + 2.4 * (h + 0.5) / 24.0, 1e-12);
    cr_assert_eq(state.ground_c, 12.4);
}

Test(place, a_box_is_as_warm_as_the_air) {
    usual_place(&place, WG_SHED, 1, 10.0);
    cr_assert_eq(place.ground.kind, WG_GROUND_BOX);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    for (int h = 0; h < 24; h++)
        cr_assert_eq(hours.ground_c[h], hours.air_c[h]);
}

/* A room of 18 degC, in summer 24: both as said, whatever the weather, 500 W of larvae and a power cut. */
Test(place, a_room_is_as_warm_as_said) {
    usual_place(&place, WG_ROOM, 2, 11.0);
    place.shelter.steady_c = 18.0;
    place.shelter.summer_switch = true;
    place.shelter.summer = (struct wg_season){134, 257};
    place.shelter.summer_c = 24.0;
    dry_bin(&place.bin[0]);
    cr_assert(place.ground.kind == WG_GROUND_BOX && place.bin[0].ground_w_k == 0.0);
    struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    watts[1] = 500.0;
    for (int d = 0; d < 40; d++)
        wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), NULL, d == 39, &hours);
    for (int h = 0; h < 24; h++) {
        cr_assert_eq(hours.air_c[h], 18.0);
        cr_assert_eq(hours.ground_c[h], 18.0);
        cr_assert_float_eq(hours.bin_c[0][h], 18.0, 1e-9);
        cr_assert_eq(hours.light_w_m2[h], 0.0);
    }
    cr_assert_gt(hours.bin_c[1][0], 30.0); /* larvae warm their bin, not the room */
    cr_assert_eq(hours.heater_kwh + hours.mats_kwh + hours.lamps_kwh, 0.0);
    sky.day += 180;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert(hours.air_c[0] == 24.0 && hours.air_c[23] == 24.0 && state.ground_c == 24.0);
    cr_assert(hours.bin_c[0][0] > 18.0 && hours.bin_c[0][23] < 24.0);
}

/* 50 W for 12 hours: 0.6 kWh (by hand); a tenth of the daylight by the window. */
Test(place, lamps_and_daylight_in_a_room) {
    usual_place(&place, WG_ROOM, 0, 11.0);
    place.shelter.lamp_hours = 12.0;
    place.shelter.lamp_power_w = 50.0;
    place.shelter.lamp_price_per_kwh = 0.5;
    place.shelter.light_through = 0.1;
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_float_eq(hours.lamps_kwh, 0.6, 1e-12);
    cr_expect_float_eq(hours.cost, 0.3, 1e-12);
    cr_expect_eq(hours.light_w_m2[12], 200.0);
    cr_expect_eq(hours.light_w_m2[20], 0.0);
    cr_expect_eq(hours.air_c[12], 20.0);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), NULL, true, &hours);
    cr_expect_float_eq(hours.light_w_m2[12], 0.1 * sky.sun_w_m2[12], 1e-12); /* no mains */
    cr_expect_eq(hours.cost, 0.0);
    cr_expect_eq(wg_sun_hours(&place.shelter, 9.0), 9.0);
    place.shelter.light_through = 0.0;
    cr_expect_eq(wg_sun_hours(&place.shelter, 9.0), 0.0);
}

Test(place, a_cellar_follows_the_soil_through_the_day) {
    usual_place(&place, WG_CELLAR, 1, 10.0);
    dry_bin(&place.bin[0]);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    cr_assert(state.air_c == 10.0 && state.ground_c == 10.0 && state.bin_c[0] == 10.0);
    same_soil(&place.deep_soil, 12.4);
    wg_place_run(&state, &place, &settings, &sky, 0, 7, steady(watts), NULL, false, &hours);
    wg_place_run(&state, &place, &settings, &sky, 7, 24, steady(watts), NULL, false, &hours);
    for (int h = 0; h < 24; h++) {
        cr_assert_float_eq(hours.air_c[h], 10.0 + 2.4 * (h + 0.5) / 24.0, 1e-12);
        cr_assert_eq(hours.ground_c[h], hours.air_c[h]);
    }
    cr_assert_float_eq(state.ground_c, 12.4, 1e-12);
    place.shelter.steady_c = 7.0; /* with a temperature of its own it does not */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_eq(hours.air_c[0], 7.0);
}

Test(place, a_day_in_pieces_is_the_same_day) {
    usual_place(&place, WG_GREENHOUSE, 4, 8.0);
    place.heater.power_w = 5000.0;
    place.heater.set_point_c = 21.0;
    place.bin[2].mat.power_w = 60.0;
    const struct wg_sky sky = sunny_winter_day();
    for (int b = 0; b < 4; b++)
        watts[b] = 10.0 * b;
    begin(&sky);
    struct wg_place_state pieces = state;
    struct wg_place_hours part, parts;
    double heater = 0.0, mats = 0.0;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    const int cut[] = {0, 1, 7, 8, 20, 24};
    for (int i = 0; i < 5; i++) {
        wg_place_run(&pieces, &place, &settings, &sky, cut[i], cut[i + 1], steady(watts), NULL, false, &part);
        heater += part.heater_kwh;
        mats += part.mats_kwh;
        for (int h = cut[i]; h < cut[i + 1]; h++) {
            parts.air_c[h] = part.air_c[h];
            parts.bin_c[3][h] = part.bin_c[3][h];
        }
    }
    for (int h = 0; h < 24; h++) {
        cr_assert_eq(parts.air_c[h], hours.air_c[h]);
        cr_assert_eq(parts.bin_c[3][h], hours.bin_c[3][h]);
    }
    cr_assert_float_eq(heater, hours.heater_kwh, 1e-9);
    cr_assert_float_eq(mats, hours.mats_kwh, 1e-9);
    cr_assert_eq(pieces.ground_c, state.ground_c);
    cr_assert_eq(pieces.bin_c[3], state.bin_c[3]);
}

Test(place, hours_outside_the_call_are_left_alone) {
    usual_place(&place, WG_HOOP_HOUSE, 1, 8.0);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    hours.air_c[5] = hours.bin_c[0][5] = hours.ground_c[12] = hours.light_w_m2[12] = -77.0;
    wg_place_run(&state, &place, &settings, &sky, 6, 12, steady(watts), NULL, false, &hours);
    cr_assert(hours.air_c[5] == -77.0 && hours.bin_c[0][5] == -77.0);
    cr_assert(hours.ground_c[12] == -77.0 && hours.light_w_m2[12] == -77.0);
}

Test(place, heat_of_the_bins_is_neither_made_nor_lost) {
    /*
     * A sealed house: all heat of the larvae ends up in bins, air and mass, except the excess still to be added to the
     * air.
     */
    usual_place(&place, WG_SHED, 5, 10.0);
    plain_house(&place.shelter);
    place.shelter.u_w_m2k = 1e-12;
    place.shelter.air_changes = place.shelter.vent_air_changes = 0.0;
    const struct wg_sky sky = still_sky(10.0);
    double each = 0.0;
    for (int b = 0; b < 5; b++) {
        dry_bin(&place.bin[b]);
        watts[b] = 20.0 + b;
        each += watts[b];
    }
    begin(&sky);
    for (int d = 0; d < 3; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    double stored = place.shelter.air_j_k * (state.air_c - 10.0) + place.shelter.mass_j_k * (state.mass_c - 10.0);
    const double bin_j_k = 60.0 * (837.0 + 3349.0 * 0.70) + 8000.0;
    for (int b = 0; b < 5; b++)
        stored += bin_j_k * (state.bin_c[b] - 10.0);
    const double owed = state.bin_heat_w * 3600.0;
    cr_assert_float_eq(stored + owed, each * 3.0 * 86400.0, 1e-6 * each * 3.0 * 86400.0);
}

/* Larvae that eat all their feed give exactly its heat; what cool hours leave is available to warm ones. */
Test(place, bins_give_the_heat_of_their_feed) {
    usual_place(&place, WG_OUTDOORS, 1, 8.0);
    struct wg_sky sky = still_sky(8.0); /* too cold to eat */
    for (int h = 12; h < 24; h++)
        sky.air_c[h] = 40.0;
    for (int full = 0; full < 2; full++) {
        struct wg_bin_heat heat = {.curve_w = full ? 1.0 : 1e-3, .from_c = 12.0, .to_c = 37.0, .root = 2.0};
        const double fuel_j = heat.fuel_j = 2e6;
        begin(&sky);
        double given_j = 0.0;
        const int cut[] = {0, 5, 13, 24};
        for (int i = 0; i < 3; i++) {
            wg_place_run(&state, &place, &settings, &sky, cut[i], cut[i + 1], &heat, NULL, false, &hours);
            given_j += hours.bin_heat_j[0];
            cr_assert(i > 0 || given_j == 0.0, "they eat in the cold");
        }
        cr_assert_float_eq(fuel_j - heat.fuel_j, given_j, 1e-6 * fuel_j);
        cr_assert(full ? heat.fuel_j < 1e-6 * fuel_j : heat.fuel_j > 0.5 * fuel_j, "%g J left", heat.fuel_j);
    }
}

/*
 * Chronic heat kills larvae and so reduces their heat: by a factor of e a day at 36 degC, at once where it is far
 * warmer.
 */
Test(place, the_dead_give_no_heat) {
    usual_place(&place, WG_SHED, 1, 36.0);
    const struct wg_sky sky = still_sky(36.0);
    double yesterday_c[24];
    for (int h = 0; h < 24; h++)
        yesterday_c[h] = 36.0;
    struct wg_bin_heat heat = {.curve_w = 1e-6,
                               .from_c = 12.0,
                               .to_c = 37.0,
                               .root = 2.0,
                               .fuel_j = HUGE_VAL,
                               .fade_per_day = 1.0,
                               .fade_slope = 1.1,
                               .fade_c = 36.0,
                               .yesterday_c = yesterday_c};
    place.bin[0].lid = place.bin[0].ground_w_k = 0.0;
    begin(&sky);
    state.bin_c[0] = state.air_c = state.mass_c = 36.0;
    wg_place_run(&state, &place, &settings, &sky, 0, 24, &heat, NULL, false, &hours);
    double mean_c = 0.0;
    for (int h = 0; h < 24; h++)
        mean_c += hours.bin_c[0][h] / 24.0;
    cr_assert_float_eq(mean_c, 36.0, 0.3);
    cr_assert_float_eq(log(heat.curve_w / 1e-6), -1.0, 0.2, "%g of them are left", heat.curve_w / 1e-6);
    heat.curve_w = 1e3;
    heat.fade_per_day = 1e6;
    wg_place_run(&state, &place, &settings, &sky, 0, 24, &heat, NULL, false, &hours);
    const double in_the_first_hour_j = hours.bin_heat_j[0];
    cr_assert_eq(heat.curve_w, 0.0);
    cr_assert_gt(in_the_first_hour_j, 0.0);
    wg_place_run(&state, &place, &settings, &sky, 0, 24, &heat, NULL, false, &hours);
    cr_assert_eq(hours.bin_heat_j[0], 0.0);
}

/* Extreme cold, sun or heat gives finite temperatures: the saturation formula has a pole at -237.3 degC. */
Test(place, extremes_stay_finite) {
    usual_place(&place, WG_OUTDOORS, 1, 10.0);
    place.bin[0].lid = 1.0;
    const double start_c[] = {-273.0, -237.3, -237.29, 99.0, 1e4, 1e9};
    for (int i = 0; i < 6; i++) {
        const struct wg_sky sky = still_sky(20.0);
        begin(&sky);
        state.bin_c[0] = start_c[i];
        whole_day(&state, &place, &settings, &sky, watts, &hours);
        cr_assert(isfinite(state.bin_c[0]) && state.bin_c[0] > -273.15, "from %g: %g degC", start_c[i], state.bin_c[0]);
    }
}

Test(place, a_house_full_of_bins_stays_calm) {
    /*
     * 64 plain bins have a larger conductance to the air than house and floor together: passing on all their heat an
     * hour late would oscillate without end.
     */
    usual_place(&place, WG_SHED, 64, 10.0);
    struct wg_sky sky = still_sky(5.0);
    for (int b = 0; b < 64; b++)
        watts[b] = 10.0;
    begin(&sky);
    for (int d = 0; d < 60; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    double lowest = hours.air_c[0], highest = hours.air_c[0];
    for (int h = 1; h < 24; h++) {
        lowest = fmin(lowest, hours.air_c[h]);
        highest = fmax(highest, hours.air_c[h]);
    }
    cr_assert_lt(highest - lowest, 1e-3);
    cr_assert(highest > 15.0 && highest < 40.0, "%.2f", highest);
}

Test(place, in_the_steady_state_the_meter_shows_the_loss) {
    usual_place(&place, WG_SHED, 2, 10.0);
    plain_house(&place.shelter);
    dry_bin(&place.bin[0]);
    dry_bin(&place.bin[1]);
    place.heater =
        (struct wg_heater_spec){.power_w = 3000.0, .set_point_c = 24.0, .efficiency = 3.0, .season = WG_ALL_YEAR};
    watts[0] = watts[1] = 25.0;
    const struct wg_sky sky = still_sky(-1.0);
    begin(&sky);
    for (int d = 0; d < 60; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    const double loss_w = (0.50 * 37.8 + 1207.0 * 0.5 * 21.6 / 3600.0) * 25.0; /* 563.0 W */
    cr_assert_float_eq(hours.heater_kwh * 1000.0 / 24.0 * 3.0, loss_w - 50.0, 1e-6);
    cr_assert_eq(hours.heater_short_w, 0.0);
}

Test(place, heater_keeps_to_its_season_and_its_switch) {
    usual_place(&place, WG_GREENHOUSE, 0, 10.0);
    place.heater =
        (struct wg_heater_spec){.power_w = 5000.0, .set_point_c = 21.0, .efficiency = 1.0, .season = {304, 89}};
    struct wg_sky sky = still_sky(5.0); /* 1 January */
    begin(&sky);
    cr_assert_eq(state.air_c, 21.0); /* as if it had been running */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_gt(hours.heater_kwh, 10.0);
    struct wg_place_settings off = settings;
    off.heater_on = false;
    whole_day(&state, &place, &off, &sky, watts, &hours);
    cr_assert_eq(hours.heater_kwh, 0.0);
    wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), NULL, true, &hours);
    cr_assert_eq(hours.heater_kwh, 0.0); /* a power cut */
    cr_assert_eq(hours.heater_short_w, 0.0);
    sky.day += 150; /* 31 May */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_eq(hours.heater_kwh, 0.0);
    begin(&sky);
    cr_assert_eq(state.air_c, 5.0);
}

Test(place, a_new_set_point_is_obeyed) {
    usual_place(&place, WG_SHED, 1, 10.0);
    place.heater =
        (struct wg_heater_spec){.power_w = 4000.0, .set_point_c = 24.0, .efficiency = 1.0, .season = WG_ALL_YEAR};
    place.bin[0].mat.power_w = 100.0;
    const struct wg_sky sky = still_sky(8.0);
    begin(&sky);
    settings.set_point_c = 18.0;
    settings.mat_set_point_c[0] = 29.0;
    for (int d = 0; d < 10; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(state.air_c, 18.0, 1e-9);
    cr_assert_float_eq(state.bin_c[0], 29.0, 1e-9);
    cr_assert_gt(hours.mats_kwh, 0.5);
    settings.mat_on[0] = false;
    for (int d = 0; d < 10; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_eq(hours.mats_kwh, 0.0);
    cr_assert_float_eq(state.bin_c[0], 18.0, 0.5); /* minus a little evaporation */
}

Test(place, summer_switch_takes_the_foam_off) {
    usual_place(&place, WG_OUTDOORS, 2, 20.0);
    wg_bin_defaults(&place.bin[0], WG_OUTDOORS, 0.150, 0.025);
    place.bin[1] = place.bin[0];
    place.bin[1].summer_switch = true;
    struct wg_sky sky = still_sky(24.0);
    sky.vapour_kpa = 2.1;
    watts[0] = watts[1] = 40.0;
    begin(&sky);
    for (int d = 0; d < 20; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours); /* 1 January: not in summer */
    cr_assert_eq(hours.bin_c[0][12], hours.bin_c[1][12]);
    sky.day += 181; /* 1 July */
    for (int d = 0; d < 20; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_gt(hours.bin_c[0][12], hours.bin_c[1][12] + 5.0);
    /* The keeper's change applies outside summer: the switch still works, ... */
    const double summer_c = hours.bin_c[1][12];
    settings.u_bin_w_m2k[0] = settings.u_bin_w_m2k[1] = 0.2;
    settings.lid[1] = 0.0;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(hours.bin_c[1][12], summer_c, 1e-6);
    /* ... and what the summer values leave out is as outside summer. */
    place.bin[1].summer_u_w_m2k = place.bin[1].summer_lid = -1.0;
    settings.lid[1] = -1.0;
    for (int d = 0; d < 60; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(hours.bin_c[0][12], hours.bin_c[1][12], 1e-3);
}

/* Season 1 November to 31 March: switched on on 1 October, it runs to 31 March, and not in April. */
Test(place, switched_on_before_its_season_it_is_on) {
    usual_place(&place, WG_SHED, 1, 10.0);
    place.heater = place.bin[0].mat =
        (struct wg_heater_spec){.power_w = 2000.0, .set_point_c = 20.0, .efficiency = 1.0, .season = {304, 89}};
    struct wg_sky sky = still_sky(5.0);
    sky.day = 20727; /* 2026-10-01 */
    begin(&sky);
    static const struct {
        int32_t day; /* since 1970 */
        bool heats;
    } rows[] = {{20727, false}, {20728, true}, /* switched on */ {20757, true}, {20758, true}, {20908, true},
                {20909, false}, {20940, false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sky.day = rows[i].day;
        wg_place_settings_day(&settings, &place, sky.day);
        if (i == 1) {
            wg_place_switch(&settings, &place, -1, true, sky.day);
            wg_place_switch(&settings, &place, 0, true, sky.day);
        }
        whole_day(&state, &place, &settings, &sky, watts, &hours);
        cr_expect_eq(hours.heater_kwh > 0.0, rows[i].heats, "day %d: %g kWh", (int)sky.day, hours.heater_kwh);
        cr_expect_eq(hours.mats_kwh > 0.0, rows[i].heats, "day %d: %g kWh", (int)sky.day, hours.mats_kwh);
    }
    sky.day = 20728; /* off is off, in the season too */
    wg_place_switch(&settings, &place, -1, true, sky.day);
    wg_place_switch(&settings, &place, -1, false, sky.day);
    sky.day = 20790;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_eq(hours.heater_kwh, 0.0);
}

/*
 * 100 W from 06:00 for 9.5 hours: 0.95 kWh a day (by hand), all of it heat in the house, whose heater then uses less.
 */
Test(place, lamps_draw_power_and_warm_the_air) {
    usual_place(&place, WG_SHED, 0, 10.0);
    place.heater = (struct wg_heater_spec){
        .power_w = 4000.0, .set_point_c = 20.0, .efficiency = 1.0, .price_per_kwh = 0.2, .season = WG_ALL_YEAR};
    struct wg_sky sky = still_sky(0.0);
    begin(&sky);
    double without_kwh = 0.0;
    for (int lit = 0; lit < 2; lit++) {
        place.shelter.lamp_hours = lit ? 9.5 : 0.0;
        place.shelter.lamp_power_w = 100.0;
        place.shelter.lamp_price_per_kwh = 0.3;
        for (int d = 0; d < 20; d++)
            whole_day(&state, &place, &settings, &sky, watts, &hours);
        if (!lit)
            without_kwh = hours.heater_kwh;
    }
    cr_expect_float_eq(hours.lamps_kwh, 0.95, 1e-12);
    cr_expect_float_eq(without_kwh - hours.heater_kwh, 0.95, 1e-6, "%g and %g kWh", without_kwh, hours.heater_kwh);
    cr_expect_float_eq(hours.cost, 0.3 * 0.95 + 0.2 * hours.heater_kwh, 1e-12);
    place.shelter.lamp_power_w = (double)NAN; /* unknown: no heat, and the cost of the day is unknown */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_eq(hours.lamps_kwh, 0.0);
    cr_expect(isnan(hours.cost));
    place.shelter.lamp_season = (struct wg_season){100, 200}; /* nothing outside their season */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_float_eq(hours.cost, 0.2 * hours.heater_kwh, 1e-12);
    cr_expect_lt(hours.light_w_m2[12], 1.0);
}

Test(place, energy_without_a_price_has_no_cost) {
    usual_place(&place, WG_SHED, 1, 10.0);
    place.heater = place.bin[0].mat = (struct wg_heater_spec){
        .power_w = 2000.0, .set_point_c = 20.0, .efficiency = 1.0, .price_per_kwh = 0.2, .season = WG_ALL_YEAR};
    struct wg_sky sky = still_sky(5.0);
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_float_eq(hours.cost, 0.2 * (hours.heater_kwh + hours.mats_kwh), 1e-12);
    place.bin[0].mat.price_per_kwh = (double)NAN;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect(isnan(hours.cost), "%g for the heater alone", hours.cost);
    settings.mat_on[0] = false; /* what is off costs nothing, whatever its price */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_expect_float_eq(hours.cost, 0.2 * hours.heater_kwh, 1e-12);
}

/*
 * An open bin in a room of 22 degC at 1.5 kPa, kept at 27: walls 1.7 m2 x 3.5 W/(m2 K) x 5 K = 29.75 W, and
 * evaporation (89 + 78.2 x 0.1) W/(m2 kPa) x 0.8 x 0.30 m2 x (3.566 - 1.5) kPa = 48.0 W (by hand; es of 27 degC:
 * FAO-56, table 2.3).
 */
Test(place, the_mat_that_is_advised_holds_and_nine_tenths_of_it_do_not) {
    usual_place(&place, WG_SHED, 1, 22.0);
    place.shelter.kind = WG_OUTDOORS; /* the air of the sky, for a bin in a room */
    place.bin[0].lid = 0.8;
    place.bin[0].mat = (struct wg_heater_spec){.set_point_c = 27.0, .efficiency = 1.0, .season = WG_ALL_YEAR};
    const struct wg_sky sky = still_sky(22.0);
    static const double installed_w[] = {1.0, 20.0, 60.0};
    for (int i = 0; i < 3; i++) {
        place.bin[0].mat.power_w = installed_w[i];
        begin(&sky);
        for (int d = 0; d < 20; d++)
            whole_day(&state, &place, &settings, &sky, watts, &hours);
        cr_expect_float_eq(installed_w[i] + hours.mat_short_w[0], 29.75 + 48.0, 0.1, "%g W", hours.mat_short_w[0]);
    }
    static const double share[] = {1.1, 0.9};
    for (int i = 0; i < 2; i++) {
        place.bin[0].mat.power_w = share[i] * (29.75 + 48.0);
        begin(&sky);
        for (int d = 0; d < 20; d++)
            whole_day(&state, &place, &settings, &sky, watts, &hours);
        cr_expect_eq(hours.mat_short_w[0] > 0.0, i == 1, "%g W", hours.mat_short_w[0]);
        cr_expect_eq(state.bin_c[0] > 26.99, i == 0, "%g degC", state.bin_c[0]);
    }
}

/* Thirty open bins cool a greenhouse; the power that would hold the set point does not depend on the heater's power. */
Test(place, the_heater_that_is_advised_does_not_depend_on_the_one_there_is) {
    static const double installed_w[] = {1000.0, 3000.0, 5500.0};
    double holds_w[3];
    const struct wg_sky sky = still_sky(-10.0);
    for (int i = 0; i < 3; i++) {
        usual_place(&place, WG_GREENHOUSE, 30, 8.0);
        for (int b = 0; b < 30; b++)
            place.bin[b].lid = 0.8;
        place.heater = (struct wg_heater_spec){
            .power_w = installed_w[i], .set_point_c = 20.0, .efficiency = 1.0, .season = WG_ALL_YEAR};
        begin(&sky);
        for (int d = 0; d < 20; d++)
            whole_day(&state, &place, &settings, &sky, watts, &hours);
        holds_w[i] = installed_w[i] + hours.heater_short_w;
        cr_expect_gt(hours.heater_short_w, 0.0);
    }
    cr_expect_float_eq(holds_w[0], holds_w[1], 1e-6);
    cr_expect_float_eq(holds_w[0], holds_w[2], 1e-6, "%.9g %.9g %.9g", holds_w[0], holds_w[1], holds_w[2]);
    static const double share[] = {1.001, 0.98};
    for (int i = 0; i < 2; i++) {
        place.heater.power_w = share[i] * holds_w[0];
        begin(&sky);
        for (int d = 0; d < 20; d++)
            whole_day(&state, &place, &settings, &sky, watts, &hours);
        cr_expect_eq(state.air_c > 19.999, i == 0, "%g degC with %g W", state.air_c, place.heater.power_w);
    }
}

Test(place, summer_switch_opens_the_lid) {
    usual_place(&place, WG_OUTDOORS, 2, 20.0);
    place.bin[0].summer_switch = place.bin[1].summer_switch = true;
    place.bin[0].summer_lid = 0.0;
    place.bin[1].summer_lid = 0.8;
    struct wg_sky sky = still_sky(24.0);
    sky.day += 181; /* 1 July */
    begin(&sky);
    for (int d = 0; d < 20; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_gt(hours.bin_c[0][23], hours.bin_c[1][23] + 2.0);
}

Test(place, mat_in_a_power_cut_and_on_the_meter) {
    usual_place(&place, WG_HOOP_HOUSE, 2, 8.0);
    for (int b = 0; b < 2; b++) {
        wg_bin_defaults(&place.bin[b], WG_HOOP_HOUSE, 0.150, 0.050);
        place.bin[b].mat.power_w = 60.0;
    }
    place.n_bins = 1;
    const struct wg_sky sky = still_sky(6.0);
    begin(&sky);
    cr_assert_eq(state.bin_c[0], 27.0); /* as if it had been running */
    cr_assert_eq(state.bin_c[1], 6.0);  /* no such bin */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(state.bin_c[0], 27.0, 1e-9);
    const double kwh = hours.mats_kwh;
    place.bin[0].mat.efficiency = 0.5;
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(hours.mats_kwh, 2.0 * kwh, 1e-12);
    wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), NULL, true, &hours);
    cr_assert_eq(hours.mats_kwh, 0.0);
    cr_assert_lt(state.bin_c[0], 24.0);
}

Test(place, more_substrate_swings_less) {
    usual_place(&place, WG_OUTDOORS, 2, 5.0);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    const double kg[] = {10.0, 120.0};
    double low[2] = {99.0, 99.0}, high[2] = {-99.0, -99.0};
    for (int d = 0; d < 10; d++)
        wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), kg, false, &hours);
    for (int b = 0; b < 2; b++)
        for (int h = 0; h < 24; h++) {
            low[b] = fmin(low[b], hours.bin_c[b][h]);
            high[b] = fmax(high[b], hours.bin_c[b][h]);
        }
    cr_assert_gt(high[0] - low[0], 3.0 * (high[1] - low[1]));
}

Test(place, light_behind_the_cover_and_lamps) {
    usual_place(&place, WG_SHED, 0, 10.0);
    const struct wg_sky sky = sunny_winter_day();
    place.shelter.light_through = 0.10;
    place.shelter.lamp_hours = 9.5;
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_eq(hours.light_w_m2[5], 0.0);
    for (int h = 6; h < 15; h++)
        cr_assert_eq(hours.light_w_m2[h], 200.0);
    cr_assert_float_eq(hours.light_w_m2[15], 0.5 * 200.0 + 0.5 * 0.10 * sky.sun_w_m2[15], 1e-12);
    cr_assert_float_eq(hours.light_w_m2[16], 0.10 * sky.sun_w_m2[16], 1e-12);
    wg_place_run(&state, &place, &settings, &sky, 0, 24, steady(watts), NULL, true, &hours);
    cr_assert_float_eq(hours.light_w_m2[12], 0.10 * sky.sun_w_m2[12], 1e-12); /* power cut */
    place.shelter.lamp_hours = 20.0;                                          /* 06:00 to 02:00 */
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    double lit = 0.0;
    for (int h = 0; h < 24; h++)
        lit += hours.light_w_m2[h] >= 200.0;
    cr_assert_eq(lit, 20.0);
    cr_assert(hours.light_w_m2[1] == 200.0 && hours.light_w_m2[2] == 0.0);
}

Test(place, sun_through_film_still_counts_on_a_bright_day) {
    usual_place(&place, WG_HOOP_HOUSE, 0, 10.0);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert_float_eq(hours.light_w_m2[12], 0.75 * sky.sun_w_m2[12], 1e-12);
    cr_assert_gt(hours.air_c[13], sky.air_c[13]);
}

Test(place, vent_hours_are_counted) {
    usual_place(&place, WG_HOOP_HOUSE, 0, 20.0);
    struct wg_sky sky = sunny_winter_day();
    for (int h = 0; h < 24; h++) {
        sky.air_c[h] += 22.0;
        sky.sun_w_m2[h] *= 2.5;
    }
    sky.mean_c += 22.0;
    begin(&sky);
    for (int d = 0; d < 3; d++)
        whole_day(&state, &place, &settings, &sky, watts, &hours);
    cr_assert(hours.vent_hours >= 4.0 && hours.vent_hours <= 14.0, "%.0f", hours.vent_hours);
}

Test(place, copying_the_state_copies_the_place) {
    usual_place(&place, WG_HOOP_HOUSE, 2, 8.0);
    const struct wg_sky sky = sunny_winter_day();
    begin(&sky);
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    struct wg_place_state twin = state;
    struct wg_place_hours other;
    whole_day(&state, &place, &settings, &sky, watts, &hours);
    whole_day(&twin, &place, &settings, &sky, watts, &other);
    for (int h = 0; h < 24; h++)
        cr_assert_eq(hours.bin_c[1][h], other.bin_c[1][h]);
}

static void refused(const char *part) {
    struct wg_error err = {0};
    cr_assert_eq(wg_place_model_init(&place, NULL, &err), WG_ERR_INPUT); /* found before the climate is used */
    cr_assert(strstr(err.text, part), "%s", err.text);
}

Test(place, impossible_numbers_are_refused) {
    usual_place(&place, WG_HOOP_HOUSE, 1, 8.0);
    const struct wg_place_model good = place;
    place.n_bins = 65;
    refused("64 bins");
    place = good;
    place.shelter.mass_j_k = 0.0;
    refused("mass");
    place = good;
    place.shelter.u_w_m2k = place.shelter.air_changes = 0.0;
    refused("lose heat");
    place = good;
    place.shelter.mass_air_w_k = -1.0;
    refused("negative");
    place = good;
    place.heater.power_w = -1.0;
    refused("heater");
    place = good;
    place.bin[0].mat.power_w = 60.0;
    place.bin[0].mat.efficiency = 0.0;
    refused("efficiency");
    place = good;
    place.bin[0].moisture = 1.5;
    refused("moisture");
    place = good;
    place.bin[0].wall_m2 = (double)NAN;
    refused("walls");
    place = good;
    place.bin[0].lid = -0.1;
    refused("negative");
}

/* ---- soils of a prepared place ---- */

static struct wg_climate *mild_climate(void) {
    struct wg_climate_spec spec = {.kind = WG_CLIMATE_NORMALS, .latitude_deg = 40.0, .sun_coefficient = 0.16};
    for (int m = 0; m < 12; m++) {
        spec.high_c[m] = 15.0 - 10.0 * cos((m - 0.5) * 3.14159265358979323846 / 6.0);
        spec.low_c[m] = spec.high_c[m] - 9.0;
        spec.high_sd_c[m] = spec.low_sd_c[m] = 3.0;
    }
    struct wg_climate *climate;
    struct wg_error err = {0};
    cr_assert_eq(wg_climate_new(&climate, &spec, 20454, 20454 + 30, &err), 0, "%s", err.text);
    return climate;
}

static void is_soil_at(const struct wg_soil *soil, const struct wg_climate *climate, struct wg_soil_spec spec,
                       double depth_m, double mulch_m) {
    struct wg_soil wanted;
    spec.depth_m = depth_m;
    spec.mulch_m = mulch_m;
    cr_assert_eq(wg_soil_init(&wanted, climate, &spec, NULL), 0);
    for (int i = 0; i < 365; i += 7)
        cr_assert_eq(soil->season_c[i], wanted.season_c[i], "season index %d", i);
}

Test(place, soils_lie_where_they_should) {
    struct wg_climate *climate = mild_climate();
    usual_place(&place, WG_HOOP_HOUSE, 1, -50.0);
    place.ground.soil.depth_m = 0.20;
    place.ground.soil.mulch_m = 0.10;
    place.ground.soil.diffusivity_m2_day = 0.04;
    cr_assert_eq(wg_place_model_init(&place, climate, NULL), 0);
    is_soil_at(&place.ground_soil, climate, place.ground.soil, 0.20, 0.10);
    is_soil_at(&place.deep_soil, climate, place.ground.soil, 0.50, 0.0);
    is_soil_at(&place.bin_soil, climate, place.ground.soil, 0.05, 0.0);
    wg_climate_free(climate);
}

Test(place, a_box_needs_no_word_about_the_soil) {
    struct wg_climate *climate = mild_climate();
    usual_place(&place, WG_GREENHOUSE, 1, -50.0);
    struct wg_ground_spec usual;
    wg_ground_defaults(&usual, WG_OUTDOORS);
    place.ground = (struct wg_ground_spec){.kind = WG_GROUND_BOX};
    cr_assert_eq(wg_place_model_init(&place, climate, NULL), 0);
    is_soil_at(&place.deep_soil, climate, usual.soil, 0.50, 0.0);
    is_soil_at(&place.bin_soil, climate, usual.soil, 0.05, 0.0);
    wg_climate_free(climate);
}

Test(place, a_laboratory_needs_no_soil_at_all) {
    struct wg_climate *climate = mild_climate();
    usual_place(&place, WG_LABORATORY, 1, 0.0);
    place.ground = (struct wg_ground_spec){.kind = WG_GROUND_SOIL}; /* depth 0 would be rejected elsewhere */
    cr_assert_eq(wg_place_model_init(&place, climate, NULL), 0);
    usual_place(&place, WG_OUTDOORS, 1, 0.0);
    place.ground = (struct wg_ground_spec){.kind = WG_GROUND_SOIL};
    struct wg_error err = {0};
    cr_assert_eq(wg_place_model_init(&place, climate, &err), WG_ERR_INPUT);
    wg_climate_free(climate);
}

/* ---- the floor of a house and the power of a mat ---- */

/* A house kept 20 K above the outside for weeks: its ground is 10 K above the field's (the half is judgement). */
Test(place, floor_follows_the_inside_by_half) {
    wg_shelter_defaults(&place.shelter, WG_HOOP_HOUSE);
    wg_ground_defaults(&place.ground, WG_HOOP_HOUSE);
    place.ground.kind = WG_GROUND_SOIL;
    place.heater = (struct wg_heater_spec){.power_w = 1e6, .set_point_c = 20, .efficiency = 1, .season = WG_ALL_YEAR};
    same_soil(&place.ground_soil, 5);
    same_soil(&place.deep_soil, 5);
    same_soil(&place.bin_soil, 5);
    struct wg_sky sky = {.vapour_kpa = 0.5};
    wg_place_settings_start(&settings, &place);
    wg_place_start(&state, &place, &sky);
    for (int day = 0; day < 40; day++)
        wg_place_run(&state, &place, &settings, &sky, 0, 24, NULL, NULL, false, &hours);
    cr_expect_float_eq(hours.ground_c[12], 5 + 0.5 * 20, 0.2, "%g", hours.ground_c[12]);
}
