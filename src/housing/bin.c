/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Heat balance of a bin over one hour: one node, the substrate with its larvae.
 *
 *   C dT/dt = U A (Ta - T) + Ug (Tsoil - T) + larvae + sun + mat - evaporation
 *
 * Evaporation from the wet surface: q = (89 + 78.2 v)(es(T) - ea) W/m2, pressures in
 * kPa, v the air speed in m/s (Carrier's equation for open water, in the ASHRAE
 * handbook; MEMORY), times the top area and a factor for lid and drain. es and the
 * metabolic heat of the larvae (struct wg_bin_heat), which rises with the temperature
 * of the bin and ends where it is too warm, are linearised at the temperature at the
 * start of the hour, and the linear equation is solved exactly: an exponential
 * Rosenbrock step (Hochbruck & Ostermann 2010, Acta Numer. 19:209, MEMORY).
 * Neglected: condensation on a cold bin, latent heat of freezing (a wet bin resists
 * hard frost better than computed), loss of moisture, any gradient within the bin.
 */
#include "housing/bin.h"

#include "base/elementary.h"

#include <math.h>

/* Specific heat of moist food, kJ/(kg K) (Siebel 1892, in the ASHRAE Refrigeration handbook): 0.837 + 3.349 X. */
#define DRY_J_KG_K 837.0
#define WATER_J_KG_K 3349.0
/* Saturation pressure is constant beyond these limits, far outside the range of life; its formula has a pole. */
#define MIN_SATURATION_C (-100.0)
#define MAX_SATURATION_C 100.0
/* The box itself: 4 kg of polyethylene at 1.9 kJ/(kg K). Judgement. */
#define BOX_J_K 8000.0

double wg_bin_heat_j_k(double substrate_kg, double moisture) {
    return substrate_kg * (DRY_J_KG_K + WATER_J_KG_K * moisture) + BOX_J_K;
}

void wg_bin_day_start(struct wg_bin_day *day, const struct wg_bin_spec *bin, double u_w_m2k, double lid,
                      double substrate_kg, double larvae_w, double mat_w, double set_point_c) {
    wg_assert(substrate_kg >= 0.0);
    day->wall_w_k = u_w_m2k * bin->wall_m2;
    day->ground_w_k = bin->ground_w_k;
    day->sun_m2 = bin->sun_m2;
    day->wet_w_kpa = lid * bin->top_m2 * (89.0 + 78.2 * bin->wind_m_s);
    day->heat_j_k = wg_bin_heat_j_k(substrate_kg, bin->moisture);
    day->larvae_w = larvae_w;
    day->heat = NULL;
    day->mat_w = mat_w;
    day->set_point_c = set_point_c;
}

/*
 * The square root of the saturation pressure over water, kPa^(1/2): Allen et al. 1998, FAO-56 eq. 11.
 *
 * The hours of a bin are sequentially dependent, and this exponential with its division was most of the critical path.
 * So the fourth root of the pressure, which is nearly linear, is a polynomial: Chebyshev interpolation at 16 points of
 * -50..60 degC, in powers of (T - 5), within 3e-15 of the formula (tests/housing). An hour of a bin outdoors takes 34
 * ns instead of 43.
 */
static double saturated_root(double temp_c) {
    static const double c[16] = {
        0.96642427976896028,     0.016865184185692928,    7.7553602917692193e-05,  -7.138651326356298e-08,
        -5.3000141655969333e-10, 2.3795388329556845e-12,  -3.4284116482643267e-15, -1.3241515026639471e-17,
        1.1054865997288148e-19,  -4.2132484873478153e-22, 8.8825271051014634e-25,  6.1354352897839973e-28,
        -1.6341503564637218e-29, 9.4507819607888819e-32,  -3.7138752530914115e-34, 8.7527771166405291e-37,
    };
    if (!(temp_c > -50.0 && temp_c < 60.0)) {
        const double clamped_c = temp_c > MAX_SATURATION_C   ? MAX_SATURATION_C
                                 : temp_c > MIN_SATURATION_C ? temp_c
                                                             : MIN_SATURATION_C;
        return sqrt(0.6108 * wg_exp(17.27 * clamped_c / (clamped_c + 237.3)));
    }
    /* Estrin's scheme: independent terms */
    const double t = temp_c - 5.0, t2 = t * t, t4 = t2 * t2, t8 = t4 * t4;
    const double low = ((c[0] + t * c[1]) + t2 * (c[2] + t * c[3])) + t4 * ((c[4] + t * c[5]) + t2 * (c[6] + t * c[7]));
    const double high =
        ((c[8] + t * c[9]) + t2 * (c[10] + t * c[11])) + t4 * ((c[12] + t * c[13]) + t2 * (c[14] + t * c[15]));
    const double root = low + t8 * high;
    return root * root;
}

/* The linearised heat balance of a substep. */
struct balance {
    double start_c, inflow_w; /* without metabolic heat by temperature */
    double z, k_w;            /* of wg_one_node_from(), without the slope of that heat */
    double w_k;               /* 1 / k_w */
};

/* Metabolic heat by temperature and its slope. */
struct linear_heat {
    double w, w_k;
};

