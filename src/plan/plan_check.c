/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks every member of a plan before a world is made of it.
 *
 * Numbers are in tables (member, minimum, maximum), names and references in functions below them. Reports the first
 * mistake only: this is for plans built in memory; scenario/ collects all mistakes of a file.
 */
#include "housing/shelter.h"
#include "plan/plan.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* ---- one number ---- */

struct range_rule {
    const char *member;
    size_t offset;
    double min, max;
};
#define RULE(type, member, min, max)                                                                                   \
    { #member, offsetof(struct type, member), min, max }
#define RULES_END                                                                                                      \
    { NULL, 0, 0, 0 }

/* The path of a struct in the plan: "bins[3].spec.mat"; without a list, "mishaps". */
struct plan_location {
    const char *list; /* NULL: the plan itself */
    int i;
    const char *part; /* ".spec.mat." */
};

static int fail_plan_member(const struct plan_location *spot, const char *member, const char *why,
                            struct wg_error *err) {
    if (spot->list == NULL)
        return wg_fail(err, WG_ERR_INPUT, NULL, "the plan's %s%s %s", spot->part, member, why);
    return wg_fail(err, WG_ERR_INPUT, NULL, "the plan's %s[%d]%s%s %s", spot->list, spot->i, spot->part, member, why);
}

static int check_plan_number(const struct plan_location *spot, const char *member, double value, double min, double max,
                             struct wg_error *err) {
    if (value >= min && value <= max) /* false for NaN */
        return 0;
    if (spot->list == NULL)
        return wg_fail(err, WG_ERR_INPUT, NULL, "the plan's %s%s is %g: it must lie between %g and %g", spot->part,
                       member, value, min, max);
    return wg_fail(err, WG_ERR_INPUT, NULL, "the plan's %s[%d]%s%s is %g: it must lie between %g and %g", spot->list,
                   spot->i, spot->part, member, value, min, max);
}

/* NaN means unknown. */
static int check_number_or_unknown(const struct plan_location *spot, const char *member, double value, double max,
                                   struct wg_error *err) {
    return isnan(value) ? 0 : check_plan_number(spot, member, value, 0, max, err);
}

static int check_price(const struct plan_location *spot, const char *member, const struct wg_price *price,
                       struct wg_error *err) {
    return price->given ? check_plan_number(spot, member, price->amount, 0, WG_MAX_PRICE, err) : 0;
}

static int check_insulation(const struct plan_location *spot, const struct wg_insulation_price *price,
                            struct wg_error *err) {
    if (!price->per_m2_r.given)
        return 0;
    const int code = check_price(spot, "insulation.per_m2_r", &price->per_m2_r, err);
    return code == 0 ? check_plan_number(spot, "insulation.lasts_years", price->lasts_years, 0.01, 1000, err) : code;
}

static int check_numbers(const struct plan_location *spot, const void *of, const struct range_rule *rule,
                         struct wg_error *err) {
    int code = 0;
    for (; rule->member != NULL && code == 0; rule++) {
        double value;
        memcpy(&value, (const char *)of + rule->offset, sizeof value);
        code = check_plan_number(spot, rule->member, value, rule->min, rule->max, err);
    }
    return code;
}

static int check_plan_name(const struct plan_location *spot, const char *name, size_t size, struct wg_error *err) {
    return memchr(name, '\0', size) != NULL ? 0 : fail_plan_member(spot, "name", "is not null-terminated", err);
}

static int check_season(const struct plan_location *spot, const char *member, struct wg_season season,
                        struct wg_error *err) {
    const bool is_season = season.from >= 0 && season.from <= 364 && season.to >= 0 && season.to <= 364;
    return is_season ? 0 : fail_plan_member(spot, member, "is not a season: its days must be 0 to 364", err);
}

static int check_when(const struct plan_location *spot, const char *member, const struct wg_when *when,
                      struct wg_error *err) {
    if ((int)when->kind < 0 || when->kind >= WG_N_WHENS)
        return fail_plan_member(spot, member, "is not a condition", err);
    return when->kind == WG_WHEN_COLD_NIGHT ? check_plan_number(spot, member, when->below_c, -WG_MOST_C, WG_MOST_C, err)
                                            : 0;
}

/* ---- places ---- */

static const struct range_rule shelter_rules[] = {
    RULE(wg_shelter_spec, floor_m2, 0, WG_MAX_FLOOR_M2),
    RULE(wg_shelter_spec, cover_m2, 0, WG_MAX_COVER_M2),
    RULE(wg_shelter_spec, volume_m3, 0, WG_MAX_HOUSE_M3),
    RULE(wg_shelter_spec, u_w_m2k, 0, WG_MAX_U_W_M2K),
    RULE(wg_shelter_spec, air_changes, 0, WG_MAX_AIR_CHANGES),
    RULE(wg_shelter_spec, vent_air_changes, 0, WG_MAX_VENT_AIR_CHANGES),
    RULE(wg_shelter_spec, vent_above_c, 0, WG_MAX_VENT_ABOVE_C),
    RULE(wg_shelter_spec, sun_area_m2, 0, WG_MAX_SUN_M2),
    RULE(wg_shelter_spec, sun_to_air, 0, 1),
    RULE(wg_shelter_spec, mass_air_w_k, 0, 2 * WG_MAX_CONDUCTANCE_W_K), /* twice: water included */
    RULE(wg_shelter_spec, mass_ground_w_k, 0, WG_MAX_CONDUCTANCE_W_K),
    RULE(wg_shelter_spec, mass_j_k, 0, 2 * WG_MAX_MASS_J_K),
    RULE(wg_shelter_spec, air_j_k, 0, WG_MAX_AIR_J_K),
    RULE(wg_shelter_spec, sky_view_m2k_w, 0, WG_MAX_SKY_M2K_W),
    RULE(wg_shelter_spec, light_through, 0, 1),
    RULE(wg_shelter_spec, lamp_hours, 0, 24),
    RULES_END,
};

static int check_lamps(const struct plan_location *spot, const struct wg_shelter_spec *shelter, struct wg_error *err) {
    int code = check_number_or_unknown(spot, "lamp_power_w", shelter->lamp_power_w, WG_MAX_POWER_W, err);
    if (code == 0)
        code = check_number_or_unknown(spot, "lamp_price_per_kwh", shelter->lamp_price_per_kwh, WG_MAX_PRICE, err);
    if (code == 0)
        code = check_when(spot, "lamp_when", &shelter->lamp_when, err);
    return code == 0 ? check_season(spot, "lamp_season", shelter->lamp_season, err) : code;
}

static int check_room(const struct plan_location *spot, const struct wg_shelter_spec *room, struct wg_error *err) {
    const bool in_soil = room->kind == WG_CELLAR && isnan(room->steady_c);
    int code = in_soil ? check_plan_number(spot, "depth_m", room->depth_m, 1e-3, WG_MAX_GROUND_DEPTH_M, err)
                       : check_plan_number(spot, "steady_c", room->steady_c, WG_MIN_ROOM_C, WG_MAX_ROOM_C, err);
    if (code < 0 || !room->summer_switch)
        return code;
    code = check_season(spot, "summer", room->summer, err);
    return code == 0 ? check_plan_number(spot, "summer_c", room->summer_c, WG_MIN_ROOM_C, WG_MAX_ROOM_C, err) : code;
}

/* A heater or mat; max_c: the highest set point allowed. */
static int check_heater(const struct plan_location *spot, const struct wg_heater_spec *heater, double max_c,
                        struct wg_error *err) {
    int code = check_plan_number(spot, "power_w", heater->power_w, 0, WG_MAX_POWER_W, err);
    if (code == 0)
        code = check_plan_number(spot, "set_point_c", heater->set_point_c, WG_MIN_SET_POINT_C, max_c, err);
    if (code == 0)
        code = check_plan_number(spot, "efficiency", heater->efficiency, heater->power_w > 0 ? WG_MIN_EFFICIENCY : 0,
                                 WG_MAX_EFFICIENCY, err);
    if (code == 0)
        code = check_number_or_unknown(spot, "price_per_kwh", heater->price_per_kwh, WG_MAX_PRICE, err);
    if (code == 0)
        code = check_when(spot, "when", &heater->when, err);
    return code == 0 ? check_season(spot, "season", heater->season, err) : code;
}

static const struct range_rule soil_rules[] = {
    RULE(wg_soil_spec, depth_m, 1e-3, WG_MAX_GROUND_DEPTH_M), /* 0: wg_ground_defaults() was not called */
    RULE(wg_soil_spec, diffusivity_m2_day, 1e-4, 1),
    RULE(wg_soil_spec, mulch_m, 0, WG_MAX_MULCH_M),
    RULE(wg_soil_spec, mulch_diffusivity_m2_day, 1e-4, 1),
    RULE(wg_soil_spec, frost_damping, 0, 1),
    RULE(wg_soil_spec, offset_k, -20, 20),
    RULES_END,
};

static int check_ground(const struct plan_location *spot, const struct wg_ground_spec *ground, struct wg_error *err) {
    if (ground->kind != WG_GROUND_SOIL && ground->kind != WG_GROUND_BOX)
        return fail_plan_member(spot, "kind", "is not a kind of ground", err);
    const struct plan_location soil = {spot->list, spot->i, ".ground.soil."};
    return ground->kind == WG_GROUND_SOIL ? check_numbers(&soil, &ground->soil, soil_rules, err) : 0;
}

static int check_plan_place(const struct wg_place_plan *place, int i, struct wg_error *err) {
    const struct plan_location here = {"places", i, "."}, shelter = {"places", i, ".shelter."};
    const struct plan_location heater = {"places", i, ".heater."}, ground = {"places", i, ".ground."};
    int code = check_plan_name(&here, place->name, sizeof place->name, err);
    if (code == 0 && ((int)place->shelter.kind < 0 || place->shelter.kind >= WG_N_HOUSINGS))
        code = fail_plan_member(&shelter, "kind", "is not a kind of housing", err);
    if (code == 0)
        code = check_numbers(&shelter, &place->shelter, shelter_rules, err);
    if (code == 0)
        code = check_lamps(&shelter, &place->shelter, err);
    const bool has_walls = wg_housing_has_walls(place->shelter.kind);
    if (code == 0 && has_walls) /* a litre of air has 1 J/K: less is a mistake, and wg_place_run() divides by it */
        code = check_plan_number(&shelter, "air_j_k", place->shelter.air_j_k, 1, WG_MAX_AIR_J_K, err);
    if (code == 0 && has_walls)
        code = check_plan_number(&shelter, "mass_j_k", place->shelter.mass_j_k, 1, 2 * WG_MAX_MASS_J_K, err);
    if (code == 0 && wg_housing_is_room(place->shelter.kind))
        code = check_room(&shelter, &place->shelter, err);
    if (code == 0 && place->shelter.sun_area_m2 > place->shelter.cover_m2)
        code = fail_plan_member(&shelter, "sun_area_m2", "exceeds cover_m2", err);
    if (code == 0)
        code = check_insulation(&here, &place->insulation, err);
    if (code == 0)
        code = check_heater(&heater, &place->heater, WG_MAX_SET_POINT_C, err);
    return code == 0 ? check_ground(&ground, &place->ground, err) : code;
}

/* ---- bins ---- */

#define MAX_SIDE_M2 1000.0 /* a bin of the largest volume has about 50: judgement */

static const struct range_rule bin_rules[] = {
    RULE(wg_bin_spec, volume_m3, 1e-6, WG_MAX_BIN_M3),
    RULE(wg_bin_spec, wall_m2, 1e-6, MAX_SIDE_M2),
    RULE(wg_bin_spec, top_m2, 0, MAX_SIDE_M2),
    RULE(wg_bin_spec, u_w_m2k, 0, WG_MAX_U_W_M2K),
    RULE(wg_bin_spec, ground_w_k, 0, WG_MAX_CONDUCTANCE_W_K),
    RULE(wg_bin_spec, lid, 0, 1),
    RULE(wg_bin_spec, sun_m2, 0, MAX_SIDE_M2),
    RULE(wg_bin_spec, substrate_kg, 0, WG_MAX_SUBSTRATE_KG_M3 *WG_MAX_BIN_M3),
    RULE(wg_bin_spec, moisture, 0, 1),
    RULE(wg_bin_spec, wind_m_s, 0, 100),
    RULE(wg_bin_spec, closed_lid, 0, 1),
    RULE(wg_bin_spec, summer_u_w_m2k, -1, WG_MAX_U_W_M2K), /* below 0: as outside summer */
    RULE(wg_bin_spec, summer_lid, -1, 1),
    RULES_END,
};

static int check_bin(const struct wg_plan *plan, int i, struct wg_error *err) {
    const struct wg_bin_plan *const bin = &plan->bins[i];
    const struct plan_location here = {"bins", i, "."}, spec = {"bins", i, ".spec."}, mat = {"bins", i, ".spec.mat."};
    int code = check_plan_name(&here, bin->name, sizeof bin->name, err);
    if (code == 0 && (bin->place < 0 || bin->place >= plan->n_places))
        code = fail_plan_member(&here, "place", "is not a place of the plan", err);
    if (code == 0 && i > 0 && bin->place < plan->bins[i - 1].place)
        code = fail_plan_member(&here, "place", "is less than that of the previous bin: bins must be ordered by place",
                                err);
    if (code == 0)
        code = check_numbers(&spec, &bin->spec, bin_rules, err);
    if (code == 0 && bin->spec.sun_m2 > bin->spec.wall_m2 + bin->spec.top_m2)
        code = fail_plan_member(&spec, "sun_m2", "exceeds wall_m2 and top_m2 together", err);
    if (code == 0)
        code = check_insulation(&here, &bin->insulation, err);
    if (code == 0 && bin->spec.summer_switch)
        code = check_season(&spec, "summer", bin->spec.summer, err);
    return code == 0 ? check_heater(&mat, &bin->spec.mat, WG_MAX_MAT_SET_POINT_C, err) : code;
}

/* ---- actions ---- */

struct checked_action {
    const struct wg_plan *plan;
    const struct wg_action *action;
    struct plan_location spot;
    struct wg_error *err;
};

static int require_bin(const struct checked_action *checked, const char *member, int bin) {
    return bin >= 0 && bin < checked->plan->n_bins
               ? 0
               : fail_plan_member(&checked->spot, member, "is not a bin of the plan", checked->err);
}

static int require_place(const struct checked_action *checked, const char *member, int place) {
    return place >= 0 && place < checked->plan->n_places
               ? 0
               : fail_plan_member(&checked->spot, member, "is not a place of the plan", checked->err);
}

static int require_share(const struct checked_action *checked, const char *member, double share) {
    return check_plan_number(&checked->spot, member, share, 0, 1, checked->err);
}

static int check_start(const struct checked_action *checked) {
    const struct wg_action *const action = checked->action;
    int code = require_bin(checked, "bin", action->bin);
    if (code == 0 && ((int)action->as.start.what < 0 || action->as.start.what > WG_MOVABLE_PREPUPAE))
        code = fail_plan_member(&checked->spot, "as.start.what", "is not an enum wg_movable", checked->err);
    if (code == 0)
        code = check_plan_number(&checked->spot, "as.start.age_days", action->as.start.age_days, 0,
                                 WG_MAX_STARTER_AGE_DAYS, checked->err);
    if (code == 0)
        code = check_price(&checked->spot, "as.start.price", &action->as.start.price, checked->err);
    if (code == 0 && action->as.start.count == -1)
        return check_plan_number(&checked->spot, "as.start.mass_kg", action->as.start.mass_kg, 0, WG_MAX_STARTER_KG,
                                 checked->err);
    return code == 0 ? check_plan_number(&checked->spot, "as.start.count", (double)action->as.start.count, 0,
                                         (double)WG_MAX_STARTERS, checked->err)
                     : code;
}

static int check_feed(const struct checked_action *checked) {
    const struct wg_action *const action = checked->action;
    if (action->as.feed.type < 0 || action->as.feed.type >= wg_feed_count() + checked->plan->n_feeds)
        return fail_plan_member(&checked->spot, "as.feed.type", "is not a feed", checked->err);
    const double most_kg = action->as.feed.as_eaten ? HUGE_VAL : WG_MAX_FEED_KG;
    int code = require_bin(checked, "bin", action->bin);
    if (code == 0)
        code = check_price(&checked->spot, "as.feed.price", &action->as.feed.price, checked->err);
    return code == 0
               ? check_plan_number(&checked->spot, "as.feed.wet_kg", action->as.feed.wet_kg, 0, most_kg, checked->err)
               : code;
}

static int check_collect(const struct checked_action *checked) {
    int code = require_bin(checked, "bin", checked->action->bin);
    if (code == 0)
        code = require_share(checked, "as.collect.share", checked->action->as.collect.share);
    return code == 0 ? require_share(checked, "as.collect.give_back", checked->action->as.collect.give_back) : code;
}

static int check_pull(const struct checked_action *checked) {
    const int code = require_place(checked, "place", checked->action->place), put_in = checked->action->as.pull.put_in;
    return code == 0 && put_in != -1 ? require_bin(checked, "as.pull.put_in", put_in) : code;
}

static int check_scoop(const struct checked_action *checked) {
    const double mass_kg = checked->action->as.scoop.mass_kg;
    const int code = require_bin(checked, "bin", checked->action->bin);
    if (code < 0)
        return code;
    if (require_share(checked, "as.scoop.leave", checked->action->as.scoop.leave) < 0)
        return WG_ERR_INPUT;
    return mass_kg == -1
               ? require_share(checked, "as.scoop.share", checked->action->as.scoop.share)
               : check_plan_number(&checked->spot, "as.scoop.mass_kg", mass_kg, 0, WG_MAX_SCOOP_KG, checked->err);
}

static int check_move(const struct checked_action *checked) {
    const struct wg_action *const action = checked->action;
    const bool ground = action->as.move.what == WG_MOVABLE_PREPUPAE;
    const int from = ground ? action->place : action->bin;
    const int to = ground ? action->as.move.to_place : action->as.move.to_bin;
    if ((int)action->as.move.what < 0 || action->as.move.what > WG_MOVABLE_PREPUPAE)
        return fail_plan_member(&checked->spot, "as.move.what", "is not an enum wg_movable", checked->err);
    int code = ground ? require_place(checked, "place", from) : require_bin(checked, "bin", from);
    if (code == 0)
        code = ground ? require_place(checked, "as.move.to_place", to) : require_bin(checked, "as.move.to_bin", to);
    if (code == 0 && from == to)
        code = fail_plan_member(&checked->spot, "as.move", "has the same source and target", checked->err);
    return code == 0 ? require_share(checked, "as.move.share", action->as.move.share) : code;
}

static int check_set(const struct checked_action *checked) {
    const struct wg_action *const action = checked->action;
    const bool of_place = action->as.set.key == WG_SET_HEATER || action->as.set.key == WG_SET_SET_POINT;
    double min = 0, max = 1;
    switch (action->as.set.key) {
    case WG_SET_HEATER:
    case WG_SET_MAT:
    case WG_SET_BIN_LID:
        break;
    case WG_SET_SET_POINT:
        min = WG_MIN_SET_POINT_C;
        max = WG_MAX_SET_POINT_C;
        break;
    case WG_SET_MAT_SET_POINT:
        min = WG_MIN_SET_POINT_C;
        max = WG_MAX_MAT_SET_POINT_C;
        break;
    case WG_SET_BIN_U:
        max = WG_MAX_U_W_M2K;
        break;
    default:
        return fail_plan_member(&checked->spot, "as.set.key", "is not an enum wg_setting_key", checked->err);
    }
    int code = of_place ? require_place(checked, "place", action->place) : require_bin(checked, "bin", action->bin);
    if (code == 0 && of_place && action->bin != -1)
        code = fail_plan_member(&checked->spot, "bin", "must be -1 for a setting of a place", checked->err);
    return code == 0 ? check_plan_number(&checked->spot, "as.set.value", action->as.set.value, min, max, checked->err)
                     : code;
}

static int check_clear(const struct checked_action *checked) {
    const int code = require_bin(checked, "bin", checked->action->bin);
    return code == 0 ? require_share(checked, "as.clear.share", checked->action->as.clear.share) : code;
}

static int check_trap_action(const struct checked_action *checked) {
    const int code = require_place(checked, "place", checked->action->place);
    return code == 0 ? require_share(checked, "as.traps.share", checked->action->as.traps.share) : code;
}

static int check_target(const struct checked_action *checked) {
    switch (checked->action->kind) {
    case WG_ACTION_SET:
        return check_set(checked);
    case WG_ACTION_CLEAR:
        return check_clear(checked);
    case WG_ACTION_MOVE:
        return check_move(checked);
    case WG_ACTION_SCOOP:
        return check_scoop(checked);
    case WG_ACTION_PULL_TRAPS:
        return check_pull(checked);
    case WG_ACTION_START:
        return check_start(checked);
    case WG_ACTION_FEED:
        return check_feed(checked);
    case WG_ACTION_COLLECT:
        return check_collect(checked);
    case WG_ACTION_LAY_IN_TRAPS:
        return check_trap_action(checked);
    case WG_N_ACTIONS:
        break;
    }
    return fail_plan_member(&checked->spot, "kind", "is not a kind of action", checked->err);
}

static bool has_right_cue(const struct wg_action *action) {
    switch (action->cue) {
    case WG_CUE_NONE:
        return true;
    case WG_CUE_BEFORE_HATCH:
        return action->kind == WG_ACTION_PULL_TRAPS;
    case WG_CUE_WHEN_FULL:
        return action->kind == WG_ACTION_CLEAR;
    case WG_N_CUES:
        break;
    }
    return false;
}

static int check_action(const struct wg_plan *plan, int i, struct wg_error *err) {
    const struct wg_action *const action = &plan->actions[i];
    const struct checked_action checked = {plan, action, {"actions", i, "."}, err};
    if (action->from < WG_DAY_FIRST || action->to > WG_DAY_LAST || action->from > action->to)
        return fail_plan_member(&checked.spot, "from", "and to must be days of the calendar, from before to", err);
    if (action->every < 1)
        return fail_plan_member(&checked.spot, "every", "must be at least 1 day", err);
    if (!has_right_cue(action))
        return fail_plan_member(&checked.spot, "cue", "is not a cue of this action", err);
    int code = check_target(&checked);
    if (code == 0)
        code = check_when(&checked.spot, "when", &action->when, err);
    if (code == 0 && action->when.kind != WG_WHEN_ALWAYS && action->kind != WG_ACTION_SET &&
        action->kind != WG_ACTION_MOVE)
        code = fail_plan_member(&checked.spot, "when", "is only for changes and moves", err);
    if (code < 0 || i == 0)
        return code;
    const struct wg_action *const before = &action[-1];
    const bool sorted = before->kind < action->kind || (before->kind == action->kind && before->from <= action->from);
    return sorted ? 0 : fail_plan_member(&checked.spot, "kind", "is out of order: call wg_plan_sort() first", err);
}

/* Starters given by number, in total; those given by mass have their own limit. */
static int check_starters(const struct wg_plan *plan, struct wg_error *err) {
    double total = 0;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind == WG_ACTION_START && action->as.start.count > 0)
            total += (double)action->as.start.count * (double)((action->to - action->from) / action->every + 1);
    }
    const struct plan_location spot = {NULL, 0, "starters"};
    return check_plan_number(&spot, " together", total, 0, (double)WG_MAX_STARTERS, err);
}

