/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The ground against closed forms (propagation of a harmonic and of a step), against a finite-difference solution of
 * the heat equation under generated weather, and against published depths.
 */
#include "climate/climate.h"
#include "climate/seattle.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

static const struct wg_soil_spec usual = {
    .depth_m = 0.10, .diffusivity_m2_day = 0.05, .mulch_diffusivity_m2_day = 0.012, .offset_k = 1.0};

/* ---- the season ---- */

/* A surface with one harmonic, coldest on day t0. */
static void one_wave(double surface_c[365], double mean_c, double swing_c, double t0) {
    for (int d = 0; d < 365; d++)
        surface_c[d] = mean_c - swing_c * cos(2.0 * PI / 365.0 * (d + 0.5 - t0));
}

/* The season at a depth, at the end of every day. */
static void season_below(double season_c[365], const double surface_c[365], double depth_m, double diffusivity) {
    const struct wg_wave surface = wg_wave_in(surface_c), below = wg_wave_below(&surface, depth_m, diffusivity);
    for (int d = 0; d < 365; d++)
        season_c[d] = wg_wave_at(&below, d + 1);
}

static double swing_of(const double season_c[365]) {
    double most = season_c[0], least = season_c[0];
    for (int d = 1; d < 365; d++) {
        most = fmax(most, season_c[d]);
        least = fmin(least, season_c[d]);
    }
    return (most - least) / 2.0;
}

Test(season, is_kusuda_and_achenbach) {
    /* Their formula, 1965; and its value for day 200 at half a metre: 22.8729, from an independent program. */
    const double mean_c = 15.0, swing_c = 10.0, t0 = 20.0, diffusivity = 0.05;
    double surface_c[365], season_c[365];
    one_wave(surface_c, mean_c, swing_c, t0);
    for (double z = 0.05; z < 5.0; z *= 2.0) {
        season_below(season_c, surface_c, z, diffusivity);
        for (int d = 0; d < 365; d++) {
            const double delay = z / 2.0 * sqrt(365.0 / (PI * diffusivity));
            const double written_c = mean_c - swing_c * exp(-z * sqrt(PI / (365.0 * diffusivity))) *
                                                  cos(2.0 * PI / 365.0 * (d + 1 - t0 - delay));
            cr_assert_float_eq(season_c[d], written_c, 1e-10, "%.2f m, day %d", z, d);
        }
    }
    season_below(season_c, surface_c, 0.5, diffusivity);
    cr_expect_float_eq(season_c[199], 22.8729, 5e-5, "%.5f", season_c[199]);
}

Test(season, is_days_summed_up) {
    /*
     * The same harmonic as 3000 daily steps by the step response of a half-space: 22.875, for a surface that moves in
     * steps; within 0.01 K of Kusuda's. An independent derivation.
     */
    const double diffusivity = 0.05, z = 0.5, year = 2.0 * PI / 365.0;
    double sum_c = 15.0, before = 0.0, surface_c[365], season_c[365];
    for (int k = 1; k <= 3000; k++) {
        const double now = erfc(z / (2.0 * sqrt(diffusivity * k)));
        const double end = year * (200.0 - k + 1.0 - 20.0), begin = end - year;
        sum_c += (now - before) * -10.0 * (sin(end) - sin(begin)) / year; /* the daily mean of the harmonic */
        before = now;
    }
    one_wave(surface_c, 15.0, 10.0, 20.0);
    season_below(season_c, surface_c, z, diffusivity);
    cr_expect_float_eq(sum_c, 22.875, 5e-4, "%.5f", sum_c);
    cr_expect_float_eq(season_c[199], sum_c, 0.01);
}

Test(season, published_damping_depth) {
    /*
     * 1e-6 m2/s: the damping depth of the annual harmonic is 3.17 m (a published table, for 365.2422 days: 2 mm more)
     */
    double surface_c[365], season_c[365];
    one_wave(surface_c, 10.0, 8.0, 20.0);
    season_below(season_c, surface_c, 3.17, 1e-6 * 86400.0);
    cr_expect_float_eq(swing_of(season_c), 8.0 * exp(-1.0), 8.0 * 1e-3);
    /* At that depth the year is delayed by a radian, 58 days: midwinter on day 20 arrives on day 78. */
    int coldest = 0;
    for (int d = 1; d < 365; d++)
        if (season_c[d] < season_c[coldest])
            coldest = d;
    cr_expect(abs(coldest + 1 - 78) <= 1, "day %d", coldest + 1);
}

