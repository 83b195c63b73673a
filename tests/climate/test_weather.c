/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A climate made, drawn and read day by day: errors are rejected, the same stream gives the same days, and radiation
 * agrees with measurements.
 */
#include "climate/seattle.h"
#include "climate/sun.h"

#include <math.h>
#include <signal.h>
#include <string.h>

/* ---- spread ---- */

Test(spread, knows_its_names) {
    static const char *const name[] = {"humid subtropical", "continental", "marine", "tropical"};
    double high[12], low[12];
    for (int i = 0; i < 4; i++) {
        cr_assert_eq(wg_climate_spread(name[i], high, low), 0);
        for (int m = 0; m < 12; m++)
            cr_expect(high[m] >= 1.0 && high[m] <= 7.0 && low[m] >= 1.0 && low[m] <= 7.0);
    }
    cr_expect_float_eq(high[5], 1.5, 0.0); /* tropical */
    high[0] = low[0] = -1.0;
    cr_expect_eq(wg_climate_spread("Marine", high, low), -1);
    cr_expect_eq(wg_climate_spread("", high, low), -1);
    cr_expect_float_eq(high[0] + low[0], -2.0, 0.0);
}

Test(spread, is_near_what_records_show) {
    /* NOAA daily records 2012-2015, months 1, 4, 7, 10: Seattle and New York. 1.5 K: one site stands for many. */
    const double seattle[2][4] = {{3.3, 3.4, 4.4, 2.9}, {3.4, 1.9, 1.9, 2.5}};
    const double new_york[2][4] = {{5.6, 4.3, 3.0, 3.5}, {5.5, 2.9, 2.2, 3.5}};
    double marine[2][12], continental[2][12];
    cr_assert_eq(wg_climate_spread("marine", marine[0], marine[1]), 0);
    cr_assert_eq(wg_climate_spread("continental", continental[0], continental[1]), 0);
    for (int i = 0; i < 4; i++)
        for (int v = 0; v < 2; v++) {
            cr_expect_float_eq(marine[v][3 * i], seattle[v][i], 1.5);
            cr_expect_float_eq(continental[v][3 * i], new_york[v][i], 2.2, "month %d: %.1f", 3 * i + 1,
                               continental[v][3 * i]);
        }
}

/*
 * The tables follow their comments: continental is humid subtropical plus 1 K, at least 3; marine and tropical are
 * constant over the year. And the season has no jumps: a month is within 0.7 K of the mean of its neighbours.
 */
Test(spread, of_a_month_follows_from_the_others) {
    double humid[2][12], continental[2][12], marine[2][12], tropical[2][12];
    cr_assert_eq(wg_climate_spread("humid subtropical", humid[0], humid[1]), 0);
    cr_assert_eq(wg_climate_spread("continental", continental[0], continental[1]), 0);
    cr_assert_eq(wg_climate_spread("marine", marine[0], marine[1]), 0);
    cr_assert_eq(wg_climate_spread("tropical", tropical[0], tropical[1]), 0);
    for (int v = 0; v < 2; v++)
        for (int m = 0; m < 12; m++) {
            cr_expect_float_eq(continental[v][m], fmax(3.0, humid[v][m] + 1.0), 0.21, "month %d", m + 1);
            cr_expect_float_eq(humid[v][m], (humid[v][(m + 11) % 12] + humid[v][(m + 1) % 12]) / 2.0, 0.7, "month %d",
                               m + 1);
            cr_expect_eq(marine[v][m], 3.0);
            cr_expect_eq(tropical[v][m], 1.5);
        }
}

/* ---- refusals ---- */

static void refuse_period(const struct wg_climate_spec *spec, int32_t first, int32_t last, const char *words) {
    struct wg_error err = {0};
    struct wg_climate *climate = (struct wg_climate *)&err; /* must become NULL */
    cr_expect_eq(wg_climate_new(&climate, spec, first, last, &err), WG_ERR_INPUT, "%s", words);
    cr_expect_null(climate);
    cr_expect_not_null(strstr(err.text, words), "%s", err.text);
}

