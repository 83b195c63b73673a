/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds what to warn a keeper of: heat and feed, too little or too much, and actions that find no animals.
 */
#include "forecast/warnings.h"

#include <math.h>
#include <string.h>

#define SPARE 1.1              /* Bartok's rule, see the header */
#define MIN_SHORT_W 1          /* less is rounding error (judgement) */
#define MIN_MISSING_KG 0.001   /* less is negligible (judgement) */
#define MIN_IDLE_KWH 10        /* a replicate; less is not worth a change of the plan (judgement) */
#define MIN_IDLE_SHARE 0.05    /* of the place's energy: judgement */
#define MOST 0.8               /* of a sum: judgement */
#define SHORT_DAYS 21          /* a larva's days at its best temperature (timetable at 30 degC: 18 to 20) */
#define CLEAR_NOON_W_M2 1000.0 /* on the horizontal, about the maximum anywhere: MEMORY (ASHRAE clear sky) */

/* ---- the observer ---- */

/* Returns the maximum of column `at` of a series of `width` values a day. */
static double worst_of(const double *series, int n_days, int width, int at) {
    double worst = -HUGE_VAL;
    for (int day = 0; day < n_days; day++)
        worst = fmax(worst, series[(ptrdiff_t)day * width + at]);
    return worst;
}

/* Whether a bin held larvae, in the evening or the evening before, or feed or residue. */
static bool holds_anything(const struct wg_diary *diary, int day, int bin) {
    const ptrdiff_t at = (ptrdiff_t)day * diary->n_bins + bin;
    return diary->bin_larvae[at] > 0 || (day > 0 && diary->bin_larvae[at - diary->n_bins] > 0) ||
           diary->feed_given[at] > 0 || diary->feed_left[at] > 0 || diary->residue[at] > 0;
}

/* Returns the hottest hour of a bin over the days on which it held anything: an empty one may be as hot as it likes. */
static double hottest_of(const struct wg_diary *diary, int bin) {
    double hottest = -HUGE_VAL;
    for (int day = 0; day < diary->n_days; day++)
        if (holds_anything(diary, day, bin))
            hottest = fmax(hottest, diary->bin_high[(ptrdiff_t)day * diary->n_bins + bin]);
    return hottest;
}

static void record_worst(struct wg_worst_case *worst_case, double worst, double limit) {
    if (!(worst > limit))
        return;
    worst_case->worst = worst_case->replicates == 0 ? worst : fmax(worst_case->worst, worst);
    worst_case->replicates++;
}

/* Counts what a place without animals was heated and lit with, in the evening and in the morning. */
static void record_idle(struct wg_idle_energy *idle, const struct wg_diary *diary, int place) {
    bool any = false;
    double all_kwh = 0;
    for (int day = 0; day < diary->n_days; day++) {
        const ptrdiff_t at = (ptrdiff_t)day * diary->n_places + place;
        const double kwh = diary->heater_energy[at];
        all_kwh += kwh;
        if (!(kwh > 0) || diary->animals[at] > 0 || (day > 0 && diary->animals[at - diary->n_places] > 0))
            continue;
        any = true;
        idle->days++;
        idle->kwh += kwh;
        idle->cost += diary->heater_cost[at];
        idle->by_month[wg_month_index(diary->first_day + day)] += kwh;
    }
    idle->replicates += any;
    idle->all_kwh += all_kwh;
    idle->all_kwh_then += any ? all_kwh : 0;
}

/* A diary has eggs and prepupae summed over places, so one of them anywhere counts as found. */
static int64_t stage_count(const struct wg_diary *diary, int day, enum wg_movable what) {
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    return what == WG_MOVABLE_EGGS ? count[WG_EGG] : count[WG_PREPUPA] + count[WG_DORMANT] + count[WG_PUPA];
}

/* Larvae that are moved in can be scooped on the same day. */
static bool is_bin_refilled(const struct wg_plan *plan, int bin, int32_t day) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const move = &plan->actions[i];
        if (move->kind == WG_ACTION_MOVE && move->as.move.what == WG_MOVABLE_LARVAE && move->as.move.to_bin == bin &&
            wg_action_is_due(move, day))
            return true;
    }
    return false;
}

