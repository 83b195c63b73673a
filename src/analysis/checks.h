/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds by experiment what a forecast hangs on besides the plan's own words: wild newcomers, and defaults that may differ at
 * the keeper's place.
 *
 * The same lives (animals, winters, mishaps and seeds of the first replicates) are simulated once as planned and once with
 * each change. Without newcomers is a counterfactual: the colony's own line as it would live if no wild female ever came.
 */
#ifndef WG_ANALYSIS_CHECKS_H
#define WG_ANALYSIS_CHECKS_H

#include "analysis/story.h"
#include "base/stats.h"
#include "forecast/ensemble.h"

enum wg_check_kind {
    WG_CHECK_NEWCOMERS, /* no wild female lays */
    WG_CHECK_LAMPS,     /* lamps in houses without */
    WG_CHECK_TIGHT,     /* houses that lose less heat than is usual for their kind */
    WG_CHECK_LEAKY,     /* houses that lose more */
    WG_CHECK_FOAM,      /* foam around bins without */
    WG_CHECK_GIVE_BACK, /* a share of the catch goes back, where none does */
    WG_CHECK_SHALLOW,   /* prepupae dig less deep than is usual */
    WG_CHECK_DEEP,      /* or deeper */
    WG_N_CHECKS
};
/** "no newcomers", "lamps", "tighter houses", "leakier houses", "foam", "give back", "shallow ground", "deep ground" */
const char *wg_check_name(enum wg_check_kind kind);
/** Returns true if the plan has what the check changes; of defaults, if the scenario does not give the value itself. */
bool wg_check_applies(enum wg_check_kind kind, const struct wg_plan *plan);
/** Returns the value that the check sets: hours of lamps, W/(m2 K) or air changes an hour, m, share; NaN: none. */
double wg_check_value(enum wg_check_kind kind, const struct wg_plan *plan);
/** Changes a copy of the plan (analysis/limits.h). */
void wg_check_change(struct wg_plan *copy, enum wg_check_kind kind);

struct wg_check {
    enum wg_check_kind kind; /* WG_N_CHECKS: as planned */
    int64_t lives;           /* 0: outgrew what can be counted */
    int64_t n_alive;
    bool alive[WG_STORY_LIVES];
    double harvest_kg[WG_STORY_LIVES], mean_harvest_kg;
    struct wg_interval alive_change, harvest_change; /* against as planned: share of lives; mean kg, NaN: all alike */
    bool decides;                                    /* more than luck and enough to matter */
};
struct wg_checks {
    int64_t lives; /* of each; 0: nothing to check */
    int n;
    struct wg_check check[WG_N_CHECKS + 1]; /* the first is as planned */
};
/**
 * Makes the checks that apply, or that of newcomers alone. Returns 0, WG_STOPPED or an error.
 */
int wg_checks_find(struct wg_checks *checks, const struct wg_plan *plan, int64_t lives, bool newcomers_alone,
                   const struct wg_ensemble_options *options, struct wg_error *err);
/** Returns the check of newcomers, or NULL. */
const struct wg_check *wg_checks_newcomers(const struct wg_checks *checks);

#endif
