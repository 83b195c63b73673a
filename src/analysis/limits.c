/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lifts limits by changing numbers in a copy of a plan.
 */
#include "analysis/limits.h"

#include <stdlib.h>
#include <string.h>

#define FEED_KG_PER_M3 30.0
#define SMALL_START 1000 /* individuals: judgement */
#define MORE_START 10

/* Sets a number for every animal of the plan. */
#define SET(plan, member, value)                                                                                       \
    ((plan)->species.member = (value), (plan)->is_given[offsetof(struct wg_species, member) / sizeof(double)] = true)

/* ---- which limits a plan has ---- */

static bool has_every_plan(const struct wg_plan *plan) {
    (void)plan;
    return true;
}

static bool has_limited_feed(const struct wg_plan *plan) {
    return !plan->feed_unlimited && plan->n_bins > 0;
}

static bool has_males_needed(const struct wg_plan *plan) {
    return plan->species.males_needed > 0;
}

static bool has_small_start(const struct wg_plan *plan) {
    int64_t count = 0;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (a->kind == WG_ACTION_START)
            count += a->as.start.count >= 0 && a->as.start.count < SMALL_START ? a->as.start.count : SMALL_START;
    }
    return count > 0 && count < SMALL_START;
}

static bool has_raids(const struct wg_plan *plan) {
    return plan->mishaps.raids_per_year > 0 && plan->mishaps.raid_share > 0;
}

static bool has_power_cuts(const struct wg_plan *plan) {
    return plan->mishaps.power_cuts_per_year > 0 && plan->mishaps.power_cut_hours > 0 && wg_plan_draws_power(plan);
}

/* True if a place's traps are pulled and their eggs taken away. */
static bool loses_trapped_eggs(const struct wg_plan *plan, int place) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (a->kind == WG_ACTION_PULL_TRAPS && a->as.pull.put_in < 0 && a->place == place)
            return true;
    }
    return false;
}

/* True if an action takes animals out of the colony. */
static bool is_taking(const struct wg_action *a) {
    return a->kind == WG_ACTION_COLLECT || a->kind == WG_ACTION_SCOOP ||
           (a->kind == WG_ACTION_PULL_TRAPS && a->as.pull.put_in < 0);
}

static bool has_harvest(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (is_taking(&plan->actions[i]))
            return true;
    return false;
}

/* ---- lifting ---- */

static void lift_cold(struct wg_plan *plan) {
    SET(plan, cold_egg.h4, 0);
    SET(plan, cold_young_larva.h4, 0);
    SET(plan, cold_old_larva.h4, 0);
    SET(plan, cold_prepupa.h4, 0);
    SET(plan, cold_pupa.h4, 0);
    SET(plan, cold_adult.h4, 0);
    SET(plan, freeze_hazard, 0);
}

static void lift_heat(struct wg_plan *plan) {
    SET(plan, heat_chronic, 0);
    SET(plan, heat_acute, 0);
}

double wg_limit_feed_kg(const struct wg_bin_plan *bin) {
    return FEED_KG_PER_M3 * bin->spec.volume_m3;
}

/*
 * Adds feed to each bin. (Unlimited feed would let a colony grow past what can be counted; a starvation hazard of 0
 * would leave unfed larvae too small to pupate.)
 */
static void lift_hunger(struct wg_plan *plan) {
    for (int b = 0; b < plan->n_bins; b++)
        plan->actions[plan->n_actions++] = (struct wg_action){
            .kind = WG_ACTION_FEED,
            .from = plan->first_day,
            .to = plan->last_day,
            .every = 1,
            .bin = b,
            .place = -1,
            .as.feed = {.type = wg_feed_find("kitchen scraps"), .wet_kg = wg_limit_feed_kg(&plan->bins[b])}};
    wg_plan_sort(plan);
}

static void lift_air(struct wg_plan *plan) {
    SET(plan, mate_air_c, 0);
    SET(plan, lay_air_c, 0);
}

static void lift_light(struct wg_plan *plan) {
    SET(plan, mate_light_w_m2, 0);
}

static void lift_males(struct wg_plan *plan) {
    SET(plan, males_needed, 0);
}

static void lift_start(struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_START)
            plan->actions[i].as.start.count *= MORE_START;
}

