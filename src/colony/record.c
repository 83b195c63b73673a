/*
 * What is written down of a day? Its state at the end, by stage, generation, place and bin.
 */
#include "colony/state.h"

#include <math.h>
#include <string.h>

/* Individuals alive today. */
struct alive {
    int64_t count[WG_MOST_GENERATIONS][WG_N_STAGES];
};

static void count(const struct wg_pool *pool, enum wg_stage stage, struct alive *alive) {
    for (int i = 0; i < pool->n; i++)
        alive->count[wg_line_generation(pool->cohort[i].line)][stage] += pool->cohort[i].count;
}

static void record_alive(struct wg_colony *colony, const struct alive *alive) {
    struct wg_diary *const diary = colony->diary;
    int64_t *const today = diary->count + (ptrdiff_t)colony->day * WG_N_STAGES;
    for (int g = 0; g < diary->n_generations; g++)
        for (int stage = 0; stage < WG_N_STAGES; stage++)
            today[stage] += alive->count[g][stage];
    wg_diary_set_living(diary, colony->day, alive->count[0]);
}

static double mean24(const double hours[24]) {
    double sum = 0;
    for (int h = 0; h < 24; h++)
        sum += hours[h];
    return sum / 24;
}

static double highest(const double hours[24]) {
    double top = hours[0];
    for (int h = 1; h < 24; h++)
        top = hours[h] > top ? hours[h] : top;
    return top;
}

static double lowest(const double hours[24]) {
    double low = hours[0];
    for (int h = 1; h < 24; h++)
        low = hours[h] < low ? hours[h] : low;
    return low;
}

static void record_bin(struct wg_colony *colony, int b, struct alive *alive) {
    const struct wg_plan *const plan = colony->world->plan;
    struct wg_bin_state *const bin = &colony->bin[b];
    struct wg_diary *const diary = colony->diary;
    const size_t at = (size_t)colony->day * (size_t)plan->n_bins + (size_t)b;
    int n_bins;
    const int p = plan->bins[b].place;
    const double *const hours_c = colony->place[p].hours.bin_c[b - wg_place_bins(plan, p, &n_bins)];
    count(&bin->egg, WG_EGG, alive);
    count(&bin->larva, WG_LARVA, alive);
    diary->bin_larvae[at] = wg_pool_count(&bin->larva);
    diary->bin_larval_mass[at] = wg_pool_mass_kg(&bin->larva);
    diary->larval_mass[colony->day] += diary->bin_larval_mass[at];
    diary->feed_left[at] = bin->pile.usable_kg;
    diary->residue[at] = bin->pile.residue_kg + bin->pile.frass_kg;
    diary->bin_temperature[at] = mean24(hours_c);
    diary->bin_high[at] = highest(hours_c);
    memcpy(bin->yesterday_c, hours_c, sizeof bin->yesterday_c);
}

/* Moves a list of daily means on by one day. */
static void push(double days_c[7], double mean_c) {
    memmove(days_c + 1, days_c, 6 * sizeof *days_c);
    days_c[0] = mean_c;
}

void wg_place_remember(struct wg_place_live *place) {
    push(place->air_days_c, mean24(place->hours.air_c));
    push(place->ground_days_c, mean24(place->hours.ground_c));
    memcpy(place->air_yesterday_c, place->hours.air_c, sizeof place->air_yesterday_c);
    memcpy(place->ground_yesterday_c, place->hours.ground_c, sizeof place->ground_yesterday_c);
}

void wg_place_pools(const struct wg_place_live *place, const struct wg_pool *pool[WG_PLACE_POOLS]) {
    const struct wg_pool *const all[WG_PLACE_POOLS] = {&place->trap,   &place->prepupa, &place->asleep,
                                                       &place->waking, &place->pupa,    &place->virgin,
                                                       &place->mated,  &place->spent,   &place->male};
    memcpy(pool, all, sizeof all);
}

static void record_place(struct wg_colony *colony, int p, struct alive *alive) {
    struct wg_place_live *const place = &colony->place[p];
    struct wg_diary *const diary = colony->diary;
    const size_t at = (size_t)colony->day * (size_t)diary->n_places + (size_t)p;
    static const enum wg_stage stage[WG_PLACE_POOLS] = {WG_EGG,    WG_PREPUPA, WG_DORMANT, WG_DORMANT, WG_PUPA,
                                                        WG_FEMALE, WG_FEMALE,  WG_FEMALE,  WG_MALE};
    const struct wg_pool *pool[WG_PLACE_POOLS];
    wg_place_pools(place, pool);
    for (int i = 0; i < WG_PLACE_POOLS; i++)
        count(pool[i], stage[i], alive);
    diary->eggs_in_traps[at] = wg_pool_count(&place->trap);
    diary->air_temperature[at] = mean24(place->hours.air_c);
    diary->air_low[at] = lowest(place->hours.air_c);
    diary->ground_temperature[at] = mean24(place->hours.ground_c);
    wg_place_remember(place);
}

void wg_step_record(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    struct alive alive = {0};
    for (int b = 0; b < plan->n_bins; b++)
        record_bin(colony, b, &alive);
    for (int p = 0; p < plan->n_places; p++)
        record_place(colony, p, &alive);
    record_alive(colony, &alive);
    struct wg_diary *const diary = colony->diary;
    const double left = (double)diary->crawl_off_count[colony->day];
    diary->grub_mass[colony->day] = left > 0 ? 1000 * diary->crawl_off_mass[colony->day] / left : (double)NAN;
    diary->outdoor_temperature[colony->day] = mean24(colony->sky.air_c);
    for (int h = 0; h < 24; h++)
        diary->power_out_hours[colony->day] += wg_power_is_out(colony, h);
}
