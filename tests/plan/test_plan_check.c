/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Plans built in memory: a mistake is an error that names the member, never a crash or silently wrong numbers.
 *
 * Checked against the meaning of the members in src/plan/plan.h, housing.h, weather.h.
 */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include "support/plans.h"

#include <criterion/criterion.h>
#include <float.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

/* Outdoors and a heated shed, one action of every kind, a goal: every member is used. */
static void make(struct wg_plan *plan) {
    plan_outdoors(plan, 30);
    plan_add_place(plan, WG_SHED);
    plan->places[0].heater.efficiency = 1;
    plan->places[1].heater = (struct wg_heater_spec){
        .power_w = 2000, .set_point_c = 20, .efficiency = 1, .price_per_kwh = 0.15, .season = WG_ALL_YEAR};
    plan->bins[1].spec.mat = (struct wg_heater_spec){
        .power_w = 60, .set_point_c = 27, .efficiency = 1, .price_per_kwh = 0.15, .season = WG_ALL_YEAR};
    plan->bins[1].spec.summer_switch = true;
    plan->bins[1].spec.summer = (struct wg_season){120, 270};
    plan->mishaps = (struct wg_mishaps){2, 12, 1, 0.4};
    plan->wild_peak_per_day = 3;
    plan->n_goals = 1;
    plan->goal[0] = (struct wg_goal){.kind = WG_GOAL_SURVIVE, .by = plan->last_day, .weeks = 1, .chance = 0.9};
    plan_start(plan, 0, WG_MOVABLE_LARVAE, 5, 500);
    plan_feed(plan, 1);
    plan_collect(plan, 0.8);
    const struct wg_action others[] = {
        {.kind = WG_ACTION_SET, .place = 1, .bin = -1, .as.set = {.key = WG_SET_SET_POINT, .value = 18}},
        {.kind = WG_ACTION_CLEAR, .place = -1, .bin = 0, .as.clear = {0.5}},
        {.kind = WG_ACTION_MOVE,
         .place = -1,
         .bin = 0,
         .as.move = {.what = WG_MOVABLE_LARVAE, .to_bin = 1, .to_place = -1, .share = 0.1}},
        {.kind = WG_ACTION_SCOOP, .place = -1, .bin = 0, .as.scoop = {.mass_kg = -1, .share = 0.1}},
        {.kind = WG_ACTION_PULL_TRAPS, .place = 0, .bin = -1, .as.pull = {-1}},
        {.kind = WG_ACTION_LAY_IN_TRAPS, .place = 0, .bin = -1, .as.traps = {0.6}},
    };
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        struct wg_action action = others[i];
        action.from = action.to = plan->first_day + 1;
        action.every = 1;
        plan_add(plan, action);
    }
}

static struct wg_action *the(struct wg_plan *plan, enum wg_action_kind kind) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == kind)
            return &plan->actions[i];
    cr_assert_fail("the plan has no %s", wg_action_name(kind));
    return NULL;
}

Test(plan_check, takes_a_good_plan) {
    struct wg_plan plan;
    struct wg_error err = {0};
    make(&plan);
    cr_expect_eq(wg_plan_check(&plan, &err), 0, "%s", err.text);
    wg_plan_free(&plan);
    plan_laboratory(&plan, 27, 10);
    cr_expect_eq(wg_plan_check(&plan, &err), 0, "%s", err.text);
    wg_plan_free(&plan);
}

/* wg_world_init() reports the error of the check and leaves a world that is safe to free. */
static void expect_refused(struct wg_plan *plan, const char *named) {
    struct wg_world world;
    struct wg_error err = {0};
    cr_expect_eq(wg_world_init(&world, plan, &err), WG_ERR_INPUT, "%s: %s", named, err.text);
    cr_expect(strstr(err.text, named) != NULL, "\"%s\" does not name %s", err.text, named);
    wg_world_free(&world);
}

/* BROKEN(what the message names, what breaks the plan) */
#define BROKEN(named, ...)                                                                                             \
    do {                                                                                                               \
        struct wg_plan plan;                                                                                           \
        make(&plan);                                                                                                   \
        __VA_ARGS__;                                                                                                   \
        expect_refused(&plan, named);                                                                                  \
        wg_plan_free(&plan);                                                                                           \
    } while (0)

