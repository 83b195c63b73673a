/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is the weather of a day, hour by hour?
 *
 * Everything that depends only on the time of year (annual curves, day length, sun, diurnal shape) is tabled once by
 * season index, 365 a year. Sources stand with the formulas.
 */
#include "climate/climate.h"

#include "climate/sun.h"

#include <math.h>
#include <stdlib.h>

#define MAX_LATITUDE_DEG 66.0 /* beyond, the polar night */

/* ---- checking ---- */

static const char *site_problem(const struct wg_climate_spec *spec) {
    if (!(fabs(spec->latitude_deg) <= MAX_LATITUDE_DEG))
        return "the latitude must be between -66 and 66 degrees: beyond, some days have no sunrise";
    if (!(spec->elevation_m >= -500.0 && spec->elevation_m <= 9000.0))
        return "the elevation must be between -500 and 9000 m";
    if (!(spec->sun_coefficient >= 0.0 && spec->sun_coefficient <= 1.0))
        return "the sun coefficient must be between 0 and 1: 0.16 inland, 0.19 on a coast";
    return NULL;
}

/* Three of the largest standard deviations stay within the range of the vapour formula: judgement. */
static bool is_spread(double spread_k) {
    return spread_k >= 0.0 && spread_k <= 30.0;
}

static int check_normals(const struct wg_climate_spec *spec, struct wg_error *err) {
    for (int m = 0; m < 12; m++) {
        const double high_c = spec->high_c[m], low_c = spec->low_c[m];
        if (!(wg_is_air_temperature(high_c) && wg_is_air_temperature(low_c) && high_c > low_c))
            return wg_fail(err, WG_ERR_INPUT, NULL,
                           "month %d: the daily high must be above the daily low, both between -100 and 100 degC",
                           m + 1);
        if (!(is_spread(spec->high_sd_c[m]) && is_spread(spec->low_sd_c[m])))
            return wg_fail(err, WG_ERR_INPUT, NULL, "month %d: the day-to-day spread must be between 0 and 30 K",
                           m + 1);
    }
    return 0;
}

int wg_climate_check(const struct wg_climate_spec *spec, int32_t first_day, int32_t last_day, struct wg_error *err) {
    /* Room for the generator's spin-up, the soil's memory and the day after the last night. */
    if (first_day > last_day || first_day < WG_DAY_FIRST + 366 || last_day > WG_DAY_LAST - 366)
        return wg_fail(err, WG_ERR_INPUT, NULL, "the period must run forwards, within the years 2 to 9998");
    if (spec->kind == WG_CLIMATE_CONSTANT)
        return wg_is_air_temperature(spec->constant_c)
                   ? 0
                   : wg_fail(err, WG_ERR_INPUT, NULL, "the temperature must be between -100 and 100 degC");
    const char *const problem = site_problem(spec);
    if (problem != NULL)
        return wg_fail(err, WG_ERR_INPUT, NULL, "%s", problem);
    return spec->kind == WG_CLIMATE_NORMALS ? check_normals(spec, err) : 0;
}

/* ---- preparing ---- */

static void tabulate_sun(struct wg_climate *climate) {
    const double latitude_deg = climate->spec.latitude_deg;
    double *const hours = climate->day_length_h;
    for (int d = 0; d < 365; d++) {
        hours[d] = wg_day_length_h(latitude_deg, d + 1);
        climate->above[d] = wg_sun_above(latitude_deg, d + 1);
        wg_sun_shares(latitude_deg, d + 1, climate->sun_share[d]);
    }
    for (int d = 0; d < 365; d++)
        wg_day_shape_set(&climate->shape[d], hours[d], hours[(d + 364) % 365], hours[(d + 1) % 365]);
}

static void find_wave(struct wg_climate *climate) {
    double mean_c[365];
    for (int d = 0; d < 365; d++)
        mean_c[d] = (climate->high_c[d] + climate->low_c[d]) / 2.0;
    climate->wave = wg_wave_in(mean_c);
    for (int d = 0; d < 365; d++)
        climate->wave_c[d] = wg_wave_at(&climate->wave, d + 0.5);
}

