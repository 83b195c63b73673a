/*
 * What weather could a day bring after the weather of the day before?
 *
 *   z(t) = A z(t-1) + B e(t)      high = mean + spread z[0],  low = mean + spread z[1]
 *   A = M1 M0^-1,  B B' = M0 - A M1',  B lower triangular
 *
 * with M0 the correlations of the same day and M1 those of a day with the day before.
 * Source: Richardson 1981, Water Resour. Res. 17:182, without rain; the degrees are held within
 * 3 spreads, while the recursion runs free (judgement: it costs 1 % of the spread).
 */
#include "climate/climate.h"

#include "base/clamp.h"

#include <math.h>

/* What is below this is rounding, no chance: two records that are one would otherwise pass. Weather has 0.1 and more. */
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
    const double left = noise[1][1] - noise[1][0] * noise[1][0] / noise[0][0];
    if (!(noise[0][0] > MIN_VARIANCE && left > MIN_VARIANCE))
        return -1;
    const double b00 = sqrt(noise[0][0]);
    *generator = (struct wg_generator){
        .a = {{a[0][0], a[0][1]}, {a[1][0], a[1][1]}},
        .b = {{b00, 0.0}, {noise[1][0] / b00, sqrt(left)}},
    };
    return 0;
}

/*
 * Months and winters are warm or cold as a whole, too. The recursion forgets within weeks, so that half-years of
 * generated Seattle strayed 0.5 K from the usual where the record's eight strayed 0.8 K, a known fault of this type
 * (Wilks & Wilby 1999, Prog. Phys. Geogr. 23:329, MEMORY). A slow part s, shared by highs and lows, mends that:
 *     z = sqrt(1 - q^2) quick + q s,   s(t) = k s(t-1) + sqrt(1 - k^2) e
 * with a season's memory k and its share q of the spread. The spread of days and the correlations with yesterday stay
 * as given, because the quick part is made from what the slow one leaves of them. Both numbers are judgement, chosen
 * so that half-years of Seattle stray 0.73 K: the record is short and may hold a trend.
 */
int wg_generator_set_quick(struct wg_generator *generator, double cross, const double m1[2][2]) {
    const double slow = WG_SLOW_SHARE * WG_SLOW_SHARE, quick = 1.0 - slow;
    double left[2][2];
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            left[i][j] = (m1[i][j] - slow * WG_SLOW_KEEP) / quick;
    return wg_generator_set(generator, (cross - slow) / quick, (const double(*)[2])left);
}

/*
 * The temperature rows of Richardson & Wright 1984 (USDA ARS-8), means of 31 sites in the United States with
 * 20 years each: MEMORY, confirmed by the A and B that many programs quote from there.
 */
static const double usual_cross = 0.633, usual_m1[2][2] = {{0.621, 0.445}, {0.563, 0.674}};

void wg_generator_default(struct wg_generator *generator) {
    const int code = wg_generator_set(generator, usual_cross, usual_m1);
    wg_assert(code == 0);
}

void wg_generator_default_quick(struct wg_generator *generator) {
    const int code = wg_generator_set_quick(generator, usual_cross, usual_m1);
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
    const double least_range_k = 1.0; /* judgement: about 1 % of days need the repair, which keeps their mean */
    const double high = climate->high_c[season] + climate->high_sd_c[season] * wg_clamp(z[0], -3.0, 3.0);
    const double low = climate->low_c[season] + climate->low_sd_c[season] * wg_clamp(z[1], -3.0, 3.0);
    const bool too_close = high < low + least_range_k;
    const double middle = (high + low) / 2.0;
    *high_c = too_close ? middle + least_range_k / 2.0 : high;
    *low_c = too_close ? middle - least_range_k / 2.0 : low;
}
