/*
 * What went wrong, and how badly? Too little heat or too much, too little feed or too much, work that meets nobody.
 */
#include "forecast/warnings.h"

#include <math.h>
#include <string.h>

#define SPARE 1.1              /* Bartok's rule, see the header */
#define MIN_SHORT_W 1          /* less is rounding (judgement) */
#define MIN_MISSING_KG 0.001   /* less is nothing to a keeper (judgement) */
#define CLEAR_NOON_W_M2 1000.0 /* sun on the flat, about the most there is anywhere: MEMORY (ASHRAE clear sky) */

/* ---- looking on ---- */

/* The largest of a series of `width` values a day, at one of them. */
static double worst_of(const double *series, int n_days, int width, int at) {
    double worst = -HUGE_VAL;
    for (int day = 0; day < n_days; day++)
        worst = fmax(worst, series[(ptrdiff_t)day * width + at]);
    return worst;
}

static void record_worst(struct wg_worst_case *watched, double worst, double limit) {
    if (!(worst > limit))
        return;
    watched->worst = watched->replicates == 0 ? worst : fmax(watched->worst, worst);
    watched->replicates++;
}

/* Of several places a diary tells only the eggs and prepupae of all: one of them anywhere counts as met. */
static int64_t living_in_stage(const struct wg_diary *diary, int day, enum wg_movable what) {
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    return what == WG_MOVABLE_EGGS ? count[WG_EGG] : count[WG_PREPUPA] + count[WG_DORMANT] + count[WG_PUPA];
}

/* Larvae that are moved in are there to be scooped on the same day. */
static bool is_bin_refilled(const struct wg_plan *plan, int bin, int32_t day) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const move = &plan->actions[i];
        if (move->kind == WG_ACTION_MOVE && move->as.move.what == WG_MOVABLE_LARVAE && move->as.move.to_bin == bin &&
            move->from == day)
            return true;
    }
    return false;
}

/* Who was there for it in the morning, as the evening before says. */
static int64_t animals_met_on(const struct wg_plan *plan, const struct wg_diary *diary, const struct wg_action *action,
                              int day) {
    if (day == 0)
        return 0;
    switch (action->kind) {
    case WG_ACTION_SCOOP:
        return diary->bin_larvae[(day - 1) * diary->n_bins + action->bin] +
               is_bin_refilled(plan, action->bin, diary->first_day + day);
    case WG_ACTION_MOVE:
        return action->as.move.what == WG_MOVABLE_LARVAE ? diary->bin_larvae[(day - 1) * diary->n_bins + action->bin]
                                                         : living_in_stage(diary, day - 1, action->as.move.what);
    case WG_ACTION_PULL_TRAPS:
        return diary->eggs_in_traps[(day - 1) * diary->n_places + action->place];
    default:
        return 1;
    }
}

static void record_met(bool *met, const struct wg_plan *plan, const struct wg_diary *diary,
                       const struct wg_action *action) {
    const int last = diary->stopped_day < 0 ? diary->n_days : (int)(diary->stopped_day - diary->first_day);
    for (int day = (int)(action->from - diary->first_day); day < last && !*met; day += action->every)
        *met = day >= 0 && diary->first_day + day <= action->to && animals_met_on(plan, diary, action, day) > 0;
}

static bool can_miss_animals(enum wg_action_kind kind) {
    return kind == WG_ACTION_MOVE || kind == WG_ACTION_SCOOP || kind == WG_ACTION_PULL_TRAPS;
}

/*
 * What a heater or mat lacked is told from a house or bin that was held so far, so the cold after a power cut, or of the
 * day on which it is switched on, counts for nothing.
 */
static int on_replicate_warnings(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_warning_tally *const watch = self;
    const int days = diary->n_days, bins = diary->n_bins, places = diary->n_places;
    (void)replicate;
    (void)err;
    for (int i = 0; i < places; i++)
        record_worst(&watch->heater[i], worst_of(diary->heater_short, days, places, i), MIN_SHORT_W);
    for (int i = 0; i < bins; i++) {
        record_worst(&watch->mat[i], worst_of(diary->mat_short, days, bins, i), MIN_SHORT_W);
        record_worst(&watch->hot[i], worst_of(diary->bin_high, days, bins, i), WG_WARNING_HOT_C);
    }
    record_worst(&watch->scoop, diary->total_asked_not_there, MIN_MISSING_KG);
    for (int i = 0; i < watch->plan->n_actions && i < WG_MAX_WATCHED_ACTIONS; i++)
        if (can_miss_animals(watch->plan->actions[i].kind) && !watch->met[i])
            record_met(&watch->met[i], watch->plan, diary, &watch->plan->actions[i]);
    watch->n++;
    return 0;
}

