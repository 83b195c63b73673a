/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Exact steps of linear heat balances with one and with two nodes: temperatures at
 * the end of a step and their means over it, stable for any step length.
 *
 * With dx/dt = A x + b, A and b constant over dt, and r = A x0 + b:
 *     x(dt) = x0 + dt phi(A dt) r,     phi(z) = (e^z - 1)/z
 *     mean  = x0 + dt psi(A dt) r,     psi(z) = (e^z - 1 - z)/z^2
 * (variation of constants); the matrix functions follow from the two eigenvalues. No
 * steady state is needed, so a node may have no loss at all.
 */
#ifndef WG_HOUSING_THERMAL_STEP_H
#define WG_HOUSING_THERMAL_STEP_H

#include "base/quick.h"

#define WG_HOUR_S 3600.0

/**
 * phi(z) and psi(z), z <= 0 or slightly above. Inline, like the nodes below: the hours of a bin are sequentially
 * dependent, and calls with three more divisions cost 17 of 60 ns (measured outdoors).
 */
static inline void wg_phi_psi(double z, double *phi, double *psi) {
    /* Near 0 the quotients suffer cancellation; the series is faster, with an error of one unit in the last place. */
    if (z > -0.4 && z < 0.4) {
        *psi = wg_exp_remainder(z);
        *phi = 1.0 + z * *psi;
        return;
    }
    const double per_z = 1.0 / z;
    *phi = (wg_exp(z) - 1.0) * per_z;
    *psi = (*phi - 1.0) * per_z;
}

/** Result of a step of one node: end and mean temperature, and their derivatives with respect to heat (K/W). */
struct wg_one_node {
    double end_c, mean_c;
    double end_k_w, mean_k_w;
};
/**
 * One hour from start_c, given the net inflow at its start, z = -loss k_w <= 0 and k_w = WG_HOUR_S / c. Substituting
 * phi = 1 + z psi takes phi off the critical path.
 */
static inline void wg_one_node_from(struct wg_one_node *node, double start_c, double inflow_w, double z, double k_w) {
    double phi, psi;
    wg_phi_psi(z, &phi, &psi);
    const double gain_k = inflow_w * k_w;
    node->end_c = (start_c + gain_k) + (gain_k * z) * psi;
    node->mean_c = start_c + gain_k * psi;
    node->end_k_w = k_w * phi;
    node->mean_k_w = k_w * psi;
}
/**
 * c dT/dt = supply - loss T over an hour, from start_c.
 * supply: W at 0 degC (sum of conductance x outside temperature, plus heat); loss >= 0: W/K; c > 0: J/K.
 */
static inline void wg_one_node_hour(struct wg_one_node *node, double start_c, double supply_w, double loss_w_k,
                                    double heat_j_k) {
    const double k_w = WG_HOUR_S / heat_j_k;
    wg_one_node_from(node, start_c, supply_w - loss_w_k * start_c, -loss_w_k * k_w, k_w);
}

/**
 * The air and the mass of a house, prepared for an hour:
 *     air_j_k  dTa/dt = supply_air - air_loss Ta + link (Tm - Ta)
 *     mass_j_k dTm/dt = supply_mass - mass_loss Tm + link (Ta - Tm)
 * Losses and link in W/K, >= 0; capacities in J/K, > 0. Depends on no temperature.
 */
struct wg_two_nodes {
    double air_loss, mass_loss, link;
    double air_j_k, mass_j_k;
    double air_k_j, mass_k_j;     /* their reciprocals: with divisions an hour of a shed took 53 ns instead of 44 */
    double end[2][2], mean[2][2]; /* dt phi(A dt) and dt psi(A dt), rows and columns: air, mass */
};
void wg_two_nodes_prepare(struct wg_two_nodes *nodes, double air_loss, double mass_loss, double link, double air_j_k,
                          double mass_j_k);
/** Changes only the loss of the air (open vents). */
void wg_two_nodes_set_air_loss(struct wg_two_nodes *nodes, double air_loss);

struct wg_two_temps {
    double air_c, mass_c;
};
/** One hour from *start: temperatures at the end and means. */
static inline void wg_two_nodes_hour(const struct wg_two_nodes *nodes, struct wg_two_temps start, double supply_air_w,
                                     double supply_mass_w, struct wg_two_temps *end, struct wg_two_temps *mean) {
    const double crossing_w = nodes->link * (start.mass_c - start.air_c);
    const double air_k_s = (supply_air_w - nodes->air_loss * start.air_c + crossing_w) * nodes->air_k_j;
    const double mass_k_s = (supply_mass_w - nodes->mass_loss * start.mass_c - crossing_w) * nodes->mass_k_j;
    end->air_c = start.air_c + nodes->end[0][0] * air_k_s + nodes->end[0][1] * mass_k_s;
    end->mass_c = start.mass_c + nodes->end[1][0] * air_k_s + nodes->end[1][1] * mass_k_s;
    mean->air_c = start.air_c + nodes->mean[0][0] * air_k_s + nodes->mean[0][1] * mass_k_s;
    mean->mass_c = start.mass_c + nodes->mean[1][0] * air_k_s + nodes->mean[1][1] * mass_k_s;
}

#endif