static void set_normals(struct wg_climate *climate) {
    wg_curve_through_means(climate->high_c, climate->spec.high_c);
    wg_curve_through_means(climate->low_c, climate->spec.low_c);
    wg_curve_of_spread(climate->high_sd_c, climate->spec.high_sd_c);
    wg_curve_of_spread(climate->low_sd_c, climate->spec.low_sd_c);
    wg_generator_default_fast(&climate->generator);
}

static int prepare_climate(struct wg_climate *climate, struct wg_error *err) {
    int code = wg_climate_check(&climate->spec, climate->first_day, climate->last_day, err);
    if (code < 0 || climate->spec.kind == WG_CLIMATE_CONSTANT)
        return code;
    if (climate->spec.kind == WG_CLIMATE_NORMALS)
        set_normals(climate);
    else
        code = wg_weather_record_fit(climate, climate->spec.record, err);
    if (code == 0 && climate->spec.kind == WG_CLIMATE_YEARS)
        code = wg_years_check(climate, err);
    tabulate_sun(climate);
    find_wave(climate);
    return code;
}

int wg_climate_new(struct wg_climate **climate, const struct wg_climate_spec *spec, int32_t first_day, int32_t last_day,
                   struct wg_error *err) {
    *climate = NULL;
    struct wg_climate *const made = calloc(1, sizeof *made);
    if (made == NULL)
        return wg_no_memory(err, NULL);
    made->spec = *spec;
    made->first_day = first_day;
    made->last_day = last_day;
    const int code = prepare_climate(made, err);
    if (code < 0) {
        wg_climate_free(made);
        return code;
    }
    *climate = made;
    return 0;
}

void wg_climate_free(struct wg_climate *climate) {
    free(climate);
}

/* ---- one day ---- */

static void constant_sky(struct wg_sky *sky, double air_c) {
    const double humidity = 0.6; /* judgement: a room humidified for the flies */
    sky->day_length_h = 12.0;
    for (int h = 0; h < 24; h++) {
        sky->air_c[h] = air_c;
        sky->sun_w_m2[h] = 0.0;
    }
    sky->vapour_kpa = humidity * wg_vapour_saturated_kpa(air_c);
    sky->sky_loss_w_m2 = 0.0;
    sky->mean_c = sky->low_c = sky->high_c = air_c;
}

static void set_sunlight(struct wg_sky *sky, const struct wg_climate *climate, int season) {
    const double w_per_mj_h = 1e6 / 3600.0, above = climate->above[season];
    const double sun =
        wg_sun_from_range(sky->high_c, sky->low_c, above, climate->spec.sun_coefficient, climate->spec.elevation_m);
    sky->day_length_h = climate->day_length_h[season];
    for (int h = 0; h < 24; h++)
        sky->sun_w_m2[h] = sun * w_per_mj_h * climate->sun_share[season][h];
    sky->vapour_kpa = wg_vapour_saturated_kpa(sky->low_c); /* dew point equals the low: FAO-56 eq. 48 */
    sky->sky_loss_w_m2 =
        wg_sky_loss_w_m2(sky->high_c, sky->low_c, sky->vapour_kpa, sun, wg_sun_clear(above, climate->spec.elevation_m));
}

void wg_climate_sky(const struct wg_climate *climate, const struct wg_weather *weather, int32_t day,
                    struct wg_sky *sky) {
    const int i = day - weather->first_day;
    wg_assert(i >= WG_WEATHER_LEAD_DAYS - 30 && i + 1 < weather->n_days);
    sky->day = day;
    sky->anomaly_c = &weather->anomaly_c[i];
    if (climate->spec.kind == WG_CLIMATE_CONSTANT) {
        constant_sky(sky, climate->spec.constant_c);
        return;
    }
    sky->low_c = weather->low_c[i];
    sky->high_c = weather->high_c[i];
    set_sunlight(sky, climate, wg_season_index(day));
    wg_hours_fill(climate, weather, i, sky->air_c);
    double sum_c[4] = {0.0}; /* four independent partial sums */
    for (int h = 0; h < 24; h += 4)
        for (int k = 0; k < 4; k++)
            sum_c[k] += sky->air_c[h + k];
    sky->mean_c = ((sum_c[0] + sum_c[1]) + (sum_c[2] + sum_c[3])) / 24.0;
}
