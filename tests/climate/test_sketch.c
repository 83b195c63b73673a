/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sketches of climates against published normals of stations of their kind, and against a daily record of Seattle.
 *
 * Mean daily high and low of January and July, degF, as the stations report them for 1991-2020 (United States: NOAA;
 * others: national services, converted): MEMORY, each within about 1 degF. A sketch is a curve for a kind of climate,
 * not for a town: it may miss a town by 5 K (Athens, Phoenix: large cities, warm at night).
 */
#include "climate/seattle.h"
#include "climate/sketch.h"

#include <math.h>
#include <string.h>

#define MAY_MISS_K 5.0

static const struct {
    const char *kind, *town;
    double latitude_deg, high_f[2], low_f[2]; /* January, July */
} stations[] = {
    {"mild coast", "Seattle", 47.4, {48, 77}, {38, 57}},
    {"mild coast", "Portland, Oregon", 45.6, {48, 81}, {36, 59}},
    {"mild coast", "London", 51.5, {47, 75}, {37, 57}},
    {"mild coast", "San Francisco", 37.6, {58, 72}, {44, 56}},
    {"mild coast", "Trondheim", 63.4, {35, 64}, {24, 51}},
    {"mild coast", "Melbourne", -37.8, {79, 57}, {59, 44}},
    {"mild coast", "Auckland", -36.8, {75, 58}, {61, 47}},
    {"four seasons", "New York", 40.8, {40, 85}, {28, 70}},
    {"four seasons", "Boston", 42.4, {37, 82}, {23, 66}},
    {"four seasons", "Columbus, Ohio", 40.0, {37, 85}, {22, 66}},
    {"four seasons", "Washington", 38.9, {45, 90}, {30, 73}},
    {"four seasons", "Raleigh", 35.9, {52, 90}, {32, 70}},
    {"cold inland", "Minneapolis", 44.9, {24, 83}, {9, 64}},
    {"cold inland", "Des Moines", 41.5, {32, 86}, {14, 67}},
    {"cold inland", "Winnipeg", 49.9, {12, 79}, {-6, 57}},
    {"cold inland", "Montreal", 45.5, {23, 80}, {7, 62}},
    {"dry summers", "Sacramento", 38.5, {56, 93}, {39, 60}},
    {"dry summers", "Athens", 38.0, {56, 92}, {45, 74}},
    {"dry summers", "Rome", 41.9, {54, 88}, {38, 64}},
    {"dry summers", "Perth", -31.9, {88, 65}, {64, 46}},
    {"hot and humid", "Jackson, Mississippi", 32.3, {58, 92}, {37, 73}},
    {"hot and humid", "Atlanta", 33.6, {54, 90}, {36, 72}},
    {"hot and humid", "Houston", 29.8, {63, 95}, {44, 75}},
    {"hot and humid", "Memphis", 35.1, {51, 92}, {34, 74}},
    {"hot and humid", "New Orleans", 30.0, {62, 92}, {46, 76}},
    {"dry and hot", "Phoenix", 33.4, {68, 107}, {46, 85}},
    {"dry and hot", "Tucson", 32.1, {66, 100}, {41, 76}},
    {"dry and hot", "El Paso", 31.8, {59, 96}, {34, 73}},
    {"dry and hot", "Las Vegas", 36.1, {58, 105}, {40, 82}},
    {"warm coast", "Miami", 25.8, {76, 91}, {61, 77}},
    {"warm coast", "San Juan", 18.4, {83, 89}, {72, 78}},
    {"warm coast", "Singapore", 1.3, {87, 89}, {75, 78}},
    {"warm coast", "Darwin", -12.4, {89, 87}, {77, 67}},
};

static const struct wg_sketch *sketch_named(const char *name) {
    const struct wg_sketch *const found = wg_sketch_find(name);
    cr_assert_not_null(found, "%s", name);
    return found;
}

struct twelve {
    double high[12], low[12], high_sd[12], low_sd[12];
};

