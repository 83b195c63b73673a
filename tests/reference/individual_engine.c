/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Deaths and exits, individual by individual:
 *
 *   an individual leaves its stage in the step in which its development x reaches its own need D, drawn once per stage
 *   from the stage's gamma distribution; it dies with probability 1 - exp(-H) in a step in which it stays,
 *   1 - exp(-H/2) in the step in which it leaves
 */
#include "reference/individual_engine.h"
#include "species/breeding.h"
#include "species/death.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum state { EGG, LARVA, PREPUPA, PUPA, VIRGIN, MATED, SPENT, MALE, N_STATES };

struct individual {
    double x, need, mark;
    enum state state;
    int bin;     /* of eggs and larvae */
    int entered; /* in this step, of which it has lived half */
};

/*
 * Development, hazard and probability of death of a state in a step; larvae: `young` and `old` by the two cold curves.
 */
struct now {
    double dx, hazard, die, die_half, young, old;
};

struct yard {
    const struct wg_plan *plan;
    const struct wg_species *sp;
    const struct day_hours *today;
    gsl_rng *rng;
    struct individual_outcome *out;
    struct individual *one;
    int64_t n, capacity, laid[INDIVIDUALS_MAX_BINS], males;
    int from, to;
    double warm_hours, lit_warm_hours, mate_chance, clutch_factor;
    struct now now[N_STATES];
};

static const enum wg_clock_stage clock_of[N_STATES] = {
    [EGG] = WG_CLOCK_EGG,      [LARVA] = WG_CLOCK_LARVA, [PREPUPA] = WG_CLOCK_PREPUPA, [PUPA] = WG_CLOCK_PUPA,
    [VIRGIN] = WG_CLOCK_ADULT, [MATED] = WG_CLOCK_ADULT, [SPENT] = WG_CLOCK_ADULT,     [MALE] = WG_CLOCK_ADULT,
};

static int happens(const struct yard *y, double chance) {
    return gsl_rng_uniform(y->rng) < chance;
}

static double need(const struct yard *y, enum state state) {
    const double c = y->sp->spread[clock_of[state]];
    return gsl_ran_gamma(y->rng, 1 / (c * c), c * c);
}

static void put(struct yard *y, int64_t n, enum state state, int bin, double x) {
    if (y->n + n > y->capacity) {
        (void)fputs("individual engine: too many individuals\n", stderr);
        exit(EXIT_FAILURE);
    }
    for (int64_t i = 0; i < n; i++) {
        struct individual *const one = &y->one[y->n++];
        *one = (struct individual){.x = x, .state = state, .bin = bin};
        do /* conditional on having got that far */
            one->need = need(y, state);
        while (one->need <= x);
    }
}

/* ---- conditions ---- */

static double mean24(const double today[24], const double yesterday[24], int to) {
    double sum = 0;
    for (int h = 0; h < 24; h++)
        sum += h < to ? today[h] : yesterday[h];
    return sum / 24;
}

static void set_now(struct yard *y, enum state state, enum wg_cold_curve line, const double today[24],
                    const double yesterday[24]) {
    const enum wg_clock_stage stage = clock_of[state];
    struct now now = {0};
    const double at_27 = wg_rate_per_day(&y->sp->rate[stage], 27);
    double hazard = 0, cold = 0, young = 0;
    for (int h = y->from; h < y->to; h++) {
        const double rate = wg_rate_per_day(&y->sp->rate[stage], today[h]);
        now.dx += rate / 24;
        hazard += y->sp->hazard[stage] * fmax(y->sp->background_floor, rate / at_27) / 24;
        hazard += wg_hazard_heat_acute(y->sp, today[h]) / 24;
        hazard += today[h] < y->sp->cold_limit_c ? wg_hazard_freezing(y->sp, stage, today[h]) / 24 : 0;
        cold += wg_hazard_cold(y->sp, line, today[h]) / 24;
        young += wg_hazard_cold(y->sp, WG_COLD_YOUNG_LARVA, today[h]) / 24;
    }
    for (int h = y->from; stage != WG_CLOCK_ADULT && h < y->to; h++)
        hazard += wg_hazard_heat_chronic(y->sp, mean24(today, yesterday, h + 1)) / 24;
    now.hazard = hazard;
    now.die = -expm1(-hazard - cold);
    now.die_half = -expm1(-(hazard + (state == LARVA ? young : cold)) / 2);
    now.young = young;
    now.old = cold;
    y->now[state] = now;
}

