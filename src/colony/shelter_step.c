/*
 * How warm is it? The one place where the colony's heat meets the housing: the
 * feed eaten in the last step goes in as watts, temperatures come back. What
 * microbes eat warms nothing, so a sour, overfed bin stays cooler than a real
 * one (judgement).
 */
#include "colony/state.h"

#include <math.h>
#include <string.h>

int wg_place_bins(const struct wg_plan *plan, int place, int *n_bins) {
    int first = 0;
    while (first < plan->n_bins && plan->bins[first].place < place)
        first++;
    int end = first;
    while (end < plan->n_bins && plan->bins[end].place == place)
        end++;
    *n_bins = end - first;
    return first;
}

int wg_place_is_open(const struct wg_plan *plan, int place) {
    const enum wg_housing_kind kind = plan->places[place].shelter.kind;
    return kind == WG_OUTDOORS || kind == WG_HOOP_HOUSE;
}

/* Hours from..to-1 with the mains on or off throughout. */
static void run_stretch(struct wg_colony *colony, int p, int from, int to) {
    const struct wg_plan *const plan = colony->world->plan;
    struct wg_place_live *const place = &colony->place[p];
    struct wg_diary *const diary = colony->diary;
    int n_bins;
    const int first = wg_place_bins(plan, p, &n_bins);
    double watts[WG_MAX_BINS_PER_PLACE], substrate_kg[WG_MAX_BINS_PER_PLACE];
    for (int b = 0; b < n_bins; b++) {
        const struct wg_bin_state *const bin = &colony->bin[first + b];
        const double larvae_kg = wg_pool_mass_kg(&bin->larva);
        watts[b] = bin->eaten_kg * plan->species.heat_per_dry_feed / (colony->dt_day * 86400);
        substrate_kg[b] = plan->bins[first + b].spec.substrate_kg + (larvae_kg < 1e6 ? larvae_kg : 1e6);
    }
    wg_place_run(&place->air, &colony->world->places[p], &place->settings, &colony->sky, from, to, watts, substrate_kg,
                 colony->power_out[from], &place->hours);
    const size_t at = (size_t)colony->day * (size_t)plan->n_places + (size_t)p;
    diary->heater_energy[at] += place->hours.heater_kwh + place->hours.mats_kwh + place->hours.lamps_kwh;
    diary->heater_cost[at] += place->hours.cost;
    for (int b = 0; b < n_bins; b++) {
        double *const short_w = &diary->mat_short[(size_t)colony->day * (size_t)plan->n_bins + (size_t)(first + b)];
        if (place->hours.mat_short_w[b] > *short_w)
            *short_w = place->hours.mat_short_w[b];
    }
    if (place->hours.heater_short_w > diary->heater_short[at])
        diary->heater_short[at] = place->hours.heater_short_w;
}

/* Hour of the step up to which the mains stay as they are in hour `from`. */
static int stays_until(const struct wg_colony *colony, int from) {
    int h = from + 1;
    while (h < colony->to && colony->power_out[h] == colony->power_out[from])
        h++;
    return h;
}

void wg_step_shelter(struct wg_colony *colony) {
    for (int p = 0; p < colony->world->plan->n_places; p++) {
        for (int from = colony->from, to; from < colony->to; from = to) {
            to = stays_until(colony, from);
            run_stretch(colony, p, from, to);
        }
    }
}
