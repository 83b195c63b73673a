/*
 * Was there too little heat, or too much? The worst hour of each year says. And was there anybody to move, scoop or pull?
 */
#include "cli/watch.h"

#include <math.h>
#include <stdbool.h>

#define SPARE 1.1       /* Bartok's rule, see the header */
#define LEAST_SHORT_W 1 /* less is rounding (judgement) */

/* No heater holds without mains, nor warms a cold house in an hour: the day of a cut and the next say nothing. */
static bool is_after_cut(const struct wg_diary *diary, int day) {
    return diary->power_out_hours[day] > 0 || (day > 0 && diary->power_out_hours[day - 1] > 0);
}

static double worst_short_w(const struct wg_diary *diary, int place) {
    double worst = 0;
    for (int day = 0; day < diary->n_days; day++)
        if (!is_after_cut(diary, day))
            worst = fmax(worst, diary->heater_short[day * diary->n_places + place]);
    return worst;
}

static double hottest_c(const struct wg_diary *diary, int bin) {
    double hottest = -HUGE_VAL;
    for (int day = 0; day < diary->n_days; day++)
        hottest = fmax(hottest, diary->bin_high[day * diary->n_bins + bin]);
    return hottest;
}

static void note(struct wg_watched *watched, double worst, double limit) {
    if (!(worst > limit))
        return;
    watched->worst = watched->replicates == 0 ? worst : fmax(watched->worst, worst);
    watched->replicates++;
}

/*
 * The coldest air of the days on which a mat could not hold its bin, HUGE_VAL if there was none. A mat that has just
 * been switched on lacks power, too, until the bin is warm: only air counts in which it could never hold.
 */
static double coldest_short_c(const struct wg_diary *diary, int bin, const struct wg_bin_plan *plan) {
    double coldest = HUGE_VAL;
    for (int day = 0; day < diary->n_days; day++) {
        const double air_c = diary->air_low[day * diary->n_places + plan->place];
        if (!is_after_cut(diary, day) && diary->mat_short[day * diary->n_bins + bin] > LEAST_SHORT_W &&
            wg_watch_mat_that_holds(&plan->spec, air_c) > SPARE * plan->spec.mat.power_w)
            coldest = fmin(coldest, air_c);
    }
    return coldest;
}

static void note_mat(struct wg_watched *watched, double coldest_c) {
    if (coldest_c == HUGE_VAL)
        return;
    watched->worst = watched->replicates == 0 ? coldest_c : fmin(watched->worst, coldest_c);
    watched->replicates++;
}

/* ---- work that meets nobody ---- */

/* Of several places a diary tells only the eggs and prepupae of all: one of them anywhere counts as met. */
static int64_t alive(const struct wg_diary *diary, int day, enum wg_what what) {
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    return what == WG_WHAT_EGGS ? count[WG_EGG] : count[WG_PREPUPA] + count[WG_DORMANT] + count[WG_PUPA];
}

/* Larvae that are moved in are there to be scooped on the same day. */
static bool is_moved_in(const struct wg_plan *plan, int bin, int32_t day) {
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const move = &plan->actions[i];
        if (move->kind == WG_DO_MOVE && move->as.move.what == WG_WHAT_LARVAE && move->as.move.to_bin == bin &&
            move->from == day)
            return true;
    }
    return false;
}

/* Who was there for it in the morning, as the evening before says. */
static int64_t met_on(const struct wg_plan *plan, const struct wg_diary *diary, const struct wg_action *action,
                      int day) {
    if (day == 0)
        return 0;
    switch (action->kind) {
    case WG_DO_SCOOP:
        return diary->bin_larvae[(day - 1) * diary->n_bins + action->bin] +
               is_moved_in(plan, action->bin, diary->first_day + day);
    case WG_DO_MOVE:
        return action->as.move.what == WG_WHAT_LARVAE ? diary->bin_larvae[(day - 1) * diary->n_bins + action->bin]
                                                      : alive(diary, day - 1, action->as.move.what);
    case WG_DO_PULL_TRAPS:
        return diary->eggs_in_traps[(day - 1) * diary->n_places + action->place];
    default:
        return 1;
    }
}

static void note_met(bool *met, const struct wg_plan *plan, const struct wg_diary *diary,
                     const struct wg_action *action) {
    const int last = diary->stopped_day < 0 ? diary->n_days : (int)(diary->stopped_day - diary->first_day);
    for (int day = (int)(action->from - diary->first_day); day < last && !*met; day += action->every)
        *met = day >= 0 && diary->first_day + day <= action->to && met_on(plan, diary, action, day) > 0;
}

static bool is_watched(enum wg_do kind) {
    return kind == WG_DO_MOVE || kind == WG_DO_SCOOP || kind == WG_DO_PULL_TRAPS;
}

int wg_watch_find_vain(const struct wg_watch *watch, int *i) {
    const struct wg_plan *const plan = watch->plan;
    for (int at = 0; at < plan->n_actions && at < WG_WATCH_ACTIONS; at++)
        if (is_watched(plan->actions[at].kind) && plan->actions[at].from <= plan->last_day && !watch->met[at] &&
            (*i)-- == 0)
            return at;
    return -1;
}

static int see(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_watch *const watch = self;
    (void)replicate;
    (void)err;
    for (int i = 0; i < diary->n_places; i++)
        note(&watch->heater[i], worst_short_w(diary, i), LEAST_SHORT_W);
    for (int i = 0; i < diary->n_bins; i++)
        note(&watch->bin[i], hottest_c(diary, i), WG_WATCH_HOT_C);
    for (int i = 0; i < diary->n_bins; i++)
        note_mat(&watch->mat[i], coldest_short_c(diary, i, &watch->plan->bins[i]));
    for (int i = 0; i < watch->plan->n_actions && i < WG_WATCH_ACTIONS; i++)
        if (is_watched(watch->plan->actions[i].kind))
            note_met(&watch->met[i], watch->plan, diary, &watch->plan->actions[i]);
    return 0;
}

struct wg_observer wg_watch_observer(struct wg_watch *watch) {
    return (struct wg_observer){.see = see, .self = watch};
}

double wg_watch_power_that_holds(double power_w, double worst_short_w) {
    return SPARE * (power_w + worst_short_w);
}

double wg_watch_mat_that_holds(const struct wg_bin_spec *bin, double air_c) {
    return SPARE * (bin->u_w_m2k * bin->wall_m2 + bin->ground_w_k) * fmax(0, bin->mat.set_point_c - air_c);
}
