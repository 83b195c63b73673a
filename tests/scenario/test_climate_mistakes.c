/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the climate of a scenario: the reader reports common mistakes and converts valid values to degrees Celsius.
 *
 * The reference is the definition of the Fahrenheit scale: degC = (degF - 32) / 1.8; differences are divided by 1.8.
 */
#include "scenario/scenario.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define PERIOD "period: {from: 2026-01-01, to: 2026-12-31}\n"
#define REST                                                                                                           \
    "places: [{name: yard, housing: outdoors, bins: [{name: tub}]}]\n"                                                 \
    "starter: [{on: 2026-01-01, in: tub, stage: egg, count: 1000}]\nfeeding: unlimited\n"
#define HIGHS "[15, 17, 21, 25, 29, 33, 34, 33, 31, 26, 21, 16]"
#define LOWS "[3, 4, 8, 12, 17, 21, 23, 22, 19, 12, 7, 4]"

static int read_parts(struct wg_scenario *scenario, const char *period, const char *climate, char *messages,
                      size_t size) {
    char text[2000];
    struct wg_mistakes problems;
    struct wg_error err = {0};
    snprintf(text, sizeof text, "%s%s" REST, period, climate);
    const int code = wg_scenario_read_text(scenario, "test.yaml", text, strlen(text), NULL, 0, &problems, &err);
    messages[0] = '\0';
    for (size_t i = 0, n = 0; i < problems.n && n < size; i++, n = strlen(messages))
        snprintf(messages + n, size - n, "%s\n", problems.items[i].message);
    wg_mistakes_free(&problems);
    return code;
}

static void expect_rejected_parts(const char *period, const char *climate, const char *expected) {
    struct wg_scenario scenario;
    char messages[4000];
    cr_expect_eq(read_parts(&scenario, period, climate, messages, sizeof messages), WG_ERR_INPUT, "%s", climate);
    cr_expect_not_null(strstr(messages, expected), "%s\n%s\n%s", climate, expected, messages);
    wg_scenario_free(&scenario);
}

static void expect_rejected(const char *climate, const char *expected) {
    expect_rejected_parts(PERIOD, climate, expected);
}

static void read_valid(struct wg_scenario *scenario, const char *climate) {
    char messages[4000];
    cr_assert_eq(read_parts(scenario, PERIOD, climate, messages, sizeof messages), 0, "%s\n%s", climate, messages);
}

/* ---- the period ---- */

Test(climate_mistakes, limits_of_the_period) {
    const char *const climate = "climate: {constant: 27 degC}\n";
    expect_rejected_parts("period: {from: 2026-01-02, to: 2026-01-01}\n", climate, "ends before it begins");
    expect_rejected_parts("period: {from: 1926-01-01, to: 2026-12-31}\n", climate, "longer than a hundred years");
    expect_rejected_parts("period: {from: 0001-05-01, to: 0001-06-01}\n", climate, "The year must be from 3 to 9997");
    expect_rejected_parts("period: {from: 9999-01-01, to: 9999-06-01}\n", climate, "The year must be from 3 to 9997");
    expect_rejected_parts("period: {from: 2026-01-01, to: soon}\n", climate, "soon");
}

/* ---- the latitude ---- */

static void expect_latitude(const char *written, double latitude_deg) {
    struct wg_scenario scenario;
    char climate[400];
    snprintf(climate, sizeof climate,
             "climate:\n  latitude: %s\n  normals: {unit: degC, daily_high: " HIGHS ", daily_low: " LOWS "}\n",
             written);
    read_valid(&scenario, climate);
    cr_expect_float_eq(scenario.plan.climate.latitude_deg, latitude_deg, 1e-9, "%s", written);
    wg_scenario_free(&scenario);
}

Test(climate_mistakes, latitudes_north_and_south) {
    expect_latitude("32.4 degrees", 32.4);
    expect_latitude("32.4 N", 32.4);
    expect_latitude("32.4N", 32.4);
    expect_latitude("32.4 S", -32.4);
    expect_latitude("32.4 degrees south", -32.4);
    expect_latitude("32.4 degrees North", 32.4);
    expect_latitude("-32.4 degrees", -32.4);
}

