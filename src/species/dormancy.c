/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What share of prepupae go dormant before winter, and when does dormancy end?
 *
 *     share = w/(1 + exp((L - L0)/l)) x 1/(1 + exp((T7 - T0)/t)) + (1 - w)/(1 + exp((T7 - T1)/t))
 *
 * Falling logistic curves, in day length and in ground temperature: judgement,
 * as is everything here. Keepers agree that prepupae overwinter and reappear over
 * several weeks (common practice). No published photoperiod response was found;
 * Spranghers et al. 2017 (J. Econ. Entomol. 110:1501) leave it open, and prepupae in
 * warmth develop as well at 8 as at 12 hours of light (Holmes, VanLaerhoven & Tomberlin
 * 2017, Environ. Entomol. 46(6), abstract). So w can be 1, dormancy by day length, or 0,
 * by cold only; a value between mixes the two. T0 lies where autumn ground is while days
 * get short; T1 below it, because lit laboratories rear prepupae at 20 degC without a rest.
 */
#include "species/dormancy.h"

#include "base/elementary.h"

#include <math.h>

static double falling_logistic(double value, double middle, double scale) {
    return 1.0 / (1.0 + wg_exp((value - middle) / scale));
}

double wg_dormancy_chance(const struct wg_species *species, double day_h, double ground7_c) {
    const double short_days = falling_logistic(day_h, species->dorm_day_h, species->dorm_day_scale);
    const double cool = falling_logistic(ground7_c, species->dorm_temp_c, species->dorm_temp_scale);
    const double cold = falling_logistic(ground7_c, species->dorm_by_cold_c, species->dorm_temp_scale);
    return species->dorm_by_day * short_days * cool + (1.0 - species->dorm_by_day) * cold;
}

bool wg_dormancy_open(const struct wg_species *species, double cold_days, double days) {
    return cold_days >= species->dorm_open_cold_days || days >= species->dorm_open_days;
}

double wg_dormancy_heat(const struct wg_species *species, double ground_c) {
    return fmax(0.0, ground_c - species->dorm_heat_base_c) / species->dorm_heat_median;
}
