/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What are the high and low of a day, given those of the day before?
 *
 *   z(t) = A z(t-1) + B e(t)      high = mean + spread z[0],  low = mean + spread z[1]
 *   A = M1 M0^-1,  B B' = M0 - A M1',  B lower triangular
 *
 * with M0 the lag-0 and M1 the lag-1 correlation matrix. Source: Richardson 1981, Water
 * Resour. Res. 17:182, without rain. Temperatures are clamped to 3 standard deviations, the
 * recursion is not (judgement: this reduces the standard deviation by 1 %).
 */
#include "climate/climate.h"

#include "base/clamp.h"

#include <math.h>

/* Below this, variance is rounding: identical highs and lows would otherwise pass. Real weather has at least 0.1. */
#define MIN_VARIANCE 1e-6

int wg_generator_set(struct wg_generator *generator, double cross, const double m1[2][2]) {
    const double determinant = 1.0 - cross * cross;
    if (!(determinant > MIN_VARIANCE))
        return -1;
    double a[2][2], noise[2][2];
    for (int i = 0; i < 2; i++) {
        a[i][0] = (m1[i][0] - cross * m1[i][1]) / determinant;
        a[i][1] = (m1[i][1] - cross * m1[i][0]) / determinant;
    }
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            noise[i][j] = (i == j ? 1.0 : cross) - a[i][0] * m1[j][0] - a[i][1] * m1[j][1];
    const double residual = noise[1][1] - noise[1][0] * noise[1][0] / noise[0][0];
    if (!(noise[0][0] > MIN_VARIANCE && residual > MIN_VARIANCE))
        return -1;
    const double b00 = sqrt(noise[0][0]);
    *generator = (struct wg_generator){
        .a = {{a[0][0], a[0][1]}, {a[1][0], a[1][1]}},
        .b = {{b00, 0.0}, {noise[1][0] / b00, sqrt(residual)}},
    };
    return 0;
}

/*
 * Low-frequency variability. The recursion has a memory of weeks only, so generated half-years of Seattle had a
 * standard deviation of 0.5 K where the eight of the record have 0.8 K: the known overdispersion problem of such
 * generators (Wilks & Wilby 1999, Prog. Phys. Geogr. 23:329, MEMORY). A slow component s, common to highs and lows,
 * corrects it:
 *     z = sqrt(1 - q^2) fast + q s,   s(t) = k s(t-1) + sqrt(1 - k^2) e
 * with a memory k of a season and a share q of the standard deviation. The daily standard deviation and the lag-1
 * correlations stay as given, because the fast component is fitted to what the slow one leaves of them. Both numbers
 * are judgement, chosen for 0.73 K in half-years of Seattle: the record is short and may contain a trend.
 */
int wg_generator_set_fast(struct wg_generator *generator, double cross, const double m1[2][2]) {
    const double slow = WG_SLOW_SHARE * WG_SLOW_SHARE, fast = 1.0 - slow;
    double fast_m1[2][2];
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            fast_m1[i][j] = (m1[i][j] - slow * WG_SLOW_AUTOCORRELATION) / fast;
    return wg_generator_set(generator, (cross - slow) / fast, (const double(*)[2])fast_m1);
}

/*
 * The temperature rows of Richardson & Wright 1984 (USDA ARS-8), means of 31 sites in the United States with
 * 20 years each: MEMORY, confirmed by the A and B that many programs quote from there.
 */
static const double default_cross = 0.633, default_m1[2][2] = {{0.621, 0.445}, {0.563, 0.674}};

void wg_generator_default_correlations(double *cross, double m1[2][2]) {
    *cross = default_cross;
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            m1[i][j] = default_m1[i][j];
}

void wg_generator_default(struct wg_generator *generator) {
    const int code = wg_generator_set(generator, default_cross, default_m1);
    wg_assert(code == 0);
}

void wg_generator_default_fast(struct wg_generator *generator) {
    const int code = wg_generator_set_fast(generator, default_cross, default_m1);
    wg_assert(code == 0);
}

void wg_generator_step(const struct wg_generator *generator, double z[2], const double e[2]) {
    const double(*const a)[2] = generator->a;
    const double(*const b)[2] = generator->b;
    const double high = z[0], low = z[1];
    z[0] = a[0][0] * high + a[0][1] * low + b[0][0] * e[0];
    z[1] = a[1][0] * high + a[1][1] * low + b[1][0] * e[0] + b[1][1] * e[1];
}

void wg_generator_day(const struct wg_climate *climate, int season, const double z[2], double *high_c, double *low_c) {
    const double min_range_k = 1.0; /* judgement: about 1 % of days are widened to it, about the same mean */
    const double high = climate->high_c[season] + climate->high_sd_c[season] * wg_clamp(z[0], -3.0, 3.0);
    const double low = climate->low_c[season] + climate->low_sd_c[season] * wg_clamp(z[1], -3.0, 3.0);
    const bool too_close = high < low + min_range_k;
    const double middle = (high + low) / 2.0;
    *high_c = too_close ? middle + min_range_k / 2.0 : high;
    *low_c = too_close ? middle - min_range_k / 2.0 : low;
}
