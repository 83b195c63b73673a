/**
 * How warm is it in the bin?
 *
 * One node, the substrate with the larvae in it, and one hour:
 *   C dT/dt = U A (Ta - T) + Ug (Tsoil - T) + larvae + sun + mat - evaporation
 *
 * Evaporation from the wet surface: q = (89 + 78.2 v)(es(T) - ea) W per m2 and
 * kPa, v the air's speed in m/s (Carrier's equation for open water, in the
 * ASHRAE handbook; MEMORY), times the top area and a factor for lid and drain.
 * es is taken along its tangent at the temperature the hour starts with, which
 * keeps the step exact; so is the heat of the larvae, which eat more as they warm
 * their bin and stop where it is too warm (struct wg_bin_heat): an exponential step
 * of Rosenbrock's kind (Hochbruck & Ostermann 2010, Acta Numer. 19:209, MEMORY).
 * Vapour that would condense on a cold bin is ignored.
 * Not in it: the heat of freezing (a wet bin resists hard frost better than
 * this says), the moisture lost, any difference between middle and edge.
 */
#include "housing/bin.h"

#include "base/elementary.h"

#include <math.h>

/* Specific heat of moist food, kJ/(kg K) (Siebel 1892, in the ASHRAE Refrigeration handbook): 0.837 + 3.349 X. */
#define DRY_J_KG_K 837.0
#define WATER_J_KG_K 3349.0
/* Beyond these saturation is taken for what it is here: far from anything that lives, and its formula has a pole. */
#define COLDEST_C (-100.0)
#define BOILS_C 100.0
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
 * The root of the saturation pressure over water, kPa^(1/2): Allen et al. 1998, FAO-56 eq. 11.
 *
 * Every hour of a bin waits for the end of the hour before, and most of its time went by in this exponential and its
 * division. So the pressure's fourth root, which is nearly straight, is read from a polynomial: Chebyshev interpolation
 * in 16 points of -50..60 degC, in powers of (T - 5), within 3e-15 of the formula (tests/housing). The hour of a bin
 * outdoors fell from 43 to 34 ns.
 */
static double saturated_root(double temp_c) {
    static const double c[16] = {
        0.96642427976896028,     0.016865184185692928,    7.7553602917692193e-05,  -7.138651326356298e-08,
        -5.3000141655969333e-10, 2.3795388329556845e-12,  -3.4284116482643267e-15, -1.3241515026639471e-17,
        1.1054865997288148e-19,  -4.2132484873478153e-22, 8.8825271051014634e-25,  6.1354352897839973e-28,
        -1.6341503564637218e-29, 9.4507819607888819e-32,  -3.7138752530914115e-34, 8.7527771166405291e-37,
    };
    if (!(temp_c > -50.0 && temp_c < 60.0)) {
        const double held_c = temp_c > BOILS_C ? BOILS_C : temp_c > COLDEST_C ? temp_c : COLDEST_C;
        return sqrt(0.6108 * wg_exp(17.27 * held_c / (held_c + 237.3)));
    }
    /* in pairs, pairs of pairs and so on, so that they overlap */
    const double t = temp_c - 5.0, t2 = t * t, t4 = t2 * t2, t8 = t4 * t4;
    const double low = ((c[0] + t * c[1]) + t2 * (c[2] + t * c[3])) + t4 * ((c[4] + t * c[5]) + t2 * (c[6] + t * c[7]));
    const double high =
        ((c[8] + t * c[9]) + t2 * (c[10] + t * c[11])) + t4 * ((c[12] + t * c[13]) + t2 * (c[14] + t * c[15]));
    const double root = low + t8 * high;
    return root * root;
}

/* A part of an hour as linear as it is taken to be. */
struct balance {
    double start_c, inflow_w; /* without the bin's curve of heat */
    double z, k_w;            /* of wg_one_node_from(), without the slope of that curve */
    double w_k;               /* 1 / k_w */
};

/* The curve of heat along its tangent. */
struct linear_heat {
    double w, w_k;
};

