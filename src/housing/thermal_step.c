/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The matrix functions phi and psi of thermal_step.h for two heat nodes.
 *
 * A is [-a11 a12; a21 -a22] with all a >= 0 and
 * a12, a21 of one sign, so both eigenvalues are real:
 *     m +- q,  m = -(a11 + a22)/2,  q = sqrt(((a11 - a22)/2)^2 + a12 a21)
 * and F(A) = F(l1) I + (F(l1) - F(l2))/(l1 - l2) (A - l1 I) for any function F.
 * Derived; checked against small Euler steps and the first law in tests/housing.
 */
#include "housing/thermal_step.h"

#include <math.h>

/* f1: the function at the eigenvalue l1; slope: its difference quotient between the two eigenvalues. */
static void matrix_function(double out[2][2], double f1, double slope, double l1, const double a[2][2]) {
    out[0][0] = WG_HOUR_S * (f1 + slope * (a[0][0] - l1));
    out[0][1] = WG_HOUR_S * slope * a[0][1];
    out[1][0] = WG_HOUR_S * slope * a[1][0];
    out[1][1] = WG_HOUR_S * (f1 + slope * (a[1][1] - l1));
}

void wg_two_nodes_set_air_loss(struct wg_two_nodes *nodes, double air_loss) {
    nodes->air_loss = air_loss;
    const double a[2][2] = {
        {-(air_loss + nodes->link) * nodes->air_k_j, nodes->link * nodes->air_k_j},
        {nodes->link * nodes->mass_k_j, -(nodes->mass_loss + nodes->link) * nodes->mass_k_j},
    };
    const double m = (a[0][0] + a[1][1]) / 2.0;
    const double half = (a[0][0] - a[1][1]) / 2.0;
    /* Keeps eigenvalues apart, which would divide by zero; the quotient is then the derivative within 1e-10. */
    const double min_q = fmax(1e-5 * -m, 1e-9 / WG_HOUR_S);
    const double q = fmax(sqrt(half * half + a[0][1] * a[1][0]), min_q);
    double phi1, psi1, phi2, psi2;
    wg_phi_psi((m + q) * WG_HOUR_S, &phi1, &psi1);
    wg_phi_psi((m - q) * WG_HOUR_S, &phi2, &psi2);
    const double per_span = 0.5 / q;
    matrix_function(nodes->end, phi1, (phi1 - phi2) * per_span, m + q, a);
    matrix_function(nodes->mean, psi1, (psi1 - psi2) * per_span, m + q, a);
}

void wg_two_nodes_prepare(struct wg_two_nodes *nodes, double air_loss, double mass_loss, double link, double air_j_k,
                          double mass_j_k) {
    nodes->mass_loss = mass_loss;
    nodes->link = link;
    nodes->air_j_k = air_j_k;
    nodes->mass_j_k = mass_j_k;
    nodes->air_k_j = 1.0 / air_j_k;
    nodes->mass_k_j = 1.0 / mass_j_k;
    wg_two_nodes_set_air_loss(nodes, air_loss);
}
