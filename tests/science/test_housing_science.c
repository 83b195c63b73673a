/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The housing against results from outside the project: heating engineers'
 * worked examples, degree days, a real thermostat, published self-heating of
 * larvae, and an independent program run on the same four years of weather.
 */
#include "housing/bin.h"
#include "housing/hand_made.h"
#include "housing/shelter.h"

#include <criterion/criterion.h>
#include <math.h>

/* Conversions (NIST SP 811). */
#define M2_PER_FT2 0.09290304
#define W_PER_BTU_H 0.29307107
#define W_M2K_PER_BTU_H_FT2_F 5.678263
#define K_PER_F (1.0 / 1.8)

static struct wg_place_model place;
static struct wg_place_settings settings;
static struct wg_place_state state;
static struct wg_place_hours hours;

/* ---- engineers' worked examples ---- */

/* Steady loss in W of a cover and its leaks: the sizing rule without its margin of a fifth. */
static double loss_w(double u, double cover_m2, double air_changes, double volume_m3, double difference_k) {
    struct wg_shelter_spec shelter;
    wg_shelter_defaults(&shelter, WG_GREENHOUSE);
    shelter.u_w_m2k = u;
    shelter.cover_m2 = cover_m2;
    shelter.air_changes = air_changes;
    shelter.volume_m3 = volume_m3;
    return wg_heater_size_w(&shelter, difference_k, 0.0) / 1.2;
}

Test(worked_examples, leaks_of_a_gothic_house) {
    /*
     * Bartok (growers' press): 30 ft x 100 ft, 33,333 ft3, one air change an hour, 60 degF inside, 0 outside: 36,000
     * Btu/h.
     */
    const double btu_h = loss_w(0.0, 0.0, 1.0, 33333.0 * 0.0283168466, 60.0 * K_PER_F) / W_PER_BTU_H;
    cr_assert_float_eq(btu_h, 36000.0, 60.0, "%.0f Btu/h", btu_h); /* rounded from 0.018 x 33,333 x 60 = 35,999.6 */
}

Test(worked_examples, cover_of_double_film) {
    /* Example after ASAE EP406: 2,688 ft2 x 0.70 x 50 degF = 94,080 Btu/h; with 15 % for leaks 108,192 Btu/h. */
    const double btu_h =
        loss_w(0.70 * W_M2K_PER_BTU_H_FT2_F, 2688.0 * M2_PER_FT2, 0.0, 0.0, 50.0 * K_PER_F) / W_PER_BTU_H;
    cr_assert_float_eq(btu_h, 94080.0, 5.0, "%.0f Btu/h", btu_h);
    cr_assert_float_eq(1.15 * btu_h, 108192.0, 6.0);
    /* The rule's margin of a fifth lies within Bartok's 1.1 to 1.25. */
    cr_assert(1.2 * btu_h > 1.1 * 94080.0 && 1.2 * btu_h < 1.25 * 94080.0);
}

Test(worked_examples, two_covers) {
    /*
     * A greenhouse maker's worked figure: 352 ft2 x 0.53 + 3,456 ft2 x 0.70 = 186.6 + 2,419 Btu/(h degF) = 1,374 W/K.
     */
    const double ends = loss_w(0.53 * W_M2K_PER_BTU_H_FT2_F, 352.0 * M2_PER_FT2, 0.0, 0.0, 1.0);
    const double roof = loss_w(0.70 * W_M2K_PER_BTU_H_FT2_F, 3456.0 * M2_PER_FT2, 0.0, 0.0, 1.0);
    cr_assert_float_eq(ends * K_PER_F / W_PER_BTU_H, 186.6, 0.05);
    cr_assert_float_eq(roof * K_PER_F / W_PER_BTU_H, 2419.0, 0.5);
    cr_assert_float_eq(ends + roof, 1374.0, 1.0);
}

Test(worked_examples, second_film_saves_a_third) {
    /* Bartok: two films with air between save about 35 % of the heat of one; U alone gives 1 - 4.0/6.5 = 38 %. */
    struct wg_shelter_spec one, two;
    wg_shelter_defaults(&one, WG_HOOP_HOUSE);
    two = one;
    cr_assert_eq(wg_shelter_set_cover(&two, "double film"), 0);
    const double saved = 1.0 - wg_heater_size_w(&two, 20.0, 0.0) / wg_heater_size_w(&one, 20.0, 0.0);
    cr_assert_float_eq(saved, 0.35, 0.03, "%.1f %%", 100.0 * saved);
}

/* ---- degree days ---- */

/*
 * A heating season of 200 days with 2,200 K days below the set point, with warm and cold spells and nights.
 */
