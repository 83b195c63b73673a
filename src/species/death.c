/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * How fast do everyday mishaps, heat, cold, frost and hunger kill?
 *
 *     background      a max(f, r(T) / r(27))                     r: rate of development; T: this hour
 *     heat, chronic   a exp(b (T24 - c))                        T24: mean of the last 24 h
 *     heat, acute     a exp(b (T - c))                          T: this hour
 *     cold            h4 max(0, exp(-s (T - 4)) - exp(-s (limit - 4)))
 *     frost           a constant below the supercooling point
 *     hunger          a (1 - ration)^2 (final mass / mass)^(1/4)
 *
 * All per day. The constants and their sources are in species_numbers.c. The
 * cold curve is an exponential through the survivals measured at 4 degC
 * (Villazana & Alyokhin 2019, J. Econ. Entomol. 112:2632; Spranghers et al.
 * 2017, J. Econ. Entomol. 110:1501), shifted down so that it is 0 at `limit`:
 * otherwise cold would kill all through a mild autumn.
 */
#include "species/death.h"

#include "base/elementary.h"
#include "base/error.h"
#include "species/reference.h"

#include <math.h>

const char *wg_cause_name(enum wg_cause cause) {
    static const char *const name[WG_N_CAUSES] = {"background", "heat",    "cold", "freezing",
                                                  "hunger",     "old age", "raid"};
    wg_assert(cause >= 0 && cause < WG_N_CAUSES);
    return name[cause];
}

double wg_hazard_background(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    const struct wg_rate *const rate = &species->rate[stage];
    const double pace = wg_rate_per_day(rate, temp_c) / wg_rate_per_day(rate, WG_REFERENCE_C);
    return species->hazard[stage] * fmax(species->background_floor, pace);
}

double wg_hazard_heat_chronic(const struct wg_species *species, double mean24_c) {
    return species->heat_chronic * wg_exp(species->heat_chronic_slope * (mean24_c - species->heat_chronic_c));
}

double wg_hazard_heat_acute(const struct wg_species *species, double temp_c) {
    return species->heat_acute * wg_exp(species->heat_acute_slope * (temp_c - species->heat_acute_c));
}

enum wg_cold_curve wg_cold_curve_of(enum wg_clock_stage stage) {
    static const enum wg_cold_curve curve[WG_N_CLOCKS] = {[WG_CLOCK_EGG] = WG_COLD_EGG,
                                                          [WG_CLOCK_LARVA] = WG_COLD_OLD_LARVA,
                                                          [WG_CLOCK_PREPUPA] = WG_COLD_PREPUPA,
                                                          [WG_CLOCK_PUPA] = WG_COLD_PUPA,
                                                          [WG_CLOCK_ADULT] = WG_COLD_ADULT};
    return curve[stage];
}

struct wg_cold wg_cold_of(const struct wg_species *species, enum wg_cold_curve line) {
    wg_assert(line >= 0 && line < WG_N_COLD_CURVES);
    switch (line) {
    case WG_COLD_EGG:
        return species->cold_egg;
    case WG_COLD_YOUNG_LARVA:
        return species->cold_young_larva;
    case WG_COLD_OLD_LARVA:
        return species->cold_old_larva;
    case WG_COLD_PREPUPA:
        return species->cold_prepupa;
    case WG_COLD_PUPA:
        return species->cold_pupa;
    case WG_COLD_ADULT:
    case WG_N_COLD_CURVES:
        break;
    }
    return species->cold_adult;
}

double wg_hazard_cold(const struct wg_species *species, enum wg_cold_curve line, double temp_c) {
    if (temp_c >= species->cold_limit_c) {
        return 0.0;
    }
    const struct wg_cold cold = wg_cold_of(species, line);
    const double at_limit = wg_exp(-cold.s * (species->cold_limit_c - WG_COLD_REFERENCE_C));
    return cold.h4 * fmax(0.0, wg_exp(-cold.s * (temp_c - WG_COLD_REFERENCE_C)) - at_limit);
}

double wg_hazard_freezing(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    return temp_c < species->freeze_c[stage] ? species->freeze_hazard : 0.0;
}

double wg_hazard_in_the_cold(const struct wg_species *species, enum wg_clock_stage stage, double temp_c) {
    return wg_hazard_background(species, stage, temp_c) + wg_hazard_cold(species, wg_cold_curve_of(stage), temp_c) +
           wg_hazard_freezing(species, stage, temp_c);
}

double wg_hazard_cold_larva(const struct wg_species *species, double x, double young, double old) {
    if (x <= species->young_larva_x) {
        return young;
    }
    if (x >= species->old_larva_x) {
        return old;
    }
    if (!(young > 0.0 && old > 0.0)) {
        return 0.0;
    }
    const double along = (x - species->young_larva_x) / (species->old_larva_x - species->young_larva_x);
    return young * wg_pow(old / young, along);
}

double wg_hazard_hunger(const struct wg_species *species, double ration) {
    const double deficit = 1.0 - ration;
    return species->starvation * deficit * deficit;
}