/* ---- the rest ---- */

static const struct range_rule feed_rules[] = {
    RULE(wg_feed_type, moisture, 0, 1),
    RULE(wg_feed_type, usable, 0, 1),
    RULE(wg_feed_type, quality, 0, 1),
    RULE(wg_feed_type, conversion, 0, WG_MAX_FEED_CONVERSION),
    RULES_END,
};

static int check_own_feed(const struct wg_own_feed *feed, int i, struct wg_error *err) {
    const struct plan_location spot = {"feeds", i, ".type."};
    const int code = check_plan_name(&spot, feed->name, sizeof feed->name, err);
    return code == 0 ? check_numbers(&spot, &feed->type, feed_rules, err) : code;
}

#define MAX_EVENTS_PER_YEAR 1e9 /* certain every day, which tests need; scenarios have lower limits */

static const struct range_rule plan_rules[] = {
    RULE(wg_plan, climate.latitude_deg, -90, 90), /* wg_climate_check() is stricter where there is weather */
    RULE(wg_plan, climate.elevation_m, -1000, 10000),
    RULE(wg_plan, climate.sun_coefficient, 0, 1),
    RULE(wg_plan, mishaps.power_cuts_per_year, 0, MAX_EVENTS_PER_YEAR),
    RULE(wg_plan, mishaps.power_cut_hours, 0, WG_MAX_POWER_CUT_HOURS),
    RULE(wg_plan, mishaps.raids_per_year, 0, MAX_EVENTS_PER_YEAR),
    RULE(wg_plan, mishaps.raid_share, 0, 1),
    RULE(wg_plan, wild_peak_per_day, 0, WG_MAX_WILD_PER_DAY),
    RULES_END,
};