/* Counts the animals that the action finds in the morning, from the diary's entry for the evening before. */
static int64_t animals_found_on(const struct wg_plan *plan, const struct wg_diary *diary,
                                const struct wg_action *action, int day) {
    if (day == 0)
        return 0;
    switch (action->kind) {
    case WG_ACTION_SCOOP:
        return diary->bin_larvae[(day - 1) * diary->n_bins + action->bin] +
               is_bin_refilled(plan, action->bin, diary->first_day + day);
    case WG_ACTION_MOVE:
        return action->as.move.what == WG_MOVABLE_LARVAE ? diary->bin_larvae[(day - 1) * diary->n_bins + action->bin]
                                                         : stage_count(diary, day - 1, action->as.move.what);
    case WG_ACTION_PULL_TRAPS:
        return diary->eggs_in_traps[(day - 1) * diary->n_places + action->place];
    default:
        return 1;
    }
}

static void record_found(bool *found, const struct wg_plan *plan, const struct wg_diary *diary,
                         const struct wg_action *action) {
    const int last = diary->stopped_day < 0 ? diary->n_days : (int)(diary->stopped_day - diary->first_day);
    for (int day = (int)(action->from - diary->first_day); day < last && !*found; day += action->every)
        *found = day >= 0 && diary->first_day + day <= action->to && animals_found_on(plan, diary, action, day) > 0;
}

static bool needs_animals(enum wg_action_kind kind) {
    return kind == WG_ACTION_MOVE || kind == WG_ACTION_SCOOP || kind == WG_ACTION_PULL_TRAPS;
}

/*
 * The diary records a heater's or mat's shortfall only once it has held its set point, so the cold after a power cut or
 * on the day it is switched on does not count.
 */
static int on_replicate_warnings(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_warning_tally *const tally = self;
    const int days = diary->n_days, bins = diary->n_bins, places = diary->n_places;
    (void)replicate;
    (void)err;
    for (int i = 0; i < places; i++) {
        record_worst(&tally->heater[i], worst_of(diary->heater_short, days, places, i), MIN_SHORT_W);
        record_idle(&tally->idle[i], diary, i);
    }
    for (int i = 0; i < bins; i++) {
        record_worst(&tally->mat[i], worst_of(diary->mat_short, days, bins, i), MIN_SHORT_W);
        record_worst(&tally->hot[i], hottest_of(diary, i), WG_WARNING_HOT_C);
    }
    record_worst(&tally->scoop, diary->total_asked_not_there, MIN_MISSING_KG);
    for (int i = 0; i < tally->plan->n_actions && i < WG_MAX_WATCHED_ACTIONS; i++)
        if (needs_animals(tally->plan->actions[i].kind) && !tally->found[i])
            record_found(&tally->found[i], tally->plan, diary, &tally->plan->actions[i]);
    tally->n++;
    return 0;
}

struct wg_observer wg_warning_observer(struct wg_warning_tally *tally) {
    return (struct wg_observer){.on_replicate = on_replicate_warnings, .self = tally};
}

double wg_power_needed_w(double power_w, double worst_short_w) {
    return SPARE * (power_w + worst_short_w);
}

/* ---- the list ---- */

static struct wg_warning *add_warning(struct wg_warnings *warnings, enum wg_warning_kind kind, const char *about,
                                      int bin) {
    wg_assert(warnings->n < WG_MAX_WARNINGS);
    struct wg_warning *const warning = &warnings->list[warnings->n++];
    *warning = (struct wg_warning){.kind = kind, .bin = bin};
    memcpy(warning->about, about, strlen(about) + 1);
    return warning;
}

static void add_worst_case(struct wg_warnings *warnings, enum wg_warning_kind kind, const char *about, int bin,
                           const struct wg_worst_case *worst_case, double power_w) {
    if (worst_case->replicates == 0)
        return;
    struct wg_warning *const warning = add_warning(warnings, kind, about, bin);
    warning->replicates = worst_case->replicates;
    warning->worst = worst_case->worst;
    if (kind == WG_WARN_HEATER || kind == WG_WARN_MAT)
        warning->holds_w = wg_power_needed_w(power_w, worst_case->worst);
}

