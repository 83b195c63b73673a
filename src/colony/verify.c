/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Is the state of a colony at the end of a step one that it can be in? Everything that other sources take for granted.
 */
#include "base/bounds.h"
#include "colony/state.h"
#include "species/growth.h"

#include <float.h>
#include <math.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define ROUNDING 1e-9 /* of sums and products that are worked out in another order here */

/* What the cohorts of a pool may be. */
struct pool_rule {
    const char *name;
    const struct wg_clock *clock;
    bool is_larva, is_egg;
    double most_mark_x; /* mark: 0 everywhere but in mated females (up to x) and sleepers (up to their days) */
    bool has_days;
};

/*
 * Larvae that differ more than any measured do: a ration, which a step takes as linear, may feed a hungry cohort beyond its
 * well-fed mass (1.9 times seen).
 */
#define MUCH_SPREAD 0.3
#define MOST_OVERFED 3

/* Heaviest of all fed animals: where it is coolest they grow largest. */
static double heaviest_g(const struct wg_species *species) {
    const double slack = species->spread[WG_CLOCK_LARVA] > MUCH_SPREAD ? MOST_OVERFED : 1 + ROUNDING;
    return slack * fmax(species->final_mass_g, wg_final_mass_g(species, species->mass_cool_to_c, 1));
}

static int verify_cohort(const struct wg_colony *colony, const struct wg_bound_owner *owner,
                         const struct pool_rule *rule, const struct wg_cohort *c, struct wg_error *err) {
    const struct wg_world *const world = colony->world;
    const double log_s = wg_clock_log_survival(rule->clock, c->x), log_s_slack = ROUNDING * (1 + fabs(log_s));
    const double share = rule->is_larva ? wg_cohort_mean_share(&world->growth, c->x) : 0;
    const double most_mark = rule->has_days ? c->days : rule->most_mark_x * c->x;
    const struct wg_bound bound[] = {
        {"count", (double)c->count, 1, (double)INT64_MAX},
        {"x", c->x, 0, DBL_MAX},
        {"log_s", c->log_s, log_s - log_s_slack, fmin(0, log_s + log_s_slack)},
        {"mass_g", c->mass_g, 0, rule->is_egg ? 0 : heaviest_g(&world->plan->species)},
        {"share", c->share, share * (1 - ROUNDING), share * (1 + ROUNDING)},
        {"days", c->days, 0, rule->has_days ? (colony->day + 1) * (1 + ROUNDING) : 0},
        {"mark", c->mark, 0, most_mark * (1 + ROUNDING)},
        {"lineage", c->lineage, 0, world->n_lineages - 1},
    };
    return wg_bounds_check(owner, bound, COUNT(bound), err);
}

static int verify_pool(const struct wg_colony *colony, const char *home, int number, const struct pool_rule *rule,
                       const struct wg_pool *pool, struct wg_error *err) {
    struct wg_bound_owner owner = {home, number, rule->name, -1};
    const struct wg_bound bound[] = {
        {"n", pool->n, 0, pool->capacity},
        {"capacity", pool->capacity, 0, pool->cohort != NULL ? colony->step_capacity : 0},
    };
    int code = wg_bounds_check(&owner, bound, COUNT(bound), err);
    for (int i = 0; i < pool->n && code == 0; i++) {
        owner.item = i;
        code = verify_cohort(colony, &owner, rule, &pool->cohort[i], err);
    }
    return code;
}

/* Nobody is between two stages at the end of a step. */
static int verify_flows(const char *home, int number, const struct wg_bound *bound, size_t n, struct wg_error *err) {
    return wg_bounds_check(&(struct wg_bound_owner){home, number, NULL, 0}, bound, n, err);
}

static int verify_hours(const char *home, int number, const char *name, const double temp_c[24], double least,
                        double most, struct wg_error *err) {
    for (int h = 0; h < 24; h++) {
        const struct wg_bound bound = {name, temp_c[h], least, most};
        if (wg_bounds_check(&(struct wg_bound_owner){home, number, "hour", h}, &bound, 1, err) < 0)
            return WG_ERR_INTERNAL;
    }
    return 0;
}