Test(season, share_of_the_swing_by_depth) {
    /* Closed form exp(-z/d), d = sqrt(0.05 x 365/pi) = 2.41 m */
    const double depth_m[] = {0.05, 0.10, 0.20, 0.50}, share[] = {0.98, 0.96, 0.92, 0.81};
    double surface_c[365], season_c[365];
    one_wave(surface_c, 10.0, 10.0, 20.0);
    for (int i = 0; i < 4; i++) {
        season_below(season_c, surface_c, depth_m[i], 0.05);
        cr_expect_float_eq(swing_of(season_c) / 10.0, share[i], 0.005);
    }
}

Test(season, seattle_and_its_first_wave) {
    /* First harmonic of the monthly means by an independent program: mean 12.3, amplitude 7.4 K, coldest on day 22. */
    struct wg_weather_record record = seattle_record();
    const struct wg_climate_spec spec = {
        .kind = WG_CLIMATE_FITTED, .latitude_deg = SEATTLE_LATITUDE_DEG, .sun_coefficient = 0.16, .record = &record};
    struct wg_climate *climate = made(&spec, day_of(2027, 1, 1), day_of(2027, 12, 31));
    const struct wg_wave *const wave = &climate->wave;
    const double swing_c = hypot(wave->cosine_c, wave->sine_c);
    const double coldest = atan2(-wave->sine_c, -wave->cosine_c) / (2.0 * PI) * 365.0;
    cr_expect_float_eq(wave->mean_c, 12.3, 0.05, "%.3f", wave->mean_c);
    cr_expect_float_eq(swing_c, 7.4, 0.1, "%.3f", swing_c); /* twelve months there, 365 days here */
    cr_expect_float_eq(coldest, 22.0, 2.0, "%.2f", coldest);
    wg_climate_free(climate);
    wg_weather_record_free(&record);
}

/* ---- the weather ---- */

Test(weights, are_a_step_going_down) {
    /* A surface warmer by 1 K from a day on: erfc(z / (2 sqrt(D t))). Values: Abramowitz & Stegun 1964, table 7.1 */
    const struct wg_climate_spec place = warm_place();
    struct wg_climate *climate = made(&place, day_of(2027, 1, 1), day_of(2027, 1, 2));
    struct wg_soil soil;
    struct wg_soil_spec spec = usual;
    struct wg_error err = {0};
    spec.depth_m = 1.0;
    spec.diffusivity_m2_day = 0.01;
    cr_assert_eq(wg_soil_init(&soil, climate, &spec, &err), 0);
    cr_assert_eq(soil.n_weights, 120);
    double sum = 0.0;
    for (int k = 0; k < 120; k++) {
        const double weight = soil.weight[119 - k]; /* today's is the last */
        cr_assert_geq(weight, 0.0);
        sum += weight;
        if (k + 1 == 25)
            cr_expect_float_eq(sum, 1.0 - 0.8427007929, 1e-9); /* erf(1) */
        if (k + 1 == 100)
            cr_expect_float_eq(sum, 1.0 - 0.5204998778, 1e-9); /* erf(0.5) */
    }
    wg_climate_free(climate);
}

/* The heat equation in layers of soil, finer near the top, by implicit steps of a quarter of an hour. */
enum { LAYERS = 300 };
struct column {
    double depth_m[LAYERS], temp_c[LAYERS];
};

static void start_column(struct column *column, double mean_c) {
    for (int i = 0; i < LAYERS; i++) {
        column->depth_m[i] = 0.01 * (i + 1) * (1.0 + i / 60.0); /* 1 cm below the surface to 18 m */
        column->temp_c[i] = mean_c;
    }
}

/* One backward Euler step; no heat flux at the bottom. */
static void step_column(struct column *column, double surface_c, double diffusivity, double dt_day) {
    double above[LAYERS], rest[LAYERS];
    for (int i = 0; i < LAYERS; i++) {
        const double z = column->depth_m[i], up = z - (i > 0 ? column->depth_m[i - 1] : 0.0);
        const double down = i < LAYERS - 1 ? column->depth_m[i + 1] - z : up;
        const double a = 2.0 * diffusivity * dt_day / (up * (up + down));
        const double c = i < LAYERS - 1 ? 2.0 * diffusivity * dt_day / (down * (up + down)) : 0.0;
        const double before = i > 0 ? above[i - 1] : 0.0;
        const double pivot = 1.0 + a + c - a * before;
        above[i] = c / pivot;
        rest[i] = (column->temp_c[i] + a * (i > 0 ? rest[i - 1] : surface_c)) / pivot;
    }
    for (int i = LAYERS - 1; i >= 0; i--)
        column->temp_c[i] = rest[i] + (i < LAYERS - 1 ? above[i] * column->temp_c[i + 1] : 0.0);
}

