/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The daily generator: its matrices against the published ones, its moments against their closed form, a reference
 * stream number by number, and long runs against their input. False-alarm rate: 1e-6 a check, about 100 checks.
 */
#include "climate/climate.h"
#include "climate/seattle.h"

#include <math.h>
#include <string.h>

/* ---- published matrices ---- */

/*
 * Richardson & Wright 1984 (USDA ARS-8) give A and B for high, low and radiation, as five open programs quote them.
 * Their moments: the covariance M0 solves M0 = A M0 A' + B B'; then M1 = A M0.
 */
static void published_moments(double m0[3][3], double m1[3][3]) {
    static const double a[3][3] = {{.567, .086, -.002}, {.253, .504, -.050}, {-.006, -.039, .244}};
    static const double b[3][3] = {{.781, 0, 0}, {.328, .637, 0}, {.238, -.341, .873}};
    double next[3][3];
    for (int i = 0; i < 9; i++)
        m0[i / 3][i % 3] = 0.0;
    for (int turn = 0; turn < 500; turn++) {
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                next[i][j] = 0.0;
                for (int k = 0; k < 3; k++) {
                    next[i][j] += b[i][k] * b[j][k];
                    for (int l = 0; l < 3; l++)
                        next[i][j] += a[i][k] * m0[k][l] * a[j][l];
                }
            }
        memcpy(m0, next, sizeof next);
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            m1[i][j] = 0.0;
            for (int k = 0; k < 3; k++)
                m1[i][j] += a[i][k] * m0[k][j];
        }
}

/* The same for our two variables. */
static void own_moments(const struct wg_generator *generator, double m0[2][2], double m1[2][2]) {
    const double(*a)[2] = generator->a, (*b)[2] = generator->b;
    memset(m0, 0, 4 * sizeof(double));
    for (int turn = 0; turn < 500; turn++) {
        double next[2][2] = {{0}};
        for (int i = 0; i < 2; i++)
            for (int j = 0; j < 2; j++)
                for (int k = 0; k < 2; k++) {
                    next[i][j] += b[i][k] * b[j][k];
                    for (int l = 0; l < 2; l++)
                        next[i][j] += a[i][k] * m0[k][l] * a[j][l];
                }
        memcpy(m0, next, sizeof next);
    }
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            m1[i][j] = a[i][0] * m0[0][j] + a[i][1] * m0[1][j];
}

Test(generator, default_has_the_persistence_of_31_sites) {
    struct wg_generator generator;
    double m0[2][2], m1[2][2], theirs0[3][3], theirs1[3][3];
    wg_generator_default(&generator);
    own_moments(&generator, m0, m1);
    published_moments(theirs0, theirs1);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) { /* 0.003: twelve numbers of three digits enter each */
            cr_expect_float_eq(m0[i][j], theirs0[i][j], 3e-3, "M0 %d %d: %.4f %.4f", i, j, m0[i][j], theirs0[i][j]);
            cr_expect_float_eq(m1[i][j], theirs1[i][j], 3e-3, "M1 %d %d: %.4f %.4f", i, j, m1[i][j], theirs1[i][j]);
        }
}

Test(generator, gives_back_the_moments_it_was_made_of) {
    const double m1[2][2] = {{0.66, 0.39}, {0.57, 0.69}};
    struct wg_generator generator;
    double found0[2][2], found1[2][2];
    cr_assert_eq(wg_generator_set(&generator, 0.55, m1), 0);
    own_moments(&generator, found0, found1);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) {
            cr_expect_float_eq(found0[i][j], i == j ? 1.0 : 0.55, 1e-12);
            cr_expect_float_eq(found1[i][j], m1[i][j], 1e-12);
        }
    cr_expect_float_eq(generator.b[0][1], 0.0, 0.0);
}

Test(generator, refuses_impossible_moments) {
    const double mild[2][2] = {{0.5, 0.5}, {0.5, 0.5}}, sure[2][2] = {{1, 0}, {0, 1}},
                 wild[2][2] = {{0.9, -0.9}, {0, 0.9}};
    const double none[2][2] = {{NAN, 0}, {0, 0}};
    struct wg_generator generator;
    cr_expect_eq(wg_generator_set(&generator, 1.0, mild), -1);
    cr_expect_eq(wg_generator_set(&generator, -1.0, mild), -1);
    cr_expect_eq(wg_generator_set(&generator, 0.0, sure), -1);
    cr_expect_eq(wg_generator_set(&generator, 0.6, wild), -1);
    cr_expect_eq(wg_generator_set(&generator, 0.6, none), -1);
    cr_expect_eq(wg_generator_set(&generator, NAN, mild), -1);
    cr_expect_eq(wg_generator_set(&generator, 0.6, mild), 0);
}

