/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Writes the state at the end of a day into the diary, by stage, generation, place and bin. */
#include "colony/state.h"

#include <math.h>
#include <string.h>

/* Individuals alive today, of generations first..end-1; the others are not initialised. */
struct alive {
    int first, end;
    int64_t count[WG_MAX_GENERATIONS][WG_N_STAGES];
};

static void extend_generations(struct alive *alive, int generation) {
    if (alive->first == alive->end)
        alive->first = alive->end = generation;
    while (alive->first > generation)
        memset(alive->count[--alive->first], 0, sizeof *alive->count);
    while (alive->end <= generation)
        memset(alive->count[alive->end++], 0, sizeof *alive->count);
}

static int64_t count_living(const struct wg_pool *pool, enum wg_stage stage, struct alive *alive) {
    int64_t all = 0;
    for (int i = 0; i < pool->n; i++) {
        const int generation = wg_lineage_generation(pool->cohort[i].lineage);
        if (generation < alive->first || generation >= alive->end)
            extend_generations(alive, generation);
        alive->count[generation][stage] += pool->cohort[i].count;
        all += pool->cohort[i].count;
    }
    return all;
}

static void record_alive(struct wg_colony *colony, const struct alive *alive) {
    struct wg_diary *const diary = colony->diary;
    int64_t *const today = diary->count + (ptrdiff_t)colony->day * WG_N_STAGES;
    for (int g = alive->first; g < alive->end; g++)
        for (int stage = 0; stage < WG_N_STAGES; stage++)
            today[stage] += alive->count[g][stage];
    colony->alive = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        colony->alive += today[stage];
    wg_diary_set_living(diary, colony->day, alive->first, alive->end - alive->first, alive->count[alive->first]);
}

/* The 24 hours of a medium; with one step a day they are those of the step. */
static struct wg_hours hours_of_day(const struct wg_medium *medium) {
    return medium->hours.n == 24 ? medium->hours : wg_hours_of(medium->today_c, 24);
}

static void record_bin(struct wg_colony *colony, int b, struct alive *alive) {
    const struct wg_plan *const plan = colony->world->plan;
    struct wg_bin_state *const bin = &colony->bin[b];
    struct wg_diary *const diary = colony->diary;
    const size_t at = (size_t)colony->day * (size_t)plan->n_bins + (size_t)b;
    const struct wg_hours hours = hours_of_day(&bin->substrate);
    const int64_t eggs = count_living(&bin->egg, WG_EGG, alive);
    diary->bin_larvae[at] = count_living(&bin->larva, WG_LARVA, alive);
    diary->animals[colony->day * diary->n_places + plan->bins[b].place] += eggs + diary->bin_larvae[at];
    diary->bin_larval_mass[at] = wg_pool_mass_kg(&bin->larva);
    diary->larval_mass[colony->day] += diary->bin_larval_mass[at];
    diary->feed_left[at] = bin->pile.usable_kg;
    diary->residue[at] = bin->pile.residue_kg + bin->pile.frass_kg;
    diary->bin_temperature[at] = hours.sum_c / 24;
    diary->bin_high[at] = hours.warmest_c;
    memcpy(bin->yesterday_c, hours.temp_c, sizeof bin->yesterday_c);
}

void wg_days_push(double days_c[7], double mean_c) {
    memmove(days_c + 1, days_c, 6 * sizeof *days_c);
    days_c[0] = mean_c;
}

static void store_yesterday(struct wg_place_colony *place, double air_c, double ground_c) {
    wg_days_push(place->air_days_c, air_c);
    wg_days_push(place->ground_days_c, ground_c);
    memcpy(place->air_yesterday_c, place->hours.air_c, sizeof place->air_yesterday_c);
    memcpy(place->ground_yesterday_c, place->hours.ground_c, sizeof place->ground_yesterday_c);
}

void wg_place_push_history(struct wg_place_colony *place) {
    store_yesterday(place, wg_hours_of(place->hours.air_c, 24).sum_c / 24,
                    wg_hours_of(place->hours.ground_c, 24).sum_c / 24);
}

void wg_place_pools(const struct wg_place_colony *place, const struct wg_pool *pool[WG_PLACE_POOLS]) {
    int n = 0;
    pool[n++] = &place->trap;
    pool[n++] = &place->prepupa;
    pool[n++] = &place->asleep;
    pool[n++] = &place->waking;
    pool[n++] = &place->pupa;
    pool[n++] = &place->virgin;
    pool[n++] = &place->mated;
    pool[n++] = &place->spent;
    pool[n++] = &place->male;
    wg_assert(n == WG_PLACE_POOLS);
}

const char *wg_place_pool_name(int i) {
    static const char *const name[WG_PLACE_POOLS] = {"trap",   "prepupa", "asleep", "waking", "pupa",
                                                     "virgin", "mated",   "spent",  "male"};
    return name[i];
}

static void record_place(struct wg_colony *colony, int p, struct alive *alive) {
    struct wg_place_colony *const place = &colony->place[p];
    struct wg_diary *const diary = colony->diary;
    const size_t at = (size_t)colony->day * (size_t)diary->n_places + (size_t)p;
    static const enum wg_stage stage[WG_PLACE_POOLS] = {WG_EGG,    WG_PREPUPA, WG_DORMANT, WG_DORMANT, WG_PUPA,
                                                        WG_FEMALE, WG_FEMALE,  WG_FEMALE,  WG_MALE};
    const struct wg_pool *pool[WG_PLACE_POOLS];
    wg_place_pools(place, pool);
    for (int i = 0; i < WG_PLACE_POOLS; i++)
        diary->animals[at] += count_living(pool[i], stage[i], alive);
    diary->eggs_in_traps[at] = wg_pool_count(&place->trap);
    const struct wg_hours air = hours_of_day(&place->in_air), ground = hours_of_day(&place->in_ground);
    diary->air_temperature[at] = air.sum_c / 24;
    diary->air_low[at] = air.coldest_c;
    diary->ground_temperature[at] = ground.sum_c / 24;
    store_yesterday(place, diary->air_temperature[at], diary->ground_temperature[at]);
}

static int hours_without_mains(const struct wg_colony *colony) {
    int hours = 0;
    for (int h = 0; h < 24; h++)
        hours += colony->power_out[h];
    return hours;
}

void wg_step_record(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    struct alive alive;
    alive.first = alive.end = 0;
    for (int b = 0; b < plan->n_bins; b++)
        record_bin(colony, b, &alive);
    for (int p = 0; p < plan->n_places; p++)
        record_place(colony, p, &alive);
    record_alive(colony, &alive);
    struct wg_diary *const diary = colony->diary;
    const double left = (double)diary->crawl_off_count[colony->day];
    diary->grub_mass[colony->day] = left > 0 ? 1000 * diary->crawl_off_mass[colony->day] / left : (double)NAN;
    diary->outdoor_temperature[colony->day] = colony->sky.mean_c;
    wg_days_push(colony->sky_days_c, colony->sky.mean_c);
    diary->power_out_hours[colony->day] = hours_without_mains(colony);
}