static void refuse(const struct wg_climate_spec *spec, const char *words) {
    refuse_period(spec, day_of(2027, 1, 1), day_of(2027, 12, 31), words);
}

Test(climate, refuses_nonsense) {
    struct wg_climate_spec spec = warm_place();
    spec.latitude_deg = 66.1;
    refuse(&spec, "latitude");
    spec.latitude_deg = NAN;
    refuse(&spec, "latitude");
    spec = warm_place();
    spec.elevation_m = 10000.0;
    refuse(&spec, "elevation");
    spec = warm_place();
    spec.sun_coefficient = -0.1;
    refuse(&spec, "sun coefficient");
    spec = warm_place();
    spec.high_c[3] = spec.low_c[3];
    refuse(&spec, "month 4: the daily high");
    spec = warm_place();
    spec.low_c[11] = NAN;
    refuse(&spec, "month 12: the daily high");
    spec = warm_place();
    spec.low_sd_c[0] = -1.0;
    refuse(&spec, "month 1: the day-to-day spread");
    spec = warm_place();
    spec.high_c[6] = 101.0;
    refuse(&spec, "month 7: the daily high");
    spec = warm_place();
    spec.high_sd_c[1] = 30.1;
    refuse(&spec, "month 2: the day-to-day spread");
    spec = warm_place();
    spec.high_sd_c[1] = NAN;
    refuse(&spec, "month 2: the day-to-day spread");
    spec = (struct wg_climate_spec){.kind = WG_CLIMATE_CONSTANT, .constant_c = NAN};
    refuse(&spec, "temperature");
    spec.constant_c = -101.0;
    refuse(&spec, "temperature");
}

/* The limits are those of the sentence that the keeper reads, and belong to what is allowed. */
Test(climate, limits_of_a_site_are_those_of_the_sentence) {
    const int32_t first = day_of(2027, 1, 1), last = day_of(2027, 12, 31);
    const double latitude[] = {-66, 66}, elevation[] = {-500, 9000};
    struct wg_climate_spec spec;
    for (int i = 0; i < 2; i++) {
        spec = warm_place();
        spec.latitude_deg = latitude[i];
        cr_expect_eq(wg_climate_check(&spec, first, last, NULL), 0, "%g degrees", latitude[i]);
        spec.latitude_deg = nextafter(latitude[i], 90 * latitude[i]);
        refuse(&spec, "between -66 and 66 degrees");
        spec = warm_place();
        spec.elevation_m = elevation[i];
        cr_expect_eq(wg_climate_check(&spec, first, last, NULL), 0, "%g m", elevation[i]);
        spec.elevation_m = nextafter(elevation[i], 90 * elevation[i]);
        refuse(&spec, "between -500 and 9000 m");
    }
}

Test(climate, refuses_impossible_periods) {
    const struct wg_climate_spec spec = warm_place();
    refuse_period(&spec, day_of(2027, 1, 2), day_of(2027, 1, 1), "period");
    refuse_period(&spec, day_of(1, 1, 1), day_of(1, 1, 10), "period");
    refuse_period(&spec, day_of(9999, 1, 1), day_of(9999, 12, 31), "period");
    wg_climate_free(made(&spec, day_of(2, 1, 2), day_of(2, 1, 2)));
    wg_climate_free(made(&spec, day_of(9998, 12, 30), day_of(9998, 12, 30)));
}

Test(climate, free_is_safe_on_nothing) {
    struct wg_weather weather = {0};
    wg_climate_free(NULL);
    wg_weather_free(&weather);
    wg_weather_free(&weather);
}

/* ---- drawing ---- */