static void add_feeding(struct wg_warnings *warnings, const struct wg_work *work, enum wg_work_fault fault, int bin) {
    struct wg_work_spell spell;
    if (!wg_work_spell(work, fault, bin, 0, &spell))
        return;
    struct wg_warning *const warning = add_warning(warnings, fault == WG_UNDERFED ? WG_WARN_UNDERFED : WG_WARN_OVERFED,
                                                   work->plan->bins[bin].name, bin);
    for (int i = 0; wg_work_spell(work, fault, bin, i, &spell); i++) {
        warning->weeks += spell.weeks;
        warning->unfed += spell.unfed;
        warning->worst = fmax(warning->worst, spell.share);
        if (spell.weeks > warning->longest) {
            warning->longest = spell.weeks;
            warning->from_day = work->plan->first_day + 7 * spell.week;
        }
    }
    warning->replicates = (int64_t)llround(warning->worst * (double)work->n);
}

/* Returns whether an action found animals, or with it another part of the same job. */
static bool has_job_found(const struct wg_warning_tally *tally, int action) {
    const struct wg_plan *const plan = tally->plan;
    bool found = tally->found[action];
    for (int i = 0; i < plan->n_actions && i < WG_MAX_WATCHED_ACTIONS && !found; i++)
        found = tally->found[i] && wg_action_is_same_job(&plan->actions[i], &plan->actions[action]);
    return found;
}

/* The parts of a job are neighbours: actions are sorted by kind, day and line. */
static bool is_job_listed(const struct wg_plan *plan, int action) {
    return action > 0 && wg_action_is_same_job(&plan->actions[action - 1], &plan->actions[action]);
}

static void add_unmet_actions(struct wg_warnings *warnings, const struct wg_warning_tally *tally) {
    const struct wg_plan *const plan = tally->plan;
    for (int i = 0, listed = 0; i < plan->n_actions && i < WG_MAX_WATCHED_ACTIONS && listed < WG_MAX_UNMET_ACTIONS;
         i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (!needs_animals(action->kind) || action->from > plan->last_day || has_job_found(tally, i) ||
            is_job_listed(plan, i))
            continue;
        const int bin = action->kind == WG_ACTION_MOVE && action->as.move.job > 0 ? -1 : action->bin;
        const char *const where = bin >= 0 ? plan->bins[bin].name : plan->places[wg_action_place(plan, action)].name;
        struct wg_warning *const warning = add_warning(warnings, WG_WARN_NO_ANIMALS, where, bin);
        warning->replicates = tally->n;
        warning->from_day = action->from;
        warning->action = action->kind;
        warning->once = action->from == action->to;
        warning->line = action->line;
        listed++;
    }
}

static void add_idle(struct wg_warnings *warnings, const char *place, const struct wg_idle_energy *idle, int64_t n) {
    if (!(idle->kwh >= MIN_IDLE_KWH * (double)n) || !(idle->kwh >= MIN_IDLE_SHARE * idle->all_kwh) || n == 0)
        return;
    struct wg_warning *const warning = add_warning(warnings, WG_WARN_IDLE, place, -1);
    warning->replicates = idle->replicates;
    warning->days = idle->days / (double)idle->replicates;
    warning->kwh = idle->kwh / (double)idle->replicates;
    warning->cost = idle->cost / (double)idle->replicates;
    warning->all_kwh = idle->all_kwh_then / (double)idle->replicates;
    warning->months = wg_month_span(idle->by_month, MOST);
}

