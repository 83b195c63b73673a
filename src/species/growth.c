/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How heavy is a larva, and how much does it want to eat?
 *
 *     m(x) = final mass x G(x),   G(x) = g0 K exp(r x) / (K + g0 (exp(r x) - 1)),   K = g0 (exp(r) - 1) / (g0 exp(r) - 1)
 *
 * a logistic curve in development x (Verhulst 1838, Corr. Math. Phys. 10:113; found for
 * these larvae by Eriksen 2022, PLoS ONE 17:e0276605, abstract). It passes exactly through
 * g0 = hatch mass / final mass at x = 0 and through 1 at x = 1; its limit K is slightly
 * above 1. A larva is nearly full-grown well before it leaves, as keepers see. Its demand
 * for feed follows from its gain.
 */
#include "species/growth.h"

#include "base/clamp.h"
#include "base/elementary.h"
#include "species/clock.h"
#include "species/reference.h"

#include <math.h>

/* Larvae stocked by age are still larvae, whatever age the keeper gives. */
static const double max_x_by_age = 0.999;

double wg_final_mass_g(const struct wg_species *species, double temp_c, double quality) {
    const double cool_k = fmax(0.0, species->mass_ref_c - fmax(temp_c, species->mass_cool_to_c));
    const double warm_k = fmax(0.0, temp_c - species->mass_warm_from_c);
    const double factor = 1.0 + species->mass_cool_per_k * cool_k - species->mass_warm_per_k * warm_k;
    return species->final_mass_g * fmax(0.0, factor) * wg_clamp(quality, 0.0, 1.0);
}

/* The limit K, in final masses; it exists because the table's minimum of growth_rate suits every g0 it allows. */
static double limit(double g0, double rate) {
    return g0 * wg_expm1(rate) / (g0 * wg_exp(rate) - 1.0);
}

double wg_growth_share(const struct wg_species *species, double x) {
    if (x >= 1.0) {
        return 1.0;
    }
    const double g0 = species->hatch_mass_g / species->final_mass_g;
    const double k = limit(g0, species->growth_rate), rise = g0 * wg_exp(species->growth_rate * fmax(x, 0.0));
    return k * rise / (k + rise - g0);
}

double wg_feed_for_gain_kg(const struct wg_species *species, double gain_g) {
    return 1e-3 * gain_g * species->larva_dry / species->conversion;
}

double wg_development_share(const struct wg_species *species, double ration) {
    return species->ration_floor + (1.0 - species->ration_floor) * wg_clamp(ration, 0.0, 1.0);
}

double wg_microbe_rate(const struct wg_species *species, double temp_c) {
    return species->microbe_loss * wg_pow(species->microbe_q10, (temp_c - species->microbe_ref_c) / 10.0);
}

double wg_larva_x_at_age(const struct wg_species *species, double age_days) {
    return wg_clamp(age_days * wg_rate_per_day(&species->rate[WG_CLOCK_LARVA], WG_REFERENCE_C), 0.0, max_x_by_age);
}

double wg_larva_mass_at_x(const struct wg_species *species, double x, double quality) {
    return wg_final_mass_g(species, WG_REFERENCE_C, quality) * wg_growth_share(species, x);
}
