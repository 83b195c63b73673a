/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A record and what is fitted to it: Seattle's measured standard deviations and persistence, known parameters
 * recovered, and generated winters beside the real ones. False-alarm rate: 1e-6 a check, about 100 checks.
 */
#include "climate/climate.h"
#include "climate/seattle.h"

#include <math.h>
#include <string.h>

static struct wg_climate_spec fitted_to(const struct wg_weather_record *record) {
    return (struct wg_climate_spec){
        .kind = WG_CLIMATE_FITTED, .latitude_deg = SEATTLE_LATITUDE_DEG, .sun_coefficient = 0.16, .record = record};
}

/* ---- Seattle ---- */

static struct wg_weather_record seattle;
static struct wg_climate *climate;

static void fit_seattle(void) {
    seattle = seattle_record();
    const struct wg_climate_spec spec = fitted_to(&seattle);
    climate = made(&spec, day_of(2001, 1, 1), day_of(2500, 12, 31));
}
static void no_more(void) {
    wg_climate_free(climate);
    wg_weather_record_free(&seattle);
}
TestSuite(seattle, .init = fit_seattle, .fini = no_more, .timeout = 60);

Test(seattle, curves_keep_the_measured_means) {
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    for (int m = 0, first = 0; m < 12; first += days[m++]) {
        double high_c = 0.0, low_c = 0.0, curve_high_c = 0.0, curve_low_c = 0.0;
        int n = 0;
        for (int i = 0; i < seattle.n_days; i++)
            if (wg_date_from_day(seattle.first_day + i).month == m + 1) {
                high_c += seattle.high_c[i];
                low_c += seattle.low_c[i];
                n++;
            }
        for (int d = first; d < first + days[m]; d++) {
            curve_high_c += climate->high_c[d];
            curve_low_c += climate->low_c[d];
        }
        cr_expect_float_eq(curve_high_c / days[m], high_c / n, 1e-9);
        cr_expect_float_eq(curve_low_c / days[m], low_c / n, 1e-9);
    }
}

Test(seattle, spread_and_persistence_as_measured) {
    /*
     * By an independent program on the same record; months 1, 4, 7, 10 within a tenth, as the curve is not a monthly
     * mean.
     */
    const double high_sd_c[] = {3.3, 3.4, 4.4, 2.9}, low_sd_c[] = {3.4, 1.9, 1.9, 2.5};
    const int middle[] = {15, 105, 196, 288};
    for (int i = 0; i < 4; i++) {
        cr_expect_float_eq(climate->high_sd_c[middle[i]], high_sd_c[i], 0.2, "%.3f", climate->high_sd_c[middle[i]]);
        cr_expect_float_eq(climate->low_sd_c[middle[i]], low_sd_c[i], 0.2, "%.3f", climate->low_sd_c[middle[i]]);
    }
    /*
     * The fast component's M1 = A M0, M0 = (1 r; r 1); with the slow component's share s of variance it is the
     * record's.
     */
    const double s = WG_SLOW_SHARE * WG_SLOW_SHARE, slow = s * WG_SLOW_AUTOCORRELATION;
    const double r = (0.552 - s) / (1.0 - s), (*a)[2] = climate->generator.a;
    cr_expect_float_eq((1.0 - s) * (a[0][0] + a[0][1] * r) + slow, 0.661, 2e-3);
    cr_expect_float_eq((1.0 - s) * (a[0][0] * r + a[0][1]) + slow, 0.389, 2e-3);
    cr_expect_float_eq((1.0 - s) * (a[1][0] + a[1][1] * r) + slow, 0.570, 2e-3);
    cr_expect_float_eq((1.0 - s) * (a[1][0] * r + a[1][1]) + slow, 0.685, 2e-3);
}