/* The curve of wg_bin_heat and its slope; where the feed limits it, it is flat. */
static inline struct linear_heat linear_heat_at(const struct wg_bin_heat *heat, double temp_c, double fuel_w) {
    const double over = temp_c - heat->from_c, room = heat->to_c - temp_c;
    if (!(over > 0.0 && room > 0.0 && temp_c > 0.0))
        return (struct linear_heat){0.0, 0.0};
    /* written so that root and quotient do not wait for each other: the end of the hour waits for the slope */
    const double brake = heat->root == 2.0 ? sqrt(room) : wg_pow(room, 1.0 / heat->root);
    const double rise = temp_c * over, fall = rise / (heat->root * room), scale_w = heat->curve_w * brake;
    if (!(scale_w * rise < fuel_w))
        return (struct linear_heat){fuel_w, 0.0};
    return (struct linear_heat){scale_w * rise, scale_w * ((temp_c + over) - fall)};
}

/*
 * The end of a balance with so much heat and the mat; fills the hour. What the curve gave is what all else leaves to it: along
 * the tangent, which is infinitely steep where the curve ends, it would be a difference of two great numbers.
 */
static inline double solve_balance(const struct balance *b, struct linear_heat glow, struct wg_bin_hour *hour,
                                   const struct wg_bin_day *day) {
    struct wg_one_node node;
    wg_one_node_from(&node, b->start_c, b->inflow_w + glow.w, b->z + glow.w_k * b->k_w, b->k_w);
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
    if (glow.w > 0.0) {
        const double stored_k = (node.end_c - b->start_c) - b->z * (node.mean_c - b->start_c);
        hour->larvae_w = stored_k * b->w_k - (b->inflow_w + hour->mat_w);
    }
    return node.end_c;
}

/* ---- at rest ---- */

/* What flows in at a temperature, W, without larvae and mat, and by how much less it is for a K more. */
static double inflow_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around, double temp_c,
                       double *less_w_k) {
    const double per_k = 1.0 / ((temp_c > COLDEST_C ? temp_c : COLDEST_C) + 237.3), root = saturated_root(temp_c),
                 es_kpa = root * root;
    const double wet_w_kpa = es_kpa > around->vapour_kpa ? day->wet_w_kpa : 0.0;
    *less_w_k = day->wall_w_k + day->ground_w_k + wet_w_kpa * es_kpa * 4098.0 * (per_k * per_k);
    return day->wall_w_k * (around->air_c - temp_c) + day->ground_w_k * (around->soil_c - temp_c) +
           day->sun_m2 * around->sun_w_m2 - wet_w_kpa * (es_kpa - around->vapour_kpa);
}

double wg_bin_need_w(const struct wg_bin_day *day, const struct wg_bin_surroundings *around) {
    double less_w_k;
    const double in_w = inflow_w(day, around, day->set_point_c, &less_w_k);
    return in_w < 0.0 ? -in_w : 0.0;
}