static void conditions(struct yard *y) {
    const struct day_hours *const t = y->today, *const before = t - 1;
    set_now(y, EGG, WG_COLD_EGG, t->bin_c, before->bin_c);
    set_now(y, LARVA, WG_COLD_OLD_LARVA, t->bin_c, before->bin_c);
    set_now(y, PREPUPA, WG_COLD_PREPUPA, t->ground_c, before->ground_c);
    set_now(y, PUPA, WG_COLD_PUPA, t->ground_c, before->ground_c);
    for (enum state s = VIRGIN; s <= MALE; s++)
        set_now(y, s, WG_COLD_ADULT, t->air_c, before->air_c);
    if (y->plan->places[0].ground.dark)
        y->now[PREPUPA].dx /= y->sp->dark_prepupa_factor;
}

static void fly_weather(struct yard *y) {
    const struct day_hours *const t = y->today;
    double lit_warm = 0, warm = 0, air_c = mean24(t->air_c, t[-1].air_c, y->to);
    for (int h = y->from; h < y->to; h++) {
        if (t->light_w_m2[h] >= y->sp->mate_light_w_m2)
            lit_warm += wg_warm_share(y->sp, y->sp->mate_air_c, t->air_c[h]);
        warm += wg_warm_share(y->sp, y->sp->lay_air_c, t->air_c[h]);
    }
    const double before = y->lit_warm_hours;
    y->lit_warm_hours += lit_warm;
    y->warm_hours += warm;
    /* of females that did not mate in the earlier hours of the day */
    const double had = before >= y->sp->mate_hours_min ? fmin(1, before / y->sp->mate_hours_full) : 0;
    const double has =
        y->lit_warm_hours >= y->sp->mate_hours_min ? fmin(1, y->lit_warm_hours / y->sp->mate_hours_full) : 0;
    y->mate_chance = lit_warm <= 0 ? 0 : had < 1 ? (has - had) / (1 - had) : 1;
    const int days = (int)fmin(7, fmax(1, y->sp->clutch_warm_days));
    for (int k = 1; k < days; k++)
        air_c += mean24(t[-k].air_c, NULL, 24);
    y->clutch_factor = y->warm_hours >= y->sp->lay_hours_min && warm > 0 ? wg_clutch_warmth(air_c / days) : 0;
}

/* ---- one individual ---- */

static double death_probability(const struct yard *y, const struct individual *one, int leaves) {
    const struct now *const now = &y->now[one->state];
    if (one->state != LARVA || (now->young <= 0 && now->old <= 0))
        return leaves ? now->die_half : now->die;
    const double hazard = now->hazard + wg_hazard_cold_larva(y->sp, one->x, now->young, now->old);
    return -expm1(leaves ? -hazard / 2 : -hazard);
}

/* Enters the next stage, where it lives half a step; returns 0 if it dies. */
static int enter(struct yard *y, struct individual *one, enum state state) {
    const struct now *const now = &y->now[state];
    if (happens(y, now->die_half))
        return 0;
    *one = (struct individual){.x = now->dx / 2, .need = need(y, state), .state = state, .bin = one->bin, .entered = 1};
    return 1;
}

static int emerge(struct yard *y, struct individual *one) {
    const enum wg_housing_kind kind = y->plan->places[0].shelter.kind;
    if (kind != WG_LABORATORY && !happens(y, kind == WG_OUTDOORS ? y->sp->stay_open : y->sp->stay_closed))
        return 0;
    y->out->emerged++;
    return enter(y, one, happens(y, y->sp->female_share) ? VIRGIN : MALE);
}

/* Leaves its stage; returns 0 if that was its last. */
static int done(struct yard *y, struct individual *one) {
    if (one->state >= VIRGIN)
        return 0;
    if (one->state == PUPA)
        return emerge(y, one);
    y->out->crawled += one->state == LARVA;
    return enter(y, one, one->state + 1);
}

static double share_past(double x, double dx, double threshold) {
    return dx > 0 ? fmin(1, fmax(0, (x + dx / 2 - threshold) / dx)) : x >= threshold;
}