/* The same record by the same independent program, as `new` prints it; the usual ones are those of generated weather. */
Test(seattle, normals_tell_persistence_as_measured) {
    struct wg_record_normals normals;
    struct wg_error err = {0};
    double usual_cross, usual[2][2];
    cr_assert_eq(wg_weather_record_normals(&normals, &seattle, &err), 0, "%s", err.text);
    cr_expect_float_eq(normals.cross, 0.552, 2e-3, "%.4f", normals.cross);
    cr_expect_float_eq(normals.high_lag1, 0.661, 2e-3, "%.4f", normals.high_lag1);
    cr_expect_float_eq(normals.low_lag1, 0.685, 2e-3, "%.4f", normals.low_lag1);
    wg_generator_default_correlations(&usual_cross, usual);
    cr_expect_eq(normals.usual_cross, usual_cross);
    cr_expect_eq(normals.usual_high_lag1, usual[0][0]);
    cr_expect_eq(normals.usual_low_lag1, usual[1][1]);
    for (int m = 0; m < 12; m += 3) {
        const double high_sd_c[] = {3.3, 3.4, 4.4, 2.9}, low_sd_c[] = {3.4, 1.9, 1.9, 2.5};
        cr_expect_float_eq(normals.high_sd_c[m], high_sd_c[m / 3], 0.2, "month %d: %.2f", m + 1, normals.high_sd_c[m]);
        cr_expect_float_eq(normals.low_sd_c[m], low_sd_c[m / 3], 0.2, "month %d: %.2f", m + 1, normals.low_sd_c[m]);
    }
}

/* Anomalies from a simple climatology of this test: linear interpolation between the months' midpoints. */
struct usual {
    double high_c[12], low_c[12];
};

static struct usual usual_of(int32_t first_day, int n, const double *high_c, const double *low_c) {
    struct usual found = {{0}, {0}};
    int days[12] = {0};
    for (int i = 0; i < n; i++) {
        const int m = wg_month_index(first_day + i);
        found.high_c[m] += high_c[i];
        found.low_c[m] += low_c[i];
        days[m]++;
    }
    for (int m = 0; m < 12; m++) {
        found.high_c[m] /= days[m];
        found.low_c[m] /= days[m];
    }
    return found;
}

static double on_the_line(const double month[12], int32_t day) {
    const double x = wg_season_index(day) / 365.0 * 12.0 + 11.5;
    const int m = (int)x;
    return month[m % 12] + (month[(m + 1) % 12] - month[m % 12]) * (x - m);
}

enum { LAGS = 8 };
struct persistence {
    double high[LAGS], low[LAGS], same_day, sd_c, week_sd_c, frosts_a_year;
};

/* Autocorrelation at lags 0..7, standard deviation of days and of weeks, and frosty nights a year. */
static struct persistence measure(int32_t first_day, int n, const double *high_c, const double *low_c) {
    const struct usual usual = usual_of(first_day, n, high_c, low_c);
    double *const high = malloc((size_t)n * sizeof *high), *const low = malloc((size_t)n * sizeof *low);
    struct persistence found = {.same_day = 0.0};
    double cross = 0.0, week = 0.0, weeks = 0.0;
    int frosts = 0;
    for (int i = 0; i < n; i++) {
        high[i] = high_c[i] - on_the_line(usual.high_c, first_day + i);
        low[i] = low_c[i] - on_the_line(usual.low_c, first_day + i);
        for (int lag = 0; lag < LAGS && lag <= i; lag++) {
            found.high[lag] += high[i] * high[i - lag];
            found.low[lag] += low[i] * low[i - lag];
        }
        cross += high[i] * low[i];
        week += (high[i] + low[i]) / 14.0;
        frosts += low_c[i] < 0.0;
        if (i % 7 == 6) {
            weeks += week * week;
            week = 0.0;
        }
    }
    found.same_day = cross / sqrt(found.high[0] * found.low[0]);
    found.sd_c = sqrt(found.high[0] / n);
    found.week_sd_c = sqrt(weeks / (n / 7));
    found.frosts_a_year = frosts * 365.25 / n;
    for (int lag = LAGS - 1; lag >= 0; lag--) {
        found.high[lag] /= found.high[0];
        found.low[lag] /= found.low[0];
    }
    free(high);
    free(low);
    return found;
}