static double read_column(const struct column *column, double depth_m) {
    int i = 0;
    while (column->depth_m[i + 1] < depth_m)
        i++;
    const double share = (depth_m - column->depth_m[i]) / (column->depth_m[i + 1] - column->depth_m[i]);
    return column->temp_c[i] + share * (column->temp_c[i + 1] - column->temp_c[i]);
}

/* Surface temperature t days from noon: the climatological curve interpolated from noon to noon, plus `off_k`. */
static double surface_c(const double usual_c[365], int season, double t, double off_k) {
    const double other_c = usual_c[(season + (t < 0.0 ? 364 : 1)) % 365];
    return usual_c[season] + (other_c - usual_c[season]) * fabs(t) + off_k;
}

Test(ground, solves_the_heat_equation) {
    /*
     * Seattle, whose year is more than one harmonic: twenty mean years of spin-up, then five months and three years of
     * generated weather as the boundary condition, each day off the season by its mean anomaly.
     */
    struct wg_weather_record record = seattle_record();
    const struct wg_climate_spec place = {
        .kind = WG_CLIMATE_FITTED, .latitude_deg = SEATTLE_LATITUDE_DEG, .sun_coefficient = 0.16, .record = &record};
    struct wg_climate *climate = made(&place, day_of(2025, 1, 1), day_of(2027, 12, 31));
    struct wg_weather weather = room_for(climate);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 11, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
    gsl_rng_free(rng);
    const double depth_m[] = {0.05, 0.10, 0.20, 0.50};
    struct wg_soil soil[4];
    for (int j = 0; j < 4; j++) {
        struct wg_soil_spec spec = usual;
        struct wg_error err = {0};
        spec.depth_m = depth_m[j];
        spec.offset_k = 0.0;
        cr_assert_eq(wg_soil_init(&soil[j], climate, &spec, &err), 0);
    }
    double usual_c[365], squares[4] = {0}, worst[4] = {0};
    for (int d = 0; d < 365; d++)
        usual_c[d] = (climate->high_c[d] + climate->low_c[d]) / 2.0;
    static struct column column;
    start_column(&column, climate->wave.mean_c);
    int n = 0;
    for (int32_t day = weather.first_day - 7300; day <= day_of(2027, 12, 31); day++) {
        const int32_t i = day - weather.first_day;
        const int season = wg_season_index(day), steps = i < 0 ? 4 : 96;
        const double off_k = i < 0 ? 0.0 : (weather.low_c[i] + weather.high_c[i]) / 2.0 - usual_c[season];
        for (int s = 0; s < steps; s++)
            step_column(&column, surface_c(usual_c, season, (s + 0.5) / steps - 0.5, off_k), 0.05, 1.0 / steps);
        if (day < day_of(2025, 1, 1))
            continue;
        struct wg_sky sky;
        wg_climate_sky(climate, &weather, day, &sky);
        for (int j = 0; j < 4; j++) {
            const double miss_k = wg_soil_temp_c(&soil[j], &sky) - read_column(&column, depth_m[j]);
            squares[j] += miss_k * miss_k;
            worst[j] = fmax(worst[j], fabs(miss_k));
        }
        n++;
    }
    /*
     * Found at most 0.04 and 0.09. Anomalies older than 120 days are left out: a tenth of slow variations at half a
     * metre.
     */
    for (int j = 0; j < 4; j++) {
        const double rms_k = sqrt(squares[j] / n);
        cr_expect_lt(rms_k, 0.05, "%.2f m: rms %.4f K", depth_m[j], rms_k);
        cr_expect_lt(worst[j], 0.12, "%.2f m: worst %.4f K", depth_m[j], worst[j]);
    }
    wg_weather_free(&weather);
    wg_climate_free(climate);
    wg_weather_record_free(&record);
}

