/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What are the monthly normals of a climate that is known only by its kind and latitude?
 *
 *   mean of the day = m - s cos(2 pi (t - coldest)/365),  range of the day from winter's to summer's by the same cosine,
 *   m and s linear in the latitude
 *
 * The numbers are judgement: each kind was fitted by hand to January and July of three to six stations (NOAA normals of
 * 1991-2020 and national normals of the same kind: MEMORY), which tests/climate/test_sketch.c lists. Lags of the warmest
 * day behind the solstice are about 27 days inland and 40 on a coast (Prescott & Collins 1951, Q. J. R. Meteorol. Soc.
 * 77:121; MEMORY). The fall of temperature with height is 5.5 K per km near the ground (Rolland 2003, J. Climate
 * 16:1032; MEMORY).
 */
#include "climate/sketch.h"

#include "base/elementary.h"
#include "climate/climate.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define PI 3.14159265358979323846
#define COOLING_K_M 0.0055
#define SOLSTICE 355.0  /* 21 December, days from 1 January */
#define LEAST_SWING 0.5 /* K, at the equator: judgement */

static const struct wg_sketch sketches[] = {
    {.name = "mild coast",
     .meaning = "cool, little frost",
     .least_deg = 35,
     .most_deg = 66,
     .is_coast = true,
     .spread = "marine",
     .at_deg = 45,
     .mean_c = 12.5,
     .mean_slope = -0.3,
     .swing_k = 6.2,
     .swing_slope = 0.17,
     .winter_range_k = 5.8,
     .summer_range_k = 10.8,
     .lag_days = 38},
    {.name = "four seasons",
     .meaning = "some weeks of frost",
     .least_deg = 33,
     .most_deg = 48,
     .spread = "continental",
     .at_deg = 41,
     .mean_c = 12.8,
     .mean_slope = -0.8,
     .swing_k = 12.1,
     .swing_slope = 0.2,
     .winter_range_k = 8.2,
     .summer_range_k = 10,
     .lag_days = 28},
    {.name = "cold inland",
     .meaning = "months of hard frost",
     .least_deg = 38,
     .most_deg = 58,
     .spread = "continental",
     .at_deg = 45,
     .mean_c = 7,
     .mean_slope = -0.9,
     .swing_k = 16,
     .swing_slope = 0.35,
     .winter_range_k = 9.2,
     .summer_range_k = 11.6,
     .lag_days = 26},
    {.name = "dry summers",
     .meaning = "mild, wet winters",
     .least_deg = 30,
     .most_deg = 45,
     .spread = "marine",
     .at_deg = 38,
     .mean_c = 17.3,
     .mean_slope = -0.35,
     .swing_k = 7.9,
     .swing_slope = 0.3,
     .winter_range_k = 8.6,
     .summer_range_k = 13,
     .lag_days = 32},
    {.name = "hot and humid",
     .meaning = "long sticky summers",
     .least_deg = 22,
     .most_deg = 38,
     .spread = "humid subtropical",
     .at_deg = 32,
     .mean_c = 18.5,
     .mean_slope = -0.65,
     .swing_k = 9.5,
     .swing_slope = 0.45,
     .winter_range_k = 11.4,
     .summer_range_k = 10.6,
     .lag_days = 28},
    {.name = "dry and hot",
     .meaning = "desert, cool nights",
     .least_deg = 18,
     .most_deg = 40,
     .spread = "humid subtropical",
     .at_deg = 32,
     .mean_c = 21.8,
     .mean_slope = -0.5,
     .swing_k = 11,
     .swing_slope = 0.25,
     .winter_range_k = 13,
     .summer_range_k = 13.2,
     .lag_days = 24},
    {.name = "warm coast",
     .meaning = "no winter",
     .least_deg = 0,
     .most_deg = 30,
     .is_coast = true,
     .spread = "tropical",
     .at_deg = 20,
     .mean_c = 25.6,
     .mean_slope = -0.08,
     .swing_k = 2.9,
     .swing_slope = 0.13,
     .winter_range_k = 8.2,
     .summer_range_k = 7.6,
     .lag_days = 40},
};

const struct wg_sketch *wg_sketch_at(int i) {
    const int n = (int)(sizeof sketches / sizeof *sketches);
    return i >= 0 && i < n ? &sketches[i] : NULL;
}

const struct wg_sketch *wg_sketch_find(const char *name) {
    for (int i = 0; wg_sketch_at(i) != NULL; i++)
        if (strcmp(sketches[i].name, name) == 0)
            return &sketches[i];
    return NULL;
}

bool wg_sketch_fits(const struct wg_sketch *sketch, double latitude_deg) {
    const double from_equator = fabs(latitude_deg);
    return from_equator >= sketch->least_deg && from_equator <= sketch->most_deg;
}

static double rounded(double value) {
    return nearbyint(10.0 * value) / 10.0 + 0.0; /* never -0 */
}

static void copy_half_a_year_later(const double from[12], double to[12]) {
    for (int m = 0; m < 12; m++)
        to[m] = from[(m + 6) % 12];
}

static void sketch_spread(const struct wg_sketch *sketch, bool is_south, double high_sd_c[12], double low_sd_c[12]) {
    double high[12], low[12];
    const int known = wg_climate_spread(sketch->spread, is_south ? high : high_sd_c, is_south ? low : low_sd_c);
    wg_assert(known == 0);
    if (!is_south)
        return;
    copy_half_a_year_later(high, high_sd_c);
    copy_half_a_year_later(low, low_sd_c);
}

void wg_sketch_normals(const struct wg_sketch *sketch, double latitude_deg, double elevation_m, double high_c[12],
                       double low_c[12], double high_sd_c[12], double low_sd_c[12]) {
    const bool is_south = latitude_deg < 0;
    const double poleward_deg = fabs(latitude_deg) - sketch->at_deg;
    const double mean_c = sketch->mean_c + sketch->mean_slope * poleward_deg - COOLING_K_M * elevation_m;
    const double swing_k = fmax(LEAST_SWING, sketch->swing_k + sketch->swing_slope * poleward_deg);
    const double coldest = SOLSTICE + sketch->lag_days + (is_south ? 182.5 : 0.0);
    for (int m = 0; m < 12; m++) {
        const double winter =
            wg_cos(2.0 * PI * ((m + 0.5) * 365.0 / 12.0 - coldest) / 365.0); /* 1 on the coldest day */
        const double day_c = mean_c - swing_k * winter;
        const double range_k = (sketch->winter_range_k + sketch->summer_range_k) / 2.0 +
                               winter * (sketch->winter_range_k - sketch->summer_range_k) / 2.0;
        high_c[m] = rounded(day_c + range_k / 2.0);
        low_c[m] = rounded(day_c - range_k / 2.0);
    }
    sketch_spread(sketch, is_south, high_sd_c, low_sd_c);
}