/* Removes the harvest, and the traps whose eggs are taken away. */
static void lift_harvest(struct wg_plan *plan) {
    bool taken[WG_MAX_PLACES] = {false};
    int kept = 0;
    for (int p = 0; p < plan->n_places && p < WG_MAX_PLACES; p++)
        taken[p] = loses_trapped_eggs(plan, p);
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const a = &plan->actions[i];
        if (!is_taking(a) && !(a->kind == WG_ACTION_LAY_IN_TRAPS && taken[a->place]))
            plan->actions[kept++] = *a;
    }
    plan->n_actions = kept;
}

static void lift_raids(struct wg_plan *plan) {
    plan->mishaps.raids_per_year = 0;
}

static void lift_power_cuts(struct wg_plan *plan) {
    plan->mishaps.power_cuts_per_year = 0;
}

static const struct {
    const char *name;
    bool (*applies)(const struct wg_plan *plan);
    void (*lift)(struct wg_plan *plan);
} limits[WG_N_LIMITS] = {
    [WG_LIMIT_COLD] = {"cold", has_every_plan, lift_cold},
    [WG_LIMIT_HEAT] = {"heat", has_every_plan, lift_heat},
    [WG_LIMIT_HUNGER] = {"hunger", has_limited_feed, lift_hunger},
    [WG_LIMIT_AIR] = {"cool air", has_every_plan, lift_air},
    [WG_LIMIT_LIGHT] = {"too little light", has_every_plan, lift_light},
    [WG_LIMIT_MALES] = {"too few males", has_males_needed, lift_males},
    [WG_LIMIT_START] = {"small start", has_small_start, lift_start},
    [WG_LIMIT_HARVEST] = {"harvest", has_harvest, lift_harvest},
    [WG_LIMIT_RAIDS] = {"raids", has_raids, lift_raids},
    [WG_LIMIT_POWER_CUTS] = {"power cuts", has_power_cuts, lift_power_cuts},
};

const char *wg_limit_name(enum wg_limit limit) {
    wg_assert(limit < WG_N_LIMITS);
    return limits[limit].name;
}

bool wg_limit_applies(enum wg_limit limit, const struct wg_plan *plan) {
    wg_assert(limit < WG_N_LIMITS);
    return limits[limit].applies(plan);
}

void wg_lift(struct wg_plan *copy, enum wg_limit limit) {
    wg_assert(limit < WG_N_LIMITS);
    limits[limit].lift(copy);
}

/* ---- the copy ---- */

int wg_lifted_copy(struct wg_plan *copy, const struct wg_plan *plan, struct wg_error *err) {
    const size_t actions = (size_t)plan->n_actions, places = (size_t)plan->n_places, bins = (size_t)plan->n_bins;
    *copy = *plan;
    copy->actions = calloc(actions + (size_t)plan->n_bins + 1, sizeof *plan->actions); /* lift_hunger() adds some */
    copy->places = calloc(places + 1, sizeof *plan->places);
    copy->bins = calloc(bins + 1, sizeof *plan->bins);
    if (copy->actions == NULL || copy->places == NULL || copy->bins == NULL)
        return wg_no_memory(err, NULL);
    if (actions > 0)
        memcpy(copy->actions, plan->actions, actions * sizeof *plan->actions);
    if (bins > 0)
        memcpy(copy->bins, plan->bins, bins * sizeof *plan->bins);
    memcpy(copy->places, plan->places, places * sizeof *plan->places);
    return 0;
}

void wg_lifted_free(struct wg_plan *copy) {
    free(copy->actions);
    free(copy->places);
    free(copy->bins);
    *copy = (struct wg_plan){0};
}

bool wg_plan_is_heated(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].heater.power_w > 0)
            return true;
    return false;
}

void wg_lifted_set_point(struct wg_plan *copy, double celsius) {
    for (int p = 0; p < copy->n_places; p++) {
        copy->places[p].heater.set_point_c = celsius;
        copy->places[p].heater.starts_off = false;
    }
    for (int i = 0; i < copy->n_actions; i++)
        if (copy->actions[i].kind == WG_ACTION_SET && copy->actions[i].as.set.key == WG_SET_SET_POINT)
            copy->actions[i].as.set.value = celsius;
}
