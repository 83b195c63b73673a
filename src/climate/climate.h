/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A prepared climate and its parts (private to climate/).
 *
 * `season` is a season index, 0..364 (wg_season_index()). In pairs [0] is the
 * day's high, [1] its low.
 */
#ifndef WG_CLIMATE_CLIMATE_H
#define WG_CLIMATE_CLIMATE_H

#include "climate/weather.h"

#include <stdbool.h>

/** Diurnal shape at one time of year, so that an hour costs one multiplication and one addition. */
struct wg_day_shape {
    int first, last;   /* hours whose midpoint lies between the minimum and sunset */
    double weight[24]; /* first..last: of high - low; at night: of the sunset temperature, 1 - weight of the next low */
    double sunset_weight; /* of high - low, at sunset */
};

/** Daily weather as a vector autoregression: z(t) = a z(t-1) + b e(t). */
struct wg_generator {
    double a[2][2], b[2][2];
};

/** First annual harmonic: mean + cosine cos(2 pi t/365) + sine sin(2 pi t/365), t days from 1 January. */
struct wg_wave {
    double mean_c, cosine_c, sine_c;
};

struct wg_climate {
    struct wg_climate_spec spec;
    int32_t first_day, last_day;
    struct wg_generator generator;
    struct wg_wave wave; /* of (high + low)/2: the season of the ground and the reference of anomalies */
    /* by season */
    double high_c[365], low_c[365], high_sd_c[365], low_sd_c[365];
    double wave_c[365]; /* the wave at noon */
    double day_length_h[365];
    double above[365];         /* extraterrestrial radiation, MJ m-2 d-1 */
    double sun_share[365][24]; /* share of the day's radiation in each hour */
    struct wg_day_shape shape[365];
};

/** True for a plausible air temperature: beyond the world's records, -89 and 57 degC (WMO; MEMORY), and not NAN. */
static inline bool wg_is_air_temperature(double temp_c) {
    return temp_c >= -100.0 && temp_c <= 100.0;
}

/* ---- annual_curve.c ---- */

/** 365 daily values whose mean over every calendar month is month[m] to 1e-9. */
void wg_curve_through_means(double day[365], const double month[12]);
/** 365 daily values through twelve monthly standard deviations: smooth, not exactly preserved, never below 0.3 K. */
void wg_curve_of_spread(double day[365], const double month[12]);

/* ---- generator.c ---- */

/**
 * Fits the autoregression to the correlation of high with low (`cross`) and the lag-1 correlations
 * (m1[today][yesterday]). Returns 0, or -1 if no process has them (negative noise variance).
 */
int wg_generator_set(struct wg_generator *generator, double cross, const double m1[2][2]);
/** The slow component's share of the standard deviation and its lag-1 autocorrelation (exp(-1/90)): see generator.c. */
#define WG_SLOW_SHARE 0.25
#define WG_SLOW_AUTOCORRELATION 0.98895
/** Fits the fast component so that fast and slow components together have the given correlations. */
int wg_generator_set_fast(struct wg_generator *generator, double cross, const double m1[2][2]);
/** Returns the default correlations, for sites without a record. */
void wg_generator_default_correlations(double *cross, double m1[2][2]);
/** Sets the generator to them. */
void wg_generator_default(struct wg_generator *generator);
void wg_generator_default_fast(struct wg_generator *generator);
/** Advances z by one day; e[2] are standard normals. */
void wg_generator_step(const struct wg_generator *generator, double z[2], const double e[2]);
/** Converts standardised anomalies to degrees at a season; the high is at least 1 K above the low. */
void wg_generator_day(const struct wg_climate *climate, int season, const double z[2], double *high_c, double *low_c);

/* ---- weather_record.c ---- */

/** Checks the record, then fits the four curves and the generator to it. */
int wg_weather_record_fit(struct wg_climate *climate, const struct wg_weather_record *record, struct wg_error *err);

/* ---- record_years.c ---- */

/** Rejects a record that cannot be replayed over the whole period. */
int wg_years_check(const struct wg_climate *climate, struct wg_error *err);
/** Returns the calendar year of the record in which the first simulated year begins; draws as wg_years_draw(). */
int wg_years_replayed(const struct wg_climate *climate, gsl_rng *rng);
/** Fills the highs and lows with years of the record; draws one uniform number per simulated year. */
void wg_years_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng);

/* ---- hourly.c ---- */

/** Sets the shape of a day from its length and those of the days before and after. */
void wg_day_shape_set(struct wg_day_shape *shape, double day_length_h, double before_h, double after_h);
/** Fills the 24 hours of day i of the arrays (1 <= i < n_days - 1). */
void wg_hours_fill(const struct wg_climate *climate, const struct wg_weather *weather, int i, double air_c[24]);

/* ---- soil.c ---- */

/** Returns the first annual harmonic of daily means. */
struct wg_wave wg_wave_in(const double day_c[365]);
double wg_wave_at(const struct wg_wave *wave, double t);
/** Returns the wave at a depth: damped and delayed. */
struct wg_wave wg_wave_below(const struct wg_wave *wave, double depth_m, double diffusivity_m2_day);

#endif
