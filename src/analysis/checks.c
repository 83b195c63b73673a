/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Changes what a plan takes as usual, and simulates the same lives again.
 */
#include "analysis/checks.h"

#include "analysis/intervals.h"
#include "analysis/limits.h"
#include "forecast/thread_pool.h"
#include "housing/shelter.h"

#include <math.h>

/* Where a number lies if not at its default. */
#define LAMP_HOURS 12.0 /* common practice */
#define FOAM_M 0.025    /* an inch: common practice */
#define GIVE_BACK 0.2   /* common practice */
#define SHALLOW_M 0.05  /* prepupae dig in 5 to 20 cm: common practice */
#define DEEP_M 0.20
#define TIGHT_WALL_W_M2K 0.3                 /* 90 mm of insulation: see housing/defaults.c */
#define LEAKY_WALL_W_M2K 2.0                 /* bare boards: judgement */
static const double tight_air_changes = 0.5; /* growers' tables: see housing/defaults.c */
static const double leaky_air_changes = 2.0;

/*
 * With eight checks at 0.99 a false one passes in at most 8 of 100 forecasts (Bonferroni), and fewer, because it must also
 * matter: a tenth of the lives, or a third of the harvest and 100 g (judgement).
 */
#define CONFIDENCE 0.99
#define MATTERS_ALIVE 0.1
#define MATTERS_HARVEST (1.0 / 3)
#define MATTERS_KG 0.1 /* a day's harvest worth the name (judgement) */

/* ---- which a plan has, and their change ---- */

static bool is_usual(double value, double usual) {
    return fabs(value - usual) <= 1e-9 * fabs(usual);
}

static bool is_unlit(const struct wg_place_plan *place) {
    return !place->lamps_given && wg_housing_has_walls(place->shelter.kind) && !(place->shelter.lamp_hours > 0);
}

static bool has_usual_loss(const struct wg_place_plan *place) {
    struct wg_shelter_spec usual;
    wg_shelter_defaults(&usual, place->shelter.kind);
    if (place->loss_given || !wg_housing_has_walls(place->shelter.kind))
        return false;
    return place->shelter.kind == WG_SHED ? is_usual(place->shelter.u_w_m2k, usual.u_w_m2k)
                                          : is_usual(place->shelter.air_changes, usual.air_changes);
}

static void set_loss(struct wg_shelter_spec *shelter, bool tight) {
    if (shelter->kind == WG_SHED)
        shelter->u_w_m2k = tight ? TIGHT_WALL_W_M2K : LEAKY_WALL_W_M2K;
    else
        shelter->air_changes = tight ? tight_air_changes : leaky_air_changes;
}

static bool has_usual_soil(const struct wg_place_plan *place) {
    struct wg_ground_spec usual;
    wg_ground_defaults(&usual, WG_OUTDOORS);
    return !place->depth_given && place->ground.kind == WG_GROUND_SOIL &&
           is_usual(place->ground.soil.depth_m, usual.soil.depth_m);
}

static bool is_without_foam(const struct wg_bin_plan *bin, enum wg_housing_kind kind) {
    struct wg_bin_spec plain;
    wg_bin_defaults(&plain, kind, bin->spec.volume_m3, 0);
    return !bin->foam_given && is_usual(bin->spec.u_w_m2k, plain.u_w_m2k);
}

/* Keeps the bin's own lid, feed, mat and ground; only its walls change. */
static void add_foam(struct wg_bin_plan *bin, enum wg_housing_kind kind) {
    struct wg_bin_spec foam;
    wg_bin_defaults(&foam, kind, bin->spec.volume_m3, FOAM_M);
    bin->spec.u_w_m2k = foam.u_w_m2k;
    bin->spec.ground_w_k = fmin(bin->spec.ground_w_k, foam.ground_w_k);
    bin->spec.sun_m2 = fmin(bin->spec.sun_m2, foam.sun_m2);
}

/* Returns true if a place has what a check changes; changes it if `change` is set. */
static bool at_place(struct wg_place_plan *place, enum wg_check_kind kind, bool change) {
    switch (kind) {
    case WG_CHECK_LAMPS:
        if (!is_unlit(place))
            return false;
        if (change)
            place->shelter.lamp_hours = LAMP_HOURS;
        return true;
    case WG_CHECK_TIGHT:
    case WG_CHECK_LEAKY:
        if (!has_usual_loss(place))
            return false;
        if (change)
            set_loss(&place->shelter, kind == WG_CHECK_TIGHT);
        return true;
    case WG_CHECK_SHALLOW:
    case WG_CHECK_DEEP:
        if (!has_usual_soil(place))
            return false;
        if (change)
            place->ground.soil.depth_m = kind == WG_CHECK_SHALLOW ? SHALLOW_M : DEEP_M;
        return true;
    default:
        return false;
    }
}