static struct twelve normals_of(const struct wg_sketch *sketch, double latitude_deg, double elevation_m) {
    struct twelve n;
    wg_sketch_normals(sketch, latitude_deg, elevation_m, n.high, n.low, n.high_sd, n.low_sd);
    return n;
}

static double celsius(double f) {
    return (f - 32.0) / 1.8;
}

Test(sketch, is_near_published_normals) {
    for (size_t i = 0; i < sizeof stations / sizeof *stations; i++) {
        const struct wg_sketch *const sketch = sketch_named(stations[i].kind);
        cr_expect(wg_sketch_fits(sketch, stations[i].latitude_deg), "%s", stations[i].town);
        const struct twelve n = normals_of(sketch, stations[i].latitude_deg, 0);
        for (int k = 0; k < 2; k++) {
            const double high_k = n.high[6 * k] - celsius(stations[i].high_f[k]);
            const double low_k = n.low[6 * k] - celsius(stations[i].low_f[k]);
            cr_expect(fabs(high_k) <= MAY_MISS_K && fabs(low_k) <= MAY_MISS_K,
                      "%s, %s: highs miss by %.1f K, lows %.1f", stations[i].town, k == 0 ? "January" : "July", high_k,
                      low_k);
        }
    }
}

/* All twelve months and their day-to-day variability, in a record of four years. */
Test(sketch, mild_coast_is_near_the_record_of_seattle) {
    struct wg_weather_record record = seattle_record();
    const struct twelve n = normals_of(sketch_named("mild coast"), SEATTLE_LATITUDE_DEG, 0);
    double high[12] = {0}, low[12] = {0};
    int days[12] = {0};
    for (int i = 0; i < record.n_days; i++) {
        const int m = wg_month_index(record.first_day + i);
        high[m] += record.high_c[i];
        low[m] += record.low_c[i];
        days[m]++;
    }
    for (int m = 0; m < 12; m++) {
        cr_expect_float_eq(n.high[m], high[m] / days[m], 3.0, "high of month %d: %.1f", m + 1, high[m] / days[m]);
        cr_expect_float_eq(n.low[m], low[m] / days[m], 3.0, "low of month %d: %.1f", m + 1, low[m] / days[m]);
        cr_expect(n.high_sd[m] > 1.5 && n.high_sd[m] < 5 && n.low_sd[m] > 1.5 && n.low_sd[m] < 5);
    }
    wg_weather_record_free(&record);
}

/* The southern year is the northern one half a year later; height cools every month alike. */
Test(sketch, knows_both_hemispheres_and_height) {
    for (int i = 0; wg_sketch_at(i) != NULL; i++) {
        const struct wg_sketch *const sketch = wg_sketch_at(i);
        const double deg = (sketch->least_deg + sketch->most_deg) / 2;
        const struct twelve north = normals_of(sketch, deg, 0), south = normals_of(sketch, -deg, 0);
        const struct twelve high_up = normals_of(sketch, deg, 1000);
        for (int m = 0; m < 12; m++) {
            const int other = (m + 6) % 12;
            cr_expect_float_eq(north.high[m], south.high[other], 0.11);
            cr_expect_float_eq(north.low[m], south.low[other], 0.11);
            cr_expect_float_eq(north.high_sd[m], south.high_sd[other], 1e-12);
            cr_expect_float_eq(north.high[m] - high_up.high[m], 5.5, 0.11);
            cr_expect(north.high[m] >= north.low[m] + 5, "%s", sketch->name);
        }
    }
}

/* Every latitude that a plan may have has at least one sketch. */
Test(sketch, covers_all_latitudes) {
    for (int deg = -66; deg <= 66; deg++) {
        int n = 0;
        for (int i = 0; wg_sketch_at(i) != NULL; i++)
            n += wg_sketch_fits(wg_sketch_at(i), deg);
        cr_expect(n >= 1, "%d degrees have %d", deg, n);
    }
}