static double season_kwh(double efficiency) {
    usual_place(&place, WG_GREENHOUSE, 0, 10.0);
    plain_house(&place.shelter);
    place.shelter.u_w_m2k = 180.0 / place.shelter.cover_m2;
    place.shelter.air_changes = 0.0;
    place.heater = (struct wg_heater_spec){
        .power_w = 20000.0, .set_point_c = 18.0, .efficiency = efficiency, .season = WG_ALL_YEAR};
    double kwh = 0.0;
    for (int d = 0; d < 200; d++) {
        struct wg_sky sky = still_sky(18.0 - 11.0 + 5.0 * sin(2.0 * 3.14159265358979323846 * d / 20.0));
        for (int h = 0; h < 24; h++)
            sky.air_c[h] -= 4.0 * cos(2.0 * 3.14159265358979323846 * (h - 2.5) / 24.0);
        if (d == 0) {
            wg_place_settings_start(&settings, &place);
            wg_place_start(&state, &place, &sky);
        }
        wg_place_run(&state, &place, &settings, &sky, 0, 24, NULL, NULL, false, &hours);
        kwh += hours.heater_kwh;
    }
    return kwh;
}

Test(degree_days, a_textbook_season) {
    /* Energy advisers' example: 180 W/K x 2,200 K d x 24 h = 9,504 kWh of heat, 10,330 kWh of fuel at 92 %. */
    cr_assert_float_eq(season_kwh(1.0), 9504.0, 1.0, "%.2f",
                       season_kwh(1.0)); /* variation within the hour is smaller */
    cr_assert_float_eq(season_kwh(0.92), 10330.0, 2.0);
}

/* ---- thermostat ---- */

/*
 * A real on-off thermostat with hysteresis, from event to event:
 * C dT/dt = P on - G (T - out), time to a threshold = tau ln((T - T_inf)/(threshold - T_inf)).
 */
static double on_off_mean_w(double g, double c, double out_c, double low_c, double high_c, double power_w,
                            double hours_long) {
    double t = low_c, left_s = hours_long * 3600.0, joule = 0.0;
    bool on = true;
    while (left_s > 0.0) {
        const double inf_c = out_c + (on ? power_w / g : 0.0);
        const double to_c = on ? high_c : low_c;
        const double s = fmin(left_s, c / g * log((t - inf_c) / (to_c - inf_c)));
        if (on)
            joule += power_w * s;
        left_s -= s;
        t = to_c;
        on = !on;
    }
    return joule / (hours_long * 3600.0);
}

Test(thermostat, ideal_and_real_use_the_same) {
    /*
     * A bin of 200 kJ/K losing 6 W/K at 5 degC, kept at 27 +- 0.5 degC by 250 W, over 1000 hours: on-off 131.95 W,
     * ideal 6 x 22 = 132.00 W.
     */
    const double real_w = on_off_mean_w(6.0, 2e5, 5.0, 26.5, 27.5, 250.0, 1000.0);
    cr_assert_float_eq(real_w, 131.95, 0.1, "%.3f W", real_w);
    const struct wg_bin_day day = {.wall_w_k = 6.0, .heat_j_k = 2e5, .mat_w = 250.0, .set_point_c = 27.0};
    double temp_c = 27.0, sum_w = 0.0;
    struct wg_bin_hour hour;
    for (int h = 0; h < 1000; h++) {
        wg_bin_hour(&hour, &temp_c, &day, &(struct wg_bin_surroundings){.air_c = 5.0});
        sum_w += hour.mat_w;
    }
    cr_assert_float_eq(sum_w / 1000.0, 132.0, 1e-6);
    cr_assert_lt(fabs(real_w / 132.0 - 1.0), 1e-3);
}

/* ---- larvae warm their bin ---- */

/*
 * A substitute for the colony's larvae in these tests: 8 W per kg of larvae at
 * 30 degC, doubling every 10 K, fading out from 15 to 10 and from 36 to 45 degC.
 * (McEachern 2018, thesis, University of Kentucky, measured 18.3, 10.2 and 5.75 W/kg in groups of 100, 300 and 500.)
 */
static double larvae_w(double temp_c, double kg) {
    if (temp_c <= 10.0 || temp_c >= 45.0)
        return 0.0;
    double w = kg * 8.0 * pow(2.0, (fmin(temp_c, 36.0) - 30.0) / 10.0);
    if (temp_c < 15.0)
        w *= (temp_c - 10.0) / 5.0;
    if (temp_c > 36.0)
        w *= (45.0 - temp_c) / 9.0;
    return w;
}

/*
 * Equilibrium of a bin with 60 kg of substrate and `kg` of larvae in air whose dew point is 5 K below its temperature.
 */