/* ---- a reference stream ---- */

/* splitmix64 (Steele, Lea & Flood 2014) and Box & Muller 1958: cosine first, the sine kept. */
struct reference_stream {
    uint64_t state;
    bool has_kept;
    double kept;
};

static uint64_t reference_bits(struct reference_stream *stream) {
    uint64_t z = stream->state += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

static double reference_uniform(struct reference_stream *stream) {
    return ((double)(reference_bits(stream) >> 11) + 0.5) / 9007199254740992.0;
}

static double reference_normal(struct reference_stream *stream) {
    if (stream->has_kept) {
        stream->has_kept = false;
        return stream->kept;
    }
    const double radius = sqrt(-2.0 * log(reference_uniform(stream)));
    const double angle = 2.0 * 3.14159265358979323846 * reference_uniform(stream);
    stream->kept = radius * sin(angle);
    stream->has_kept = true;
    return radius * cos(angle);
}

Test(generator, reference_stream_day_by_day) {
    /* All numbers from an independent program of the same equations, seed 42. */
    struct reference_stream stream = {.state = 42};
    cr_assert_eq(reference_bits(&stream), UINT64_C(13679457532755275413));
    stream = (struct reference_stream){.state = 42};
    const double normal[] = {0.414719750432, 0.652681222152, -0.891886213628, 1.326833562814};
    for (int i = 0; i < 4; i++) {
        const double drawn = reference_normal(&stream);
        cr_assert_float_eq(drawn, normal[i], 1e-12);
    }

    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *climate = made(&spec, day_of(2027, 1, 1), day_of(2027, 12, 31));
    wg_generator_default(&climate->generator); /* that program has no slow component */
    const double a[2][2] = {{0.566175, 0.086611}, {0.227525, 0.529977}};
    const double b[2][2] = {{0.780937, 0.0}, {0.327641, 0.638240}};
    for (int i = 0; i < 4; i++) {
        cr_expect_float_eq(climate->generator.a[i / 2][i % 2], a[i / 2][i % 2], 5e-7);
        cr_expect_float_eq(climate->generator.b[i / 2][i % 2], b[i / 2][i % 2], 5e-7);
    }
    const double low_c[] = {3.780694, 8.293727, 13.921590}, high_c[] = {19.736280, 23.542695, 26.318291};
    stream = (struct reference_stream){.state = 42};
    double z[2] = {0.0, 0.0};
    for (int day = -60; day < 3; day++) {
        double e[2], high, low;
        e[0] = reference_normal(&stream);
        e[1] = reference_normal(&stream);
        wg_generator_step(&climate->generator, z, e);
        if (day < 0)
            continue;
        wg_generator_day(climate, day, z, &high, &low);
        cr_expect_float_eq(low, low_c[day], 5e-7, "%.7f", low);
        cr_expect_float_eq(high, high_c[day], 5e-7, "%.7f", high);
    }
    wg_climate_free(climate);
}

Test(generator, holds_extremes_and_keeps_a_range) {
    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *climate = made(&spec, day_of(2027, 1, 1), day_of(2027, 12, 31));
    double high_c, low_c, other_high_c, other_low_c;
    wg_generator_day(climate, 190, (const double[]){9.0, -9.0}, &high_c, &low_c);
    wg_generator_day(climate, 190, (const double[]){3.0, -3.0}, &other_high_c, &other_low_c);
    cr_expect_float_eq(high_c, other_high_c, 0.0);
    cr_expect_float_eq(low_c, other_low_c, 0.0);
    cr_expect_float_eq(high_c, climate->high_c[190] + 3.0 * climate->high_sd_c[190], 1e-12);
    wg_generator_day(climate, 10, (const double[]){-3.0, 3.0}, &high_c, &low_c);
    cr_expect_float_eq(high_c - low_c, 1.0, 1e-12);
    cr_expect_float_eq(
        high_c + low_c,
        climate->high_c[10] + climate->low_c[10] - 3.0 * climate->high_sd_c[10] + 3.0 * climate->low_sd_c[10], 1e-12);
    wg_climate_free(climate);
}

/* ---- two thousand years ---- */

static struct wg_climate *climate;
static struct wg_weather weather;

static void long_run(void) {
    const struct wg_climate_spec spec = warm_place();
    climate = made(&spec, day_of(2001, 1, 1), day_of(4000, 12, 31));
    weather = room_for(climate);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 2026, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
    gsl_rng_free(rng);
}
static void no_more(void) {
    wg_weather_free(&weather);
    wg_climate_free(climate);
}
TestSuite(long_run, .init = long_run, .fini = no_more, .timeout = 60);

/* Variance of the mean of n z's times n, for large n: the sum of all lagged covariances. Short months have less. */
static void long_variance(double out[2][2]) {
    double m0[2][2], m1[2][2], power[2][2];
    own_moments(&climate->generator, m0, m1);
    memcpy(out, m0, sizeof m0);
    memcpy(power, m0, sizeof m0);
    for (int lag = 1; lag < 300; lag++) {
        double next[2][2];
        for (int i = 0; i < 2; i++)
            for (int j = 0; j < 2; j++)
                next[i][j] = climate->generator.a[i][0] * power[0][j] + climate->generator.a[i][1] * power[1][j];
        memcpy(power, next, sizeof next);
        for (int i = 0; i < 2; i++)
            for (int j = 0; j < 2; j++)
                out[i][j] += power[i][j] + power[j][i];
    }
}

Test(long_run, gives_back_the_monthly_means) {
    const struct wg_climate_spec spec = warm_place();
    double sum[12][2] = {{0}}, variance[2][2];
    int n[12] = {0};
    for (int i = WG_WEATHER_LEAD_DAYS; i + 1 < weather.n_days; i++) {
        const struct wg_date date = wg_date_from_day(weather.first_day + i);
        if (date.month == 2 && date.day == 29)
            continue; /* the means are those of a common year */
        sum[date.month - 1][0] += weather.high_c[i];
        sum[date.month - 1][1] += weather.low_c[i];
        n[date.month - 1]++;
    }
    long_variance(variance);
    for (int m = 0; m < 12; m++) {
        const double high_c = sum[m][0] / n[m], low_c = sum[m][1] / n[m];
        /* the curve of the standard deviation is slightly above the root mean square of its month: 2 % */
        const double high_se = 1.02 * spec.high_sd_c[m] * sqrt(variance[0][0] / n[m]);
        const double low_se = 1.02 * spec.low_sd_c[m] * sqrt(variance[1][1] / n[m]);
        /* Widening the range of a day to 1 K raises the high and lowers the low equally: by up to 0.03 K on average. */
        cr_expect_float_eq(high_c, spec.high_c[m], SIGMAS * high_se + 0.03, "month %d: high %.3f", m + 1, high_c);
        cr_expect_float_eq(low_c, spec.low_c[m], SIGMAS * low_se + 0.03, "month %d: low %.3f", m + 1, low_c);
        cr_expect_float_eq(high_c + low_c, spec.high_c[m] + spec.low_c[m], SIGMAS * (high_se + low_se), "month %d",
                           m + 1);
    }
}

Test(long_run, gives_back_spread_and_persistence) {
    double squares[2] = {0}, cross = 0.0, lag[2][2] = {{0}}, before[2] = {0}, widened = 0.0;
    const int n = weather.n_days;
    for (int i = 0; i < n; i++) {
        const int season = wg_season_index(weather.first_day + i);
        const double z[2] = {(weather.high_c[i] - climate->high_c[season]) / climate->high_sd_c[season],
                             (weather.low_c[i] - climate->low_c[season]) / climate->low_sd_c[season]};
        for (int v = 0; v < 2; v++) {
            squares[v] += z[v] * z[v] / n;
            for (int w = 0; w < 2; w++)
                lag[v][w] += z[v] * before[w] / n;
        }
        cross += z[0] * z[1] / n;
        widened += (weather.high_c[i] - weather.low_c[i] < 1.0 + 1e-9) / (double)n;
        before[0] = z[0];
        before[1] = z[1];
        cr_assert(weather.high_c[i] - weather.low_c[i] > 1.0 - 1e-9);
    }
    /*
     * 730,000 days: standard errors of 0.001 to 0.002. Clamping z to 3 costs 0.5 % of the variance (normal
     * distribution: 1 - 0.9946), the widened days about as much of the correlations: 0.01 for all.
     */
    cr_expect_float_eq(squares[0], 0.995, 0.01, "%.4f", squares[0]);
    cr_expect_float_eq(squares[1], 0.995, 0.01, "%.4f", squares[1]);
    cr_expect_float_eq(cross, 0.633, 0.01, "%.4f", cross);
    cr_expect_float_eq(lag[0][0], 0.621, 0.01, "%.4f", lag[0][0]);
    cr_expect_float_eq(lag[1][1], 0.674, 0.01, "%.4f", lag[1][1]);
    cr_expect_float_eq(lag[0][1], 0.445, 0.01, "%.4f", lag[0][1]);
    cr_expect_float_eq(lag[1][0], 0.563, 0.01, "%.4f", lag[1][0]);
    cr_expect_lt(widened, 0.03);
}

Test(long_run, anomaly_is_the_mean_less_one_wave) {
    /* The harmonic by least squares on the mean days: mean and first Fourier term. */
    const double year = 2.0 * 3.14159265358979323846 / 365.0;
    double mean = 0.0, a = 0.0, b = 0.0, sum = 0.0;
    for (int d = 0; d < 365; d++) {
        const double usual_c = (climate->high_c[d] + climate->low_c[d]) / 2.0;
        mean += usual_c / 365.0;
        a += usual_c * cos(year * (d + 0.5)) * 2.0 / 365.0;
        b += usual_c * sin(year * (d + 0.5)) * 2.0 / 365.0;
    }
    for (int i = 0; i < weather.n_days; i++) {
        const double t = year * (wg_season_index(weather.first_day + i) + 0.5);
        cr_assert_float_eq(weather.anomaly_c[i] + mean + a * cos(t) + b * sin(t),
                           (weather.high_c[i] + weather.low_c[i]) / 2.0, 1e-11);
        sum += weather.anomaly_c[i];
    }
    cr_expect_lt(fabs(sum / weather.n_days), 0.05);
}

Test(long_run, starts_as_it_goes_on) {
    /* The first day kept must have the same variance as any other: 4,000 short draws. */
    const struct wg_climate_spec spec = warm_place();
    const int32_t day = day_of(2027, 6, 1);
    struct wg_climate *small = made(&spec, day, day);
    struct wg_weather short_weather = room_for(small);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    const int season = wg_season_index(short_weather.first_day), n = 4000;
    double squares = 0.0, cross = 0.0;
    for (int r = 0; r < n; r++) {
        wg_rng_start(rng, 77, (uint64_t)r, WG_PURPOSE_WEATHER);
        wg_weather_draw(&short_weather, small, rng);
        const double high = (short_weather.high_c[0] - small->high_c[season]) / small->high_sd_c[season];
        const double low = (short_weather.low_c[0] - small->low_c[season]) / small->low_sd_c[season];
        squares += (high * high + low * low) / 2.0 / n;
        cross += high * low / n;
    }
    /*
     * Variance of half the sum of two squared normals with correlation 0.633: 1 + 0.633^2, over n; 0.02 for the
     * clamping.
     */
    cr_expect_float_eq(squares, 0.995, SIGMAS * sqrt((1.0 + 0.633 * 0.633) / n) + 0.02, "%.4f", squares);
    cr_expect_float_eq(cross, 0.633, SIGMAS * sqrt((1.0 + 0.633 * 0.633) / n) + 0.02, "%.4f", cross);
    gsl_rng_free(rng);
    wg_weather_free(&short_weather);
    wg_climate_free(small);
}

Test(replicates, give_back_the_monthly_means) {
    /* 400 winters as a forecast draws them, each from its own stream; the tolerance comes from their own scatter. */
    enum { REPLICATES = 400 };
    const struct wg_climate_spec spec = warm_place();
    struct wg_climate *one_year = made(&spec, day_of(2026, 9, 15), day_of(2027, 9, 14)); /* no 29 February */
    struct wg_weather drawn = room_for(one_year);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    double sum[12] = {0}, squares[12] = {0};
    for (uint64_t r = 0; r < REPLICATES; r++) {
        double month_c[12] = {0};
        wg_rng_start(rng, 31, r, WG_PURPOSE_WEATHER);
        wg_weather_draw(&drawn, one_year, rng);
        for (int32_t day = day_of(2026, 9, 15); day <= day_of(2027, 9, 14); day++) {
            const int32_t i = day - drawn.first_day;
            const int m = wg_month_index(day);
            month_c[m] += (drawn.low_c[i] + drawn.high_c[i]) / 2.0 / wg_month_length(2027, m + 1);
        }
        for (int m = 0; m < 12; m++) {
            sum[m] += month_c[m] / REPLICATES;
            squares[m] += month_c[m] * month_c[m] / REPLICATES;
        }
    }
    for (int m = 0; m < 12; m++) {
        const double error_k = sqrt((squares[m] - sum[m] * sum[m]) / (REPLICATES - 1));
        cr_expect_float_eq(sum[m], (spec.high_c[m] + spec.low_c[m]) / 2.0, SIGMAS * error_k,
                           "month %d: %.3f, s.e. %.3f", m + 1, sum[m], error_k);
        cr_expect(error_k > 0.02 && error_k < 0.2, "month %d: %.3f", m + 1, error_k); /* replicates differ */
    }
    gsl_rng_free(rng);
    wg_weather_free(&drawn);
    wg_climate_free(one_year);
}