static int verify_pile(int b, const struct wg_bin_contents *pile, struct wg_error *err) {
    const double usable_kg = pile->usable_kg * (1 + ROUNDING);
    const struct wg_bound bound[] = {
        {"usable_kg", pile->usable_kg, 0, DBL_MAX},
        {"residue_kg", pile->residue_kg, 0, DBL_MAX},
        {"frass_kg", pile->frass_kg, 0, DBL_MAX},
        {"quality_kg", pile->quality_kg, 0, usable_kg},
        {"conversion_kg", pile->conversion_kg, 0, 10 * usable_kg}, /* kitchen scraps are 1, no feed is far from them */
    };
    return wg_bounds_check(&(struct wg_bound_owner){"bin", b, "contents", 0}, bound, COUNT(bound), err);
}

static int verify_bin_state(const struct wg_colony *colony, int b, struct wg_error *err) {
    const struct wg_clock *const clock = colony->world->clocks.stage;
    const struct wg_bin_state *const bin = &colony->bin[b];
    const struct pool_rule egg = {.name = "egg", .clock = &clock[WG_CLOCK_EGG], .is_egg = true},
                           larva = {.name = "larva", .clock = &clock[WG_CLOCK_LARVA], .is_larva = true};
    const struct wg_bound bound[] = {
        {"hatched.n_lineages", bin->hatched.n_lineages, 0, 0},
        {"laid.n_lineages", bin->laid.n_lineages, 0, 0},
        {"collect_share", bin->collect_share, 0, 1},
        {"give_back", bin->give_back, 0, 1},
        {"eaten_kg", bin->eaten_kg, 0, DBL_MAX},
        {"meal.ration", bin->meal.ration, 0, 1},
    };
    int code = verify_pool(colony, "bin", b, &egg, &bin->egg, err);
    if (code == 0)
        code = verify_pool(colony, "bin", b, &larva, &bin->larva, err);
    if (code == 0)
        code = verify_flows("bin", b, bound, COUNT(bound), err);
    if (code == 0)
        code = verify_hours("bin", b, "yesterday_c", bin->yesterday_c, -WG_MOST_C, WG_MOST_C, err);
    return code == 0 ? verify_pile(b, &bin->pile, err) : code;
}

static int verify_settings(const struct wg_colony *colony, int p, struct wg_error *err) {
    const struct wg_place_settings *const settings = &colony->place[p].settings;
    const struct wg_bound set_point = {"settings.set_point_c", settings->set_point_c, WG_MIN_SET_POINT_C,
                                       WG_MAX_SET_POINT_C};
    int code = wg_bounds_check(&(struct wg_bound_owner){"place", p, NULL, 0}, &set_point, 1, err);
    for (int b = 0; b < colony->world->places[p].n_bins && code == 0; b++) {
        const struct wg_bound bound[] = {
            {"settings.mat_set_point_c", settings->mat_set_point_c[b], WG_MIN_SET_POINT_C, WG_MAX_MAT_SET_POINT_C},
            {"settings.u_bin_w_m2k", settings->u_bin_w_m2k[b], -1, WG_MAX_U_W_M2K}, /* < 0: as the plan says */
            {"settings.lid", settings->lid[b], -1, 1},
            {"air.bin_c", colony->place[p].air.bin_c[b], -WG_MOST_C, WG_MOST_C},
        };
        code = wg_bounds_check(&(struct wg_bound_owner){"place", p, "bin", b}, bound, COUNT(bound), err);
    }
    return code;
}