static bool at_bin(struct wg_bin_plan *bin, const struct wg_plan *plan, bool change) {
    const enum wg_housing_kind kind = plan->places[bin->place].shelter.kind;
    if (!is_without_foam(bin, kind))
        return false;
    if (change)
        add_foam(bin, kind);
    return true;
}

static bool at_action(struct wg_action *action, bool change) {
    if (action->kind != WG_ACTION_COLLECT || action->as.collect.give_back_given || action->as.collect.give_back > 0)
        return false;
    if (change)
        action->as.collect.give_back = GIVE_BACK;
    return true;
}

/* A colony founded by wild flies has no line of its own. */
static bool has_own_line(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_START)
            return true;
    return false;
}

/* Finds, and changes if so asked, all that a check is about. */
static bool apply_check(struct wg_plan *plan, enum wg_check_kind kind, bool change) {
    bool any = kind == WG_CHECK_NEWCOMERS && plan->wild_peak_per_day > 0 && has_own_line(plan);
    if (kind == WG_CHECK_NEWCOMERS && change)
        plan->wild_peak_per_day = 0;
    for (int p = 0; p < plan->n_places; p++)
        any = at_place(&plan->places[p], kind, change) || any;
    for (int b = 0; b < plan->n_bins && kind == WG_CHECK_FOAM; b++)
        any = at_bin(&plan->bins[b], plan, change) || any;
    for (int i = 0; i < plan->n_actions && kind == WG_CHECK_GIVE_BACK; i++)
        any = at_action(&plan->actions[i], change) || any;
    return any;
}

bool wg_check_applies(enum wg_check_kind kind, const struct wg_plan *plan) {
    struct wg_plan unchanged = *plan;
    return plan->climate.kind != WG_CLIMATE_CONSTANT && apply_check(&unchanged, kind, false);
}

void wg_check_change(struct wg_plan *copy, enum wg_check_kind kind) {
    (void)apply_check(copy, kind, true);
}

static double loss_of(const struct wg_plan *plan, bool tight) {
    for (int p = 0; p < plan->n_places; p++)
        if (has_usual_loss(&plan->places[p])) {
            struct wg_shelter_spec shelter = plan->places[p].shelter;
            set_loss(&shelter, tight);
            return shelter.kind == WG_SHED ? shelter.u_w_m2k : shelter.air_changes;
        }
    return (double)NAN;
}

double wg_check_value(enum wg_check_kind kind, const struct wg_plan *plan) {
    const double value[WG_N_CHECKS] = {
        [WG_CHECK_NEWCOMERS] = (double)NAN,      [WG_CHECK_LAMPS] = LAMP_HOURS, [WG_CHECK_TIGHT] = loss_of(plan, true),
        [WG_CHECK_LEAKY] = loss_of(plan, false), [WG_CHECK_FOAM] = FOAM_M,      [WG_CHECK_GIVE_BACK] = GIVE_BACK,
        [WG_CHECK_SHALLOW] = SHALLOW_M,          [WG_CHECK_DEEP] = DEEP_M,
    };
    return value[kind];
}

const char *wg_check_name(enum wg_check_kind kind) {
    static const char *const name[WG_N_CHECKS] = {
        [WG_CHECK_NEWCOMERS] = "no newcomers", [WG_CHECK_LAMPS] = "lamps",      [WG_CHECK_TIGHT] = "tighter houses",
        [WG_CHECK_LEAKY] = "leakier houses",   [WG_CHECK_FOAM] = "foam",        [WG_CHECK_GIVE_BACK] = "give back",
        [WG_CHECK_SHALLOW] = "shallow ground", [WG_CHECK_DEEP] = "deep ground",
    };
    wg_assert(kind < WG_N_CHECKS);
    return name[kind];
}

/* ---- one check ---- */

struct check_run {
    const struct wg_plan *plan;
    struct wg_tables *tables;
    int64_t lives;
    struct wg_check *check;
};

static int on_replicate_check(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_check *const check = self;
    (void)err;
    check->alive[replicate] = diary->survived > 0;
    check->n_alive += diary->survived > 0;
    check->harvest_kg[replicate] = diary->total_harvest_mass;
    check->lives++;
    return 0;
}

