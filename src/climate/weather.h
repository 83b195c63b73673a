/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The climate of a scenario and the daily weather drawn from it.
 *
 * Twelve monthly normals or a daily record -> daily low and high -> 24 hourly air
 * temperatures, radiation and vapour pressure (wg_sky).
 */
#ifndef WG_CLIMATE_WEATHER_H
#define WG_CLIMATE_WEATHER_H

#include "base/calendar.h"
#include "base/error.h"
#include "base/random.h"

#include <stdbool.h>
#include <stdint.h>

enum wg_climate_kind {
    WG_CLIMATE_CONSTANT, /* laboratory: no weather */
    WG_CLIMATE_NORMALS,  /* generated around monthly normals */
    WG_CLIMATE_YEARS,    /* real years of a record, replayed */
    WG_CLIMATE_FITTED    /* generated, fitted to a record */
};

/**
 * A daily record without gaps, low <= high every day, both within 100 degC of 0. Owns its arrays (malloc);
 * wg_weather_record_free(), safe on zeros.
 */
struct wg_weather_record {
    int32_t first_day;
    int32_t n_days;
    double *low_c, *high_c;
    bool is_unit_guessed; /* the file did not name the unit */
};
void wg_weather_record_free(struct wg_weather_record *record);

/** Monthly normals of a record, January first, and how its days depend on those before. */
struct wg_record_normals {
    double high_c[12], low_c[12], high_sd_c[12], low_sd_c[12]; /* as in struct wg_climate_spec */
    /* correlations of the high with the low of a day, of highs and of lows with those of the day before */
    double cross, high_lag1, low_lag1;
    double usual_cross, usual_high_lag1, usual_low_lag1; /* those of weather generated around normals */
};
/** Finds the normals of a record of at least a year. Returns 0, WG_ERR_INPUT or WG_ERR_MEMORY. */
int wg_weather_record_normals(struct wg_record_normals *normals, const struct wg_weather_record *record,
                              struct wg_error *err);

/**
 * The climate of a scenario. CONSTANT uses constant_c only. The record (NULL unless YEARS or FITTED) is borrowed and
 * must outlive the climate; it needs at least a whole year (365 days); ten give a better fit.
 */
struct wg_climate_spec {
    enum wg_climate_kind kind;
    double constant_c;            /* -100..100, as for all temperatures here */
    double latitude_deg;          /* -66..66: no polar night */
    double elevation_m;           /* -500..9000 */
    double sun_coefficient;       /* kRs of Hargreaves: 0.16 inland, 0.19 coast (Allen et al. 1998, FAO-56 eq. 50) */
    bool is_coast;                /* what the coefficient stands for, for people */
    double high_c[12], low_c[12]; /* NORMALS: monthly means, January first; high > low */
    const char *sketch;           /* the name of the sketch (sketch.h) that gave the normals; NULL: none */
    double high_sd_c[12], low_sd_c[12]; /* NORMALS: day-to-day standard deviation about the annual curve, 0..30 */
    const struct wg_weather_record *record;
};
/**
 * Copies a default table of day-to-day standard deviations: "humid subtropical", "continental", "marine", "tropical".
 * Returns 0, or -1 with the tables unchanged for any other name. January first, for the northern hemisphere: shift by
 * six months in the southern.
 */
int wg_climate_spread(const char *name, double high_sd_c[12], double low_sd_c[12]);

/** Checks all that wg_climate_new() rejects, except the days of a record. Returns 0 or WG_ERR_INPUT. */
int wg_climate_check(const struct wg_climate_spec *spec, int32_t first_day, int32_t last_day, struct wg_error *err);

/** The weather starts this many days before the first day (soil memory, spin-up). */
#define WG_WEATHER_LEAD_DAYS 150

/** A prepared climate: immutable after init, shared between threads. Fields are private to climate/. */
struct wg_climate;
/**
 * Prepares a climate for simulated days first_day..last_day, the years 2 to 9998. Rejects numbers out of range and a
 * record too short for the period, with dates (WG_ERR_INPUT); *climate is NULL after a failure. wg_climate_free(NULL)
 * is safe.
 *
 * NORMALS   Highs and lows about a smooth curve that preserves the monthly means (Epstein 1991, J. Climate 4:365), with
 *           the standard deviations given and the persistence of 31 sites in the United States (Richardson 1981, Water
 *           Resour. Res. 17:182; Richardson & Wright 1984), within 3 standard deviations and with a range of at least
 *           1 K. A slow component adds most of the variability of seasons: generator.c.
 * FITTED    The same, with means, standard deviations and persistence from the record.
 * YEARS     Each simulated year, counted from the period's first calendar day, replays one of the record's years that
 *           cover it completely, each equally likely, day by date (29 February repeats the 28th, or is skipped). Days
 *           before the period come from before the year drawn; where the record does not reach, they are the means of
 *           the season.
 */
