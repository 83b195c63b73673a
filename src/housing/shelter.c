/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Heat balance of a house over one hour: two nodes, the air and the mass (floor, benches, water).
 *
 *   Ca dTa/dt = (UA + leaks + vents)(To - Ta) + Hm (Tm - Ta) + f S + bins + heater - UA r_sky L
 *   Cm dTm/dt = Hm (Ta - Tm) + Hg (Tg - Tm) + (1 - f) S
 * with S the sun that becomes heat inside and L the net long-wave loss of a
 * surface to the sky, as in the sol-air temperature of ASHRAE (Handbook of
 * Fundamentals: 4 K lower for a horizontal roof under a clear sky).
 * This is the two-node "equivalent thermal parameters" model of a house.
 *
 * The heater is an ideal thermostat with a maximum power: it gives the heat that
 * brings the air to the set point at the end of the hour, within 0.04 % of an
 * on-off thermostat (tests/housing). The vents open so far that the air is at
 * their set temperature at the end of the hour, or fully.
 */
#include "housing/shelter.h"

#include <math.h>

/* J per m3 and K of air: 0.018 Btu/(ft3 degF), Bartok's greenhouse heating rule. */
#define AIR_J_M3_K 1207.0

bool wg_housing_has_walls(enum wg_housing_kind kind) {
    return kind == WG_HOOP_HOUSE || kind == WG_GREENHOUSE || kind == WG_SHED;
}

bool wg_housing_is_room(enum wg_housing_kind kind) {
    return kind == WG_ROOM || kind == WG_CELLAR || kind == WG_REFRIGERATOR;
}

static double air_changes_w_k(double per_hour, double volume_m3) {
    return AIR_J_M3_K * per_hour * volume_m3 / WG_HOUR_S;
}

double wg_shelter_loss_w_k(const struct wg_shelter_spec *shelter) {
    return shelter->u_w_m2k * shelter->cover_m2 + air_changes_w_k(shelter->air_changes, shelter->volume_m3);
}

/* Design loss plus a fifth: Bartok's rule is 1.1 to 1.25 times the loss. */
#define HEATER_MARGIN 1.2

double wg_heater_size_w(const struct wg_shelter_spec *shelter, double set_point_c, double design_c) {
    return HEATER_MARGIN * wg_shelter_loss_w_k(shelter) * fmax(0.0, set_point_c - design_c);
}

void wg_shelter_day_start(struct wg_shelter_day *day, const struct wg_shelter_spec *shelter, double bins_w_k,
                          double sky_loss_w_m2, double deep_c, double heater_w, double set_point_c) {
    day->spec = shelter;
    day->loss_w_k = wg_shelter_loss_w_k(shelter);
    day->vent_w_k = air_changes_w_k(shelter->vent_air_changes, shelter->volume_m3);
    day->bins_w_k = bins_w_k;
    day->sky_w = shelter->u_w_m2k * shelter->cover_m2 * shelter->sky_view_m2k_w * sky_loss_w_m2;
    day->deep_c = deep_c;
    day->heater_w = heater_w;
    day->set_point_c = set_point_c;
    wg_two_nodes_prepare(&day->closed, day->loss_w_k + bins_w_k, shelter->mass_ground_w_k, shelter->mass_air_w_k,
                         shelter->air_j_k, shelter->mass_j_k);
    day->w_per_k = shelter->air_j_k / day->closed.end[0][0];
}

/* Initial and boundary conditions of an hour, without the vents. */
struct hour_inputs {
    struct wg_two_temps start;
    double outside_c;
    double air_w, mass_w; /* supplies, without exchange through cover and vents */
};

/* All four temperatures are linear in heat on the air node, so no second solution is needed. */
static void apply_heater(struct wg_shelter_hour *hour, struct wg_two_temps *end, const struct wg_shelter_day *day) {
    const struct wg_two_nodes *nodes = &day->closed;
    const double need_w = (day->set_point_c - end->air_c) * day->w_per_k;
    hour->heater_w = need_w < day->heater_w ? need_w : day->heater_w;
    const double k_s = hour->heater_w * nodes->air_k_j;
    end->air_c += nodes->end[0][0] * k_s;
    end->mass_c += nodes->end[1][0] * k_s;
    hour->mean.air_c += nodes->mean[0][0] * k_s;
    hour->mean.mass_c += nodes->mean[1][0] * k_s;
}

static void solve_with_vents(struct wg_shelter_hour *hour, struct wg_two_temps *end, const struct wg_shelter_day *day,
                             const struct hour_inputs *in, double open_w_k) {
    struct wg_two_nodes nodes = day->closed;
    wg_two_nodes_set_air_loss(&nodes, day->closed.air_loss + open_w_k);
    wg_two_nodes_hour(&nodes, in->start, in->air_w + (day->loss_w_k + open_w_k) * in->outside_c, in->mass_w, end,
                      &hour->mean);
    hour->open_w_k = open_w_k;
}

