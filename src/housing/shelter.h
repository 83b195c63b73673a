/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** Heat balance of the house around a place, hour by hour. */
#ifndef WG_HOUSING_SHELTER_H
#define WG_HOUSING_SHELTER_H

#include "housing/housing.h"
#include "housing/thermal_step.h"

/** True for the kinds with a cover and their own air. */
bool wg_housing_has_walls(enum wg_housing_kind kind);

/** Conductance of the closed house to the outside air: cover and leaks, W/K. */
double wg_shelter_loss_w_k(const struct wg_shelter_spec *shelter);

/** Constants of a house during one call of wg_place_run(). */
struct wg_shelter_day {
    const struct wg_shelter_spec *spec;
    double loss_w_k; /* closed house to the outside air */
    double vent_w_k; /* added when the vents are wide open */
    double bins_w_k; /* air to the walls of the bins */
    double sky_w;    /* lost to the sky */
    double deep_c;   /* soil at 0.5 m under the house */
    double heater_w; /* maximum heat output; 0: off */
    double set_point_c;
    double w_per_k; /* heater power per K of air temperature at the end of the hour */
    struct wg_two_nodes closed;
};
/** bins_w_k: sum of the wall conductances of the bins; heater_w is 0 when switched off. */
void wg_shelter_day_start(struct wg_shelter_day *day, const struct wg_shelter_spec *shelter, double bins_w_k,
                          double sky_loss_w_m2, double deep_c, double heater_w, double set_point_c);

/** Results of an hour. */
struct wg_shelter_hour {
    struct wg_two_temps mean;
    double heater_w; /* heat output */
    double open_w_k; /* conductance added by the vents, 0 if shut */
};
/**
 * Advances *nodes by an hour. bins_supply_w: heat from the bins to air at 0 degC, the
 * sum of wall conductance x bin temperature, plus the excess of the previous hour.
 */
void wg_shelter_hour(struct wg_shelter_hour *hour, struct wg_two_temps *nodes, const struct wg_shelter_day *day,
                     double outside_c, double sun_w_m2, double bins_supply_w);
/**
 * Shortfall of the heater, W, >= 0, to keep a house that is at its set point there. bins_supply_w: of bins in steady
 * state in that air, so that it does not depend on how cold a weak heater lets them become.
 */
double wg_shelter_shortfall_w(const struct wg_shelter_day *day, double outside_c, double sun_w_m2,
                              double bins_supply_w);

#endif
