/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Order of actions, spring, generations and power sources of a plan. */
#include "plan/plan.h"

#include "species/dormancy.h"

#include <math.h>
#include <stdlib.h>

const char *wg_action_name(enum wg_action_kind kind) {
    static const char *const name[WG_N_ACTIONS] = {
        [WG_ACTION_SET] = "change",
        [WG_ACTION_CLEAR] = "clear residue",
        [WG_ACTION_MOVE] = "move",
        [WG_ACTION_SCOOP] = "scoop larvae",
        [WG_ACTION_PULL_TRAPS] = "pull traps",
        [WG_ACTION_START] = "starter",
        [WG_ACTION_FEED] = "feed",
        [WG_ACTION_COLLECT] = "collect crawl-off",
        [WG_ACTION_LAY_IN_TRAPS] = "set traps",
    };
    return name[kind];
}

const char *wg_cue_name(enum wg_cue cue) {
    static const char *const name[WG_N_CUES] = {
        [WG_CUE_NONE] = "", [WG_CUE_BEFORE_HATCH] = "before they hatch", [WG_CUE_WHEN_FULL] = "when full"};
    return name[cue];
}

bool wg_action_is_due(const struct wg_action *action, int32_t day) {
    return day >= action->from && day <= action->to && (day - action->from) % action->every == 0;
}

int wg_action_place(const struct wg_plan *plan, const struct wg_action *action) {
    return action->bin >= 0 ? plan->bins[action->bin].place : action->place;
}

bool wg_action_is_same_job(const struct wg_action *a, const struct wg_action *b) {
    return a->kind == WG_ACTION_MOVE && b->kind == WG_ACTION_MOVE && a->as.move.job > 0 &&
           a->as.move.job == b->as.move.job && a->from == b->from;
}

static int compare_actions(const void *a, const void *b) {
    const struct wg_action *const x = a, *const y = b;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    if (x->from != y->from)
        return x->from < y->from ? -1 : 1;
    if (x->line != y->line)
        return x->line < y->line ? -1 : 1;
    return (x->index > y->index) - (x->index < y->index);
}

void wg_plan_sort(struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        plan->actions[i].index = i; /* qsort() is not stable */
    if (plan->n_actions > 1)
        qsort(plan->actions, (size_t)plan->n_actions, sizeof *plan->actions, compare_actions);
}

void wg_plan_free(struct wg_plan *plan) {
    free(plan->places);
    free(plan->bins);
    free(plan->actions);
    free(plan->feeds);
    free(plan->plausible);
    plan->feeds = NULL;
    plan->plausible = NULL;
    plan->places = NULL;
    plan->bins = NULL;
    plan->actions = NULL;
    plan->n_places = plan->n_bins = plan->n_actions = plan->n_feeds = 0;
}

bool wg_spring_begins(const struct wg_plan *plan, int32_t day) {
    const struct wg_date date = wg_date_from_day(day);
    const int month = plan->climate.latitude_deg >= 0 ? 2 : 8;
    return plan->climate.kind != WG_CLIMATE_CONSTANT && date.month == month && date.day == 1;
}

static struct wg_spring spring_of(int year, bool southern, int32_t last_day) {
    const struct wg_date first = southern ? (struct wg_date){year - 1, 8, 1} : (struct wg_date){year, 2, 1};
    const struct wg_date last = southern ? (struct wg_date){year, 1, 31} : (struct wg_date){year, 7, 31};
    const struct wg_date enough = southern ? (struct wg_date){year - 1, 11, 30} : (struct wg_date){year, 5, 31};
    const int32_t from = wg_day_from_date(first), to = wg_day_from_date(last);
    if (from > last_day)
        return (struct wg_spring){.seen = WG_SPRING_NONE};
    if (to <= last_day)
        return (struct wg_spring){WG_SPRING_WHOLE, from, to};
    return (struct wg_spring){wg_day_from_date(enough) <= last_day ? WG_SPRING_CUT : WG_SPRING_TOO_FEW, from, last_day};
}

struct wg_spring wg_spring_within(int32_t first_day, int32_t last_day, bool southern) {
    struct wg_spring best = {.seen = WG_SPRING_NONE};
    if (last_day < first_day)
        return best;
    const int earliest = wg_date_from_day(first_day).year;
    for (int year = wg_date_from_day(last_day).year + (southern ? 1 : 0); year >= earliest && year <= 9999; year--) {
        const struct wg_spring spring = spring_of(year, southern, last_day);
        if (spring.seen > best.seen && spring.from >= first_day)
            best = spring;
    }
    return best;
}

#define TROPICS_DEG 15 /* judgement */

bool wg_plan_is_tropical(const struct wg_plan *plan) {
    const double latitude_deg = plan->climate.latitude_deg;
    return plan->climate.kind != WG_CLIMATE_CONSTANT && latitude_deg < TROPICS_DEG && latitude_deg > -TROPICS_DEG;
}

struct wg_spring wg_plan_spring(const struct wg_plan *plan) {
    if (plan->climate.kind == WG_CLIMATE_CONSTANT || wg_plan_is_tropical(plan))
        return (struct wg_spring){.seen = WG_SPRING_NONE};
    return wg_spring_within(plan->first_day, plan->last_day, plan->climate.latitude_deg < 0);
}

#define EQUATOR_DAY_H 12.1     /* from sunrise to sunset at the equator, on any day (astronomy) */
#define MIN_DORMANT_SHARE 0.05 /* of prepupae in cool ground: judgement */

