/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What are the means, the standard deviations and the persistence of daily highs and lows in a record?
 *
 *   z = (value - curve)/spread,  M0 = mean of z(t) z(t)',  M1 = mean of z(t) z(t-1)'
 *
 * Standard deviations are about the daily curve, not the monthly mean, which would inflate them in spring and autumn:
 * James & Arguez 2015, J. Atmos. Oceanic Technol. The generator is fitted as in generator.c (Richardson 1981).
 */
#include "climate/climate.h"

#include <math.h>
#include <stdlib.h>

#define MIN_DAYS 365 /* every day of the year once: judgement; one year gives rough standard deviations */

void wg_weather_record_free(struct wg_weather_record *record) {
    free(record->low_c);
    free(record->high_c);
    *record = (struct wg_weather_record){0};
}

static int check_weather_record(const struct wg_weather_record *record, struct wg_error *err) {
    char text[24];
    if (record == NULL)
        return wg_fail(err, WG_ERR_INPUT, NULL, "this climate needs a weather record");
    if (record->n_days < MIN_DAYS)
        return wg_fail(err, WG_ERR_INPUT, NULL, "the weather record has %d days: it needs at least %d, a whole year",
                       record->n_days, MIN_DAYS);
    for (int i = 0; i < record->n_days; i++) {
        const double low_c = record->low_c[i], high_c = record->high_c[i];
        if (wg_is_air_temperature(low_c) && wg_is_air_temperature(high_c) && low_c <= high_c)
            continue;
        wg_day_format_long(record->first_day + i, text);
        return wg_fail(err, WG_ERR_INPUT, NULL, "the weather record has no sensible low and high on %s", text);
    }
    return 0;
}

static void find_means(double mean[12], const struct wg_weather_record *record, const double *value) {
    double sum[12] = {0};
    int n[12] = {0};
    for (int i = 0; i < record->n_days; i++) {
        const int m = wg_month_index(record->first_day + i);
        sum[m] += value[i];
        n[m]++;
    }
    for (int m = 0; m < 12; m++)
        mean[m] = sum[m] / n[m]; /* a whole year has days of every month */
}

static void find_spreads(double spread[12], const struct wg_weather_record *record, const double *value,
                         const double curve[365]) {
    double squares[12] = {0};
    int n[12] = {0};
    for (int i = 0; i < record->n_days; i++) {
        const int m = wg_month_index(record->first_day + i);
        const double off = value[i] - curve[wg_season_index(record->first_day + i)];
        squares[m] += off * off;
        n[m]++;
    }
    for (int m = 0; m < 12; m++)
        spread[m] = sqrt(squares[m] / n[m]); /* n, not n - 1: the curve preserves the monthly mean */
}

/* Fills the curves and the monthly means and standard deviations that they are drawn through. */
static void fit_curves(double curve[365], double spread[365], double mean[12], double sd[12],
                       const struct wg_weather_record *record, const double *value) {
    find_means(mean, record, value);
    wg_curve_through_means(curve, mean);
    find_spreads(sd, record, value, curve);
    wg_curve_of_spread(spread, sd);
}

/* The standardised anomalies of a day. */
static void find_z(double z[2], const struct wg_climate *climate, const struct wg_weather_record *record, int i) {
    const int season = wg_season_index(record->first_day + i);
    z[0] = (record->high_c[i] - climate->high_c[season]) / climate->high_sd_c[season];
    z[1] = (record->low_c[i] - climate->low_c[season]) / climate->low_sd_c[season];
}

struct climate_moments {
    double mean[2], sd[2];
};