#define ACCEPTED(...)                                                                                                  \
    do {                                                                                                               \
        struct wg_plan plan;                                                                                           \
        struct wg_error why = {0};                                                                                     \
        make(&plan);                                                                                                   \
        __VA_ARGS__;                                                                                                   \
        cr_expect_eq(wg_plan_check(&plan, &why), 0, "%s", why.text);                                                   \
        wg_plan_free(&plan);                                                                                           \
        wg_plan_free(&plan); /* nothing is left to free */                                                             \
    } while (0)

Test(plan_check, refuses_time_that_cannot_be) {
    BROKEN("steps_per_day", plan.steps_per_day = 0);
    BROKEN("steps_per_day", plan.steps_per_day = 5);
    BROKEN("steps_per_day", plan.steps_per_day = -24);
    BROKEN("steps_per_day", plan.steps_per_day = 48);
    BROKEN("period", plan.last_day = plan.first_day - 1);
    BROKEN("period", plan.first_day = INT32_MIN);
    BROKEN("period", plan.last_day = INT32_MAX);
    BROKEN("last_day", plan.last_day = plan.first_day + WG_MAX_DAYS);
    BROKEN("replicates", plan.replicates = 0);
}

Test(plan_check, refuses_counts_over_the_limits_and_missing_lists) {
    BROKEN("n_places", plan.n_places = 0);
    BROKEN("n_places", plan.n_places = WG_MAX_PLACES + 1);
    BROKEN("n_bins", plan.n_bins = 0);
    BROKEN("n_bins", plan.n_bins = WG_MAX_BINS + 1);
    BROKEN("n_goals", plan.n_goals = WG_MAX_GOALS + 1);
    BROKEN("n_goals", plan.n_goals = -1);
    BROKEN("n_actions", plan.n_actions = -1);
    BROKEN("are missing", free(plan.places); plan.places = NULL);
    BROKEN("are missing", free(plan.bins); plan.bins = NULL);
    BROKEN("are missing", free(plan.actions); plan.actions = NULL);
    BROKEN("title", memset(plan.title, 'x', sizeof plan.title));
    BROKEN("bins[0].name", memset(plan.bins[0].name, 'x', sizeof plan.bins[0].name));
}

Test(plan_check, refuses_a_climate_that_cannot_be) {
    BROKEN("latitude", plan.climate.latitude_deg = 67);
    BROKEN("latitude", plan.climate.latitude_deg = NAN);
    BROKEN("elevation", plan.climate.elevation_m = INFINITY);
    BROKEN("sun coefficient", plan.climate.sun_coefficient = -1);
    BROKEN("high must be above", plan.climate.low_c[6] = plan.climate.high_c[6] + 1);
    BROKEN("high must be above", plan.climate.high_c[0] = NAN);
    BROKEN("spread", plan.climate.high_sd_c[3] = -1);
    BROKEN("climate.kind", plan.climate.kind = (enum wg_climate_kind)9);
    BROKEN("climate.record", plan.climate.kind = WG_CLIMATE_YEARS);
    BROKEN("temperature", plan.climate.kind = WG_CLIMATE_CONSTANT; plan.climate.constant_c = NAN);
}

