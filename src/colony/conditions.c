/*
 * What do the hours of a step mean for those who live in them?
 *
 * Development and hazards are summed over the hours, so that a hot noon and a
 * cold night count as they should:  dx = sum r(T_h) / 24,  H = sum h(T_h) / 24.
 * Chronic heat goes by the mean of the last 24 hours, because it was measured
 * at constant temperatures (source at the numbers, species/).
 */
#include "colony/state.h"

double wg_mean24(const double today_c[24], const double yesterday_c[24], int to) {
    double sum = 0;
    for (int h = 0; h < to; h++)
        sum += today_c[h];
    for (int h = to; h < 24; h++)
        sum += yesterday_c[h];
    return sum / 24;
}

static enum wg_cold_line cold_line(enum wg_clock_stage stage) {
    static const enum wg_cold_line line[WG_N_CLOCKS] = {[WG_CLOCK_EGG] = WG_COLD_EGG,
                                                        [WG_CLOCK_LARVA] = WG_COLD_OLD_LARVA,
                                                        [WG_CLOCK_PREPUPA] = WG_COLD_PREPUPA,
                                                        [WG_CLOCK_PUPA] = WG_COLD_PUPA,
                                                        [WG_CLOCK_ADULT] = WG_COLD_ADULT};
    return line[stage];
}

void wg_conditions_set(struct wg_conditions *conditions, const struct wg_species *species, enum wg_clock_stage stage,
                       const double today_c[24], const double yesterday_c[24], int from, int to) {
    const double dt_day = (to - from) / 24.0, *const hours_c = today_c + from;
    const int n = to - from;
    *conditions = (struct wg_conditions){.dx = wg_rate_sum(&species->rate[stage], hours_c, n) / 24};
    double *const hazard = conditions->hazard;
    hazard[WG_CAUSE_BACKGROUND] = species->hazard[stage] * dt_day;
    hazard[WG_CAUSE_HEAT] = wg_hazard_heat_acute_sum(species, hours_c, n) / 24;
    if (stage != WG_CLOCK_ADULT)
        hazard[WG_CAUSE_HEAT] += dt_day * wg_hazard_heat_chronic(species, wg_mean24(today_c, yesterday_c, to));
    hazard[WG_CAUSE_FREEZING] = wg_hazard_freezing_sum(species, stage, hours_c, n) / 24;
    const double cold = wg_hazard_cold_sum(species, cold_line(stage), hours_c, n) / 24;
    if (stage == WG_CLOCK_LARVA) {
        conditions->cold_young = wg_hazard_cold_sum(species, WG_COLD_YOUNG_LARVA, hours_c, n) / 24;
        conditions->cold_old = cold;
    } else {
        hazard[WG_CAUSE_COLD] = cold;
    }
}

double wg_conditions_cold(const struct wg_conditions *conditions, const struct wg_species *species, double x) {
    if (conditions->cold_young <= 0 && conditions->cold_old <= 0)
        return conditions->hazard[WG_CAUSE_COLD];
    return wg_hazard_cold_larva(species, x, conditions->cold_young, conditions->cold_old);
}

void wg_step_conditions(struct wg_colony *colony) {
    const int from = colony->from, to = colony->to;
    const struct wg_plan *const plan = colony->world->plan;
    const struct wg_species *const sp = &plan->species;
    for (int b = 0; b < plan->n_bins; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        const int p = plan->bins[b].place;
        int n_bins;
        const double *const today_c = colony->place[p].hours.bin_c[b - wg_place_bins(plan, p, &n_bins)];
        wg_conditions_set(&bin->egg_now, sp, WG_CLOCK_EGG, today_c, bin->yesterday_c, from, to);
        wg_conditions_set(&bin->larva_now, sp, WG_CLOCK_LARVA, today_c, bin->yesterday_c, from, to);
    }
    for (int p = 0; p < plan->n_places; p++) {
        struct wg_place_live *const pl = &colony->place[p];
        const double *const air_c = pl->hours.air_c, *const ground_c = pl->hours.ground_c;
        wg_conditions_set(&pl->trap_now, sp, WG_CLOCK_EGG, air_c, pl->air_yesterday_c, from, to);
        wg_conditions_set(&pl->adult_now, sp, WG_CLOCK_ADULT, air_c, pl->air_yesterday_c, from, to);
        wg_conditions_set(&pl->pupa_now, sp, WG_CLOCK_PUPA, ground_c, pl->ground_yesterday_c, from, to);
        wg_conditions_set(&pl->prepupa_now, sp, WG_CLOCK_PREPUPA, ground_c, pl->ground_yesterday_c, from, to);
        pl->dormant_now = pl->prepupa_now;
        pl->dormant_now.dx = 0;
        for (int h = from; h < to; h++)
            pl->dormant_now.dx += wg_dormancy_heat(sp, ground_c[h]) / 24;
        if (plan->places[p].ground.dark)
            pl->prepupa_now.dx /= sp->dark_prepupa_factor;
    }
}
