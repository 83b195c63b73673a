/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What a keeper wants to know on a day: what is in each bin and in the ground, the next four weeks, the feed of this week.
 */
#ifndef WG_INFERENCE_NOW_H
#define WG_INFERENCE_NOW_H

#include "colony/diary.h"

enum wg_now_kind {
    WG_NOW_STAGE,      /* individuals of enum wg_now_stage `index` at the end of the day, everywhere */
    WG_NOW_LARVAE,     /* larvae in bin `index` */
    WG_NOW_MASS,       /* kg, their fresh mass */
    WG_NOW_FEED_LEFT,  /* kg of dry usable feed in bin `index` */
    WG_NOW_CRAWL_OFF,  /* kg in week `index` after the day */
    WG_NOW_FLIES,      /* flies that emerge within reach in that week */
    WG_NOW_WANTED,     /* kg of feed, wet as the plan gives it, that the larvae of bin `index` can eat in week 0 */
    WG_NOW_TO_FEED,    /* kg of wet feed: the same less what is still in the bin */
    WG_NOW_REST_CRAWL, /* kg of crawl-off from the next day to the end of the period */
    WG_NOW_REST_TAKEN, /* kg taken out in the same time */
};
/** The stages as a keeper tells them apart; flies are both sexes. */
enum wg_now_stage {
    WG_NOW_EGGS,
    WG_NOW_ALL_LARVAE,
    WG_NOW_PREPUPAE,
    WG_NOW_ASLEEP,
    WG_NOW_PUPAE,
    WG_NOW_ALL_FLIES,
    WG_N_NOW_STAGES
};

#define WG_NOW_WEEKS 4
#define WG_NOW_MOST (WG_N_NOW_STAGES + 5 * WG_MAX_BINS + 2 * WG_NOW_WEEKS + 2)

struct wg_now_quantity {
    enum wg_now_kind kind;
    int index;
};
struct wg_now {
    const struct wg_plan *plan; /* borrowed */
    int32_t today;              /* within the plan's period */
    int n_weeks;                /* whole weeks after it within the period, at most WG_NOW_WEEKS */
    int n;
    struct wg_now_quantity quantity[WG_NOW_MOST];
    double usable[WG_MAX_BINS]; /* dry usable share of the wet feed that the plan gives a bin; NaN: it gives none */
};
/** Lists the quantities of a day. Those of feed exist only for bins that the plan feeds, and where a whole week remains. */
void wg_now_init(struct wg_now *now, const struct wg_plan *plan, int32_t today);
/** Returns the row of a quantity, or -1. */
int wg_now_find(const struct wg_now *now, enum wg_now_kind kind, int index);
/** Returns what a quantity is: "eggs", "larvae in the bin", "crawl-off in the week", ... */
const char *wg_now_name(const struct wg_now *now, int i);
/** True for quantities whose index is a bin, and those whose index is a week. */
bool wg_now_has_bin(enum wg_now_kind kind);
bool wg_now_has_week(enum wg_now_kind kind);
/** True for kg, false for individuals. */
bool wg_now_is_mass(enum wg_now_kind kind);
/** Returns a quantity's value in a replicate. */
double wg_now_value(const struct wg_now *now, int i, const struct wg_diary *diary);

#endif
