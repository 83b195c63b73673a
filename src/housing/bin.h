/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** Heat balance of one bin, hour by hour. */
#ifndef WG_HOUSING_BIN_H
#define WG_HOUSING_BIN_H

#include "housing/housing.h"
#include "housing/thermal_step.h"

/** Heat capacity of a bin with its contents, J/K. substrate_kg: wet mass, >= 0; moisture 0..1. */
double wg_bin_heat_j_k(double substrate_kg, double moisture);

/** Constants of a bin during one call of wg_place_run(). */
struct wg_bin_day {
    double wall_w_k, ground_w_k, sun_m2;
    double wet_w_kpa; /* evaporation per vapour pressure deficit */
    double heat_j_k;
    double larvae_w;                /* metabolic heat independent of temperature */
    const struct wg_bin_heat *heat; /* metabolic heat by temperature; NULL: none */
    double mat_w;                   /* maximum power of the mat; 0: off */
    double set_point_c;             /* of the mat */
};
/** u_w_m2k and lid are today's; mat_w is 0 when switched off. */
void wg_bin_day_start(struct wg_bin_day *day, const struct wg_bin_spec *bin, double u_w_m2k, double lid,
                      double substrate_kg, double larvae_w, double mat_w, double set_point_c);

/** Boundary conditions of a bin in an hour. */
struct wg_bin_surroundings {
    double air_c;      /* at the walls */
    double soil_c;     /* at 5 cm */
    double vapour_kpa; /* of the air */
    double sun_w_m2;
    double fuel_w; /* upper limit of metabolic heat by temperature */
};
/** Power that keeps a bin at the set point of its mat without metabolic heat; >= 0. */
double wg_bin_need_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around);
/** Steady-state temperature of a bin with its mat under thermostat control, without metabolic heat. */
double wg_bin_equilibrium_c(const struct wg_bin_day *day, const struct wg_bin_surroundings *around);

struct wg_bin_hour {
    double mean_c;
    double larvae_w;       /* metabolic heat by temperature, mean over the hour */
    double evaporation_w;  /* mean over the hour */
    double mat_w, short_w; /* power of the mat; shortfall to reach the set point at the end of the hour */
};
/**
 * Computes the hour that starts at temp_c; returns the temperature at its end, which a caller can keep in a register.
 */
double wg_bin_hour_from(double temp_c, struct wg_bin_hour *hour, const struct wg_bin_day *day,
                        const struct wg_bin_surroundings *around);
/** Advances *temp_c by an hour. */
static inline void wg_bin_hour(struct wg_bin_hour *hour, double *temp_c, const struct wg_bin_day *day,
                               const struct wg_bin_surroundings *around) {
    *temp_c = wg_bin_hour_from(*temp_c, hour, day, around);
}

#endif