Test(climate_mistakes, invalid_latitudes) {
    expect_rejected("climate: {constant: 27 degC, latitude: 70 N}\n", "66");
    expect_rejected("climate: {constant: 27 degC, latitude: far S}\n", "far");
    expect_rejected("climate: {constant: 27 degC, latitude: -33.9 S}\n", "both a minus sign"); /* not 33.9 N */
    expect_rejected("climate: {constant: 27 degC, latitude: -33.9 degrees north}\n", "both a minus sign");
    expect_rejected("climate: {constant: 27 degC, latitude: N}\n", "N");
    expect_rejected("climate: {constant: 27 degC, latitude: -34}\n", "34 S"); /* as maps on phones write the south */
    expect_rejected("climate: {constant: 27 degC, latitude: '34,2 S'}\n", "\"34,2 S\"");
    expect_rejected("climate: {constant: 27 degC, latitude: [32, 4]}\n", "latitude");
    expect_rejected("climate: {constant: 27 degC, latitude: "
                    "32.444444444444444444444444444444444444444444444444444444444444444444444444 S}\n",
                    "32.4");
    expect_rejected("climate:\n  normals: {unit: degC, daily_high: " HIGHS ", daily_low: " LOWS "}\n", "latitude");
}

/* ---- monthly normals ---- */

#define NORMALS(inside) "climate:\n  latitude: 32 N\n  normals: {" inside "}\n"

Test(climate_mistakes, normals_are_converted_to_celsius) {
    struct wg_scenario scenario;
    read_valid(&scenario,
               NORMALS("unit: degF, daily_high: [50, 50, 59, 68, 77, 86, 86, 86, 77, 68, 59, 50], daily_low: "
                       "[32, 32, 41, 50, 59, 68, 68, 68, 59, 50, 41, 32], daily_high_sd: 9, "
                       "daily_low_sd: [9, 9, 9, 9, 9, 9, 4.5, 9, 9, 9, 9, 9]"));
    cr_expect_float_eq(scenario.plan.climate.high_c[0], 10, 1e-9);
    cr_expect_float_eq(scenario.plan.climate.low_c[6], 20, 1e-9);
    for (int m = 0; m < 12; m++)
        cr_expect_float_eq(scenario.plan.climate.high_sd_c[m], 5, 1e-9, "month %d", m);
    cr_expect_float_eq(scenario.plan.climate.low_sd_c[6], 2.5, 1e-9);
    wg_scenario_free(&scenario);
    read_valid(&scenario,
               NORMALS("daily_high: [50 degF, 17 degC, 21 degC, 25 degC, 29 degC, 33 degC, 34 degC, 33 degC, "
                       "31 degC, 26 degC, 21 degC, 16 degC], daily_low: [0 degC, 4 degC, 8 degC, 12 degC, "
                       "17 degC, 21 degC, 23 degC, 22 degC, 19 degC, 12 degC, 7 degC, 4 degC]"));
    cr_expect_float_eq(scenario.plan.climate.high_c[0], 10, 1e-9);
    wg_scenario_free(&scenario);
}

