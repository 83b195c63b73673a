/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Applies the keeper's actions of a day, in the order of enum wg_action_kind.
 */
#include "colony/money.h"
#include "colony/state.h"
#include "species/breeding.h"
#include "species/growth.h"

#include <math.h>

/* ---- starters ---- */

static int64_t starters(const struct wg_action *action, double one_g) {
    if (action->as.start.count >= 0)
        return action->as.start.count;
    return (int64_t)llround(action->as.start.mass_kg * 1000 / one_g);
}

#define SPRING_DAYS 181 /* 1 February to 31 July, 1 August to 28 January */

/* Prepupae stocked in spring, before the first fly emerges at the place, have overwintered elsewhere. */
static int has_overwintered(const struct wg_colony *colony, const struct wg_place_colony *place) {
    return place->spring_day >= 0 && colony->day - place->spring_day < SPRING_DAYS;
}

static int start_cohort(struct wg_colony *colony, const struct wg_action *action, struct wg_error *err) {
    const struct wg_world *const world = colony->world;
    const struct wg_species *const species = &world->plan->species;
    struct wg_bin_state *const bin = &colony->bin[action->bin];
    int64_t count = 0;
    double one_g = species->final_mass_g;
    switch (action->as.start.what) {
    case WG_MOVABLE_EGGS: {
        if (wg_pool_reserve(&bin->egg, 1, err) < 0)
            return WG_ERR_MEMORY;
        one_g = species->egg_mass_g;
        count = starters(action, one_g);
        wg_pool_add(&bin->egg, &(struct wg_cohort){.count = count});
        break;
    }
    case WG_MOVABLE_LARVAE: {
        if (wg_pool_reserve(&bin->larva, 1, err) < 0)
            return WG_ERR_MEMORY;
        const double x = wg_larva_x_at_age(species, action->as.start.age_days);
        const double share = wg_cohort_mean_share(&world->growth, x);
        one_g = species->final_mass_g * share;
        count = starters(action, one_g);
        wg_pool_add(&bin->larva,
                    &(struct wg_cohort){.count = count,
                                        .x = x,
                                        .log_s = wg_clock_log_survival(&world->clocks.stage[WG_CLOCK_LARVA], x),
                                        .mass_g = one_g,
                                        .share = share});
        break;
    }
    case WG_MOVABLE_PREPUPAE: { /* like all starters they live the whole first day: no hazard or development yet */
        struct wg_conditions none = {.known = 1};
        const int p = world->plan->bins[action->bin].place;
        struct wg_flow put_in;
        put_in.n_lineages = 0;
        if (wg_pool_reserve(&colony->place[p].prepupa, 1, err) < 0 ||
            wg_pool_reserve(&colony->place[p].asleep, 1, err) < 0)
            return WG_ERR_MEMORY;
        count = starters(action, one_g);
        const int lineage = wg_lineage(0, has_overwintered(colony, &colony->place[p]));
        wg_flow_add(&put_in, lineage, count, species->final_mass_g);
        wg_enter_ground(colony, p, &put_in, &none, &none);
        break;
    }
    }
    colony->ledger.started += count;
    colony->diary->put_in[colony->day] += count;
    wg_money_pay_starter(colony->diary, action, (double)count, (double)count * one_g / 1000);
    return 0;
}

/* ---- feed ---- */

/* Fed as eaten, at least this much fresh feed lies in a bin and draws flies, though no larva eats yet. Judgement. */
#define BAIT_KG 0.05

/* The wet weight of a feeding: fixed, or what the larvae will eat until the next one less what lies there. */
static double feed_amount_kg(const struct wg_colony *colony, const struct wg_action *action,
                             const struct wg_feed_type *type) {
    const double usable = (1 - type->moisture) * type->usable, worth = usable * type->conversion;
    const struct wg_bin_contents *const pile = &colony->bin[action->bin].pile;
    if (!action->as.feed.as_eaten)
        return action->as.feed.wet_kg;
    if (!(worth > 0))
        return 0;
    const double appetite_kg = wg_bin_appetite_kg(colony, action->bin, type->quality, action->every);
    const double wanted_kg = (appetite_kg - pile->conversion_kg) / worth;
    const double bait_kg = BAIT_KG - pile->usable_kg / usable;
    return fmin(fmax(0, fmax(wanted_kg, bait_kg)), action->as.feed.wet_kg);
}

