/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs a colony day by day, in this order:
 *
 *   weather -> settings -> keeper's other actions -> shelter and bins -> feed and ration,
 *   development, death, stage changes -> flies: ageing, laying, mating, visitors
 *   -> entry into the next stages -> mishaps -> ledgers
 *
 * The keeper acts, and pools grow, only in the first step of a day. The diary is written at the end of the last step,
 * before the ledgers, which use its count.
 */
#include "colony/money.h"
#include "colony/state.h"

#include <stdlib.h>
#include <string.h>

/* Days for which houses and bins run empty before the first day. Judgement: more than the week of the seven-day means,
 * and several time constants of any house or bin. */
#define SPIN_UP_DAYS 10

static void empty_pools(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int b = 0; b < plan->n_bins; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        *bin = (struct wg_bin_state){.egg = {.capacity = bin->egg.capacity, .cohort = bin->egg.cohort},
                                     .larva = {.capacity = bin->larva.capacity, .cohort = bin->larva.cohort}};
    }
    for (int p = 0; p < plan->n_places; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        place->spring_day = -1;
        place->trap.n = place->prepupa.n = place->asleep.n = place->waking.n = place->pupa.n = 0;
        place->virgin.n = place->mated.n = place->spent.n = place->male.n = 0;
        struct wg_flow *const flow[] = {&place->crawled, &place->resumed, &place->pupated, &place->emerged,
                                        &place->trapped};
        for (size_t i = 0; i < sizeof flow / sizeof *flow; i++)
            flow[i]->n_lineages = 0;
    }
}

/* Runs houses and bins through the spin-up days, without animals and with the mains on. */
static void spin_up_places(struct wg_colony *colony, const struct wg_weather *weather) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int back = SPIN_UP_DAYS; back >= 1; back--) {
        struct wg_sky sky;
        wg_climate_sky(colony->world->climate, weather, plan->first_day - back, &sky);
        wg_days_push(colony->sky_days_c, sky.mean_c);
        for (int p = 0; p < plan->n_places; p++) {
            struct wg_place_colony *const place = &colony->place[p];
            const struct wg_place_model *const model = &colony->world->places[p];
            if (back == SPIN_UP_DAYS) {
                wg_place_settings_start(&place->settings, model);
                wg_place_start(&place->air, model, &sky);
            }
            wg_place_run(&place->air, model, &place->settings, &sky, 0, 24, NULL, NULL, false, &place->hours);
            wg_place_push_history(place);
        }
    }
    for (int b = 0; b < plan->n_bins; b++) {
        int n_bins;
        const int p = plan->bins[b].place, first = wg_place_bins(plan, p, &n_bins);
        memcpy(colony->bin[b].yesterday_c, colony->place[p].hours.bin_c[b - first], sizeof colony->bin[b].yesterday_c);
    }
}

/* The scratch must hold the largest pool. */
static int reserve_cohort_steps(struct wg_colony *colony, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    int capacity = 0;
    for (int b = 0; b < plan->n_bins; b++) {
        capacity = colony->bin[b].egg.capacity > capacity ? colony->bin[b].egg.capacity : capacity;
        capacity = colony->bin[b].larva.capacity > capacity ? colony->bin[b].larva.capacity : capacity;
    }
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_pool *pool[WG_PLACE_POOLS];
        wg_place_pools(&colony->place[p], pool);
        for (int i = 0; i < WG_PLACE_POOLS; i++)
            capacity = pool[i]->capacity > capacity ? pool[i]->capacity : capacity;
    }
    if (capacity <= colony->step_capacity)
        return 0;
    struct wg_cohort_step *const grown = realloc(colony->steps, (size_t)capacity * sizeof *grown);
    if (grown == NULL)
        return wg_no_memory(err, NULL);
    colony->steps = grown;
    colony->step_capacity = capacity;
    return 0;
}

