/**
 * How warm is it an hour later?
 *
 * phi and psi as in step.h. A is [-a11 a12; a21 -a22] with all a >= 0 and
 * a12, a21 of one sign, so both eigenvalues are real:
 *     m +- q,  m = -(a11 + a22)/2,  q = sqrt(((a11 - a22)/2)^2 + a12 a21)
 * and F(A) = F(l1) I + (F(l1) - F(l2))/(l1 - l2) (A - l1 I) for any function F.
 * Derived; checked against small Euler steps and the first law in tests/housing.
 */
#include "housing/step.h"

#include "base/quick.h"

#include <math.h>

/* Below this the quotients lose digits to cancellation, and the series is quicker and exact to a last place. */
#define SERIES_BELOW 0.4

static void phi_psi(double z, double *phi, double *psi) {
    if (fabs(z) < SERIES_BELOW) {
        *psi = wg_exp_rest(z);
        *phi = 1.0 + z * *psi;
        return;
    }
    const double e = expm1(z);
    *phi = e / z;
    *psi = (e - z) / (z * z);
}

void wg_one_node_hour(struct wg_one_node *node, double start_c, double supply_w, double loss_w_k, double heat_j_k) {
    double phi, psi;
    phi_psi(-loss_w_k * WG_HOUR_S / heat_j_k, &phi, &psi);
    node->end_k_w = WG_HOUR_S * phi / heat_j_k;
    node->mean_k_w = WG_HOUR_S * psi / heat_j_k;
    const double gain_w = supply_w - loss_w_k * start_c;
    node->end_c = start_c + gain_w * node->end_k_w;
    node->mean_c = start_c + gain_w * node->mean_k_w;
}

/* f1, f2: the function at the two eigenvalues l1, l2. */
static void matrix_function(double out[2][2], double f1, double f2, double l1, double l2, const double a[2][2]) {
    const double slope = (f1 - f2) / (l1 - l2);
    out[0][0] = WG_HOUR_S * (f1 + slope * (a[0][0] - l1));
    out[0][1] = WG_HOUR_S * slope * a[0][1];
    out[1][0] = WG_HOUR_S * slope * a[1][0];
    out[1][1] = WG_HOUR_S * (f1 + slope * (a[1][1] - l1));
}

void wg_two_nodes_set_air_loss(struct wg_two_nodes *nodes, double air_loss) {
    nodes->air_loss = air_loss;
    const double a[2][2] = {
        {-(air_loss + nodes->link) / nodes->air_j_k, nodes->link / nodes->air_j_k},
        {nodes->link / nodes->mass_j_k, -(nodes->mass_loss + nodes->link) / nodes->mass_j_k},
    };
    const double m = (a[0][0] + a[1][1]) / 2.0;
    const double half = (a[0][0] - a[1][1]) / 2.0;
    /* Equal eigenvalues would divide by zero; this far apart the quotient is the derivative to 1e-10. */
    const double apart = fmax(1e-5 * -m, 1e-9 / WG_HOUR_S);
    const double q = fmax(sqrt(half * half + a[0][1] * a[1][0]), apart);
    double phi1, psi1, phi2, psi2;
    phi_psi((m + q) * WG_HOUR_S, &phi1, &psi1);
    phi_psi((m - q) * WG_HOUR_S, &phi2, &psi2);
    matrix_function(nodes->end, phi1, phi2, m + q, m - q, a);
    matrix_function(nodes->mean, psi1, psi2, m + q, m - q, a);
}

void wg_two_nodes_prepare(struct wg_two_nodes *nodes, double air_loss, double mass_loss, double link, double air_j_k,
                          double mass_j_k) {
    nodes->mass_loss = mass_loss;
    nodes->link = link;
    nodes->air_j_k = air_j_k;
    nodes->mass_j_k = mass_j_k;
    wg_two_nodes_set_air_loss(nodes, air_loss);
}

void wg_two_nodes_hour(const struct wg_two_nodes *nodes, struct wg_two_temps start, double supply_air_w,
                       double supply_mass_w, struct wg_two_temps *end, struct wg_two_temps *mean) {
    const double crossing_w = nodes->link * (start.mass_c - start.air_c);
    const double air_k_s = (supply_air_w - nodes->air_loss * start.air_c + crossing_w) / nodes->air_j_k;
    const double mass_k_s = (supply_mass_w - nodes->mass_loss * start.mass_c - crossing_w) / nodes->mass_j_k;
    end->air_c = start.air_c + nodes->end[0][0] * air_k_s + nodes->end[0][1] * mass_k_s;
    end->mass_c = start.mass_c + nodes->end[1][0] * air_k_s + nodes->end[1][1] * mass_k_s;
    mean->air_c = start.air_c + nodes->mean[0][0] * air_k_s + nodes->mean[0][1] * mass_k_s;
    mean->mass_c = start.mass_c + nodes->mean[1][0] * air_k_s + nodes->mean[1][1] * mass_k_s;
}