static int check_time(const struct wg_plan *plan, struct wg_error *err) {
    const struct plan_location spot = {NULL, 0, ""};
    if ((int)plan->climate.kind < 0 || plan->climate.kind > WG_CLIMATE_FITTED)
        return fail_plan_member(&spot, "climate.kind", "is not a kind of climate", err);
    const bool recorded = plan->climate.kind == WG_CLIMATE_YEARS || plan->climate.kind == WG_CLIMATE_FITTED;
    if (recorded && plan->climate.record == NULL)
        return fail_plan_member(&spot, "climate.record", "is missing", err);
    const int code = wg_climate_check(&plan->climate, plan->first_day, plan->last_day, err);
    if (code < 0)
        return code;
    if ((int64_t)plan->last_day - plan->first_day >= WG_MAX_DAYS)
        return fail_plan_member(&spot, "last_day", "is more than a hundred years after first_day", err);
    if (plan->steps_per_day < 1 || plan->steps_per_day > 24 || 24 % plan->steps_per_day != 0)
        return fail_plan_member(&spot, "steps_per_day", "must be a divisor of 24, for example 1, 2, 4 or 24", err);
    return check_plan_number(&spot, "replicates", (double)plan->replicates, 1, WG_MAX_REPLICATES, err);
}

static int check_counts(const struct wg_plan *plan, struct wg_error *err) {
    const struct plan_location spot = {NULL, 0, ""};
    int code = check_plan_number(&spot, "n_places", plan->n_places, 1, WG_MAX_PLACES, err);
    if (code == 0)
        code = check_plan_number(&spot, "n_bins", plan->n_bins, 1, WG_MAX_BINS, err);
    if (code == 0)
        code = check_plan_number(&spot, "n_goals", plan->n_goals, 0, WG_MAX_GOALS, err);
    if (code == 0)
        code = check_plan_number(&spot, "n_feeds", plan->n_feeds, 0, plan->feeds != NULL ? WG_MAX_OWN_FEEDS : 0, err);
    if (code == 0 && plan->n_actions < 0)
        code = fail_plan_member(&spot, "n_actions", "is negative", err);
    if (code == 0 && (plan->places == NULL || plan->bins == NULL || (plan->n_actions > 0 && plan->actions == NULL)))
        code = fail_plan_member(&spot, "places, bins or actions", "are missing", err);
    if (code == 0 && (memchr(plan->title, '\0', sizeof plan->title) == NULL ||
                      memchr(plan->currency, '\0', sizeof plan->currency) == NULL ||
                      memchr(plan->numbers, '\0', sizeof plan->numbers) == NULL))
        code = fail_plan_member(&spot, "title, currency or numbers", "is not null-terminated", err);
    if (code == 0 && ((int)plan->animals < 0 || plan->animals > WG_ANIMALS_MIDDLE_IN_LATTICE))
        code = fail_plan_member(&spot, "animals", "is neither the middle animal nor the plausible ones", err);
    return code;
}