struct wg_observer wg_warning_observer(struct wg_warning_tally *watch) {
    return (struct wg_observer){.on_replicate = on_replicate_warnings, .self = watch};
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

static void add_watched(struct wg_warnings *warnings, enum wg_warning_kind kind, const char *about, int bin,
                        const struct wg_worst_case *watched, double power_w) {
    if (watched->replicates == 0)
        return;
    struct wg_warning *const warning = add_warning(warnings, kind, about, bin);
    warning->replicates = watched->replicates;
    warning->worst = watched->worst;
    if (kind == WG_WARN_HEATER || kind == WG_WARN_MAT)
        warning->holds_w = wg_power_needed_w(power_w, watched->worst);
}

static void add_feeding(struct wg_warnings *warnings, const struct wg_work *work, enum wg_work_fault fault, int bin) {
    struct wg_work_spell spell;
    if (!wg_work_spell(work, fault, bin, 0, &spell))
        return;
    struct wg_warning *const warning = add_warning(warnings, fault == WG_UNDERFED ? WG_WARN_UNDERFED : WG_WARN_OVERFED,
                                                   work->plan->bins[bin].name, bin);
    for (int i = 0; wg_work_spell(work, fault, bin, i, &spell); i++) {
        warning->weeks += spell.weeks;
        warning->worst = fmax(warning->worst, spell.share);
        if (spell.weeks > warning->longest) {
            warning->longest = spell.weeks;
            warning->from_day = work->plan->first_day + 7 * spell.week;
        }
    }
    warning->replicates = (int64_t)llround(warning->worst * (double)work->n);
}

static void add_unmet_actions(struct wg_warnings *warnings, const struct wg_warning_tally *watch) {
    const struct wg_plan *const plan = watch->plan;
    for (int i = 0, listed = 0; i < plan->n_actions && i < WG_MAX_WATCHED_ACTIONS && listed < WG_MAX_UNMET_ACTIONS;
         i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (!can_miss_animals(action->kind) || action->from > plan->last_day || watch->met[i])
            continue;
        const char *const where = action->bin >= 0 ? plan->bins[action->bin].name : plan->places[action->place].name;
        struct wg_warning *const warning = add_warning(warnings, WG_WARN_NO_ANIMALS, where, action->bin);
        warning->replicates = watch->n;
        warning->from_day = action->from;
        warning->action = action->kind;
        warning->once = action->from == action->to;
        warning->line = action->line;
        listed++;
    }
}

void wg_warnings_find(struct wg_warnings *warnings, const struct wg_warning_tally *watch, const struct wg_work *work) {
    const struct wg_plan *const plan = watch->plan;
    warnings->n = 0;
    warnings->of = watch->n;
    warnings->n_days = (int)(plan->last_day - plan->first_day) + 1;
    for (int p = 0; p < plan->n_places; p++)
        add_watched(warnings, WG_WARN_HEATER, plan->places[p].name, -1, &watch->heater[p],
                    plan->places[p].heater.power_w);
    for (int b = 0; b < plan->n_bins; b++)
        add_watched(warnings, WG_WARN_MAT, plan->bins[b].name, b, &watch->mat[b], plan->bins[b].spec.mat.power_w);
    for (int b = 0; b < plan->n_bins; b++)
        add_watched(warnings, WG_WARN_HOT, plan->bins[b].name, b, &watch->hot[b], 0);
    for (int b = 0; b < plan->n_bins; b++)
        for (int f = 0; f < WG_N_FAULTS; f++)
            add_feeding(warnings, work, (enum wg_work_fault)f, b);
    add_watched(warnings, WG_WARN_SCOOP, "", -1, &watch->scoop, 0);
    if (plan->climate.record != NULL && plan->climate.record->is_unit_guessed)
        add_warning(warnings, WG_WARN_UNIT, "", -1)->replicates = watch->n;
    add_unmet_actions(warnings, watch);
}

/* ---- cautions ---- */

/* Not even at noon is it bright enough for flies to mate, and nobody lights a lamp. */
static bool is_dark(const struct wg_plan *plan, const struct wg_shelter_spec *shelter) {
    return shelter->kind == WG_SHED && !(shelter->lamp_hours > 0) &&
           shelter->light_through * CLEAR_NOON_W_M2 <= plan->species.mate_light_w_m2;
}

static bool has_dark_shed(const struct wg_plan *plan) {
    for (int p = 0; p < plan->n_places; p++)
        if (is_dark(plan, &plan->places[p].shelter))
            return true;
    return false;
}

bool wg_caution_applies(const struct wg_plan *plan, enum wg_caution caution) {
    struct wg_source source;
    switch (caution) {
    case WG_CAUTION_UNLIMITED:
        return plan->feed_unlimited;
    case WG_CAUTION_DORMANCY:
        return wg_plan_dormancy_is_a_guess(plan);
    case WG_CAUTION_DARK:
        return has_dark_shed(plan);
    case WG_CAUTION_POWER:
        return wg_plan_source(plan, 0, &source);
    case WG_CAUTION_LAW:
        return wg_plan_takes_out(plan);
    case WG_N_CAUTIONS:
        break;
    }
    return false;
}
