/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Judges the conditions on which the keeper acts, once a day, before anything else is done.
 */
#include "base/clamp.h"
#include "colony/state.h"

static int64_t flies_in(const struct wg_place_colony *place) {
    return wg_pool_count(&place->virgin) + wg_pool_count(&place->mated) + wg_pool_count(&place->spent) +
           wg_pool_count(&place->male);
}

static int64_t larvae_in(const struct wg_colony *colony, int p) {
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, p, &n_bins);
    int64_t larvae = 0;
    for (int b = first; b < first + n_bins; b++)
        larvae += wg_pool_count(&colony->bin[b].larva);
    return larvae;
}

static bool has_crawled_off(const struct wg_colony *colony, int p) {
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, p, &n_bins);
    const double *const yesterday = colony->diary->bin_crawl_off + (ptrdiff_t)(colony->day - 1) * colony->diary->n_bins;
    for (int b = first; b < first + n_bins && colony->day > 0; b++)
        if (yesterday[b] > 0)
            return true;
    return false;
}

#define NOON 12

/* The lowest outdoor temperature from today's noon to tomorrow's; on the last day to midnight. */
static double coming_night_c(const struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    const int32_t today = plan->first_day + colony->day;
    double low_c = colony->sky.air_c[NOON];
    for (int h = NOON; h < 24; h++)
        low_c = wg_lesser(low_c, colony->sky.air_c[h]);
    if (today == plan->last_day)
        return low_c;
    struct wg_sky tomorrow;
    wg_climate_sky(colony->world->climate, colony->weather, today + 1, &tomorrow);
    for (int h = 0; h < NOON; h++)
        low_c = wg_lesser(low_c, tomorrow.air_c[h]);
    return low_c;
}

static int64_t animals_in(const struct wg_colony *colony, int p) {
    const struct wg_pool *pool[WG_PLACE_POOLS];
    int n_bins;
    const int first = wg_place_bins(colony->world->plan, p, &n_bins);
    int64_t animals = 0;
    wg_place_pools(&colony->place[p], pool);
    for (int i = 0; i < WG_PLACE_POOLS; i++)
        animals += wg_pool_count(pool[i]);
    for (int b = first; b < first + n_bins; b++)
        animals += wg_pool_count(&colony->bin[b].egg) + wg_pool_count(&colony->bin[b].larva);
    return animals;
}

static bool are_ours_dead(const struct wg_colony *colony) {
    for (int p = 0; p < colony->world->plan->n_places; p++)
        if (!colony->world->plan->places[p].is_neighbour && animals_in(colony, p) > 0)
            return false;
    return true;
}

bool wg_when_holds(const struct wg_colony *colony, int p, const struct wg_when *when) {
    switch (when->kind) {
    case WG_WHEN_FLIES:
        return flies_in(&colony->place[p]) > 0;
    case WG_WHEN_CRAWL_OFF:
        return has_crawled_off(colony, p);
    case WG_WHEN_ASLEEP:
    case WG_WHEN_AWAKE:
        return (flies_in(&colony->place[p]) + larvae_in(colony, p) > 0) == (when->kind == WG_WHEN_AWAKE);
    case WG_WHEN_COLD_NIGHT:
        return coming_night_c(colony) < when->below_c;
    case WG_WHEN_OURS_DEAD:
        return are_ours_dead(colony);
    case WG_WHEN_ALWAYS:
    case WG_N_WHENS:
        break;
    }
    return true;
}

/* An action with a condition is done once, on the first of its days on which that holds. */
static void judge_actions(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        struct wg_waiting *const waiting = &colony->waiting[i];
        if (action->when.kind == WG_WHEN_ALWAYS)
            continue;
        waiting->is_due = !waiting->is_done && wg_action_is_due(action, plan->first_day + colony->day) &&
                          wg_when_holds(colony, wg_action_place(plan, action), &action->when);
        waiting->is_done = waiting->is_done || waiting->is_due;
    }
}

void wg_step_conditions_of_day(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int p = 0; p < plan->n_places; p++) {
        struct wg_place_settings *const settings = &colony->place[p].settings;
        int n_bins;
        const int first = wg_place_bins(plan, p, &n_bins);
        settings->heater_waits = !wg_when_holds(colony, p, &plan->places[p].heater.when);
        settings->lamps_wait = !wg_when_holds(colony, p, &plan->places[p].shelter.lamp_when);
        for (int b = 0; b < n_bins; b++)
            settings->mat_waits[b] = !wg_when_holds(colony, p, &plan->bins[first + b].spec.mat.when);
    }
    judge_actions(colony);
}
