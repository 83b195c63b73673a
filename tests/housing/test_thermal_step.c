/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* The exact hourly steps: closed forms first, then small Euler steps, then the first law. */
#include "housing/thermal_step.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

/* A simple random number stream for the property tests (Knuth's MMIX constants). */
static double next_between(uint64_t *x, double low, double high) {
    *x = *x * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*x >> 11) / 9007199254740992.0;
}

Test(one_node, worked_by_hand) {
    /* T_inf = 100/6 = 16.6667, tau = 2e5/6 s: 16.6667 + 3.3333 exp(-0.108) = 19.6588. */
    struct wg_one_node node;
    wg_one_node_hour(&node, 20.0, 6.0 * 10.0 + 40.0, 6.0, 2e5);
    cr_assert_float_eq(node.end_c, 100.0 / 6.0 + (20.0 - 100.0 / 6.0) * exp(-0.108), 1e-12);
    cr_assert_float_eq(node.end_c, 19.6588, 5e-5);
    const double mean = 100.0 / 6.0 + (20.0 - 100.0 / 6.0) * (1.0 - exp(-0.108)) / 0.108;
    cr_assert_float_eq(node.mean_c, mean, 1e-12);
}

Test(one_node, without_loss_it_warms_in_a_straight_line) {
    struct wg_one_node node;
    wg_one_node_hour(&node, 5.0, 100.0, 0.0, 1.8e5);
    cr_assert_float_eq(node.end_c, 7.0, 1e-12); /* 100 W x 3600 s / 180 kJ/K = 2 K */
    cr_assert_float_eq(node.mean_c, 6.0, 1e-12);
}

Test(one_node, series_and_quotient_meet) {
    /*
     * The formula changes at loss x hour / capacity = 1e-3; both sides must agree within the effect of the change
     * itself.
     */
    struct wg_one_node below, above;
    const double c = 1e5, loss = 1e-3 * c / WG_HOUR_S;
    wg_one_node_hour(&below, 30.0, 10.0, loss * (1.0 - 1e-9), c);
    wg_one_node_hour(&above, 30.0, 10.0, loss * (1.0 + 1e-9), c);
    cr_assert_float_eq(below.end_c, above.end_c, 1e-9);
    cr_assert_float_eq(below.mean_c, above.mean_c, 1e-9);
}

Test(one_node, agrees_with_small_steps) {
    const int n = 360000;
    double t = 20.0, sum = 0.0;
    for (int i = 0; i < n; i++) {
        sum += t;
        t += WG_HOUR_S / n * (6.0 * (10.0 - t) + 40.0) / 2e5;
    }
    struct wg_one_node node;
    wg_one_node_hour(&node, 20.0, 100.0, 6.0, 2e5);
    /* Euler's error is about half a step times the second derivative: 3e-8 K; its mean lags half a step, 5e-7 K. */
    cr_assert_float_eq(node.end_c, t, 1e-6);
    cr_assert_float_eq(node.mean_c, sum / n, 1e-5);
}

Test(one_node, one_more_watt) {
    struct wg_one_node node, more;
    wg_one_node_hour(&node, 12.0, 300.0, 9.0, 1e5);
    wg_one_node_hour(&more, 12.0, 301.0, 9.0, 1e5);
    cr_assert_float_eq(more.end_c - node.end_c, node.end_k_w, 1e-12);
    cr_assert_float_eq(more.mean_c - node.mean_c, node.mean_k_w, 1e-12);
}

/* A tunnel of double film, 18 m2: the regression case, from an independent program in another language. */
static void tunnel(struct wg_two_nodes *nodes) {
    wg_two_nodes_prepare(nodes, 160.0 + 1207.0 * 0.75 * 28.0 / 3600.0, 50.4, 90.0, 202776.0, 5549340.3);
}

Test(two_nodes, regression) {
    struct wg_two_nodes nodes;
    tunnel(&nodes);
    struct wg_two_temps end, mean;
    wg_two_nodes_hour(&nodes, (struct wg_two_temps){15.0, 18.0}, nodes.air_loss * 2.0 + 1500.0, 50.4 * 12.0 + 400.0,
                      &end, &mean);
    cr_assert_float_eq(end.air_c, 13.406562, 1e-6); /* printed with six decimals */
    cr_assert_float_eq(end.mass_c, 17.823256, 1e-6);
    cr_assert_float_eq(mean.air_c, 13.757729, 1e-6);
    cr_assert_float_eq(mean.mass_c, 17.916261, 1e-6);
    cr_assert_float_eq(nodes.end[0][0] / nodes.air_j_k, 0.003894, 1e-6); /* K per W on the air */
}