void wg_warnings_find(struct wg_warnings *warnings, const struct wg_warning_tally *tally, const struct wg_work *work) {
    const struct wg_plan *const plan = tally->plan;
    warnings->n = 0;
    warnings->of = tally->n;
    memcpy(warnings->currency, plan->currency, sizeof warnings->currency);
    warnings->n_days = (int)(plan->last_day - plan->first_day) + 1;
    if (wg_caution_applies(plan, WG_CAUTION_NOTHING))
        return;
    for (int p = 0; p < plan->n_places; p++)
        add_worst_case(warnings, WG_WARN_HEATER, plan->places[p].name, -1, &tally->heater[p],
                       plan->places[p].heater.power_w);
    for (int p = 0; p < plan->n_places; p++)
        add_idle(warnings, plan->places[p].name, &tally->idle[p], tally->n);
    for (int b = 0; b < plan->n_bins; b++)
        add_worst_case(warnings, WG_WARN_MAT, plan->bins[b].name, b, &tally->mat[b], plan->bins[b].spec.mat.power_w);
    for (int b = 0; b < plan->n_bins; b++)
        add_worst_case(warnings, WG_WARN_HOT, plan->bins[b].name, b, &tally->hot[b], 0);
    for (int b = 0; b < plan->n_bins; b++)
        for (int f = 0; f < WG_N_FAULTS; f++)
            add_feeding(warnings, work, (enum wg_work_fault)f, b);
    add_worst_case(warnings, WG_WARN_SCOOP, "", -1, &tally->scoop, 0);
    if (plan->climate.record != NULL && plan->climate.record->is_unit_guessed)
        add_warning(warnings, WG_WARN_UNIT, "", -1)->replicates = tally->n;
    add_unmet_actions(warnings, tally);
}

/* ---- cautions ---- */

/* Too dark to mate even at noon, and no lamps. */
static bool is_dark(const struct wg_plan *plan, const struct wg_shelter_spec *shelter) {
    return !(shelter->lamp_hours > 0) && shelter->light_through * CLEAR_NOON_W_M2 <= plan->species.mate_light_w_m2;
}

static bool has_dark_shed(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].shelter.kind == WG_SHED && is_dark(plan, &plan->places[p].shelter))
            return true;
    return false;
}

/* Flies emerge where larvae are reared; a place without bins holds prepupae on purpose. */
static bool has_dark_room(const struct wg_plan *plan) {
    for (int b = 0; b < plan->n_bins; b++) {
        const struct wg_shelter_spec *const shelter = &plan->places[plan->bins[b].place].shelter;
        if ((shelter->kind == WG_ROOM || shelter->kind == WG_CELLAR) && is_dark(plan, shelter))
            return true;
    }
    return false;
}

static bool has_housing(const struct wg_plan *plan, enum wg_housing_kind kind) {
    for (int p = 0; p < plan->n_places; p++)
        if (plan->places[p].shelter.kind == kind)
            return true;
    return false;
}

static bool has_action_of(const struct wg_plan *plan, enum wg_action_kind kind) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == kind)
            return true;
    return false;
}

static bool nothing_comes(const struct wg_plan *plan) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind == WG_ACTION_START && action->from <= plan->last_day &&
            (action->as.start.count > 0 || action->as.start.mass_kg > 0))
            return false;
    }
    return !(plan->wild_peak_per_day > 0);
}

/* True if only eggs and larvae are put in, all of them too young to crawl off before the plan ends. */
static bool ends_too_soon(const struct wg_plan *plan) {
    double oldest = -1; /* days from the egg to the end of the plan */
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind != WG_ACTION_START)
            continue;
        if (action->as.start.what == WG_MOVABLE_PREPUPAE)
            return false;
        if (action->from <= plan->last_day)
            oldest = fmax(oldest, plan->last_day - action->from + action->as.start.age_days);
    }
    return oldest >= 0 && oldest < SHORT_DAYS && !(plan->wild_peak_per_day > 0);
}

bool wg_caution_applies(const struct wg_plan *plan, enum wg_caution caution) {
    struct wg_source source;
    switch (caution) {
    case WG_CAUTION_NOTHING:
        return nothing_comes(plan);
    case WG_CAUTION_SHORT:
        return ends_too_soon(plan);
    case WG_CAUTION_UNLIMITED:
        return plan->feed_unlimited;
    case WG_CAUTION_DORMANCY:
        return wg_plan_dormancy_is_a_guess(plan);
    case WG_CAUTION_DARK:
        return has_dark_shed(plan);
    case WG_CAUTION_DARK_ROOM:
        return has_dark_room(plan);
    case WG_CAUTION_FOOD:
        return has_housing(plan, WG_REFRIGERATOR);
    case WG_CAUTION_POWER:
        return wg_plan_source(plan, 0, &source);
    case WG_CAUTION_LAW:
        return wg_plan_takes_out(plan);
    case WG_CAUTION_RESIDUE:
        return plan->sales.residue_kg.given && !has_action_of(plan, WG_ACTION_CLEAR);
    case WG_N_CAUTIONS:
        break;
    }
    return false;
}
