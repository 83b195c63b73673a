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
 * keeps the step exact. Vapour that would condense on a cold bin is ignored.
 * Not in it: the heat of freezing (a wet bin resists hard frost better than
 * this says), the moisture lost, any difference between middle and edge.
 */
#include "housing/bin.h"

#include "base/quick.h"

#include <math.h>

/* Specific heat of moist food, kJ/(kg K) (Siebel 1892, in the ASHRAE Refrigeration handbook): 0.837 + 3.349 X. */
#define DRY_J_KG_K 837.0
#define WATER_J_KG_K 3349.0
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
    day->mat_w = mat_w;
    day->set_point_c = set_point_c;
}

/* Evaporation as fixed_w + slope_w_k x T near temp_c. */
struct evaporation {
    double fixed_w, slope_w_k;
};
static struct evaporation evaporation_near(double temp_c, double vapour_kpa, double wet_w_kpa) {
    /* Saturation pressure over water, kPa, and its slope: Allen et al. 1998, FAO-56 eq. 11 and 13. */
    const double es_kpa = 0.6108 * wg_exp(17.27 * temp_c / (temp_c + 237.3));
    if (es_kpa <= vapour_kpa)
        return (struct evaporation){0.0, 0.0};
    const double slope_kpa_k = 4098.0 * es_kpa / ((temp_c + 237.3) * (temp_c + 237.3));
    return (struct evaporation){
        .fixed_w = wet_w_kpa * (es_kpa - vapour_kpa - slope_kpa_k * temp_c),
        .slope_w_k = wet_w_kpa * slope_kpa_k,
    };
}

void wg_bin_hour(struct wg_bin_hour *hour, double *temp_c, const struct wg_bin_day *day,
                 const struct wg_bin_around *around) {
    const struct evaporation wet = evaporation_near(*temp_c, around->vapour_kpa, day->wet_w_kpa);
    const double supply_w = day->wall_w_k * around->air_c + day->ground_w_k * around->soil_c + day->larvae_w +
                            day->sun_m2 * around->sun_w_m2 - wet.fixed_w;
    struct wg_one_node node;
    wg_one_node_hour(&node, *temp_c, supply_w, day->wall_w_k + day->ground_w_k + wet.slope_w_k, day->heat_j_k);
    hour->mat_w = hour->short_w = 0.0;
    if (day->mat_w > 0.0 && node.end_c < day->set_point_c) {
        const double need_w = (day->set_point_c - node.end_c) / node.end_k_w;
        hour->mat_w = fmin(need_w, day->mat_w);
        hour->short_w = need_w - hour->mat_w;
    }
    *temp_c = node.end_c + hour->mat_w * node.end_k_w;
    hour->mean_c = node.mean_c + hour->mat_w * node.mean_k_w;
    hour->evaporation_w = wet.fixed_w + wet.slope_w_k * hour->mean_c;
}