/* The inflow is concave in the temperature, so Newton's steps come down on the root from above after the first. */
static double equilibrium_with_mat_c(const struct wg_bin_day *day, const struct wg_bin_surroundings *around,
                                     double mat_w) {
    double temp_c = around->air_c;
    for (int i = 0; i < 30; i++) {
        double less_w_k;
        const double in_w = inflow_w(day, around, temp_c, &less_w_k) + mat_w;
        if (!(less_w_k > 0.0))
            break; /* it exchanges no heat with anything */
        temp_c += in_w / less_w_k;
        if (fabs(in_w) < 1e-6 * less_w_k)
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

/* ---- an hour ---- */

/*
 * Along its tangent the curve would warm the bin past the temperature at which it ends, or cool it, or take more than there
 * is: what is given then is what just reaches that temperature, as a thermostat would have it, or nothing, or all there is.
 */
__attribute__((noinline)) static double settle_within(const struct balance *b, struct wg_bin_hour *hour,
                                                      const struct wg_bin_day *day, double fuel_w) {
    struct wg_one_node node;
    wg_one_node_from(&node, b->start_c, b->inflow_w, b->z, b->k_w);
    const double reach_w = (day->heat->to_c - node.end_c) / node.end_k_w;
    double w = hour->larvae_w < reach_w ? hour->larvae_w : reach_w; /* the former may be no number */
    w = w < fuel_w ? w : fuel_w;
    return solve_balance(b, (struct linear_heat){w > 0.0 ? w : 0.0, 0.0}, hour, day);
}

/*
 * What flows in is told at the start of the part, where the tangents touch, and es is not multiplied out: so the end, for
 * which the next hour waits, waits for little else than es and psi. It took 50 ns off a day's 650.
 */
static inline double advance_part(double temp_c, struct wg_bin_hour *hour, const struct wg_bin_day *day,
                                  const struct wg_bin_surroundings *around, struct linear_heat glow, double k_w,
                                  double w_k) {
    const double per_k = 1.0 / ((temp_c > COLDEST_C ? temp_c : COLDEST_C) + 237.3);
    const double root = saturated_root(temp_c), es_kpa = root * root;
    const double wet_w_kpa = es_kpa > around->vapour_kpa ? day->wet_w_kpa : 0.0;
    const double wet_w = wet_w_kpa * (es_kpa - around->vapour_kpa);
    const double per_es = wet_w_kpa * 4098.0 * (per_k * per_k); /* eq. 13: slope of evaporation, W/K, over es */
    const double dry_w = day->wall_w_k * (around->air_c - temp_c) + day->ground_w_k * (around->soil_c - temp_c) +
                         (day->larvae_w + day->sun_m2 * around->sun_w_m2);
    const struct balance b = {
        .start_c = temp_c,
        .inflow_w = dry_w - wet_w,
        .z = (day->wall_w_k + day->ground_w_k) * -k_w - root * (root * (per_es * k_w)),
        .k_w = k_w,
        .w_k = w_k,
    };
    double end_c = solve_balance(&b, glow, hour, day);
    if (glow.w > 0.0 && !(end_c <= day->heat->to_c && hour->larvae_w >= 0.0 && hour->larvae_w <= around->fuel_w))
        end_c = settle_within(&b, hour, day, around->fuel_w);
    hour->evaporation_w = wet_w + es_kpa * per_es * (hour->mean_c - temp_c);
    return end_c;
}

/*
 * In how many parts an hour is lived. Half a kelvin is where larvae eat 3 % more: 0.25, 0.5 and 1 K give the same
 * crawl-off, to 0.2 %, of bins with up to 300,000 larvae. Near the end of their curve, where they give little but would
 * give much as soon as the bin has cooled a little, they count as so much cooler.
 */
#define PART_K 0.5
#define MAX_PARTS 24

static inline double warms_k(const struct wg_bin_heat *heat, struct linear_heat now, double temp_c, double fuel_w,
                             double k_w) {
    const double near_c = heat->to_c - PART_K;
    return k_w * (temp_c < near_c ? now.w : linear_heat_at(heat, near_c, fuel_w).w);
}

/* Not inline: few bins are so full, and the others should keep what they have in registers. */
__attribute__((noinline)) static double live_in_parts(double temp_c, struct wg_bin_hour *hour,
                                                      const struct wg_bin_day *day,
                                                      const struct wg_bin_surroundings *around, int n) {
    const double share = 1.0 / n, k_w = share * WG_HOUR_S / day->heat_j_k, w_k = n * day->heat_j_k / WG_HOUR_S;
    struct wg_bin_hour sum = {0};
    for (int i = 0; i < n; i++) {
        temp_c = advance_part(temp_c, hour, day, around, linear_heat_at(day->heat, temp_c, around->fuel_w), k_w, w_k);
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
    struct linear_heat glow = {0.0, 0.0};
    if (day->heat != NULL) {
        glow = linear_heat_at(day->heat, temp_c, around->fuel_w);
        const double rise_k = warms_k(day->heat, glow, temp_c, around->fuel_w, k_w);
        if (rise_k > PART_K) {
            const int n = rise_k < PART_K * MAX_PARTS ? (int)ceil(rise_k / PART_K) : MAX_PARTS;
            return live_in_parts(temp_c, hour, day, around, n);
        }
    }
    return advance_part(temp_c, hour, day, around, glow, k_w, day->heat_j_k * (1.0 / WG_HOUR_S));
}
