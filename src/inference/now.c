/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the state of a day and the weeks after it from a diary.
 */
#include "inference/now.h"

#include <math.h>

/* ---- the list ---- */

static void add_quantity(struct wg_now *now, enum wg_now_kind kind, int index) {
    wg_assert(now->n < WG_NOW_MOST);
    now->quantity[now->n++] = (struct wg_now_quantity){kind, index};
}

/* Returns the dry usable share of the wet feed given to a bin over the whole plan. */
static double usable_share(const struct wg_plan *plan, int bin) {
    double wet = 0, usable = 0;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const action = &plan->actions[i];
        if (action->kind != WG_ACTION_FEED || action->bin != bin)
            continue;
        const struct wg_feed_type *const type = wg_plan_feed(plan, action->as.feed.type);
        const double events = (action->to - action->from) / action->every + 1;
        const double kg = events * wg_action_feed_weight_kg(action);
        wet += kg;
        usable += kg * (1 - type->moisture) * type->usable;
    }
    return usable > 0 ? usable / wet : (double)NAN;
}

void wg_now_init(struct wg_now *now, const struct wg_plan *plan, int32_t today) {
    wg_assert(today >= plan->first_day && today <= plan->last_day);
    const int weeks = (plan->last_day - today) / 7;
    *now = (struct wg_now){.plan = plan, .today = today, .n_weeks = weeks < WG_NOW_WEEKS ? weeks : WG_NOW_WEEKS};
    for (int stage = 0; stage < WG_N_NOW_STAGES; stage++)
        add_quantity(now, WG_NOW_STAGE, stage);
    for (int b = 0; b < plan->n_bins; b++) {
        now->usable[b] = plan->feed_unlimited ? (double)NAN : usable_share(plan, b);
        add_quantity(now, WG_NOW_LARVAE, b);
        add_quantity(now, WG_NOW_MASS, b);
        if (isnan(now->usable[b]))
            continue;
        add_quantity(now, WG_NOW_FEED_LEFT, b);
        if (now->n_weeks > 0) {
            add_quantity(now, WG_NOW_WANTED, b);
            add_quantity(now, WG_NOW_TO_FEED, b);
        }
    }
    for (int w = 0; w < now->n_weeks; w++) {
        add_quantity(now, WG_NOW_CRAWL_OFF, w);
        add_quantity(now, WG_NOW_FLIES, w);
    }
    add_quantity(now, WG_NOW_REST_CRAWL, 0);
    add_quantity(now, WG_NOW_REST_TAKEN, 0);
}

int wg_now_find(const struct wg_now *now, enum wg_now_kind kind, int index) {
    for (int i = 0; i < now->n; i++)
        if (now->quantity[i].kind == kind && now->quantity[i].index == index)
            return i;
    return -1;
}

const char *wg_now_name(const struct wg_now *now, int i) {
    static const char *const name[] = {
        [WG_NOW_LARVAE] = "larvae in the bin",
        [WG_NOW_MASS] = "weight of larvae in the bin",
        [WG_NOW_FEED_LEFT] = "dry feed left in the bin",
        [WG_NOW_CRAWL_OFF] = "crawl-off in the week",
        [WG_NOW_FLIES] = "flies that emerge in the week",
        [WG_NOW_WANTED] = "fresh feed that larvae can eat in seven days",
        [WG_NOW_TO_FEED] = "fresh feed to give in seven days",
        [WG_NOW_REST_CRAWL] = "crawl-off to the end",
        [WG_NOW_REST_TAKEN] = "taken out to the end",
    };
    static const char *const stage[WG_N_NOW_STAGES] = {
        [WG_NOW_EGGS] = "eggs",         [WG_NOW_ALL_LARVAE] = "larvae",
        [WG_NOW_PREPUPAE] = "prepupae", [WG_NOW_ASLEEP] = "dormant prepupae",
        [WG_NOW_PUPAE] = "pupae",       [WG_NOW_ALL_FLIES] = "flies",
    };
    const struct wg_now_quantity quantity = now->quantity[i];
    return quantity.kind == WG_NOW_STAGE ? stage[quantity.index] : name[quantity.kind];
}