Test(plan_check, refuses_places_and_bins_that_cannot_be) {
    BROKEN("places[1].shelter.kind", plan.places[1].shelter.kind = WG_N_HOUSINGS);
    BROKEN("places[1].shelter.u_w_m2k is nan", plan.places[1].shelter.u_w_m2k = NAN);
    BROKEN("places[1].shelter.volume_m3", plan.places[1].shelter.volume_m3 = -1);
    BROKEN("places[1].shelter.sun_area_m2", plan.places[1].shelter.sun_area_m2 = plan.places[1].shelter.cover_m2 + 1);
    BROKEN("lamp_hours", plan.places[1].shelter.lamp_hours = 25);
    BROKEN("places[1].heater.power_w is inf", plan.places[1].heater.power_w = INFINITY);
    BROKEN("places[1].heater.efficiency", plan.places[1].heater.efficiency = 0);
    BROKEN("places[1].heater.season", plan.places[1].heater.season.to = 365);
    BROKEN("places[1].ground.soil.depth_m", memset(&plan.places[1].ground, 0, sizeof plan.places[1].ground));
    BROKEN("places[0].ground.kind", plan.places[0].ground.kind = (enum wg_ground_kind)7);
    BROKEN("places[1].shelter.mass_j_k", plan.places[1].shelter.mass_j_k = 0);
    BROKEN("places[1].shelter.air_j_k", plan.places[1].shelter.air_j_k = DBL_MIN);
    BROKEN("bins[1].place", plan.bins[1].place = 2);
    BROKEN("bins[1].place", plan.bins[1].place = -1);
    BROKEN("ordered by place", plan.bins[0].place = 1; plan.bins[1].place = 0);
    BROKEN("bins[0].spec.volume_m3", plan.bins[0].spec.volume_m3 = -0.15);
    BROKEN("bins[0].spec.wall_m2", plan.bins[0].spec.wall_m2 = 0);
    BROKEN("bins[0].spec.moisture", plan.bins[0].spec.moisture = 1.5);
    BROKEN("bins[1].spec.summer", plan.bins[1].spec.summer.from = -1);
    BROKEN("bins[1].spec.mat.set_point_c", plan.bins[1].spec.mat.set_point_c = 200);
}

Test(plan_check, refuses_actions_that_cannot_be_done) {
    BROKEN("every", the(&plan, WG_ACTION_FEED)->every = 0);
    BROKEN("days of the calendar", the(&plan, WG_ACTION_FEED)->to = plan.first_day - 1);
    BROKEN("days of the calendar", the(&plan, WG_ACTION_FEED)->from = INT32_MIN);
    BROKEN("kind", plan.actions[plan.n_actions - 1].kind = WG_N_ACTIONS);
    BROKEN("wg_plan_sort", plan.actions[0].kind = WG_ACTION_CLEAR; plan.actions[0].bin = 0;
           plan.actions[0].as.clear.share = 1; plan.actions[0].from = plan.actions[0].to = plan.last_day);
    BROKEN(".bin is not a bin", the(&plan, WG_ACTION_START)->bin = 7);
    BROKEN(".bin is not a bin", the(&plan, WG_ACTION_FEED)->bin = -1);
    BROKEN("as.start.count", the(&plan, WG_ACTION_START)->as.start.count = -2);
    BROKEN("as.start.count", the(&plan, WG_ACTION_START)->as.start.count = INT64_MAX);
    BROKEN("as.start.mass_kg", the(&plan, WG_ACTION_START)->as.start.count = -1;
           the(&plan, WG_ACTION_START)->as.start.mass_kg = NAN);
    BROKEN("as.start.age_days", the(&plan, WG_ACTION_START)->as.start.age_days = -1);
    BROKEN("as.start.what", the(&plan, WG_ACTION_START)->as.start.what = (enum wg_movable)3);
    BROKEN("together", the(&plan, WG_ACTION_START)->as.start.count = WG_MAX_STARTERS;
           the(&plan, WG_ACTION_START)->to++);
    BROKEN("as.feed.type", the(&plan, WG_ACTION_FEED)->as.feed.type = 1000);
    BROKEN("as.feed.wet_kg", the(&plan, WG_ACTION_FEED)->as.feed.wet_kg = -1);
    BROKEN("as.collect.share", the(&plan, WG_ACTION_COLLECT)->as.collect.share = 1.1);
    BROKEN("as.collect.give_back", the(&plan, WG_ACTION_COLLECT)->as.collect.give_back = NAN);
    BROKEN("as.traps.share", the(&plan, WG_ACTION_LAY_IN_TRAPS)->as.traps.share = -1);
    BROKEN(".place is not a place", the(&plan, WG_ACTION_LAY_IN_TRAPS)->place = 2);
    BROKEN("as.pull.put_in", the(&plan, WG_ACTION_PULL_TRAPS)->as.pull.put_in = 2);
    BROKEN("as.scoop.share", the(&plan, WG_ACTION_SCOOP)->as.scoop.share = 2);
    BROKEN("as.scoop.mass_kg", the(&plan, WG_ACTION_SCOOP)->as.scoop.mass_kg = -2);
    BROKEN("as.move.to_bin", the(&plan, WG_ACTION_MOVE)->as.move.to_bin = -1);
    BROKEN("as.move.what", the(&plan, WG_ACTION_MOVE)->as.move.what = (enum wg_movable)9);
    BROKEN("same source and target", the(&plan, WG_ACTION_MOVE)->as.move.to_bin = 0);
    BROKEN(".bin must be -1", the(&plan, WG_ACTION_SET)->bin = 64);
    BROKEN("as.set.key", the(&plan, WG_ACTION_SET)->as.set.key = (enum wg_setting_key)77);
    BROKEN("as.set.value", the(&plan, WG_ACTION_SET)->as.set.value = 1e9);
    BROKEN("as.set.value", the(&plan, WG_ACTION_SET)->as.set.value = WG_MIN_SET_POINT_C - 1);
    ACCEPTED(the(&plan, WG_ACTION_SET)->as.set.value = WG_MIN_SET_POINT_C);
    BROKEN("as.clear.share", the(&plan, WG_ACTION_CLEAR)->as.clear.share = NAN);
}