/* Reserves the cohorts that a day can add: one for each lineage, step and source. */
static int reserve_day(struct wg_colony *colony, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    const int per_source = colony->world->n_lineages * plan->steps_per_day;
    int code = 0;
    for (int b = 0; b < plan->n_bins && code == 0; b++) {
        struct wg_bin_state *const bin = &colony->bin[b];
        code = wg_pool_reserve(&bin->egg, per_source, err);
        if (code == 0)
            code = wg_pool_reserve(&bin->larva, per_source, err);
    }
    for (int p = 0; p < plan->n_places && code == 0; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        struct wg_pool *const pool[] = {&place->trap, &place->prepupa, &place->asleep,
                                        &place->pupa, &place->virgin,  &place->male};
        for (size_t i = 0; i < sizeof pool / sizeof *pool && code == 0; i++)
            code = wg_pool_reserve(pool[i], 2 * per_source, err);
        /*
         * In each step every dormant cohort may begin to accumulate heat, every virgin cohort mate, every mated one
         * lay.
         */
        const int steps = plan->steps_per_day;
        if (code == 0)
            code = wg_pool_reserve(&place->waking, place->asleep.n + per_source, err);
        if (code == 0)
            code = wg_pool_reserve(&place->mated, steps * (place->virgin.n + per_source), err);
        if (code == 0)
            code = wg_pool_reserve(&place->spent, steps * (place->mated.n + place->virgin.n + 2 * per_source), err);
    }
    return code == 0 ? reserve_cohort_steps(colony, err) : code;
}

static void advance_colony(struct wg_colony *colony) {
    wg_step_conditions(colony);
    wg_step_bins(colony);
    wg_step_ground(colony);
    wg_step_adults(colony);
    wg_step_enter(colony);
    wg_step_mishaps(colony);
    if (colony->to < 24)
        wg_step_ledger(colony);
}

static void mark_pool(struct wg_pool *pool) {
    for (int i = 0; i < pool->n; i++)
        pool->cohort[i].lineage = wg_lineage(wg_lineage_generation(pool->cohort[i].lineage), 1);
}

/* All immatures alive on the first day of spring have overwintered; prepupae stocked later may have, too. */
static void mark_overwintered(struct wg_colony *colony) {
    for (int b = 0; b < colony->world->plan->n_bins; b++) {
        mark_pool(&colony->bin[b].egg);
        mark_pool(&colony->bin[b].larva);
    }
    for (int p = 0; p < colony->world->plan->n_places; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        mark_pool(&place->trap);
        mark_pool(&place->prepupa);
        mark_pool(&place->asleep);
        mark_pool(&place->waking);
        mark_pool(&place->pupa);
        place->spring_day = colony->day;
    }
}

static int simulate_day(struct wg_colony *colony, const struct wg_weather *weather, struct wg_error *err) {
    const struct wg_world *const world = colony->world;
    const int hours = 24 / world->plan->steps_per_day;
    wg_climate_sky(world->climate, weather, world->plan->first_day + colony->day, &colony->sky);
    wg_mishaps_draw(colony);
    if (wg_spring_begins(world->plan, world->plan->first_day + colony->day))
        mark_overwintered(colony);
    colony->dt_day = hours / 24.0;
    for (colony->from = 0; colony->from < 24; colony->from += hours) {
        colony->to = colony->from + hours;
        if (colony->from == 0)
            wg_step_settings(colony);
        if (colony->from == 0) {
            int code = wg_step_actions(colony, err);
            if (code == 0)
                code = reserve_day(colony, err);
            if (code < 0)
                return code;
        }
        wg_step_shelter(colony);
        advance_colony(colony);
    }
    wg_step_record(colony);
    wg_step_ledger(colony); /* of the last step, with the count of wg_step_record() */
    return 0;
}

int wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                  struct wg_diary *diary, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    empty_pools(colony);
    colony->ledger = (struct wg_ledger){0};
    colony->chance = chance;
    colony->mishap = mishap;
    colony->diary = diary;
    colony->weather = weather;
    memset(colony->waiting, 0, (size_t)plan->n_actions * sizeof *colony->waiting);
    colony->power_out_to_h = 0;
    colony->overgrown = 0;
    wg_diary_clear(diary);
    diary->stopped_day = -1;
    spin_up_places(colony, weather);
    for (colony->day = 0; colony->day < diary->n_days; colony->day++) {
        const int code = simulate_day(colony, weather, err);
        if (code < 0)
            return code;
        if (colony->overgrown || colony->alive > WG_MAX_INDIVIDUALS) {
            diary->stopped_day = plan->first_day + colony->day;
            break;
        }
    }
    wg_diary_finish(diary);
    wg_money_finish(diary, plan);
    return 0;
}