Test(climate_mistakes, twelve_normals_with_a_unit) {
    expect_rejected(NORMALS("daily_high: " HIGHS ", daily_low: " LOWS), "unit: degF, or unit: degC");
    expect_rejected(NORMALS("unit: kelvin, daily_high: " HIGHS ", daily_low: " LOWS), "kelvin");
    expect_rejected(NORMALS("unit: degC, daily_high: [1, 2, 3], daily_low: " LOWS), "this list has fewer");
    expect_rejected(NORMALS("unit: degC, daily_high: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13], daily_low: " LOWS),
                    "this list has more");
    expect_rejected(NORMALS("unit: degC, daily_high: 30, daily_low: " LOWS), "twelve monthly values");
    expect_rejected(NORMALS("unit: degC, daily_high: {january: 3}, daily_low: " LOWS), "twelve monthly values");
    expect_rejected(
        NORMALS("unit: degC, daily_high: [15, 17, 21, 25, 29, [33], 34, 33, 31, 26, 21, 16], daily_low: " LOWS),
        "temperature");
    expect_rejected(
        NORMALS("unit: degC, daily_high: [15, 17, 21, 25, 29, hot, 34, 33, 31, 26, 21, 16], daily_low: " LOWS), "hot");
    expect_rejected(
        NORMALS("unit: degC, daily_high: [15, 17, 21, 25, 29, 93, 34, 33, 31, 26, 21, 16], daily_low: " LOWS), "60");
    expect_rejected(NORMALS("unit: degC, daily_low: " LOWS), "daily_high");
    expect_rejected(NORMALS("unit: degC, daily_high: " HIGHS), "daily_low");
    expect_rejected("climate: {latitude: 32 N, normals: warm}\n", "normals");
}

Test(climate_mistakes, lows_are_below_highs) {
    expect_rejected(NORMALS("unit: degC, daily_high: " LOWS ", daily_low: " HIGHS), "swapped");
    expect_rejected(
        NORMALS("unit: degC, daily_high: " HIGHS ", daily_low: [3, 4, 8, 12, 17, 21, 34, 22, 19, 12, 7, 4]"),
        "In July");
}

Test(climate_mistakes, spread_is_a_name_or_numbers) {
    expect_rejected(NORMALS("unit: degC, spread: humit subtropical, daily_high: " HIGHS ", daily_low: " LOWS),
                    "humid subtropical");
    expect_rejected(NORMALS("unit: degC, daily_high_sd: 99, daily_high: " HIGHS ", daily_low: " LOWS), "15");
    expect_rejected(NORMALS("unit: degC, daily_low_sd: [1, 2], daily_high: " HIGHS ", daily_low: " LOWS),
                    "one value, or twelve");
    expect_rejected(NORMALS("daily_low_sd: 3, daily_high: " HIGHS ", daily_low: " LOWS), "unit: degF, or unit: degC");
}

/* ---- which weather ---- */

Test(climate_mistakes, exactly_one_kind_of_weather) {
    expect_rejected("climate: {latitude: 32 N}\n", "needs its weather");
    expect_rejected("climate: {constant: 27 degC, record: a.csv}\n", "Keep one of");
    expect_rejected("climate: {constant: 27 degC, use: years}\n", "can be used only with a record");
    expect_rejected("climate: {constant: 27 degC, unit: degC}\n", "can be used only with a record");
    expect_rejected("climate: {constant: 97 degC}\n", "60");
    expect_rejected("climate: warm\n", "climate");
    expect_rejected("", "climate");
}

/* A scenario from somebody else must not read files elsewhere on the disk, and its weather must travel with it. */
Test(climate_mistakes, record_is_in_the_folder_of_the_scenario) {
    static const char *const elsewhere[] = {"/etc/passwd", "../a.csv",  "a/../../b.csv",      "~/a.csv",
                                            "\\\\host\\a", "C:\\a.csv", "weather\\..\\a.csv", "a/.."};
    for (size_t i = 0; i < sizeof elsewhere / sizeof *elsewhere; i++) {
        char climate[200];
        snprintf(climate, sizeof climate, "climate: {latitude: 32 N, record: '%s'}\n", elsewhere[i]);
        expect_rejected(climate, "beside the scenario or in a folder below it");
    }
    expect_rejected("climate: {latitude: 32 N, record: no-such-file.csv}\n", "from the scenario's folder");
    expect_rejected("climate: {latitude: 32 N, record: a..b/no-such-file.csv}\n", "from the scenario's folder");
    expect_rejected("climate: {latitude: 32 N, record: [a.csv]}\n", "weather file");
    expect_rejected("climate: {latitude: 32 N, record: no-such-file.csv, use: dreams}\n", "dreams");
    expect_rejected("climate: {latitude: 32 N, record: no-such-file.csv, unit: kelvin}\n", "kelvin");
}