bool wg_plan_dormancy_is_a_guess(const struct wg_plan *plan) {
    if (!wg_plan_is_tropical(plan))
        return false;
    const struct wg_species *const species = &plan->species;
    const double cool_c = fmin(species->dorm_temp_c, species->dorm_by_cold_c) - 10 * species->dorm_temp_scale;
    return wg_dormancy_chance(species, EQUATOR_DAY_H, cool_c) > MIN_DORMANT_SHARE;
}

const char *wg_animals_name(enum wg_animals animals) {
    static const char *const name[] = {[WG_ANIMALS_MIDDLE] = "middle",
                                       [WG_ANIMALS_PLAUSIBLE] = "plausible",
                                       [WG_ANIMALS_MIDDLE_IN_LATTICE] = "middle in the lattice"};
    return name[animals];
}

int wg_plan_generations(const struct wg_plan *plan) {
    /* In ten warm years the generations alive at once spread over about twenty, and later more slowly (simulated).
     * Egg to egg takes about 37 days at the best temperatures (the shortest stage durations and waits of the default
     * parameters); 28 leaves a margin for the fastest individuals. */
    const int days = (int)(plan->last_day - plan->first_day) + 1;
    const int generations = 3 + days / 28;
    return generations < 64 ? generations : 64;
}

/* ---- power sources ---- */

bool wg_plan_source(const struct wg_plan *plan, int i, struct wg_source *source) {
    for (int p = 0; p < plan->n_places; p++) {
        const struct wg_place_plan *const place = &plan->places[p];
        if (place->heater.power_w > 0 && i-- == 0) {
            *source = (struct wg_source){WG_SOURCE_HEATER, place->name, true, !isnan(place->heater.price_per_kwh)};
            return true;
        }
        const struct wg_shelter_spec *const shelter = &place->shelter;
        if (shelter->lamp_hours > 0 && i-- == 0) {
            *source = (struct wg_source){WG_SOURCE_LAMPS, place->name, !isnan(shelter->lamp_power_w),
                                         !isnan(shelter->lamp_price_per_kwh)};
            return true;
        }
    }
    for (int b = 0; b < plan->n_bins; b++) {
        const struct wg_heater_spec *const mat = &plan->bins[b].spec.mat;
        if (mat->power_w > 0 && i-- == 0) {
            *source = (struct wg_source){WG_SOURCE_MAT, plan->bins[b].name, true, !isnan(mat->price_per_kwh)};
            return true;
        }
    }
    return false;
}

const char *wg_source_name(enum wg_source_kind kind) {
    static const char *const name[] = {
        [WG_SOURCE_HEATER] = "heater", [WG_SOURCE_MAT] = "mat", [WG_SOURCE_LAMPS] = "lamps"};
    return name[kind];
}

bool wg_plan_draws_power(const struct wg_plan *plan) {
    struct wg_source source;
    return wg_plan_source(plan, 0, &source);
}

bool wg_plan_has_source(const struct wg_plan *plan, enum wg_source_kind kind) {
    struct wg_source source;
    for (int i = 0; wg_plan_source(plan, i, &source); i++)
        if (source.kind == kind)
            return true;
    return false;
}

bool wg_plan_has_cost(const struct wg_plan *plan, struct wg_source *first) {
    for (int i = 0; wg_plan_source(plan, i, first); i++)
        if (!first->has_power || !first->has_price)
            return false;
    return true;
}

bool wg_plan_has_neighbour(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].is_neighbour)
            return true;
    return false;
}

bool wg_plan_takes_out(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_COLLECT || plan->actions[i].kind == WG_ACTION_SCOOP)
            return true;
    return false;
}

int wg_plan_scoop_days(const struct wg_plan *plan) {
    int days = 0;
    for (int32_t day = plan->first_day; day <= plan->last_day; day++) {
        bool due = false;
        for (int i = 0; i < plan->n_actions && !due; i++)
            due = plan->actions[i].kind == WG_ACTION_SCOOP && plan->actions[i].as.scoop.mass_kg >= 0 &&
                  wg_action_is_due(&plan->actions[i], day);
        days += due;
    }
    return days;
}

/* How often an action is due in the period. */
static int64_t times_due(const struct wg_plan *plan, const struct wg_action *action) {
    int64_t n = 0;
    for (int32_t day = action->from; day <= action->to && day <= plan->last_day; day += action->every)
        n += day >= plan->first_day;
    return n;
}

const struct wg_feed_type *wg_plan_feed(const struct wg_plan *plan, int type) {
    const int known = wg_feed_count();
    return type < known ? &wg_feed_types()[type] : &plan->feeds[type - known].type;
}

double wg_plan_feed_kg(const struct wg_plan *plan) {
    double kg = 0;
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_FEED && !plan->actions[i].as.feed.as_eaten)
            kg += (double)times_due(plan, &plan->actions[i]) * plan->actions[i].as.feed.wet_kg;
    return kg;
}

bool wg_plan_feeds_as_eaten(const struct wg_plan *plan, int bin, int32_t from, int32_t to) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind == WG_ACTION_FEED && action->as.feed.as_eaten && (bin < 0 || action->bin == bin) &&
            action->from <= to && action->to >= from)
            return true;
    }
    return false;
}

double wg_action_feed_weight_kg(const struct wg_action *feeding) {
    return isfinite(feeding->as.feed.wet_kg) ? feeding->as.feed.wet_kg : 1;
}