/*
 * The next opening to try within a bracket. The excess of inside over outside
 * temperature is nearly proportional to 1/(opening + constant), so interpolate
 * linearly in its reciprocal; where that fails, bisect.
 */
static double next_opening(double shut_w_k, double shut_k, double open_w_k, double open_k, double target_k) {
    const double middle = (shut_w_k + open_w_k) / 2.0;
    if (open_k <= 0.0 || target_k <= open_k)
        return middle;
    const double share = (1.0 / target_k - 1.0 / shut_k) / (1.0 / open_k - 1.0 / shut_k);
    return shut_w_k + share * (open_w_k - shut_w_k);
}

/* The search takes two to four steps. */
#define VENT_TOLERANCE_K 1e-6
#define VENT_MAX_STEPS 60

static void apply_vents(struct wg_shelter_hour *hour, struct wg_two_temps *end, const struct wg_shelter_day *day,
                        const struct hour_inputs *in) {
    const double target_k = day->spec->vent_above_c - in->outside_c;
    double shut_w_k = 0.0, shut_k = end->air_c - in->outside_c;
    double open_w_k = day->vent_w_k;
    solve_with_vents(hour, end, day, in, open_w_k);
    double open_k = end->air_c - in->outside_c;
    if (open_k >= target_k)
        return;
    for (int i = 0; i < VENT_MAX_STEPS; i++) {
        const double next_w_k = next_opening(shut_w_k, shut_k, open_w_k, open_k, target_k);
        solve_with_vents(hour, end, day, in, next_w_k);
        const double next_k = end->air_c - in->outside_c;
        if (fabs(next_k - target_k) < VENT_TOLERANCE_K)
            return;
        if (next_k > target_k) {
            shut_w_k = next_w_k;
            shut_k = next_k;
        } else {
            open_w_k = next_w_k;
            open_k = next_k;
        }
    }
}

static struct hour_inputs inputs_of(const struct wg_shelter_day *day, struct wg_two_temps start, double outside_c,
                                    double sun_w_m2, double bins_supply_w) {
    const struct wg_shelter_spec *spec = day->spec;
    const double sun_w = spec->sun_area_m2 * sun_w_m2;
    return (struct hour_inputs){
        .start = start,
        .outside_c = outside_c,
        .air_w = spec->sun_to_air * sun_w - day->sky_w + bins_supply_w,
        .mass_w = (1.0 - spec->sun_to_air) * sun_w + spec->mass_ground_w_k * day->deep_c,
    };
}

void wg_shelter_hour(struct wg_shelter_hour *hour, struct wg_two_temps *nodes, const struct wg_shelter_day *day,
                     double outside_c, double sun_w_m2, double bins_supply_w) {
    const struct wg_shelter_spec *spec = day->spec;
    const struct hour_inputs in = inputs_of(day, *nodes, outside_c, sun_w_m2, bins_supply_w);
    struct wg_two_temps end;
    hour->heater_w = hour->open_w_k = 0.0;
    wg_two_nodes_hour(&day->closed, in.start, in.air_w + day->loss_w_k * outside_c, in.mass_w, &end, &hour->mean);
    if (day->heater_w > 0.0 && end.air_c < day->set_point_c)
        apply_heater(hour, &end, day);
    else if (day->vent_w_k > 0.0 && end.air_c > spec->vent_above_c && end.air_c > outside_c)
        apply_vents(hour, &end, day, &in);
    *nodes = end;
}

/*
 * For a house at its set point, the mass in steady state: to reheat a house that has cooled down within an hour takes
 * several times the power that would have kept it warm.
 */
double wg_shelter_shortfall_w(const struct wg_shelter_day *day, double outside_c, double sun_w_m2,
                              double bins_supply_w) {
    const struct wg_two_nodes *const nodes = &day->closed;
    struct wg_two_temps start = {day->set_point_c, day->set_point_c}, end, mean;
    const struct hour_inputs in = inputs_of(day, start, outside_c, sun_w_m2, bins_supply_w);
    const double mass_w_k = nodes->link + nodes->mass_loss;
    if (mass_w_k > 0.0)
        start.mass_c = (nodes->link * day->set_point_c + in.mass_w) / mass_w_k;
    wg_two_nodes_hour(nodes, start, in.air_w + day->loss_w_k * outside_c, in.mass_w, &end, &mean);
    return fmax(0.0, (day->set_point_c - end.air_c) * day->w_per_k - day->heater_w);
}
