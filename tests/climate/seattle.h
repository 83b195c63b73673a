/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* The open records of the climate tests and their common helpers. */
#ifndef TESTS_CLIMATE_SEATTLE_H
#define TESTS_CLIMATE_SEATTLE_H

#include "climate/weather.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>

#define SEATTLE_LATITUDE_DEG 47.45
#define SEATTLE_LONGITUDE_DEG -122.31

/* False-alarm rate of every single statistical check 1e-6: two-sided normal bound, in standard errors. */
#define SIGMAS 4.8917

/*
 * Daily lows and highs, Seattle, 2012-2015 (1461 days): NOAA daily record, US Government data. Free with
 * wg_weather_record_free().
 */
static inline struct wg_weather_record seattle_record(void) {
    FILE *file = fopen(WG_SOURCE_DIR "/scenarios/weather/seattle_daily.csv", "r");
    cr_assert_not_null(file);
    struct wg_weather_record record = {.low_c = calloc(2000, sizeof(double)), .high_c = calloc(2000, sizeof(double))};
    char line[200], date[11];
    double low_c, high_c;
    while (fgets(line, sizeof line, file)) {
        int32_t day;
        if (sscanf(line, "%10[0-9-],%lf,%lf", date, &low_c, &high_c) != 3)
            continue;
        cr_assert_eq(wg_day_parse(date, &day), 0);
        if (record.n_days == 0)
            record.first_day = day;
        cr_assert_eq(day, record.first_day + record.n_days);
        record.low_c[record.n_days] = low_c;
        record.high_c[record.n_days++] = high_c;
    }
    fclose(file);
    cr_assert_eq(record.n_days, 1461);
    return record;
}

static inline int32_t day_of(int year, int month, int day) {
    return wg_day_from_date((struct wg_date){year, month, day});
}

/* Makes a climate; asserts success. */
static inline struct wg_climate *made(const struct wg_climate_spec *spec, int32_t first_day, int32_t last_day) {
    struct wg_climate *climate;
    struct wg_error err = {0};
    cr_assert_eq(wg_climate_new(&climate, spec, first_day, last_day, &err), 0, "%s", err.text);
    return climate;
}

static inline struct wg_weather room_for(const struct wg_climate *climate) {
    struct wg_weather weather;
    struct wg_error err = {0};
    cr_assert_eq(wg_weather_init(&weather, climate, &err), 0, "%s", err.text);
    return weather;
}

/* An invented site in the humid subtropics. */
static inline struct wg_climate_spec warm_place(void) {
    struct wg_climate_spec spec = {
        .kind = WG_CLIMATE_NORMALS,
        .latitude_deg = 32.4,
        .elevation_m = 60.0,
        .sun_coefficient = 0.16,
        .high_c = {15, 17, 21, 25, 29, 33, 34, 33.5, 31, 26, 21, 16.5},
        .low_c = {3, 4, 8, 12, 17, 21, 23, 22.5, 19, 12.5, 7.5, 4},
    };
    cr_assert_eq(wg_climate_spread("humid subtropical", spec.high_sd_c, spec.low_sd_c), 0);
    return spec;
}

#endif