static int check_goal(const struct wg_plan *plan, int i, struct wg_error *err) {
    const struct wg_goal *const goal = &plan->goal[i];
    const struct plan_location spot = {"goal", i, "."};
    if ((int)goal->kind < 0 || goal->kind >= WG_GOAL_N_KINDS)
        return fail_plan_member(&spot, "kind", "is not a kind of goal", err);
    if (!isfinite(goal->amount))
        return fail_plan_member(&spot, "amount", "is not a number", err);
    const char *const problem = wg_goal_problem(goal, plan);
    return problem == NULL ? 0 : wg_fail(err, WG_ERR_INPUT, NULL, "the plan's goal[%d]: %s", i, problem);
}

static int check_species(const struct wg_species *species, struct wg_error *err) {
    const struct plan_location spot = {NULL, 0, "species: "};
    int code = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL && code == 0; p++)
        code = check_plan_number(&spot, p->name, wg_species_get(species, p), p->least, p->most, err);
    const char *const problem = code < 0 ? NULL : wg_species_problem(species);
    return problem == NULL ? code : wg_fail(err, WG_ERR_INPUT, NULL, "the plan's species: %s", problem);
}

static int check_lists(const struct wg_plan *plan, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < plan->n_places && code == 0; i++)
        code = check_plan_place(&plan->places[i], i, err);
    for (int i = 0; i < plan->n_bins && code == 0; i++)
        code = check_bin(plan, i, err);
    for (int i = 0; i < plan->n_feeds && code == 0; i++)
        code = check_own_feed(&plan->feeds[i], i, err);
    for (int i = 0; i < plan->n_actions && code == 0; i++)
        code = check_action(plan, i, err);
    for (int i = 0; i < plan->n_goals && code == 0; i++)
        code = check_goal(plan, i, err);
    return code;
}

int wg_plan_check(const struct wg_plan *plan, struct wg_error *err) {
    const struct plan_location spot = {NULL, 0, ""};
    int code = check_counts(plan, err);
    if (code == 0)
        code = check_time(plan, err);
    if (code == 0)
        code = check_numbers(&spot, plan, plan_rules, err);
    if (code == 0)
        code = check_price(&spot, "sales.larvae_kg", &plan->sales.larvae_kg, err);
    if (code == 0)
        code = check_price(&spot, "sales.residue_kg", &plan->sales.residue_kg, err);
    if (code == 0 && plan->feed_unlimited)
        code = check_plan_number(&spot, "unlimited_quality", plan->unlimited_quality, 0.01, 1, err);
    if (code == 0)
        code = check_species(&plan->species, err);
    if (code == 0)
        code = check_lists(plan, err);
    return code == 0 ? check_starters(plan, err) : code;
}