bool wg_now_has_bin(enum wg_now_kind kind) {
    return kind == WG_NOW_LARVAE || kind == WG_NOW_MASS || kind == WG_NOW_FEED_LEFT || kind == WG_NOW_WANTED ||
           kind == WG_NOW_TO_FEED;
}

bool wg_now_has_week(enum wg_now_kind kind) {
    return kind == WG_NOW_CRAWL_OFF || kind == WG_NOW_FLIES;
}

bool wg_now_is_mass(enum wg_now_kind kind) {
    return kind != WG_NOW_STAGE && kind != WG_NOW_LARVAE && kind != WG_NOW_FLIES;
}

/* ---- values ---- */

static double count_now_stage(const struct wg_diary *diary, int day, int stage) {
    static const struct {
        enum wg_stage one, other;
    } stages[WG_N_NOW_STAGES] = {
        [WG_NOW_EGGS] = {WG_EGG, WG_N_STAGES},         [WG_NOW_ALL_LARVAE] = {WG_LARVA, WG_N_STAGES},
        [WG_NOW_PREPUPAE] = {WG_PREPUPA, WG_N_STAGES}, [WG_NOW_ASLEEP] = {WG_DORMANT, WG_N_STAGES},
        [WG_NOW_PUPAE] = {WG_PUPA, WG_N_STAGES},       [WG_NOW_ALL_FLIES] = {WG_FEMALE, WG_MALE},
    };
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    const enum wg_stage other = stages[stage].other;
    return (double)count[stages[stage].one] + (other == WG_N_STAGES ? 0 : (double)count[other]);
}

/* Sums a series [day][width] over days from < day <= to, of one column. */
static double sum_days_after(const double *values, int width, int column, int from, int to) {
    double sum = 0;
    for (int day = from + 1; day <= to; day++)
        sum += values[(ptrdiff_t)day * width + column];
    return sum;
}

static double flies_emerged(const struct wg_diary *diary, int from, int to) {
    double sum = 0;
    for (int day = from + 1; day <= to; day++)
        for (int p = 0; p < diary->n_places; p++)
            sum += (double)diary->adults_emerged[(ptrdiff_t)day * diary->n_places + p];
    return sum;
}

double wg_now_value(const struct wg_now *now, int i, const struct wg_diary *diary) {
    const int index = now->quantity[i].index, day = now->today - diary->first_day, n_bins = diary->n_bins;
    const int last = diary->n_days - 1, week = day + 7 * index;
    const ptrdiff_t cell = (ptrdiff_t)day * n_bins + index;
    double wanted;
    switch (now->quantity[i].kind) {
    case WG_NOW_STAGE:
        return count_now_stage(diary, day, index);
    case WG_NOW_LARVAE:
        return (double)diary->bin_larvae[cell];
    case WG_NOW_MASS:
        return diary->bin_larval_mass[cell];
    case WG_NOW_FEED_LEFT:
        return diary->feed_left[cell];
    case WG_NOW_CRAWL_OFF:
        return sum_days_after(diary->crawl_off_mass, 1, 0, week, week + 7);
    case WG_NOW_FLIES:
        return flies_emerged(diary, week, week + 7);
    case WG_NOW_WANTED:
        return sum_days_after(diary->feed_demand, n_bins, index, day, day + 7) / now->usable[index];
    case WG_NOW_TO_FEED:
        wanted = sum_days_after(diary->feed_demand, n_bins, index, day, day + 7);
        return fmax(0, wanted - diary->feed_left[cell]) / now->usable[index];
    case WG_NOW_REST_CRAWL:
        return sum_days_after(diary->crawl_off_mass, 1, 0, day, last);
    case WG_NOW_REST_TAKEN:
        break;
    }
    return sum_days_after(diary->harvest_mass, 1, 0, day, last);
}