static void draw(struct wg_weather *weather, const struct wg_climate *climate, uint64_t seed, uint64_t replicate) {
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, seed, replicate, WG_PURPOSE_WEATHER);
    wg_weather_draw(weather, climate, rng);
    gsl_rng_free(rng);
}

Test(draw, same_stream_same_days) {
    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *climate = made(&spec, day_of(2026, 9, 15), day_of(2027, 9, 14));
    struct wg_weather one = room_for(climate), other = room_for(climate);
    cr_assert_eq(one.first_day, day_of(2026, 9, 15) - WG_WEATHER_LEAD_DAYS);
    cr_assert_eq(one.first_day + one.n_days - 1, day_of(2027, 9, 15));
    const size_t size = (size_t)one.n_days * sizeof(double);
    draw(&one, climate, 1, 5);
    draw(&other, climate, 1, 6);
    cr_expect_neq(memcmp(one.low_c, other.low_c, size), 0);
    draw(&other, climate, 1, 5); /* after another draw into the same struct */
    cr_expect_eq(memcmp(one.low_c, other.low_c, size), 0);
    cr_expect_eq(memcmp(one.high_c, other.high_c, size), 0);
    cr_expect_eq(memcmp(one.anomaly_c, other.anomaly_c, size), 0);
    wg_weather_free(&one);
    wg_weather_free(&other);
    wg_climate_free(climate);
}

Test(draw, a_longer_period_begins_with_the_same_days) {
    /* So that extending a plan keeps its first winter. */
    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *brief = made(&spec, day_of(2026, 9, 15), day_of(2027, 3, 14));
    struct wg_climate *full = made(&spec, day_of(2026, 9, 15), day_of(2028, 9, 14));
    struct wg_weather one = room_for(brief), other = room_for(full);
    draw(&one, brief, 8, 0);
    draw(&other, full, 8, 0);
    cr_expect_eq(memcmp(one.high_c, other.high_c, (size_t)one.n_days * sizeof(double)), 0);
    wg_weather_free(&one);
    wg_weather_free(&other);
    wg_climate_free(brief);
    wg_climate_free(full);
}

/* ---- constant ---- */

Test(constant, has_no_weather) {
    const struct wg_climate_spec spec = {.kind = WG_CLIMATE_CONSTANT, .constant_c = 27.0, .latitude_deg = 80.0};
    struct wg_climate *climate = made(&spec, day_of(2027, 1, 1), day_of(2027, 3, 1));
    struct wg_weather weather = room_for(climate);
    wg_weather_draw(&weather, climate, NULL);
    for (int32_t day = day_of(2027, 1, 1) - 30; day <= day_of(2027, 3, 1); day++) {
        struct wg_sky sky;
        wg_climate_sky(climate, &weather, day, &sky);
        cr_assert_eq(sky.day, day);
        for (int h = 0; h < 24; h++)
            cr_assert(sky.air_c[h] == 27.0 && sky.sun_w_m2[h] == 0.0);
        cr_assert(sky.mean_c == 27.0 && sky.low_c == 27.0 && sky.high_c == 27.0);
        cr_assert(sky.day_length_h == 12.0 && sky.sky_loss_w_m2 == 0.0);
        /* steam tables: 3.567 kPa at 27 degC (MEMORY); the formula's 0.1 % */
        cr_assert_float_eq(sky.vapour_kpa, 0.6 * 3.567, 0.004);
        for (int k = 0; k < 120; k++)
            cr_assert_float_eq(sky.anomaly_c[-k], 0.0, 0.0);
    }
    wg_weather_free(&weather);
    wg_climate_free(climate);
}

/* ---- a day ---- */

