/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is the temperature of each hour of a day with a given low and high?
 *
 *   day    T = low + (high - low) sin(pi (t - t_min) / (Y - 2c + 2a)),   t_min = sunrise + c,  Y day length
 *   night  T = [low' - Ts e^-b + (Ts - low') e^(-b n/Z)] / (1 - e^-b),   n hours after sunset, Z to the next minimum
 *            = low' + (Ts - low') w,   w = (e^(-b n/Z) - e^-b) / (1 - e^-b)
 *
 * Ts is the temperature at sunset, low' the next low, which the night reaches exactly, so the curve is continuous.
 * Sources: Parton & Logan 1981, Agric. Meteorol. 23:205 (a, b: air at 1.5 m); the night normalised as in
 * Goudriaan & van Laar 1994, Modelling Potential Crop Growth Processes (MEMORY). The authors' c is -0.17 h;
 * 1 h was fitted to the hourly normals of Seattle and San Francisco (NOAA 1981-2010) and removes most of the bias.
 */
#include "base/elementary.h"
#include "climate/climate.h"

#include <math.h>

#define PI 3.14159265358979323846
#define TOP_AFTER_NOON_H 1.86
#define NIGHT_DECAY 2.20
#define LOW_AFTER_SUNRISE_H 1.0

static double day_weight(double after_low_h, double day_length_h) {
    return wg_sin(PI * after_low_h / (day_length_h - 2.0 * LOW_AFTER_SUNRISE_H + 2.0 * TOP_AFTER_NOON_H));
}

/* end: exp(-NIGHT_DECAY) */
static double night_weight(double after_sunset_h, double night_h, double end) {
    return (wg_exp(-NIGHT_DECAY * after_sunset_h / night_h) - end) / (1.0 - end);
}

void wg_day_shape_set(struct wg_day_shape *shape, double day_length_h, double before_h, double after_h) {
    const double low_at = 12.0 - day_length_h / 2.0 + LOW_AFTER_SUNRISE_H, sunset = 12.0 + day_length_h / 2.0;
    const double sunset_before = before_h / 2.0 - 12.0, low_after = 36.0 - after_h / 2.0 + LOW_AFTER_SUNRISE_H;
    *shape = (struct wg_day_shape){
        .first = (int)ceil(low_at - 0.5),
        .last = (int)floor(sunset - 0.5),
        .sunset_weight = day_weight(sunset - low_at, day_length_h),
    };
    const double end = wg_exp(-NIGHT_DECAY);
    for (int h = 0; h < 24; h++) {
        const double t = h + 0.5;
        if (h < shape->first)
            shape->weight[h] = night_weight(t - sunset_before, low_at - sunset_before, end);
        else if (h <= shape->last)
            shape->weight[h] = day_weight(t - low_at, day_length_h);
        else
            shape->weight[h] = night_weight(t - sunset, low_after - sunset, end);
    }
}

static double sunset_c(const struct wg_weather *weather, int i, const struct wg_day_shape *shape) {
    return weather->low_c[i] + (weather->high_c[i] - weather->low_c[i]) * shape->sunset_weight;
}

/* at_0 + (at_1 - at_0) weight, for hours from..to - 1 */
static void blend(double air_c[24], int from, int to, double at_0_c, double at_1_c, const double weight[24]) {
    const double span_k = at_1_c - at_0_c;
    for (int h = from; h < to; h++)
        air_c[h] = at_0_c + span_k * weight[h];
}

void wg_hours_fill(const struct wg_climate *climate, const struct wg_weather *weather, int i, double air_c[24]) {
    const int season = wg_season_index(weather->first_day + i);
    const int before = wg_season_index(weather->first_day + i - 1); /* 28 and 29 February share an index */
    const struct wg_day_shape *const shape = &climate->shape[season];
    const double low_c = weather->low_c[i], high_c = weather->high_c[i], low_after_c = weather->low_c[i + 1];
    blend(air_c, 0, shape->first, low_c, sunset_c(weather, i - 1, &climate->shape[before]), shape->weight);
    blend(air_c, shape->first, shape->last + 1, low_c, high_c, shape->weight);
    blend(air_c, shape->last + 1, 24, low_after_c, sunset_c(weather, i, shape), shape->weight);
}