static double settled_c(double u, double lid, double kg, double air_c, double start_c) {
    struct wg_bin_spec bin;
    wg_bin_defaults(&bin, WG_SHED, 0.150, 0.0);
    const struct wg_bin_surroundings around = {.air_c = air_c,
                                               .vapour_kpa = 0.6108 * exp(17.27 * (air_c - 5.0) / (air_c + 232.3))};
    double temp_c = start_c;
    struct wg_bin_day day;
    struct wg_bin_hour hour;
    wg_bin_day_start(&day, &bin, u, lid, 60.0 + kg, 0.0, 0.0, 0.0);
    for (int h = 0; h < 24 * 100; h++) {
        day.larvae_w = larvae_w(temp_c, kg);
        wg_bin_hour(&hour, &temp_c, &day, &around);
    }
    return temp_c;
}

Test(self_heating, steady_bins_of_an_independent_program) {
    /*
     * 5 kg of larvae, air 0 to 30 degC, rounded to 0.1 K. The table does not give the humidity; a dew point 5 K below
     * the air temperature reproduces it.
     */
    const double plain[] = {-0.1, 4.9, 9.8, 17.4, 23.6, 30.9, 37.1}, foam[] = {-0.4, 4.5, 9.4, 36.9, 37.9, 39.0, 40.2};
    const double open[] = {-0.5, 4.3, 9.2, 15.8, 21.3, 26.9, 32.9};
    for (int i = 0; i < 7; i++) {
        const double air_c = 5.0 * i;
        cr_expect_float_eq(settled_c(3.5, 0.12, 5.0, air_c, air_c), plain[i], 0.1, "plain at %.0f", air_c);
        cr_expect_float_eq(settled_c(1.0, 0.12, 5.0, air_c, air_c), foam[i], 0.1, "foam at %.0f", air_c);
        cr_expect_float_eq(settled_c(3.5, 0.60, 5.0, air_c, air_c), open[i], 0.1, "open at %.0f", air_c);
    }
}

Test(self_heating, two_stable_states) {
    /* Foam at 10 degC: started warm it stays warm, started cold it stays cold. */
    const double warm = settled_c(1.0, 0.12, 5.0, 10.0, 30.0), cold = settled_c(1.0, 0.12, 5.0, 10.0, 10.0);
    cr_assert_float_eq(warm, 17.6, 0.2, "%.2f", warm);
    cr_assert_float_eq(cold, 9.4, 0.15, "%.2f", cold);
    /* A plain bin has one stable state. */
    cr_assert_float_eq(settled_c(3.5, 0.12, 5.0, 10.0, 30.0), settled_c(3.5, 0.12, 5.0, 10.0, 10.0), 0.01);
}

Test(self_heating, a_stocked_plain_bin_is_some_kelvin_warmer_than_its_air) {
    /* Heaton et al. 2014: masses of fly larvae were 2.5 to 14 K above their room of 22 degC. */
    const double rise = settled_c(3.5, 0.12, 5.0, 22.0, 22.0) - 22.0;
    cr_assert(rise > 2.5 && rise < 14.0, "%.2f K", rise);
    for (double air_c = 20.0; air_c <= 30.0; air_c += 1.0) {
        const double k = settled_c(3.5, 0.12, 5.0, air_c, air_c) - air_c;
        cr_assert(k > 3.0 && k < 10.0, "%.1f K at %.0f degC", k, air_c);
    }
}

Test(self_heating, a_tray_in_a_warm_room) {
    /*
     * Padmanabha et al. 2023, Comput. Electron. Agric., arXiv:2212.10348: 2,000 larvae (0.4 kg) in a tray reached 42
     * degC in air of 29 degC; they gave about 6 W/kg on average and nearly 50 W/kg in short peaks. The peak must lie
     * between the equilibria of these two.
     */
    struct wg_bin_spec tray;
    wg_bin_defaults(&tray, WG_LABORATORY, 0.010, 0.0);
    struct wg_bin_hour hour;
    double at[2];
    for (int i = 0; i < 2; i++) {
        struct wg_bin_day day;
        wg_bin_day_start(&day, &tray, tray.u_w_m2k, tray.lid, tray.substrate_kg, 0.4 * (i ? 50.0 : 6.0), 0.0, 0.0);
        at[i] = 29.0;
        for (int h = 0; h < 240; h++)
            wg_bin_hour(&hour, &at[i], &day, &(struct wg_bin_surroundings){.air_c = 29.0, .vapour_kpa = 2.4});
    }
    cr_assert(at[0] > 29.5 && at[0] < 42.0 && at[1] > 42.0, "%.1f and %.1f", at[0], at[1]);
}