static void add_feed(struct wg_colony *colony, const struct wg_action *action) {
    const struct wg_feed_type *const type = wg_plan_feed(colony->world->plan, action->as.feed.type);
    struct wg_bin_contents *const pile = &colony->bin[action->bin].pile;
    const double wet_kg = feed_amount_kg(colony, action, type), dry_kg = wet_kg * (1 - type->moisture);
    const double usable_kg = dry_kg * type->usable;
    pile->usable_kg += usable_kg;
    pile->residue_kg += dry_kg - usable_kg;
    pile->quality_kg += usable_kg * type->quality;
    pile->conversion_kg += usable_kg * type->conversion;
    colony->ledger.feed_given_kg += usable_kg;
    const size_t at = (size_t)colony->day * (size_t)colony->world->plan->n_bins + (size_t)action->bin;
    colony->diary->feed_given[at] += dry_kg;
    colony->diary->feed_fresh[at] += wet_kg;
    wg_money_pay_feed(colony->diary, action, wet_kg);
}

static void clear(struct wg_colony *colony, const struct wg_action *action) {
    struct wg_bin_contents *const pile = &colony->bin[action->bin].pile;
    wg_money_sell_residue(colony->diary, colony->world->plan, action->bin,
                          action->as.clear.share * (pile->residue_kg + pile->frass_kg));
    pile->residue_kg *= 1 - action->as.clear.share;
    pile->frass_kg *= 1 - action->as.clear.share;
}

/* ---- moving and removing animals ---- */

struct removed {
    int64_t count;
    double kg;
};

/* Removes a share of each of the first n cohorts of a pool; appends them to another pool unless `to` is NULL. */
static struct removed remove_share(struct wg_colony *colony, struct wg_pool *from, int n, struct wg_pool *to,
                                   double share) {
    struct removed taken = {0};
    for (int i = 0; i < n; i++) {
        struct wg_cohort part = from->cohort[i];
        part.count = wg_binomial(colony->chance, part.count, share);
        from->cohort[i].count -= part.count;
        taken.count += part.count;
        taken.kg += (double)part.count * part.mass_g / 1000;
        if (to != NULL)
            wg_pool_add(to, &part);
    }
    return taken;
}

static struct removed remove_from_pool(struct wg_colony *colony, struct wg_pool *from, double share) {
    const struct removed taken = remove_share(colony, from, from->n, NULL, share);
    wg_pool_compact(from);
    return taken;
}

/* Between wg_pool_begin_moves() and wg_pool_end_moves(): moves a share of the animals in the pool this morning. */
static int move_pool(struct wg_colony *colony, struct wg_pool *from, struct wg_pool *to, enum wg_stage stage,
                     double share, struct wg_error *err) {
    if (wg_pool_reserve(to, from->held, err) < 0)
        return WG_ERR_MEMORY;
    const double share_of_rest = from->moved < 1 ? fmin(1, share / (1 - from->moved)) : 0;
    from->moved += share;
    const struct removed moved = remove_share(colony, from, from->held, to, share_of_rest);
    colony->diary->moved[(size_t)colony->day * WG_N_STAGES + stage] += moved.count;
    return 0;
}

/* All moves of a day act on the morning's state, so that a rotation a to b, b to c moves no animal twice. */
static void for_each_pool(struct wg_colony *colony, void (*each)(struct wg_pool *)) {
    for (int b = 0; b < colony->world->plan->n_bins; b++) {
        each(&colony->bin[b].egg);
        each(&colony->bin[b].larva);
    }
    for (int p = 0; p < colony->world->plan->n_places; p++) {
        struct wg_place_colony *const place = &colony->place[p];
        each(&place->prepupa);
        each(&place->asleep);
        each(&place->waking);
        each(&place->pupa);
    }
}