/* Linearises the curve of wg_bin_heat; where feed limits it, the slope is 0. */
static inline struct linear_heat linear_heat_at(const struct wg_bin_heat *heat, double temp_c, double fuel_w) {
    const double above = temp_c - heat->from_c, below = heat->to_c - temp_c;
    if (!(above > 0.0 && below > 0.0 && temp_c > 0.0))
        return (struct linear_heat){0.0, 0.0};
    /* Root and quotient are independent: the slope is on the critical path. */
    const double decline = heat->root == 2.0 ? sqrt(below) : wg_exp(wg_log_of_normal(below) / heat->root);
    const double rise = temp_c * above, fall = rise / (heat->root * below), scale_w = heat->curve_w * decline;
    if (!(scale_w * rise < fuel_w))
        return (struct linear_heat){fuel_w, 0.0};
    return (struct linear_heat){scale_w * rise, scale_w * ((temp_c + above) - fall)};
}

/*
 * Solves a balance with metabolic heat and the mat; fills the hour and returns the end temperature. The metabolic heat
 * is the residual of the balance: from the tangent, infinitely steep at the end of the curve, it would suffer
 * cancellation.
 */
static inline double solve_balance(const struct balance *b, struct linear_heat metabolic, struct wg_bin_hour *hour,
                                   const struct wg_bin_day *day) {
    struct wg_one_node node;
    wg_one_node_from(&node, b->start_c, b->inflow_w + metabolic.w, b->z + metabolic.w_k * b->k_w, b->k_w);
    hour->mat_w = hour->short_w = 0.0;
    if (day->mat_w > 0.0 && node.end_c < day->set_point_c) {
        const double need_w = (day->set_point_c - node.end_c) / node.end_k_w;
        hour->mat_w = need_w < day->mat_w ? need_w : day->mat_w;
        hour->short_w = need_w - hour->mat_w;
        node.end_c += hour->mat_w * node.end_k_w;
        node.mean_c += hour->mat_w * node.mean_k_w;
    }
    hour->mean_c = node.mean_c;
    hour->larvae_w = 0.0;
    if (metabolic.w > 0.0) {
        const double stored_k = (node.end_c - b->start_c) - b->z * (node.mean_c - b->start_c);
        hour->larvae_w = stored_k * b->w_k - (b->inflow_w + hour->mat_w);
    }
    return node.end_c;
}

/* ---- steady state ---- */

/* Net inflow at a temperature, W, without larvae and mat; *loss_w_k is minus its derivative. */
static double inflow_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around, double temp_c,
                       double *loss_w_k) {
    const double per_k = 1.0 / ((temp_c > MIN_SATURATION_C ? temp_c : MIN_SATURATION_C) + 237.3),
                 root = saturated_root(temp_c), es_kpa = root * root;
    const double wet_w_kpa = es_kpa > around->vapour_kpa ? day->wet_w_kpa : 0.0;
    *loss_w_k = day->wall_w_k + day->ground_w_k + wet_w_kpa * es_kpa * 4098.0 * (per_k * per_k);
    return day->wall_w_k * (around->air_c - temp_c) + day->ground_w_k * (around->soil_c - temp_c) +
           day->sun_m2 * around->sun_w_m2 - wet_w_kpa * (es_kpa - around->vapour_kpa);
}

double wg_bin_need_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around) {
    double loss_w_k;
    const double in_w = inflow_w(day, around, day->set_point_c, &loss_w_k);
    return in_w < 0.0 ? -in_w : 0.0;
}

/* Newton's method; the inflow is concave in temperature, so it converges monotonically after the first step. */
static double equilibrium_with_mat_c(const struct wg_bin_day *day, const struct wg_bin_surroundings *around,
                                     double mat_w) {
    double temp_c = around->air_c;
    for (int i = 0; i < 30; i++) {
        double loss_w_k;
        const double in_w = inflow_w(day, around, temp_c, &loss_w_k) + mat_w;
        if (!(loss_w_k > 0.0))
            break; /* no heat exchange at all */
        temp_c += in_w / loss_w_k;
        if (fabs(in_w) < 1e-6 * loss_w_k)
            break;
    }
    return temp_c;
}

double wg_bin_equilibrium_c(const struct wg_bin_day *day, const struct wg_bin_surroundings *around) {
    const double alone_c = equilibrium_with_mat_c(day, around, 0.0);
    if (!(day->mat_w > 0.0) || alone_c >= day->set_point_c)
        return alone_c;
    return fmin(day->set_point_c, equilibrium_with_mat_c(day, around, day->mat_w));
}

/* ---- one hour ---- */

/*
 * Limits metabolic heat where the tangent would heat the bin past the end of the curve, cool it, or use more than the
 * fuel: to what just reaches that temperature, like a thermostat, to 0, or to all the fuel.
 */