Test(plan_check, refuses_goals_feed_mishaps_and_animals_that_cannot_be) {
    BROKEN("goal[0].kind", plan.goal[0].kind = WG_GOAL_N_KINDS);
    BROKEN("goal[0].amount", plan.goal[0].amount = NAN);
    BROKEN("goal[0]: the day", plan.goal[0].by = plan.last_day + 1);
    BROKEN("goal[0]: the chance", plan.goal[0].chance = 1);
    BROKEN("unlimited_quality", plan.feed_unlimited = true; plan.unlimited_quality = 0);
    BROKEN("raid_share", plan.mishaps.raid_share = 2);
    BROKEN("power_cut_hours", plan.mishaps.power_cut_hours = 1e300);
    BROKEN("wild_peak_per_day", plan.wild_peak_per_day = -1);
    BROKEN("species: larva_spread", plan.species.spread[WG_CLOCK_LARVA] = 0);
    BROKEN("clutch_high", plan.species.clutch_high = NAN);
    BROKEN("animals", plan.animals = (enum wg_animals) - 1);
    BROKEN("animals", plan.animals = (enum wg_animals)77);
    BROKEN("the smallest clutch", plan.species.clutch_low = plan.species.clutch_high + 1);
}

/*
 * ---- random mutations ----
 *
 * Members of a good plan set to hostile values, one to three at a time: the plan is rejected, or three days are
 * simulated. The plans run in a child process, and after a signal, which is a finding, those that follow in another one.
 */

struct draw {
    uint64_t state;
};