static int move(struct wg_colony *colony, const struct wg_action *action, struct wg_error *err) {
    const double share = action->as.move.share;
    if (action->as.move.what == WG_MOVABLE_LARVAE)
        return move_pool(colony, &colony->bin[action->bin].larva, &colony->bin[action->as.move.to_bin].larva, WG_LARVA,
                         share, err);
    if (action->as.move.what == WG_MOVABLE_EGGS)
        return move_pool(colony, &colony->bin[action->bin].egg, &colony->bin[action->as.move.to_bin].egg, WG_EGG, share,
                         err);
    struct wg_place_colony *const from = &colony->place[action->place], *const to =
                                                                            &colony->place[action->as.move.to_place];
    int code = move_pool(colony, &from->prepupa, &to->prepupa, WG_PREPUPA, share, err);
    if (code == 0)
        code = move_pool(colony, &from->asleep, &to->asleep, WG_DORMANT, share, err);
    if (code == 0)
        code = move_pool(colony, &from->waking, &to->waking, WG_DORMANT, share, err);
    if (code == 0)
        code = move_pool(colony, &from->pupa, &to->pupa, WG_PUPA, share, err);
    return code;
}

static void scoop(struct wg_colony *colony, const struct wg_action *action) {
    struct wg_pool *const larva = &colony->bin[action->bin].larva;
    double share = action->as.scoop.share;
    if (action->as.scoop.mass_kg >= 0) {
        const double all_kg = wg_pool_mass_kg(larva), available_kg = (1 - action->as.scoop.leave) * all_kg;
        share =
            available_kg > action->as.scoop.mass_kg ? action->as.scoop.mass_kg / all_kg : 1 - action->as.scoop.leave;
        colony->diary->asked_not_there[colony->day] += fmax(0, action->as.scoop.mass_kg - available_kg);
    }
    const struct removed taken = remove_from_pool(colony, larva, share);
    colony->ledger.taken += taken.count;
    colony->diary->harvest_count[colony->day] += taken.count;
    colony->diary->harvest_mass[colony->day] += taken.kg;
}

static int pull_traps(struct wg_colony *colony, const struct wg_action *action, struct wg_error *err) {
    struct wg_pool *const trap = &colony->place[action->place].trap;
    if (action->as.pull.put_in < 0) {
        const int64_t eggs = remove_from_pool(colony, trap, 1).count;
        colony->ledger.taken += eggs;
        colony->diary->eggs_taken[colony->day] += eggs;
        return 0;
    }
    struct wg_pool *const egg = &colony->bin[action->as.pull.put_in].egg;
    if (wg_pool_reserve(egg, trap->n, err) < 0)
        return WG_ERR_MEMORY;
    for (int i = 0; i < trap->n; i++)
        wg_pool_join(egg, &trap->cohort[i]);
    trap->n = 0;
    return 0;
}

/* ---- settings and standing orders ---- */

static void set(struct wg_colony *colony, const struct wg_action *action) {
    const struct wg_plan *const plan = colony->world->plan;
    const int p = action->bin >= 0 ? plan->bins[action->bin].place : action->place;
    struct wg_place_settings *const settings = &colony->place[p].settings;
    int n_bins;
    const int b = action->bin >= 0 ? action->bin - wg_place_bins(plan, p, &n_bins) : 0;
    const double value = action->as.set.value;
    switch (action->as.set.key) {
    case WG_SET_HEATER:
        wg_place_switch(settings, &colony->world->places[p], -1, value > 0, plan->first_day + colony->day);
        break;
    case WG_SET_SET_POINT:
        settings->set_point_c = value;
        break;
    case WG_SET_MAT:
        wg_place_switch(settings, &colony->world->places[p], b, value > 0, plan->first_day + colony->day);
        break;
    case WG_SET_MAT_SET_POINT:
        settings->mat_set_point_c[b] = value;
        break;
    case WG_SET_BIN_U:
        settings->u_bin_w_m2k[b] = value;
        break;
    case WG_SET_BIN_LID:
        settings->lid[b] = value;
        break;
    }
}