Test(two_nodes, agrees_with_small_steps) {
    struct wg_two_nodes nodes;
    tunnel(&nodes);
    const double air_w = nodes.air_loss * 2.0 + 1500.0, mass_w = 50.4 * 12.0 + 400.0;
    const int n = 360000;
    double a = 15.0, m = 18.0, sum_a = 0.0, sum_m = 0.0;
    for (int i = 0; i < n; i++) {
        const double da = (air_w - nodes.air_loss * a + 90.0 * (m - a)) / nodes.air_j_k;
        const double dm = (mass_w - 50.4 * m + 90.0 * (a - m)) / nodes.mass_j_k;
        sum_a += a;
        sum_m += m;
        a += WG_HOUR_S / n * da;
        m += WG_HOUR_S / n * dm;
    }
    struct wg_two_temps end, mean;
    wg_two_nodes_hour(&nodes, (struct wg_two_temps){15.0, 18.0}, air_w, mass_w, &end, &mean);
    /* First-order steps of 0.01 s on a node of 790 s: errors of about 1e-5 K. */
    cr_assert_float_eq(end.air_c, a, 2e-5);
    cr_assert_float_eq(end.mass_c, m, 2e-5);
    cr_assert_float_eq(mean.air_c, sum_a / n, 2e-5);
    cr_assert_float_eq(mean.mass_c, sum_m / n, 2e-5);
}

Test(two_nodes, first_law) {
    /*
     * Heat stored equals heat in minus heat out at the mean temperatures: 20,000 houses, from a cold frame to a hall,
     * vents shut and open.
     */
    uint64_t x = 1;
    for (int i = 0; i < 20000; i++) {
        struct wg_two_nodes nodes;
        wg_two_nodes_prepare(&nodes, next_between(&x, 0.0, 3000.0), next_between(&x, 0.0, 300.0),
                             next_between(&x, 0.0, 500.0), exp(next_between(&x, 9.0, 15.0)),
                             exp(next_between(&x, 11.0, 18.0)));
        const struct wg_two_temps start = {next_between(&x, -20.0, 40.0), next_between(&x, -20.0, 40.0)};
        const double air_w = next_between(&x, -5000.0, 50000.0), mass_w = next_between(&x, -5000.0, 50000.0);
        struct wg_two_temps end, mean;
        wg_two_nodes_hour(&nodes, start, air_w, mass_w, &end, &mean);
        const double stored = nodes.air_j_k * (end.air_c - start.air_c) + nodes.mass_j_k * (end.mass_c - start.mass_c);
        const double flows = WG_HOUR_S * (air_w + mass_w - nodes.air_loss * mean.air_c - nodes.mass_loss * mean.mass_c);
        const double size = WG_HOUR_S * (fabs(air_w) + fabs(mass_w) + fabs(nodes.air_loss * mean.air_c) +
                                         fabs(nodes.mass_loss * mean.mass_c));
        cr_assert_float_eq(stored, flows, 1e-9 * size, "house %d: %.17g J stored, %.17g J came", i, stored, flows);
    }
}

Test(two_nodes, unlinked_nodes_are_two_single_nodes) {
    /* Equal capacities and losses: the two eigenvalues coincide. */
    struct wg_two_nodes nodes;
    wg_two_nodes_prepare(&nodes, 20.0, 20.0, 0.0, 3e5, 3e5);
    struct wg_two_temps end, mean;
    wg_two_nodes_hour(&nodes, (struct wg_two_temps){10.0, 25.0}, 300.0, 700.0, &end, &mean);
    struct wg_one_node air, mass;
    wg_one_node_hour(&air, 10.0, 300.0, 20.0, 3e5);
    wg_one_node_hour(&mass, 25.0, 700.0, 20.0, 3e5);
    cr_assert_float_eq(end.air_c, air.end_c, 1e-8); /* eigenvalues are kept 1e-5 apart: the error is about its square */
    cr_assert_float_eq(end.mass_c, mass.end_c, 1e-8);
    cr_assert_float_eq(mean.air_c, air.mean_c, 1e-8);
    cr_assert_float_eq(mean.mass_c, mass.mean_c, 1e-8);
}

Test(two_nodes, closed_box_keeps_its_heat) {
    struct wg_two_nodes nodes;
    wg_two_nodes_prepare(&nodes, 0.0, 0.0, 400.0, 2e5, 6e5);
    struct wg_two_temps now = {30.0, 10.0}, mean;
    for (int h = 0; h < 48; h++)
        wg_two_nodes_hour(&nodes, now, 0.0, 0.0, &now, &mean);
    cr_assert_float_eq(now.air_c, 15.0, 1e-9); /* (2 x 30 + 6 x 10)/8 */
    cr_assert_float_eq(now.mass_c, 15.0, 1e-9);
}

Test(two_nodes, nothing_at_all_stays_as_it_is) {
    struct wg_two_nodes nodes;
    wg_two_nodes_prepare(&nodes, 0.0, 0.0, 0.0, 2e5, 6e5);
    struct wg_two_temps end, mean;
    wg_two_nodes_hour(&nodes, (struct wg_two_temps){30.0, 10.0}, 0.0, 0.0, &end, &mean);
    cr_assert_eq(end.air_c, 30.0);
    cr_assert_eq(mean.mass_c, 10.0);
}