Test(seattle, generated_weather_lasts_as_long_as_the_real) {
    struct wg_weather weather = room_for(climate);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 1, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
    const struct persistence real = measure(seattle.first_day, seattle.n_days, seattle.high_c, seattle.low_c);
    const struct persistence drawn = measure(weather.first_day, weather.n_days, weather.high_c, weather.low_c);
    /*
     * Four years determine a correlation within about 0.03 (Bartlett 1946: square root of 5/1461 for these), and the
     * first is fitted. A model with a memory of one day is allowed 0.13 at later lags: the largest error is 0.12, at
     * three days.
     */
    cr_expect_float_eq(drawn.high[1], real.high[1], 0.03, "%.3f, real %.3f", drawn.high[1], real.high[1]);
    cr_expect_float_eq(drawn.low[1], real.low[1], 0.03, "%.3f, real %.3f", drawn.low[1], real.low[1]);
    for (int lag = 2; lag < LAGS; lag++) {
        cr_expect_float_eq(drawn.high[lag], real.high[lag], 0.13, "%d: %.3f, real %.3f", lag, drawn.high[lag],
                           real.high[lag]);
        cr_expect_float_eq(drawn.low[lag], real.low[lag], 0.13, "%d: %.3f, real %.3f", lag, drawn.low[lag],
                           real.low[lag]);
    }
    cr_expect_float_eq(drawn.same_day, real.same_day, 0.03, "%.3f, real %.3f", drawn.same_day, real.same_day);
    cr_expect_float_eq(drawn.sd_c, real.sd_c, 0.1, "%.3f, real %.3f", drawn.sd_c, real.sd_c);
    /* What affects ground and larvae: whole weeks too warm or too cold. 10 %: 208 weeks determine it within 5 %. */
    cr_expect_float_eq(drawn.week_sd_c, real.week_sd_c, 0.1 * real.week_sd_c, "%.3f, real %.3f", drawn.week_sd_c,
                       real.week_sd_c);
    /* Frosty nights cluster: the mean of four winters is known within about 3. */
    cr_expect_float_eq(drawn.frosts_a_year, real.frosts_a_year, 6.0, "%.1f, real %.1f", drawn.frosts_a_year,
                       real.frosts_a_year);
    gsl_rng_free(rng);
    wg_weather_free(&weather);
}

/* Variability of blocks of days: the standard deviation of their means about the fitted curve. */
static double stray_of_blocks(int block, int32_t first_day, int n, const double *high_c, const double *low_c) {
    double squares = 0.0;
    for (int b = 0; b < n / block; b++) {
        double mean_k = 0.0;
        for (int i = b * block; i < (b + 1) * block; i++) {
            const int season = wg_season_index(first_day + i);
            mean_k += (high_c[i] - climate->high_c[season] + low_c[i] - climate->low_c[season]) / 2.0 / block;
        }
        squares += mean_k * mean_k / (n / block);
    }
    return sqrt(squares);
}

Test(seattle, generated_half_years_stray_as_the_real_do) {
    /*
     * A model with a memory of one day makes winters too similar (0.49 K here), as all such generators do (Wilks &
     * Wilby 1999, Prog. Phys. Geogr. 23:329, MEMORY); the slow component corrects it. The record has 8 half-years,
     * which determine their standard deviation within a quarter, and may contain a trend.
     */
    struct wg_weather weather = room_for(climate);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 2, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
    const double real_k = stray_of_blocks(182, seattle.first_day, seattle.n_days, seattle.high_c, seattle.low_c);
    const double drawn_k = stray_of_blocks(182, weather.first_day, weather.n_days, weather.high_c, weather.low_c);
    cr_expect_float_eq(real_k, 0.82, 0.02, "%.3f K", real_k);
    cr_expect(drawn_k > 0.75 * real_k && drawn_k < 1.25 * real_k, "%.3f K", drawn_k);
    gsl_rng_free(rng);
    wg_weather_free(&weather);
}

/* ---- known parameters ---- */

