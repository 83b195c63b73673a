/**
 * The house around a place, one hour at a time.
 */
#ifndef WG_HOUSING_SHELTER_H
#define WG_HOUSING_SHELTER_H

#include "housing/housing.h"
#include "housing/thermal_step.h"

/** True for the kinds that have a cover and air of their own. */
bool wg_housing_has_walls(enum wg_housing_kind kind);

/** Conductance of the closed house to the outside air: cover and leaks, W/K. */
double wg_shelter_loss_w_k(const struct wg_shelter_spec *shelter);

/** What stays the same through the hours of one call. */
struct wg_shelter_day {
    const struct wg_shelter_spec *spec;
    double loss_w_k; /* closed house to the outside air */
    double vent_w_k; /* added when the vents are wide open */
    double bins_w_k; /* air to the walls of the bins */
    double sky_w;    /* lost to the sky */
    double deep_c;   /* soil under the house, 0.5 m */
    double heater_w; /* most the heater gives; 0: off */
    double set_point_c;
    double w_per_k; /* heater's watts for one K more of air at the end of the hour */
    struct wg_two_nodes closed;
};
/** bins_w_k: sum of the wall conductances of the bins; heater_w: 0 when switched off. */
void wg_shelter_day_start(struct wg_shelter_day *day, const struct wg_shelter_spec *shelter, double bins_w_k,
                          double sky_loss_w_m2, double deep_c, double heater_w, double set_point_c);

/** What happened in an hour. */
struct wg_shelter_hour {
    struct wg_two_temps mean;
    double heater_w; /* given */
    double open_w_k; /* conductance added by the vents, 0 if shut */
};
/**
 * Advances *nodes by an hour. bins_supply_w: what the bins would give to air
 * at 0 degC, sum of wall conductance x bin temperature, plus heat still owed.
 */
void wg_shelter_hour(struct wg_shelter_hour *hour, struct wg_two_temps *nodes, const struct wg_shelter_day *day,
                     double outside_c, double sun_w_m2, double bins_supply_w);
/**
 * What the heater lacks to hold its set point in such an hour, W, >= 0, had it been held so far. bins_supply_w: of bins that
 * are at rest in that air, so that it does not depend on how cold a weak heater lets them become.
 */
double wg_shelter_shortfall_w(const struct wg_shelter_day *day, double outside_c, double sun_w_m2,
                              double bins_supply_w);

#endif
