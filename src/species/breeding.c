/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * When do flies mate and lay, and how many eggs do they lay?
 *
 * A clutch is a uniform integer U on [low, high], times a factor (mother's mass
 * x warmth), rounded to the nearest egg. For few mothers each clutch is drawn; for
 * many, their sum is normal by the central limit theorem. Its mean and variance are
 * those of the rounded distribution, enumerated (about 500 values, a microsecond)
 * because rounding leaves no exact closed form.
 */
#include "species/breeding.h"

#include "base/clamp.h"
#include "base/error.h"
#include "species/clock.h"
#include "species/reference.h"

#include <math.h>

/*
 * Above this many mothers the sum is drawn as a normal. At 64 the excess
 * kurtosis of the sum is -1.2/64 = -0.02 and its skewness 0 (uniform clutches).
 */
static const int64_t max_drawn_singly = 64;

/* Cap on the eggs of a step: the colony reports an overflow long before. */
static const int64_t max_eggs = INT64_C(1) << 62;

double wg_warm_share(const struct wg_species *species, double threshold_c, double air_c) {
    const double over_k = air_c - threshold_c, width_k = species->fly_warmth_width_k;
    if (!(width_k > 0.0)) {
        return over_k >= 0.0 ? 1.0 : 0.0;
    }
    /* Most hours lie outside the ramp: skip the division, and fmin() and fmax(), which are calls. */
    if (over_k <= -0.5 * width_k)
        return 0.0;
    return over_k >= 0.5 * width_k ? 1.0 : over_k / width_k + 0.5;
}

double wg_mating_chance(const struct wg_species *species, double hours) {
    if (hours < species->mate_hours_min || hours <= 0.0) {
        return 0.0;
    }
    return fmin(1.0, hours / species->mate_hours_full);
}

double wg_mating_chance_between(const struct wg_species *species, double before, double after) {
    if (after <= before) {
        return 0.0;
    }
    const double p_before = wg_mating_chance(species, before), p_after = wg_mating_chance(species, after);
    return p_before < 1.0 ? (p_after - p_before) / (1.0 - p_before) : 1.0;
}

double wg_mating_x(const struct wg_species *species) {
    return species->mate_after_days * wg_rate_per_day(&species->rate[WG_CLOCK_ADULT], WG_REFERENCE_C);
}

double wg_laying_x(const struct wg_species *species) {
    return species->lay_after_days * wg_rate_per_day(&species->rate[WG_CLOCK_ADULT], WG_REFERENCE_C);
}

double wg_clutch_warmth(double air_c) {
    /*
     * Kobelski et al. 2024, Front. Bioeng. Biotechnol. 12:1404776: a parabola
     * fitted to Chia et al. 2018 over 20 to 37 degC, divided by its maximum, 0.92.
     * Extrapolated below 20 degC: 0 at 15.
     */
    const double eggs = -3.17 + 0.286 * air_c - 0.005 * air_c * air_c;
    return wg_clamp(eggs / 0.92, 0.0, 1.0);
}

double wg_clutch_size_factor(const struct wg_species *species, double mass_g) {
    const double factor = wg_clamp(mass_g / species->final_mass_g, species->clutch_mass_low, species->clutch_mass_high);
    /* Even the largest clutch cannot exceed this share of a small mother's mass. */
    const double full_g = species->clutch_high * species->egg_mass_g;
    return full_g > 0 ? fmin(factor, species->clutch_most * mass_g / full_g) : factor;
}

struct mean_and_variance {
    double mean, variance;
};

static double rounded_clutch(double eggs, double factor) {
    return floor(eggs * factor + 0.5);
}

static struct mean_and_variance clutch_moments(const struct wg_species *species, double factor) {
    const double low = nearbyint(species->clutch_low);
    const double high = nearbyint(species->clutch_high);
    const double centre = factor * 0.5 * (low + high);
    const double n = high - low + 1.0;
    double sum = 0.0, squares = 0.0; /* about the centre, to avoid cancellation */
    for (double eggs = low; eggs <= high; eggs += 1.0) {
        const double off = rounded_clutch(eggs, factor) - centre;
        sum += off;
        squares += off * off;
    }
    const double off = sum / n;
    return (struct mean_and_variance){.mean = centre + off, .variance = fmax(0.0, squares / n - off * off)};
}

double wg_clutch_mean(const struct wg_species *species, double factor) {
    return clutch_moments(species, factor).mean;
}

double wg_clutch_variance(const struct wg_species *species, double factor) {
    return clutch_moments(species, factor).variance;
}

static int64_t draw_each(const struct wg_species *species, int64_t mothers, double factor, gsl_rng *rng) {
    const double low = nearbyint(species->clutch_low);
    const unsigned long n = (unsigned long)(nearbyint(species->clutch_high) - low) + 1UL;
    double total = 0.0;
    for (int64_t i = 0; i < mothers; i++) {
        total += rounded_clutch(low + (double)gsl_rng_uniform_int(rng, n), factor);
    }
    return (int64_t)total;
}

static int64_t draw_sum(const struct wg_species *species, int64_t mothers, double factor, gsl_rng *rng) {
    const struct mean_and_variance one = clutch_moments(species, factor);
    const double n = (double)mothers;
    const double min = n * rounded_clutch(nearbyint(species->clutch_low), factor);
    const double max = n * rounded_clutch(nearbyint(species->clutch_high), factor);
    const double drawn = nearbyint(n * one.mean + sqrt(n * one.variance) * wg_normal(rng));
    const double total = wg_clamp(drawn, min, max);
    return total < (double)max_eggs ? (int64_t)total : max_eggs;
}

int64_t wg_clutch_sum(const struct wg_species *species, int64_t mothers, double factor, gsl_rng *rng) {
    wg_assert(mothers >= 0 && factor >= 0.0);
    wg_assert(species->clutch_low >= 0.0 && species->clutch_low <= species->clutch_high);
    if (mothers == 0 || rounded_clutch(nearbyint(species->clutch_high), factor) < 1.0) {
        return 0;
    }
    return mothers <= max_drawn_singly ? draw_each(species, mothers, factor, rng)
                                       : draw_sum(species, mothers, factor, rng);
}