static void lay(struct yard *y, struct individual *one) {
    if (y->clutch_factor <= 0 || !happens(y, share_past(one->x - one->mark, y->now[MATED].dx, wg_laying_x(y->sp))))
        return;
    const struct wg_shelter_spec *const shelter = &y->plan->places[0].shelter;
    /* houses with lamps are dim here: sunlight alone is too weak for mating */
    const int lamps = shelter->kind == WG_LABORATORY || shelter->lamp_hours > 0;
    one->state = SPENT;
    /* all bins have feed and attract equally: she takes any */
    if (happens(y, lamps ? y->sp->laying_share_lamps : y->sp->laying_share_sun))
        y->laid[gsl_rng_uniform_int(y->rng, (unsigned long)y->plan->n_bins)] +=
            wg_clutch_sum(y->sp, 1, y->clutch_factor, y->rng);
}

static void mate(struct yard *y, struct individual *one) {
    const double dx = y->now[VIRGIN].dx;
    if (y->mate_chance <= 0 || (double)y->males < y->sp->males_needed ||
        !happens(y, y->mate_chance * share_past(one->x, dx, wg_mating_x(y->sp))))
        return;
    one->state = MATED;
    one->mark = one->x - dx / 2;
}

/* One step of one individual; returns 0 if it dies. */
static int advance(struct yard *y, struct individual *one) {
    y->out->individual_steps++;
    const double x = one->x + y->now[one->state].dx;
    const int leaves = x >= one->need;
    if (happens(y, death_probability(y, one, leaves)))
        return 0;
    one->x = x;
    return leaves ? done(y, one) : 1;
}

static void step(struct yard *y) {
    conditions(y);
    fly_weather(y);
    int64_t left = 0;
    memset(y->laid, 0, sizeof y->laid);
    y->males = 0;
    for (int64_t i = 0; i < y->n; i++) {
        struct individual one = y->one[i];
        one.entered = 0;
        if (!advance(y, &one))
            continue;
        y->males += one.state == MALE && !one.entered;
        y->one[left++] = one;
    }
    y->n = left;
    for (int64_t i = 0; i < y->n; i++) {
        struct individual *const one = &y->one[i];
        if (one->entered)
            continue;
        if (one->state == MATED)
            lay(y, one);
        else if (one->state == VIRGIN)
            mate(y, one);
    }
    const int64_t first = y->n;
    for (int b = 0; b < y->plan->n_bins; b++) {
        y->out->eggs_laid += y->laid[b];
        put(y, y->laid[b], EGG, b, y->now[EGG].dx / 2);
    }
    const int64_t end = y->n;
    y->n = first;
    for (int64_t i = first; i < end; i++)
        if (!happens(y, y->now[EGG].die_half))
            y->one[y->n++] = y->one[i];
}

static void start(struct yard *y) {
    for (int i = 0; i < y->plan->n_actions; i++) {
        const struct wg_action *const a = &y->plan->actions[i];
        if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_EGGS)
            put(y, a->as.start.count, EGG, a->bin, 0);
        else if (a->kind == WG_ACTION_START && a->as.start.what == WG_MOVABLE_LARVAE)
            put(y, a->as.start.count, LARVA, a->bin, wg_larva_x_at_age(y->sp, a->as.start.age_days));
    }
}

void individuals_run(const struct wg_plan *plan, const struct recorded_hours *hours, int days, int64_t capacity,
                     gsl_rng *rng, struct individual_outcome *outcome) {
    struct yard y = {.plan = plan, .sp = &plan->species, .rng = rng, .out = outcome, .capacity = capacity};
    *outcome = (struct individual_outcome){0};
    y.one = malloc((size_t)capacity * sizeof *y.one);
    if (plan->n_bins > INDIVIDUALS_MAX_BINS || y.one == NULL || HOURS_LEAD_DAYS + days > hours->n_days)
        exit(EXIT_FAILURE);
    start(&y);
    for (int day = 0; day < days; day++) {
        y.today = &hours->day[HOURS_LEAD_DAYS + day];
        y.warm_hours = y.lit_warm_hours = 0;
        for (y.from = 0; y.from < 24; y.from = y.to) {
            y.to = y.from + 24 / plan->steps_per_day;
            step(&y);
        }
    }
    static const enum wg_stage stage[N_STATES] = {WG_EGG,    WG_LARVA,  WG_PREPUPA, WG_PUPA,
                                                  WG_FEMALE, WG_FEMALE, WG_FEMALE,  WG_MALE};
    for (int64_t i = 0; i < y.n; i++) {
        outcome->count[stage[y.one[i].state]]++;
        outcome->in_bin[y.one[i].bin] += y.one[i].state == LARVA;
    }
    free(y.one);
}