Test(record, known_weather_is_found_again) {
    /* 400 years of the warm site as a record: the fit must recover its parameters. */
    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *known = made(&spec, day_of(2001, 1, 1), day_of(2400, 12, 31));
    struct wg_weather weather = room_for(known);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 9, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, known, rng);
    const struct wg_weather_record record = {
        .first_day = weather.first_day, .n_days = weather.n_days, .low_c = weather.low_c, .high_c = weather.high_c};
    const struct wg_climate_spec again = fitted_to(&record);
    struct wg_climate *found = made(&again, day_of(2001, 1, 1), day_of(2001, 12, 31));
    for (int d = 0; d < 365; d++) {
        /*
         * 146,000 days; a monthly mean is known within 0.1 K and its standard deviation within 1 %; six harmonics may
         * add up
         */
        cr_assert_float_eq(found->high_c[d], known->high_c[d], 0.8, "day %d: %.3f", d, found->high_c[d]);
        cr_assert_float_eq(found->low_c[d], known->low_c[d], 0.8, "day %d: %.3f", d, found->low_c[d]);
        cr_assert_float_eq(found->high_sd_c[d] / known->high_sd_c[d], 1.0, 0.08, "day %d", d);
        cr_assert_float_eq(found->low_sd_c[d] / known->low_sd_c[d], 1.0, 0.08, "day %d", d);
    }
    for (int i = 0; i < 4; i++) { /* standard error about 0.003; clamping and widening have a small effect */
        cr_expect_float_eq(found->generator.a[i / 2][i % 2], known->generator.a[i / 2][i % 2], 0.02);
        cr_expect_float_eq(found->generator.b[i / 2][i % 2], known->generator.b[i / 2][i % 2], 0.02);
    }
    gsl_rng_free(rng);
    wg_climate_free(found);
    wg_weather_free(&weather);
    wg_climate_free(known);
}

/* ---- invalid records ---- */

static double low_c[800], high_c[800];

static void refuse(const struct wg_weather_record *record, enum wg_climate_kind kind, const char *words) {
    struct wg_climate_spec spec = fitted_to(record);
    struct wg_error err = {0};
    struct wg_climate *none;
    spec.kind = kind;
    cr_expect_eq(wg_climate_new(&none, &spec, day_of(2027, 1, 1), day_of(2027, 3, 1), &err), WG_ERR_INPUT);
    cr_expect_null(none);
    cr_expect_not_null(strstr(err.text, words), "%s", err.text);
}

Test(record, refuses_what_is_none) {
    struct wg_weather_record record = {
        .first_day = day_of(2020, 1, 1), .n_days = 800, .low_c = low_c, .high_c = high_c};
    for (int i = 0; i < 800; i++) {
        low_c[i] = sin(i * 0.7);
        high_c[i] = 10.0 + sin(i * 1.3);
    }
    refuse(NULL, WG_CLIMATE_FITTED, "needs a weather record");
    refuse(NULL, WG_CLIMATE_YEARS, "needs a weather record");
    record.n_days = 364;
    refuse(&record, WG_CLIMATE_FITTED, "has 364 days: it needs at least 365");
    refuse(&record, WG_CLIMATE_YEARS, "has 364 days: it needs at least 365");
    record.n_days = 800;
    high_c[59] = NAN;
    refuse(&record, WG_CLIMATE_YEARS, "no sensible low and high on 29 February 2020");
    high_c[59] = low_c[59] - 0.1;
    refuse(&record, WG_CLIMATE_FITTED, "no sensible low and high on 29 February 2020");
    high_c[59] = INFINITY;
    refuse(&record, WG_CLIMATE_FITTED, "no sensible low and high on 29 February 2020");
    high_c[59] = 100.1; /* tenths of a degree read as degrees */
    refuse(&record, WG_CLIMATE_FITTED, "no sensible low and high on 29 February 2020");
}

Test(record, refuses_to_generate_from_what_does_not_vary) {
    const struct wg_weather_record record = {
        .first_day = day_of(2020, 1, 1), .n_days = 800, .low_c = low_c, .high_c = high_c};
    for (int i = 0; i < 800; i++) {
        low_c[i] = 5.0;
        high_c[i] = 15.0;
    }
    refuse(&record, WG_CLIMATE_FITTED, "does not vary like real weather");
    for (int i = 0; i < 800; i++)
        high_c[i] = (low_c[i] = i % 7) + 10.0; /* the high determines the low */
    refuse(&record, WG_CLIMATE_FITTED, "does not vary like real weather");
    struct wg_climate_spec spec = fitted_to(&record);
    spec.kind = WG_CLIMATE_YEARS; /* but its years can be replayed */
    wg_climate_free(made(&spec, day_of(2027, 1, 1), day_of(2027, 12, 31)));
}

Test(record, free_is_safe_twice_and_on_nothing) {
    struct wg_weather_record record = {0};
    wg_weather_record_free(&record);
    record.low_c = malloc(sizeof(double));
    record.high_c = malloc(sizeof(double));
    wg_weather_record_free(&record);
    wg_weather_record_free(&record);
    cr_expect_null(record.low_c);
}