static int apply(struct wg_colony *colony, const struct wg_action *action, struct wg_error *err) {
    switch (action->kind) {
    case WG_ACTION_CLEAR:
        clear(colony, action);
        return 0;
    case WG_ACTION_MOVE:
        return move(colony, action, err);
    case WG_ACTION_SCOOP:
        scoop(colony, action);
        return 0;
    case WG_ACTION_PULL_TRAPS:
        return pull_traps(colony, action, err);
    case WG_ACTION_START:
        return start_cohort(colony, action, err);
    case WG_ACTION_FEED:
        add_feed(colony, action);
        return 0;
    case WG_ACTION_COLLECT:
        colony->bin[action->bin].collect_share = action->as.collect.share;
        colony->bin[action->bin].give_back = action->as.collect.give_back;
        return 0;
    case WG_ACTION_LAY_IN_TRAPS:
        colony->place[action->place].trap_share = action->as.traps.share;
        return 0;
    case WG_ACTION_SET: /* wg_step_settings() */
    case WG_N_ACTIONS:
        break;
    }
    wg_assert(action->kind < WG_N_ACTIONS && action->kind != WG_ACTION_SET);
    return 0;
}

static bool is_done_today(const struct wg_colony *colony, int i) {
    const struct wg_plan *const plan = colony->world->plan;
    return plan->actions[i].when.kind == WG_WHEN_ALWAYS
               ? wg_action_is_due(&plan->actions[i], plan->first_day + colony->day)
               : colony->waiting[i].is_due;
}

void wg_step_settings(struct wg_colony *colony) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int p = 0; p < plan->n_places; p++)
        wg_place_settings_day(&colony->place[p].settings, &colony->world->places[p], plan->first_day + colony->day);
    wg_step_conditions_of_day(colony);
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind != WG_ACTION_SET || !is_done_today(colony, i))
            continue;
        set(colony, action);
        colony->diary->actions_done[colony->day]++;
    }
}

/* Whether the oldest eggs in the traps are about to hatch, in air as warm as yesterday's. */
static bool is_hatching(const struct wg_colony *colony, const struct wg_place_colony *place) {
    const struct wg_hours hours = wg_hours_of(place->air_yesterday_c, 24);
    const double dx = wg_pace_sums_of(&colony->world->plan->species, WG_CLOCK_EGG, &hours).development / 24;
    double oldest = 0;
    for (int i = 0; i < place->trap.n; i++)
        oldest = fmax(oldest, place->trap.cohort[i].x);
    return place->trap.n > 0 && oldest + dx >= WG_CUE_HATCH_SHARE;
}

/* Wet substrate weighs about as much as water: two fifths of a bin of 150 L are 60 kg (housing/defaults.c). */
#define SUBSTRATE_KG_M3 1000.0

static bool is_full(const struct wg_colony *colony, int b) {
    const struct wg_bin_spec *const spec = &colony->world->plan->bins[b].spec;
    const struct wg_bin_contents *const pile = &colony->bin[b].pile;
    const double dry_kg = pile->usable_kg + pile->residue_kg + pile->frass_kg;
    return dry_kg >= WG_CUE_FULL_SHARE * spec->volume_m3 * SUBSTRATE_KG_M3 * (1 - spec->moisture);
}

static bool has_cue(const struct wg_colony *colony, const struct wg_action *action) {
    switch (action->cue) {
    case WG_CUE_BEFORE_HATCH:
        return is_hatching(colony, &colony->place[action->place]);
    case WG_CUE_WHEN_FULL:
        return is_full(colony, action->bin);
    case WG_CUE_NONE:
    case WG_N_CUES:
        break;
    }
    return true;
}

int wg_step_actions(struct wg_colony *colony, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    for (int b = 0; b < plan->n_bins; b++)
        colony->bin[b].collect_share = colony->bin[b].give_back = 0;
    for (int p = 0; p < plan->n_places; p++)
        colony->place[p].trap_share = 0;
    bool moving = false;
    for (int i = 0; i < plan->n_actions; i++) {
        if (plan->actions[i].kind == WG_ACTION_SET || !is_done_today(colony, i) || !has_cue(colony, &plan->actions[i]))
            continue;
        if (moving !=
            (plan->actions[i].kind == WG_ACTION_MOVE)) { /* moves are consecutive: actions are sorted by kind */
            moving = !moving;
            for_each_pool(colony, moving ? wg_pool_begin_moves : wg_pool_end_moves);
        }
        const int code = apply(colony, &plan->actions[i], err);
        if (code < 0)
            return code;
        colony->diary->actions_done[colony->day] +=
            plan->actions[i].kind < WG_ACTION_COLLECT; /* later kinds are standing orders */
    }
    if (moving)
        for_each_pool(colony, wg_pool_end_moves);
    return 0;
}