Test(ground, weather_fades_with_depth) {
    /* Deeper soil varies less, and later: true of every soil. */
    const struct wg_climate_spec place = warm_place();
    struct wg_climate *climate = made(&place, day_of(2027, 1, 1), day_of(2030, 12, 31));
    struct wg_weather weather = room_for(climate);
    gsl_rng *rng = gsl_rng_alloc(wg_rng_type());
    wg_rng_start(rng, 3, 0, WG_PURPOSE_WEATHER);
    wg_weather_draw(&weather, climate, rng);
    gsl_rng_free(rng);
    double last = INFINITY;
    for (double depth_m = 0.05; depth_m < 1.0; depth_m *= 2.0) {
        struct wg_soil soil;
        struct wg_soil_spec spec = usual;
        struct wg_error err = {0};
        spec.depth_m = depth_m;
        cr_assert_eq(wg_soil_init(&soil, climate, &spec, &err), 0);
        double squares = 0.0;
        for (int32_t day = day_of(2027, 1, 1); day <= day_of(2030, 12, 31); day++) {
            struct wg_sky sky;
            wg_climate_sky(climate, &weather, day, &sky);
            const double off_k = wg_soil_temp_c(&soil, &sky) - soil.season_c[wg_season_index(day)];
            squares += off_k * off_k;
        }
        cr_expect_lt(squares, last);
        last = squares;
    }
    wg_weather_free(&weather);
    wg_climate_free(climate);
}

/* ---- the spec ---- */

static int try_soil(struct wg_soil *soil, const struct wg_climate_spec *place, const struct wg_soil_spec *spec) {
    struct wg_climate *climate = made(place, day_of(2027, 1, 1), day_of(2027, 1, 2));
    struct wg_error err = {0};
    const int code = wg_soil_init(soil, climate, spec, &err);
    cr_expect_eq(err.code, code);
    cr_expect((code == 0) == (err.text[0] == '\0'));
    wg_climate_free(climate);
    return code;
}

Test(ground, mulch_is_so_much_more_soil) {
    const struct wg_climate_spec place = warm_place();
    struct wg_soil_spec under = usual, deep = usual;
    struct wg_soil one, other;
    under.mulch_m = 0.10;
    deep.depth_m = 0.10 + 0.10 * sqrt(0.05 / 0.012); /* 0.1 m of litter is equivalent to 0.2 m of soil */
    cr_expect_float_eq(deep.depth_m, 0.30, 0.005);
    cr_assert_eq(try_soil(&one, &place, &under), 0);
    cr_assert_eq(try_soil(&other, &place, &deep), 0);
    for (int d = 0; d < 365; d++)
        cr_assert_float_eq(one.season_c[d], other.season_c[d], 1e-12);
    for (int k = 0; k < 120; k++)
        cr_assert_float_eq(one.weight[k], other.weight[k], 1e-15);
}

Test(ground, mean_is_the_air_plus_the_offset) {
    const struct wg_climate_spec place = warm_place();
    struct wg_soil soil;
    cr_assert_eq(try_soil(&soil, &place, &usual), 0);
    double ground_c = 0.0, air_c = 0.0;
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    for (int d = 0; d < 365; d++)
        ground_c += soil.season_c[d] / 365.0;
    for (int m = 0; m < 12; m++)
        air_c += (place.high_c[m] + place.low_c[m]) / 2.0 * days[m] / 365.0;
    cr_expect_float_eq(ground_c, air_c + 1.0, 1e-9);
}

Test(ground, of_a_constant_climate_is_constant) {
    const struct wg_climate_spec capacity = {.kind = WG_CLIMATE_CONSTANT, .constant_c = 27.0};
    struct wg_climate *climate = made(&capacity, day_of(2027, 1, 1), day_of(2027, 3, 1));
    struct wg_weather weather = room_for(climate);
    struct wg_soil soil;
    struct wg_sky sky;
    struct wg_error err = {0};
    wg_weather_draw(&weather, climate, NULL);
    cr_assert_eq(wg_soil_init(&soil, climate, &usual, &err), 0);
    wg_climate_sky(climate, &weather, day_of(2027, 2, 3), &sky);
    cr_expect_float_eq(wg_soil_temp_c(&soil, &sky), 27.0, 0.0);
    wg_weather_free(&weather);
    wg_climate_free(climate);
}

Test(ground, refuses_nonsense) {
    const struct wg_climate_spec place = warm_place();
    struct wg_soil soil;
    struct wg_soil_spec bad[9];
    for (int i = 0; i < 9; i++)
        bad[i] = usual;
    bad[0].depth_m = 0.0;
    bad[1].depth_m = NAN;
    bad[2].diffusivity_m2_day = 0.0;
    bad[3].diffusivity_m2_day = -1.0;
    bad[4].mulch_m = -0.1;
    bad[5].mulch_m = NAN;
    bad[6].mulch_m = 0.1;
    bad[6].mulch_diffusivity_m2_day = 0.0;
    bad[7].offset_k = INFINITY;
    bad[8].depth_m = INFINITY;
    for (int i = 0; i < 9; i++)
        cr_expect_eq(try_soil(&soil, &place, &bad[i]), WG_ERR_INPUT, "%d", i);
}