Test(sky, is_the_formulas) {
    const struct wg_climate_spec spec = warm_place();
    const int32_t first = day_of(2027, 1, 1), last = day_of(2029, 2, 15);
    struct wg_climate *climate = made(&spec, first, last);
    struct wg_weather weather = room_for(climate);
    draw(&weather, climate, 4, 0);
    for (int32_t day = first - 30; day <= last; day++) {
        const int i = day - weather.first_day, j = wg_season_index(day) + 1;
        const double low_c = weather.low_c[i], high_c = weather.high_c[i];
        struct wg_sky sky;
        double share[24];
        wg_climate_sky(climate, &weather, day, &sky);
        const double above = wg_sun_above(32.4, j), sun = wg_sun_from_range(high_c, low_c, above, 0.16, 60.0);
        wg_sun_shares(32.4, j, share);
        for (int h = 0; h < 24; h++)
            cr_assert_float_eq(sky.sun_w_m2[h] * 3600.0 / 1e6, sun * share[h], 1e-9);
        cr_assert(sky.low_c == low_c && sky.high_c == high_c && sky.day == day);
        cr_assert_eq(sky.anomaly_c, weather.anomaly_c + i);
        cr_assert_float_eq(sky.day_length_h, wg_day_length_h(32.4, j), 1e-12);
        cr_assert_float_eq(sky.vapour_kpa, wg_vapour_saturated_kpa(low_c), 1e-12);
        cr_assert_float_eq(sky.sky_loss_w_m2,
                           wg_sky_loss_w_m2(high_c, low_c, sky.vapour_kpa, sun, wg_sun_clear(above, 60.0)), 1e-9);
        cr_assert(sky.sky_loss_w_m2 > 0.0 && sky.sky_loss_w_m2 < 110.0, "%.1f", sky.sky_loss_w_m2);
    }
    wg_weather_free(&weather);
    wg_climate_free(climate);
}

Test(sky, sun_of_seattle) {
    /*
     * Mean horizontal radiation: 3.3 kWh m-2 d-1 = 11.9 MJ, solar radiation data manual of the United States, 1961-1990
     * (NREL 1994, MEMORY). An independent program with the same record: 12.0. 5 %: other years, and Hargreaves.
     */
    struct wg_weather_record record = seattle_record();
    const struct wg_climate_spec spec = {.kind = WG_CLIMATE_YEARS,
                                         .latitude_deg = SEATTLE_LATITUDE_DEG,
                                         .elevation_m = 130.0,
                                         .sun_coefficient = 0.16,
                                         .record = &record};
    struct wg_climate *climate = made(&spec, day_of(2012, 1, 1), day_of(2015, 12, 31));
    struct wg_weather weather = room_for(climate);
    draw(&weather, climate, 4, 0);
    double mj_day = 0.0, brightest = 0.0;
    for (int32_t day = record.first_day; day < record.first_day + 1461; day++) {
        struct wg_sky sky;
        wg_climate_sky(climate, &weather, day, &sky);
        for (int h = 0; h < 24; h++) {
            mj_day += sky.sun_w_m2[h] * 3600.0 / 1e6 / 1461.0;
            brightest = fmax(brightest, sky.sun_w_m2[h]);
        }
    }
    cr_expect_float_eq(mj_day, 11.9, 0.6, "%.2f", mj_day);
    cr_expect(brightest > 800.0 && brightest < 1000.0, "%.0f W m-2: a bright noon has 800 to 1000", brightest);
    wg_weather_free(&weather);
    wg_climate_free(climate);
    wg_weather_record_free(&record);
}

static struct wg_climate *asked;
static struct wg_weather capacity;

static void ask(int32_t day) {
    const struct wg_climate_spec spec = warm_place();
    struct wg_sky sky;
    asked = made(&spec, day_of(2027, 1, 1), day_of(2027, 1, 31));
    capacity = room_for(asked);
    draw(&capacity, asked, 1, 1);
    wg_climate_sky(asked, &capacity, day, &sky);
}
Test(sky, of_a_day_too_early, .signal = SIGABRT) {
    ask(day_of(2027, 1, 1) - 31);
}
Test(sky, of_a_day_too_late, .signal = SIGABRT) {
    ask(day_of(2027, 2, 1));
}