static int verify_climate_of_place(const struct wg_colony *colony, int p, struct wg_error *err) {
    const struct wg_place_colony *const place = &colony->place[p];
    const struct wg_bound bound[] = {
        {"crawled.n_lineages", place->crawled.n_lineages, 0, 0},
        {"resumed.n_lineages", place->resumed.n_lineages, 0, 0},
        {"pupated.n_lineages", place->pupated.n_lineages, 0, 0},
        {"emerged.n_lineages", place->emerged.n_lineages, 0, 0},
        {"trapped.n_lineages", place->trapped.n_lineages, 0, 0},
        {"trap_share", place->trap_share, 0, 1},
        {"spring_day", place->spring_day, -1, colony->day},
        {"air.air_c", place->air.air_c, -WG_MOST_C, WG_MOST_C},
        {"air.mass_c", place->air.mass_c, -WG_MOST_C, WG_MOST_C},
        {"air.ground_c", place->air.ground_c, -WG_MOST_C, WG_MOST_C},
    };
    int code = verify_flows("place", p, bound, COUNT(bound), err);
    if (code == 0)
        code = verify_hours("place", p, "hours.air_c", place->hours.air_c, -WG_MOST_C, WG_MOST_C, err);
    if (code == 0)
        code = verify_hours("place", p, "hours.ground_c", place->hours.ground_c, -WG_MOST_C, WG_MOST_C, err);
    if (code == 0) /* the sun above the atmosphere gives 1361 W/m2 (Kopp & Lean 2011, Geophys. Res. Lett. 38:L01706) */
        code = verify_hours("place", p, "hours.light_w_m2", place->hours.light_w_m2, 0, 1361, err);
    return code == 0 ? verify_settings(colony, p, err) : code;
}

static int verify_place_state(const struct wg_colony *colony, int p, struct wg_error *err) {
    const struct wg_clocks *const clocks = &colony->world->clocks;
    const struct wg_clock *const adult = &clocks->stage[WG_CLOCK_ADULT];
    /* in the order of wg_place_pools() */
    struct pool_rule rule[WG_PLACE_POOLS] = {
        {.clock = &clocks->stage[WG_CLOCK_EGG], .is_egg = true},
        {.clock = &clocks->stage[WG_CLOCK_PREPUPA]},
        {.clock = &clocks->dormancy, .has_days = true},
        {.clock = &clocks->dormancy},
        {.clock = &clocks->stage[WG_CLOCK_PUPA]},
        {.clock = adult},
        {.clock = adult, .most_mark_x = 1},
        {.clock = adult},
        {.clock = adult},
    };
    const struct wg_pool *pool[WG_PLACE_POOLS];
    int code = 0;
    wg_place_pools(&colony->place[p], pool);
    for (int i = 0; i < WG_PLACE_POOLS && code == 0; i++) {
        rule[i].name = wg_place_pool_name(i);
        code = verify_pool(colony, "place", p, &rule[i], pool[i], err);
    }
    return code == 0 ? verify_climate_of_place(colony, p, err) : code;
}

static int verify_ledger(const struct wg_colony *colony, struct wg_error *err) {
    const struct wg_ledger *const ledger = &colony->ledger;
    const int64_t counted = wg_colony_count(colony), in = ledger->started + ledger->laid + ledger->wild;
    double left_kg = 0, least_dead = 0;
    for (int b = 0; b < colony->world->plan->n_bins; b++)
        left_kg += colony->bin[b].pile.usable_kg;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            least_dead = fmin(least_dead, (double)ledger->dead[stage][cause]);
    const double used_kg = ledger->feed_eaten_kg + ledger->feed_microbes_kg + left_kg;
    const struct wg_bound bound[] = {
        {"started", (double)ledger->started, 0, (double)INT64_MAX},
        {"laid", (double)ledger->laid, 0, (double)INT64_MAX},
        {"wild", (double)ledger->wild, 0, (double)INT64_MAX},
        {"taken", (double)ledger->taken, 0, (double)INT64_MAX},
        {"flown", (double)ledger->flown, 0, (double)INT64_MAX},
        {"dead", least_dead, 0, 0},
        {"alive less those counted", (double)(colony->alive - counted), 0, 0},
        {"in less out less those alive", (double)(in - wg_ledger_out(ledger) - counted), 0, 0},
        {"feed given less feed used", (ledger->feed_given_kg - used_kg) / (1 + ledger->feed_given_kg), -ROUNDING,
         ROUNDING},
    };
    return wg_bounds_check(&(struct wg_bound_owner){"ledger", -1, NULL, 0}, bound, COUNT(bound), err);
}