static int run_one_check(void *self, int64_t i, struct wg_error *err) {
    const struct check_run *const run = (struct check_run *)self + i;
    struct wg_plan copy;
    struct wg_error own = {0};
    int code = wg_lifted_copy(&copy, run->plan, &own);
    if (code == 0 && run->check->kind != WG_N_CHECKS)
        wg_check_change(&copy, run->check->kind);
    if (code == 0)
        code = wg_replicates_run(&copy, run->tables, 0, run->lives,
                                 &(struct wg_observer){on_replicate_check, run->check}, &own);
    wg_lifted_free(&copy);
    if (code == WG_ERR_OVERGROWN) {
        run->check->lives = run->check->n_alive = 0;
        return 0;
    }
    if (code < 0 && err != NULL && err->code == 0)
        *err = own;
    return code;
}

/* ---- judging ---- */

static struct wg_interval alive_change(const struct wg_check *a, const struct wg_check *b) {
    int64_t only_a = 0, only_b = 0;
    for (int64_t k = 0; k < b->lives; k++) {
        only_a += a->alive[k] && !b->alive[k];
        only_b += b->alive[k] && !a->alive[k];
    }
    return wg_share_difference_interval(only_a, only_b, b->lives, CONFIDENCE);
}

static struct wg_interval harvest_change(const struct wg_check *a, const struct wg_check *b) {
    const double n = (double)b->lives, mean = b->mean_harvest_kg - a->mean_harvest_kg;
    double squares = 0, cubes = 0;
    for (int64_t k = 0; k < b->lives; k++) {
        const double off = b->harvest_kg[k] - a->harvest_kg[k] - mean;
        squares += off * off;
        cubes += off * off * off;
    }
    const double variance = squares / n;
    return wg_mean_interval(mean, sqrt(squares / (n - 1)), cubes / n / (variance * sqrt(variance)), b->lives,
                            CONFIDENCE);
}

static bool is_off_zero(const struct wg_interval *change) {
    return change->low > 0 || change->high < 0;
}

static void judge_check(struct wg_check *check, const struct wg_check *as_planned) {
    if (check->lives == 0 || as_planned->lives == 0)
        return;
    const double n = (double)check->lives, lives = (double)(check->n_alive - as_planned->n_alive) / n;
    const double kg = check->mean_harvest_kg - as_planned->mean_harvest_kg;
    check->alive_change = alive_change(as_planned, check);
    check->harvest_change = harvest_change(as_planned, check);
    check->decides = (is_off_zero(&check->alive_change) && fabs(lives) >= MATTERS_ALIVE) ||
                     (is_off_zero(&check->harvest_change) && fabs(kg) >= MATTERS_KG &&
                      fabs(kg) >= MATTERS_HARVEST * fmax(check->mean_harvest_kg, as_planned->mean_harvest_kg));
}

static void find_mean_harvest(struct wg_check *check) {
    double sum = 0;
    for (int64_t k = 0; k < check->lives; k++)
        sum += check->harvest_kg[k];
    check->mean_harvest_kg = check->lives > 0 ? sum / (double)check->lives : (double)NAN;
}

/* ---- all ---- */

int wg_checks_find(struct wg_checks *checks, const struct wg_plan *plan, int64_t lives, bool newcomers_alone,
                   const struct wg_ensemble_options *options, struct wg_error *err) {
    const struct wg_thread_pool pool = {.threads = options->threads, .stop = options->stop};
    struct check_run run[WG_N_CHECKS + 1];
    *checks = (struct wg_checks){.n = 1, .check[0].kind = WG_N_CHECKS};
    for (int kind = 0; kind < (newcomers_alone ? WG_CHECK_NEWCOMERS + 1 : WG_N_CHECKS); kind++)
        if (wg_check_applies((enum wg_check_kind)kind, plan))
            checks->check[checks->n++].kind = (enum wg_check_kind)kind;
    if (checks->n == 1)
        return 0;
    checks->lives = lives < WG_STORY_LIVES ? lives : WG_STORY_LIVES;
    for (int i = 0; i < checks->n; i++)
        run[i] = (struct check_run){plan, options->tables, checks->lives, &checks->check[i]};
    const int code = wg_thread_pool_run(&pool, checks->n, run_one_check, run, err);
    if (code != 0)
        checks->lives = 0;
    for (int i = 0; i < checks->n && code == 0; i++) {
        find_mean_harvest(&checks->check[i]);
        if (i > 0)
            judge_check(&checks->check[i], &checks->check[0]);
    }
    return code;
}

const struct wg_check *wg_checks_newcomers(const struct wg_checks *checks) {
    for (int i = 1; checks->lives > 0 && i < checks->n; i++)
        if (checks->check[i].kind == WG_CHECK_NEWCOMERS)
            return &checks->check[i];
    return NULL;
}
