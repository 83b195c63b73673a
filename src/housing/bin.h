/**
 * One bin, one hour at a time.
 */
#ifndef WG_HOUSING_BIN_H
#define WG_HOUSING_BIN_H

#include "housing/housing.h"
#include "housing/thermal_step.h"

/** Heat capacity of a bin and what is in it, J/K. substrate_kg: wet mass, >= 0; moisture 0..1. */
double wg_bin_heat_j_k(double substrate_kg, double moisture);

/** What stays the same through the hours of one call. */
struct wg_bin_day {
    double wall_w_k, ground_w_k, sun_m2;
    double wet_w_kpa; /* evaporation per vapour pressure deficit */
    double heat_j_k;
    double larvae_w;                /* metabolic heat at any temperature */
    const struct wg_bin_heat *heat; /* what else lives there gives; NULL: nothing */
    double mat_w;                   /* most the mat gives; 0: off */
    double set_point_c;             /* of the mat */
};
/** u_w_m2k and lid: those in force today; mat_w 0 when switched off. */
void wg_bin_day_start(struct wg_bin_day *day, const struct wg_bin_spec *bin, double u_w_m2k, double lid,
                      double substrate_kg, double larvae_w, double mat_w, double set_point_c);

/** What happens around all bins of a place in an hour. */
struct wg_bin_surroundings {
    double air_c;      /* at the walls */
    double soil_c;     /* at 5 cm */
    double vapour_kpa; /* of the air */
    double sun_w_m2;
    double fuel_w; /* the most that the curve of the bin's heat may give */
};
/** Power that holds a bin at the set point of its mat, once it is that warm, without heat of larvae; >= 0. */
double wg_bin_need_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around);
/** Temperature at which a bin comes to rest, its mat on as far as it needs, without heat of larvae. */
double wg_bin_equilibrium_c(const struct wg_bin_day *day, const struct wg_bin_surroundings *around);

struct wg_bin_hour {
    double mean_c;
    double larvae_w;       /* mean over the hour, of the bin's curve of heat */
    double evaporation_w;  /* mean over the hour */
    double mat_w, short_w; /* given; missing to reach the set point at the end of the hour */
};
/** An hour that starts at temp_c; returns the temperature at its end, so that a caller can keep it in a register. */
double wg_bin_hour_from(double temp_c, struct wg_bin_hour *hour, const struct wg_bin_day *day,
                        const struct wg_bin_surroundings *around);
/** Advances *temp_c by an hour. */
static inline void wg_bin_hour(struct wg_bin_hour *hour, double *temp_c, const struct wg_bin_day *day,
                               const struct wg_bin_surroundings *around) {
    *temp_c = wg_bin_hour_from(*temp_c, hour, day, around);
}

#endif