static int verify_step(const struct wg_colony *colony, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    const int hours = 24 / plan->steps_per_day;
    const struct wg_bound bound[] = {
        {"day", colony->day, 0, plan->last_day - plan->first_day},
        {"to", colony->to, hours, 24},
        {"from", colony->from, colony->to - hours, colony->to},
        {"dt_day", colony->dt_day, hours / 24.0, hours / 24.0},
        {"sky.day", colony->sky.day, plan->first_day + colony->day, plan->first_day + colony->day},
        {"sky.mean_c", colony->sky.mean_c, -WG_MOST_C, WG_MOST_C},
        {"sky.day_length_h", colony->sky.day_length_h, 0, 24},
        {"power_out_to_h", (double)colony->power_out_to_h, 0, DBL_MAX},
    };
    return wg_bounds_check(&(struct wg_bound_owner){"step", -1, NULL, 0}, bound, COUNT(bound), err);
}

int wg_colony_verify(const struct wg_colony *colony, struct wg_error *err) {
    const struct wg_plan *const plan = colony->world->plan;
    int code = verify_step(colony, err);
    for (int b = 0; b < plan->n_bins && code == 0; b++)
        code = verify_bin_state(colony, b, err);
    for (int p = 0; p < plan->n_places && code == 0; p++)
        code = verify_place_state(colony, p, err);
    return code == 0 ? verify_ledger(colony, err) : code;
}

/* ---- what replicates share ---- */

/* A survival begins at 1 and never rises. */
static int verify_clock(const struct wg_clock *clock, int i, struct wg_error *err) {
    const struct wg_bound start[] = {
        {"top", clock->top, DBL_MIN, DBL_MAX},
        {"per_step", clock->per_step, DBL_MIN, DBL_MAX},
        {"ln S at 0", wg_clock_log_survival(clock, 0), 0, 0},
    };
    int code = wg_bounds_check(&(struct wg_bound_owner){"clock", i, NULL, 0}, start, COUNT(start), err);
    double before = 0;
    for (int k = 0; k < clock->top * clock->per_step && code == 0; k++) {
        const struct wg_bound bound = {"ln S", wg_clock_log_survival(clock, (k + 0.5) / clock->per_step), -DBL_MAX,
                                       before};
        code = wg_bounds_check(&(struct wg_bound_owner){"clock", i, "cell", k}, &bound, 1, err);
        before = bound.value;
    }
    return code;
}

static int verify_growth(const struct wg_cohort_growth *growth, struct wg_error *err) {
    const struct wg_bound table[] = {
        {"n", growth->n, 2, DBL_MAX},
        {"per_step", growth->per_step, DBL_MIN, DBL_MAX},
    };
    int code = wg_bounds_check(&(struct wg_bound_owner){"growth", -1, NULL, 0}, table, COUNT(table), err);
    for (int i = 0; i < growth->n && code == 0; i++) {
        const struct wg_bound bound[] = {
            {"mean", growth->mean[i], 0, 1 + ROUNDING},
            {"appetite", growth->appetite[i], 0, DBL_MAX},
        };
        code = wg_bounds_check(&(struct wg_bound_owner){"growth", -1, "node", i}, bound, COUNT(bound), err);
    }
    return code;
}

int wg_world_verify(const struct wg_world *world, struct wg_error *err) {
    const struct wg_plan *const plan = world->plan;
    int code = wg_plan_check(plan, err);
    if (code < 0)
        return code;
    const struct wg_bound bound[] = {
        {"n_generations", world->n_generations, wg_plan_generations(plan), wg_plan_generations(plan)},
        {"n_lineages", world->n_lineages, 2 * world->n_generations, 2 * world->n_generations},
    };
    code = wg_bounds_check(&(struct wg_bound_owner){"world", -1, NULL, 0}, bound, COUNT(bound), err);
    for (int i = 0; i <= WG_N_CLOCKS && code == 0; i++)
        code = verify_clock(i < WG_N_CLOCKS ? &world->clocks.stage[i] : &world->clocks.dormancy, i, err);
    if (code == 0)
        code = verify_growth(&world->growth, err);
    for (int p = 0; p < plan->n_places && code == 0; p++) {
        int n_bins;
        wg_place_bins(plan, p, &n_bins);
        const struct wg_bound bins = {"n_bins", world->places[p].n_bins, n_bins, n_bins};
        code = wg_bounds_check(&(struct wg_bound_owner){"place", p, NULL, 0}, &bins, 1, err);
    }
    return code == 0 ? wg_climate_verify(world->climate, err) : code;
}