static struct climate_moments find_moments(const struct wg_climate *climate, const struct wg_weather_record *record) {
    double sum[2] = {0}, squares[2] = {0};
    struct climate_moments found;
    for (int i = 0; i < record->n_days; i++) {
        double z[2];
        find_z(z, climate, record, i);
        for (int v = 0; v < 2; v++) {
            sum[v] += z[v];
            squares[v] += z[v] * z[v];
        }
    }
    for (int v = 0; v < 2; v++) {
        found.mean[v] = sum[v] / record->n_days;
        found.sd[v] = sqrt(fmax(0.0, squares[v] / record->n_days - found.mean[v] * found.mean[v]));
    }
    return found;
}

/* Of the standardised anomalies: real weather has about 1, a record that varies by 0.02 K less. Judgement. */
#define MIN_SD 0.05

struct record_correlations {
    double cross, m1[2][2];
};

/* Returns 0, or -1 if highs or lows do not vary. */
static int find_correlations(struct record_correlations *found, const struct wg_climate *climate,
                             const struct wg_weather_record *record) {
    const struct climate_moments moments = find_moments(climate, record);
    double before[2] = {0};
    *found = (struct record_correlations){0};
    if (!(moments.sd[0] > MIN_SD && moments.sd[1] > MIN_SD))
        return -1;
    for (int i = 0; i < record->n_days; i++) {
        double z[2];
        find_z(z, climate, record, i);
        for (int v = 0; v < 2; v++)
            z[v] = (z[v] - moments.mean[v]) / moments.sd[v];
        found->cross += z[0] * z[1] / record->n_days;
        for (int v = 0; v < 2; v++)
            for (int w = 0; w < 2; w++)
                found->m1[v][w] += z[v] * before[w] / (record->n_days - 1); /* the first day adds nothing */
        before[0] = z[0];
        before[1] = z[1];
    }
    return 0;
}

/* Returns 0, or -1 if highs or lows do not vary, or have correlations that no process has. */
static int fit_generator(struct wg_climate *climate, const struct wg_weather_record *record) {
    struct record_correlations found;
    if (find_correlations(&found, climate, record) < 0)
        return -1;
    return wg_generator_set_fast(&climate->generator, found.cross, (const double(*)[2])found.m1);
}

static void fit_record_curves(struct wg_climate *climate, struct wg_record_normals *normals,
                              const struct wg_weather_record *record) {
    fit_curves(climate->high_c, climate->high_sd_c, normals->high_c, normals->high_sd_c, record, record->high_c);
    fit_curves(climate->low_c, climate->low_sd_c, normals->low_c, normals->low_sd_c, record, record->low_c);
}

int wg_weather_record_normals(struct wg_record_normals *normals, const struct wg_weather_record *record,
                              struct wg_error *err) {
    struct record_correlations found;
    double m1[2][2];
    *normals = (struct wg_record_normals){0};
    const int code = check_weather_record(record, err);
    if (code < 0)
        return code;
    struct wg_climate *const climate = calloc(1, sizeof *climate);
    if (climate == NULL)
        return wg_no_memory(err, NULL);
    fit_record_curves(climate, normals, record);
    (void)find_correlations(&found, climate, record);
    free(climate);
    normals->cross = found.cross;
    normals->high_lag1 = found.m1[0][0];
    normals->low_lag1 = found.m1[1][1];
    wg_generator_default_correlations(&normals->usual_cross, m1);
    normals->usual_high_lag1 = m1[0][0];
    normals->usual_low_lag1 = m1[1][1];
    return 0;
}

int wg_weather_record_fit(struct wg_climate *climate, const struct wg_weather_record *record, struct wg_error *err) {
    const int code = check_weather_record(record, err);
    if (code < 0)
        return code;
    struct wg_record_normals normals;
    fit_record_curves(climate, &normals, record);
    /* Replayed years need no generator. */
    if (fit_generator(climate, record) < 0 && climate->spec.kind == WG_CLIMATE_FITTED)
        return wg_fail(
            err, WG_ERR_INPUT, NULL,
            "the weather record does not vary like real weather, so none can be generated from it; replay its years "
            "(a typical year made of several has none: take another file)");
    return 0;
}