__attribute__((noinline)) static double limit_metabolic_heat(const struct balance *b, struct wg_bin_hour *hour,
                                                             const struct wg_bin_day *day, double fuel_w) {
    struct wg_one_node node;
    wg_one_node_from(&node, b->start_c, b->inflow_w, b->z, b->k_w);
    const double reach_w = (day->heat->to_c - node.end_c) / node.end_k_w;
    double w = hour->larvae_w < reach_w ? hour->larvae_w : reach_w; /* larvae_w may be NaN */
    w = w < fuel_w ? w : fuel_w;
    return solve_balance(b, (struct linear_heat){w > 0.0 ? w : 0.0, 0.0}, hour, day);
}

/*
 * Advances by one substep. The inflow is evaluated at its start, where the tangents touch, and es is not expanded: the
 * critical path to the end temperature is then little more than es and psi, which took 50 ns off the 650 of a day.
 */
static inline double advance_substep(double temp_c, struct wg_bin_hour *hour, const struct wg_bin_day *day,
                                     const struct wg_bin_surroundings *around, struct linear_heat metabolic, double k_w,
                                     double w_k) {
    const double per_k = 1.0 / ((temp_c > MIN_SATURATION_C ? temp_c : MIN_SATURATION_C) + 237.3);
    const double root = saturated_root(temp_c), es_kpa = root * root;
    const double wet_w_kpa = es_kpa > around->vapour_kpa ? day->wet_w_kpa : 0.0;
    const double wet_w = wet_w_kpa * (es_kpa - around->vapour_kpa);
    const double per_es = wet_w_kpa * 4098.0 * (per_k * per_k); /* eq. 13: slope of evaporation, W/K, divided by es */
    const double dry_w = day->wall_w_k * (around->air_c - temp_c) + day->ground_w_k * (around->soil_c - temp_c) +
                         (day->larvae_w + day->sun_m2 * around->sun_w_m2);
    const struct balance b = {
        .start_c = temp_c,
        .inflow_w = dry_w - wet_w,
        .z = (day->wall_w_k + day->ground_w_k) * -k_w - root * (root * (per_es * k_w)),
        .k_w = k_w,
        .w_k = w_k,
    };
    double end_c = solve_balance(&b, metabolic, hour, day);
    if (metabolic.w > 0.0 && !(end_c <= day->heat->to_c && hour->larvae_w >= 0.0 && hour->larvae_w <= around->fuel_w))
        end_c = limit_metabolic_heat(&b, hour, day, around->fuel_w);
    hour->evaporation_w = wet_w + es_kpa * per_es * (hour->mean_c - temp_c);
    return end_c;
}

/*
 * Substeps of an hour: as many as keep the rise by metabolic heat below half a kelvin each, in which larvae eat 3 %
 * more. 0.25, 0.5 and 1 K give the same crawl-off, within 0.2 %, in bins with up to 300,000 larvae. Near the end of
 * the curve, where the heat is small but would be large after slight cooling, the rise is evaluated half a kelvin
 * lower.
 */
#define SUBSTEP_K 0.5
#define MAX_SUBSTEPS 24

static inline double metabolic_rise_k(const struct wg_bin_heat *heat, struct linear_heat now, double temp_c,
                                      double fuel_w, double k_w) {
    const double near_c = heat->to_c - SUBSTEP_K;
    return k_w * (temp_c < near_c ? now.w : linear_heat_at(heat, near_c, fuel_w).w);
}

/* Not inline, to spare registers in the common case: few bins are so full. */
__attribute__((noinline)) static double advance_in_substeps(double temp_c, struct wg_bin_hour *hour,
                                                            const struct wg_bin_day *day,
                                                            const struct wg_bin_surroundings *around, int n) {
    const double share = 1.0 / n, k_w = share * WG_HOUR_S / day->heat_j_k, w_k = n * day->heat_j_k / WG_HOUR_S;
    struct wg_bin_hour sum = {0};
    for (int i = 0; i < n; i++) {
        temp_c =
            advance_substep(temp_c, hour, day, around, linear_heat_at(day->heat, temp_c, around->fuel_w), k_w, w_k);
        sum.mean_c += share * hour->mean_c;
        sum.larvae_w += share * hour->larvae_w;
        sum.evaporation_w += share * hour->evaporation_w;
        sum.mat_w += share * hour->mat_w;
    }
    sum.short_w = hour->short_w;
    *hour = sum;
    return temp_c;
}

double wg_bin_hour_from(double temp_c, struct wg_bin_hour *hour, const struct wg_bin_day *day,
                        const struct wg_bin_surroundings *around) {
    const double k_w = WG_HOUR_S / day->heat_j_k;
    struct linear_heat metabolic = {0.0, 0.0};
    if (day->heat != NULL) {
        metabolic = linear_heat_at(day->heat, temp_c, around->fuel_w);
        const double rise_k = metabolic_rise_k(day->heat, metabolic, temp_c, around->fuel_w, k_w);
        if (rise_k > SUBSTEP_K) {
            const int n = rise_k < SUBSTEP_K * MAX_SUBSTEPS ? (int)ceil(rise_k / SUBSTEP_K) : MAX_SUBSTEPS;
            return advance_in_substeps(temp_c, hour, day, around, n);
        }
    }
    return advance_substep(temp_c, hour, day, around, metabolic, k_w, day->heat_j_k * (1.0 / WG_HOUR_S));
}