int wg_climate_new(struct wg_climate **climate, const struct wg_climate_spec *spec, int32_t first_day, int32_t last_day,
                   struct wg_error *err);
void wg_climate_free(struct wg_climate *climate);
/** Checks the tables of a prepared climate: 0, or an error that names what is wrong (for tests, debuggers). */
int wg_climate_verify(const struct wg_climate *climate, struct wg_error *err);

/** One sequence of days, from first_day - WG_WEATHER_LEAD_DAYS to last_day + 1. Allocate once, draw often. */
struct wg_weather {
    int32_t first_day; /* of the arrays: period's first day - WG_WEATHER_LEAD_DAYS */
    int32_t n_days;
    double *low_c, *high_c; /* degC */
    double *anomaly_c;      /* (low + high)/2 minus the first annual harmonic, K */
};
/** On failure (out of memory) the weather is all zeros. wg_weather_free() is safe on zeros. */
int wg_weather_init(struct wg_weather *weather, const struct wg_climate *climate, struct wg_error *err);
void wg_weather_free(struct wg_weather *weather);
/** Draws the weather from the start of a stream of purpose WEATHER. CONSTANT uses no rng; it may be NULL. */
void wg_weather_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng);
/** Checks a drawn weather of that climate: 0, or WG_ERR_INTERNAL that names the day. */
int wg_weather_verify(const struct wg_weather *weather, const struct wg_climate *climate, struct wg_error *err);

/**
 * The weather of one day. Hours are solar hours: [h] covers h..h+1, the sun is highest at 12. A CONSTANT climate has a
 * day length of 12 hours without sun, no loss to the sky and 60 % relative humidity (judgement).
 */
struct wg_sky {
    int32_t day;
    double day_length_h;  /* sunrise to sunset, with refraction */
    double air_c[24];     /* mean of the hour (value at the half hour) */
    double sun_w_m2[24];  /* global horizontal radiation */
    double vapour_kpa;    /* vapour pressure: saturated at the low (FAO-56 eq. 48) */
    double sky_loss_w_m2; /* net long-wave loss of a surface at air temperature, daily mean */
    double mean_c;        /* of the 24 hours */
    double low_c, high_c;
    const double *anomaly_c; /* points at this day's anomaly: [0] today, [-k] k days before, at least 120 valid */
};
/**
 * Computes the weather of `day` (asserts first_day - 30 <= day <= last_day); takes about a microsecond. `weather` must
 * have been made for this climate; `sky` points into it. Temperature is continuous across midnight: the evening falls
 * towards the next day's low, so it can be colder than the day's own low (1 day in 7 in the warm south), and the early
 * hours after a warm evening can be warmer than the day's high (1 in 500). A day whose sun sets before 13:52 (beyond 64
 * degrees, in midwinter) does not reach its high.
 */
void wg_climate_sky(const struct wg_climate *climate, const struct wg_weather *weather, int32_t day,
                    struct wg_sky *sky);

/** The ground at one depth: prepared once per place. */
struct wg_soil {
    double season_c[365]; /* seasonal part at the depth, by season index */
    int n_weights;
    double weight[120];   /* of the anomalies, oldest day first, today last */
    double frost_damping; /* from the spec */
};
struct wg_soil_spec {
    double depth_m;                  /* of soil over the point, > 0 */
    double diffusivity_m2_day;       /* default 0.05 */
    double mulch_m;                  /* litter on top, >= 0: an equivalent depth of soil */
    double mulch_diffusivity_m2_day; /* default 0.012 */
    double frost_damping;            /* reduction of negative anomalies, 0..1, for freezing water and snow */
    double offset_k;                 /* annual mean ground minus air, default 1 */
};
/**
 * Prepares conduction from a surface at air temperature: the first annual harmonic (Kusuda & Achenbach 1965, ASHRAE
 * Trans. 71:61) and the anomalies of 120 days (Carslaw & Jaeger 1959). Snow and latent heat of freezing are neglected,
 * so frozen ground is too cold. A CONSTANT climate gives the constant. Returns WG_ERR_INPUT if a number is out of
 * range.
 */
int wg_soil_init(struct wg_soil *soil, const struct wg_climate *climate, const struct wg_soil_spec *spec,
                 struct wg_error *err);
/** Ground temperature at the end of the sky's day. */
double wg_soil_temp_c(const struct wg_soil *soil, const struct wg_sky *sky);

#endif
