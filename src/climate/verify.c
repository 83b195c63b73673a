/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Are a prepared climate and a drawn weather what the rest takes them for?
 */
#include "base/bounds.h"
#include "base/limits.h"
#include "climate/climate.h"

#include <float.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define ALMOST_ONE 1e-9 /* shares of a day's sunshine are sums of 24 roundings */

static int verify_season(const struct wg_climate *climate, int d, struct wg_error *err) {
    const struct wg_day_shape *const shape = &climate->shape[d];
    double sun = 0;
    for (int h = 0; h < 24; h++)
        sun += climate->sun_share[d][h];
    const struct wg_bound bound[] = {
        {"high_c - low_c", climate->high_c[d] - climate->low_c[d], 0, 2 * WG_MOST_C},
        {"high_sd_c", climate->high_sd_c[d], 0, WG_MOST_C},
        {"low_sd_c", climate->low_sd_c[d], 0, WG_MOST_C},
        {"wave_c", climate->wave_c[d], -WG_MOST_C, WG_MOST_C},
        {"day_length_h", climate->day_length_h[d], 0, 24},
        {"above", climate->above[d], 0,
         60}, /* MJ m-2 d-1: the most is 44, at a pole in midsummer (FAO-56, table 2.6) */
        {"the day's sum of sun_share", sun, 1 - ALMOST_ONE, 1 + ALMOST_ONE},
        {"shape.first", shape->first, 0, 23},
        {"shape.last", shape->last, shape->first, 23},
    };
    return wg_bounds_check(&(struct wg_bound_owner){"season", d, NULL, 0}, bound, COUNT(bound), err);
}

/* Weather that forgets: both roots of z^2 - trace z + det lie inside the unit circle (Jury's conditions for two). */
static int verify_generator(const struct wg_generator *generator, struct wg_error *err) {
    const double(*const a)[2] = generator->a;
    const double trace = a[0][0] + a[1][1], det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    const struct wg_bound bound[] = {
        {"the determinant of a", det, -1, 1 - DBL_EPSILON},
        {"the trace of a", trace, -1 - det, 1 + det},
        {"b[0][0]", generator->b[0][0], -1, 1},
        {"b[1][1]", generator->b[1][1], -1, 1},
    };
    return wg_bounds_check(&(struct wg_bound_owner){"generator", -1, NULL, 0}, bound, COUNT(bound), err);
}

int wg_climate_verify(const struct wg_climate *climate, struct wg_error *err) {
    int code = wg_climate_check(&climate->spec, climate->first_day, climate->last_day, err);
    if (code < 0 || climate->spec.kind == WG_CLIMATE_CONSTANT)
        return code;
    for (int d = 0; d < 365 && code == 0; d++)
        code = verify_season(climate, d, err);
    return code == 0 ? verify_generator(&climate->generator, err) : code;
}

int wg_weather_verify(const struct wg_weather *weather, const struct wg_climate *climate, struct wg_error *err) {
    const struct wg_bound bound[] = {
        {"first_day", weather->first_day, climate->first_day - WG_WEATHER_LEAD_DAYS,
         climate->first_day - WG_WEATHER_LEAD_DAYS},
        {"n_days", weather->n_days, climate->last_day + 2 - weather->first_day,
         climate->last_day + 2 - weather->first_day},
    };
    int code = wg_bounds_check(&(struct wg_bound_owner){"weather", -1, NULL, 0}, bound, COUNT(bound), err);
    for (int i = 0; i < weather->n_days && code == 0; i++) {
        const struct wg_bound day[] = {
            {"low_c", weather->low_c[i], -WG_MOST_C, WG_MOST_C},
            {"high_c", weather->high_c[i], weather->low_c[i], WG_MOST_C},
            {"anomaly_c", weather->anomaly_c[i], -2 * WG_MOST_C, 2 * WG_MOST_C},
        };
        code = wg_bounds_check(&(struct wg_bound_owner){"weather, day", i, NULL, 0}, day, COUNT(day), err);
    }
    return code;
}
