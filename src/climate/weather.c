/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What weather does a replicate have? One sequence of days, drawn from a climate.
 *
 * The generator starts from mean weather 60 days before the first day kept: its memory fades by a third a day, so
 * nothing of the start remains (derived).
 */
#include "climate/climate.h"

#include <math.h>
#include <stdlib.h>

enum { GENERATOR_SPIN_UP_DAYS = 60 };

int wg_weather_init(struct wg_weather *weather, const struct wg_climate *climate, struct wg_error *err) {
    *weather = (struct wg_weather){.first_day = climate->first_day - WG_WEATHER_LEAD_DAYS};
    const int32_t n_days = climate->last_day + 2 - weather->first_day;
    weather->low_c = calloc((size_t)n_days, sizeof *weather->low_c);
    weather->high_c = calloc((size_t)n_days, sizeof *weather->high_c);
    weather->anomaly_c = calloc((size_t)n_days, sizeof *weather->anomaly_c);
    if (weather->low_c == NULL || weather->high_c == NULL || weather->anomaly_c == NULL) {
        wg_weather_free(weather);
        return wg_no_memory(err, NULL);
    }
    weather->n_days = n_days;
    return 0;
}

void wg_weather_free(struct wg_weather *weather) {
    free(weather->low_c);
    free(weather->high_c);
    free(weather->anomaly_c);
    *weather = (struct wg_weather){0};
}

/* Relative to the annual harmonic, as the ground's season is: soil.c. */
static double anomaly_c(const struct wg_weather *weather, const struct wg_climate *climate, int i, int season) {
    return (weather->high_c[i] + weather->low_c[i]) / 2.0 - climate->wave_c[season];
}

/* The sum of a fast and a slow component: generator.c. */
static void generate(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng) {
    const double keep = WG_SLOW_AUTOCORRELATION, fast = sqrt(1.0 - WG_SLOW_SHARE * WG_SLOW_SHARE);
    double z[2] = {0.0, 0.0}, slow = wg_normal(rng);
    for (int i = -GENERATOR_SPIN_UP_DAYS; i < weather->n_days; i++) {
        double e[2];
        e[0] = wg_normal(rng);
        e[1] = wg_normal(rng);
        slow = keep * slow + sqrt(1.0 - keep * keep) * wg_normal(rng);
        wg_generator_step(&climate->generator, z, e);
        if (i < 0)
            continue;
        const double both[2] = {fast * z[0] + WG_SLOW_SHARE * slow, fast * z[1] + WG_SLOW_SHARE * slow};
        const int season = wg_season_index(weather->first_day + i);
        wg_generator_day(climate, season, both, &weather->high_c[i], &weather->low_c[i]);
        weather->anomaly_c[i] = anomaly_c(weather, climate, i, season);
    }
}

static void replay_years(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng) {
    wg_years_draw(weather, climate, rng);
    for (int i = 0; i < weather->n_days; i++)
        weather->anomaly_c[i] = anomaly_c(weather, climate, i, wg_season_index(weather->first_day + i));
}

static void set_constant(struct wg_weather *weather, double temp_c) {
    for (int i = 0; i < weather->n_days; i++) {
        weather->high_c[i] = weather->low_c[i] = temp_c;
        weather->anomaly_c[i] = 0.0;
    }
}

void wg_weather_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng) {
    switch (climate->spec.kind) {
    case WG_CLIMATE_CONSTANT:
        set_constant(weather, climate->spec.constant_c);
        break;
    case WG_CLIMATE_NORMALS:
    case WG_CLIMATE_FITTED:
        generate(weather, climate, rng);
        break;
    case WG_CLIMATE_YEARS:
        replay_years(weather, climate, rng);
        break;
    }
}