/* SplitMix64 (Steele, Lea & Flood 2014): independent of the generator under test. */
static uint64_t next(struct draw *draw) {
    uint64_t z = draw->state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static const double ill_numbers[] = {0,        -1,   NAN, INFINITY, -INFINITY, DBL_MAX, -DBL_MAX, DBL_MIN,
                                     -DBL_MIN, 1e-9, 0.5, 1,        1e3,       1e6,     1e9,      1e15};
static const int ill_ints[] = {0, -1, 1, 2, 5, 63, 64, 365, INT_MAX, INT_MIN};
static const int64_t ill_counts[] = {0, -1, -2, 1, 1000000000, 1000000000000000, INT64_MAX, INT64_MIN};
#define ANY(draw, values) values[next(draw) % (sizeof values / sizeof *values)]

static void set_number(void *struct_, size_t n_bytes, struct draw *draw) {
    const size_t at = next(draw) % (n_bytes / sizeof(double)) * sizeof(double);
    const double value = ANY(draw, ill_numbers);
    memcpy((char *)struct_ + at, &value, sizeof value);
}

static void set_int(void *struct_, size_t n_bytes, struct draw *draw) {
    const size_t at = next(draw) % (n_bytes / sizeof(int)) * sizeof(int);
    const int value = ANY(draw, ill_ints);
    memcpy((char *)struct_ + at, &value, sizeof value);
}

static void spoil_action(struct wg_plan *plan, struct draw *draw) {
    struct wg_action *const action = &plan->actions[next(draw) % (uint64_t)plan->n_actions];
    switch (next(draw) % 6) {
    case 0:
        action->as.start.count = ANY(draw, ill_counts);
        break;
    case 1:
        action->kind = (enum wg_action_kind)ANY(draw, ill_ints);
        break;
    case 2:
        set_number(&action->as, sizeof action->as, draw);
        break;
    case 3:
        set_int(&action->as, sizeof action->as, draw);
        break;
    case 4:
        action->kind = (enum wg_action_kind)(next(draw) % WG_N_ACTIONS);
        wg_plan_sort(plan);
        break;
    default:
        set_int(&action->from, offsetof(struct wg_action, as) - offsetof(struct wg_action, from), draw);
    }
}

/* Lists keep their address and length: a pointer cannot be checked. */
static void spoil(struct wg_plan *plan, struct draw *draw) {
    const uint64_t i = next(draw) % 2;
    static const int few_or_far[] = {0, -1, 1, WG_MAX_BINS + 1, INT_MAX, INT_MIN};
    int *const counts[] = {&plan->n_places, &plan->n_bins, &plan->n_goals};
    switch (next(draw) % 16) {
    case 0:
    case 1:
        set_number(&plan->species, sizeof plan->species, draw);
        break;
    case 2:
        set_number(&plan->climate.constant_c, offsetof(struct wg_climate_spec, record) - sizeof(double), draw);
        break;
    case 3:
        set_number(&plan->places[i].shelter.floor_m2,
                   sizeof plan->places[i].shelter - offsetof(struct wg_shelter_spec, floor_m2), draw);
        break;
    case 4:
        set_number(&plan->places[i].heater, offsetof(struct wg_heater_spec, season), draw);
        break;
    case 5:
        set_number(&plan->places[i].ground.soil, sizeof plan->places[i].ground.soil, draw);
        break;
    case 6:
        set_number(&plan->bins[i].spec, offsetof(struct wg_bin_spec, summer_switch), draw);
        break;
    case 7:
        set_number(&plan->bins[i].spec.mat, offsetof(struct wg_heater_spec, season), draw);
        break;
    case 8:
        set_number(&plan->mishaps, sizeof plan->mishaps, draw);
        break;
    case 9:
        set_int(&plan->goal[0], sizeof plan->goal[0], draw);
        break;
    case 10:
        *ANY(draw, counts) = ANY(draw, few_or_far);
        break;
    case 11:
        plan->steps_per_day = ANY(draw, ill_ints);
        break;
    case 12:
        plan->bins[i].place = ANY(draw, ill_ints);
        break;
    case 13:
        plan->first_day = ANY(draw, ill_ints);
        break;
    default:
        spoil_action(plan, draw);
    }
}

/* C gives a bool with a byte other than 0 and 1 no meaning, so no check can find one. */
static void make_legal(bool *flag) {
    unsigned char byte;
    memcpy(&byte, flag, sizeof byte);
    *flag = byte != 0;
}

static void make_action_legal(struct wg_action *action) {
    switch (action->kind) {
    case WG_ACTION_START:
        make_legal(&action->as.start.price.given);
        make_legal(&action->as.start.price_is_of_kg);
        return;
    case WG_ACTION_FEED:
        make_legal(&action->as.feed.as_eaten);
        make_legal(&action->as.feed.price.given);
        make_legal(&action->as.feed.price_is_fee);
        return;
    case WG_ACTION_COLLECT:
        make_legal(&action->as.collect.give_back_given);
        return;
    case WG_ACTION_SET:
        make_legal(&action->as.set.foam_given);
        return;
    default:
        return;
    }
}

static void make_flags_legal(struct wg_plan *plan) {
    for (int i = 0; i < 2; i++) {
        make_legal(&plan->places[i].shelter.summer_switch);
        make_legal(&plan->places[i].heater.starts_off);
        make_legal(&plan->bins[i].spec.mat.starts_off);
    }
    make_legal(&plan->goal[0].all_crawl_off);
    for (int i = 0; i < plan->n_actions; i++)
        make_action_legal(&plan->actions[i]);
}

/* Returns 0: simulated; 1: rejected; else another end. */
static int live_or_refuse(const struct wg_plan *plan) {
    struct wg_error err = {0};
    struct wg_plan three = *plan;
    (void)alarm(60);
    if (three.last_day - (int64_t)three.first_day > 2 && wg_plan_check(plan, &err) == 0) {
        three.last_day = three.first_day + 2; /* its goals and all else have been checked for the whole period */
        three.n_goals = 0;
    }
    const int code = wg_plan_check(&three, &err);
    if (code == 0) {
        struct wg_diary diary;
        plan_simulate(&three, 1, &diary);
        wg_diary_free(&diary);
    }
    return code == 0 ? 0 : code == WG_ERR_INPUT && err.text[0] != '\0' ? 1 : 2;
}

enum { N_SPOILT = 1200 };

/* The k-th plan lives or is refused. */
static int live_spoilt(int k) {
    struct draw draw = {20261129u + ((uint64_t)k << 32)};
    struct wg_plan plan;
    make(&plan);
    for (uint64_t n = 1 + next(&draw) % 3; n > 0; n--)
        spoil(&plan, &draw);
    make_flags_legal(&plan);
    const int end = live_or_refuse(&plan);
    plan.n_places = plan.n_bins = plan.n_actions = 0;
    wg_plan_free(&plan);
    return end;
}

/* Notes the end of plan `first` and those that follow, up to one that ends the process. Returns the next one. */
static int live_in_a_child(int first, int *ends) {
    const pid_t child = fork();
    if (child == 0) {
        for (int k = first; k < N_SPOILT; k++)
            ends[k] = live_spoilt(k);
        _exit(0);
    }
    int status, k = first;
    cr_assert(child > 0 && waitpid(child, &status, 0) == child);
    while (k < N_SPOILT && ends[k] >= 0)
        k++;
    if (k < N_SPOILT)
        ends[k++] = WIFEXITED(status) ? 1000 + WEXITSTATUS(status) : -WTERMSIG(status);
    return k;
}

Test(plan_check, refuses_prices_and_conditions_that_cannot_be) {
    BROKEN("sun_m2", plan.bins[0].spec.sun_m2 = 1000);
    ACCEPTED(plan.bins[0].spec.sun_m2 = plan.bins[0].spec.wall_m2 + plan.bins[0].spec.top_m2);
    BROKEN("sales.larvae_kg", plan.sales.larvae_kg = (struct wg_price){true, -1});
    BROKEN("sales.residue_kg", plan.sales.residue_kg = (struct wg_price){true, (double)NAN});
    BROKEN("insulation.per_m2_r", plan.places[1].insulation.per_m2_r = (struct wg_price){true, 1e9});
    BROKEN("insulation.lasts_years", plan.bins[1].insulation.per_m2_r = (struct wg_price){true, 1});
    BROKEN("as.start.price", the(&plan, WG_ACTION_START)->as.start.price = (struct wg_price){true, -1});
    BROKEN("as.feed.price", the(&plan, WG_ACTION_FEED)->as.feed.price = (struct wg_price){true, -1});
    BROKEN("lamp_when", plan.places[1].shelter.lamp_when.kind = WG_N_WHENS);
    BROKEN("heater.when", plan.places[1].heater.when.kind = (enum wg_when_kind) - 1);
    BROKEN("mat.when", plan.bins[1].spec.mat.when = (struct wg_when){WG_WHEN_COLD_NIGHT, (double)NAN});
    BROKEN("when", the(&plan, WG_ACTION_SET)->when.kind = WG_N_WHENS);
    BROKEN("when", the(&plan, WG_ACTION_FEED)->when.kind = WG_WHEN_FLIES);
}

Test(plan_check, lets_nothing_through_that_cannot_be_lived) {
    int lived = 0, refused = 0;
    int *const ends = mmap(NULL, N_SPOILT * sizeof *ends, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    cr_assert(ends != MAP_FAILED);
    for (int k = 0; k < N_SPOILT; k++)
        ends[k] = -1; /* not yet */
    for (int k = 0; k < N_SPOILT;)
        k = live_in_a_child(k, ends);
    for (int k = 0; k < N_SPOILT; k++) {
        cr_expect(ends[k] == 0 || ends[k] == 1, "plan %d ends with %d", k, ends[k]);
        lived += ends[k] == 0;
        refused += ends[k] == 1;
    }
    (void)munmap(ends, N_SPOILT * sizeof *ends);
    /* both happen, or the test shows nothing */
    cr_expect(lived > 100 && refused > 300, "%d lived, %d refused", lived, refused);
}
