/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What is the temperature of the ground at a depth?
 *
 * One-dimensional conduction; the surface temperature is that of the air plus an offset of the mean.
 *
 *   season   T(z,t) = Tm - As e^-p cos(2 pi (t - t0)/365 - p),   p = z sqrt(pi/(365 D))
 *   weather  sum over the last 120 days of w_k A(k days back),
 *            w_k = erfc(z / (2 sqrt(D (k+1)))) - erfc(z / (2 sqrt(D k)))
 *
 * D diffusivity in m2 a day, t the end of the day in days. The season is Kusuda & Achenbach 1965, ASHRAE Trans. 71:61;
 * Tm, As, t0 are those of the first annual harmonic of air temperature. The weather is the step response of a
 * half-space (Carslaw & Jaeger 1959, Conduction of Heat in Solids, MEMORY), convolved with daily anomalies (derived).
 * A is the mean air temperature of the day less that harmonic, not less the climatological mean of the date: so the
 * higher harmonics (1.3 K in Seattle) are part of the weather term, and nothing is counted twice or left out.
 *
 * Neglected: snow, latent heat of freezing, shade, rain. Frozen ground is too cold.
 */
#include "base/clamp.h"
#include "base/elementary.h"
#include "climate/climate.h"

#include <math.h>

#define PI 3.14159265358979323846

struct wg_wave wg_wave_in(const double day_c[365]) {
    struct wg_wave wave = {0};
    for (int d = 0; d < 365; d++) {
        const double angle = 2.0 * PI * (d + 0.5) / 365.0;
        wave.mean_c += day_c[d] / 365.0;
        wave.cosine_c += day_c[d] * wg_cos(angle) * 2.0 / 365.0;
        wave.sine_c += day_c[d] * wg_sin(angle) * 2.0 / 365.0;
    }
    return wave;
}

double wg_wave_at(const struct wg_wave *wave, double t) {
    const double angle = 2.0 * PI * t / 365.0;
    return wave->mean_c + wave->cosine_c * wg_cos(angle) + wave->sine_c * wg_sin(angle);
}

/* Damped by e^-p and delayed by p radians. */
struct wg_wave wg_wave_below(const struct wg_wave *wave, double depth_m, double diffusivity_m2_day) {
    const double p = depth_m * sqrt(PI / (365.0 * diffusivity_m2_day));
    return (struct wg_wave){
        .mean_c = wave->mean_c,
        .cosine_c = wg_exp(-p) * (wave->cosine_c * wg_cos(p) - wave->sine_c * wg_sin(p)),
        .sine_c = wg_exp(-p) * (wave->cosine_c * wg_sin(p) + wave->sine_c * wg_cos(p)),
    };
}

static void set_weights(struct wg_soil *soil, double depth_m, double diffusivity_m2_day) {
    soil->n_weights = (int)(sizeof soil->weight / sizeof *soil->weight);
    double before = 0.0;
    for (int k = 0; k < soil->n_weights; k++) {
        const double response = wg_erfc(depth_m / (2.0 * sqrt(diffusivity_m2_day * (k + 1))));
        soil->weight[soil->n_weights - 1 - k] = response - before;
        before = response;
    }
}

static bool is_positive(double x) {
    return isfinite(x) && x > 0.0;
}

static const char *problem_of(const struct wg_soil_spec *spec) {
    if (!is_positive(spec->depth_m))
        return "the depth of the ground must be above 0";
    if (!is_positive(spec->diffusivity_m2_day))
        return "the heat diffusivity of the soil must be above 0";
    if (!isfinite(spec->mulch_m) || spec->mulch_m < 0.0)
        return "the depth of litter on the ground must not be negative";
    if (spec->mulch_m > 0.0 && !is_positive(spec->mulch_diffusivity_m2_day))
        return "the heat diffusivity of the litter must be above 0";
    return isfinite(spec->offset_k) ? NULL : "the ground's offset from the air must be a number";
}

/* Litter as an equivalent depth of soil: damping depends on depth over the square root of diffusivity (derived). */
static double depth_with_mulch_m(const struct wg_soil_spec *spec) {
    if (!(spec->mulch_m > 0.0))
        return spec->depth_m;
    return spec->depth_m + spec->mulch_m * sqrt(spec->diffusivity_m2_day / spec->mulch_diffusivity_m2_day);
}

int wg_soil_init(struct wg_soil *soil, const struct wg_climate *climate, const struct wg_soil_spec *spec,
                 struct wg_error *err) {
    const char *const problem = problem_of(spec);
    if (problem != NULL)
        return wg_fail(err, WG_ERR_INPUT, NULL, "%s", problem);
    *soil = (struct wg_soil){.frost_damping = wg_clamp(spec->frost_damping, 0.0, 1.0)};
    const bool constant = climate->spec.kind == WG_CLIMATE_CONSTANT;
    const double depth_m = depth_with_mulch_m(spec);
    const struct wg_wave below = wg_wave_below(&climate->wave, depth_m, spec->diffusivity_m2_day);
    for (int d = 0; d < 365; d++)
        soil->season_c[d] = constant ? climate->spec.constant_c : wg_wave_at(&below, d + 1) + spec->offset_k;
    if (!constant)
        set_weights(soil, depth_m, spec->diffusivity_m2_day);
    return 0;
}

double wg_soil_temp_c(const struct wg_soil *soil, const struct wg_sky *sky) {
    /* Four partial sums in memory order, independent and vectorisable: half of the time (measured). */
    double part[4] = {soil->season_c[wg_season_index(sky->day)], 0.0, 0.0, 0.0};
    const int today = soil->n_weights - 1;
    for (int k = 0; k < soil->n_weights; k += 4)
        for (int j = 0; j < 4; j++)
            part[j] += soil->weight[k + j] * sky->anomaly_c[k + j - today];
    const double sum = (part[0] + part[1]) + (part[2] + part[3]);
    return sum < 0.0 ? sum * (1.0 - soil->frost_damping) : sum;
}
