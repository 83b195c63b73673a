/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Finds by experiment why a colony dies out, or why nothing is harvested.
 *
 * The same lives (animals, winters, mishaps and seeds of the first replicates) are simulated again with one limit lifted at
 * a time. The reason is the limit with which most lives come through, if that is more than luck: each life is paired with
 * itself as planned, and the interval of the difference must lie above 0. If the best limit leaves many lives failing, pairs
 * of limits are tried; a pair is the reason if it saves more than the better of the two alone, by the same standard.
 */
#ifndef WG_ANALYSIS_REASONS_H
#define WG_ANALYSIS_REASONS_H

#include "analysis/checks.h"
#include "analysis/limits.h"
#include "analysis/story.h"
#include "base/stats.h"
#include "forecast/summary.h"

#define WG_REASON_LIVES WG_STORY_LIVES /* one of each animal and winter of a block of the lattice */
#define WG_REASON_LEAST_LIVES 16       /* fewer cannot tell a reason from luck */
#define WG_REASON_DAYS 731             /* of a life; of longer lives fewer are simulated */
#define WG_REASON_ENOUGH 0.9           /* share of lives that come through: no reason is needed */
/* With ten limits tried, the chance that any useless one passes is 0.05 or less (two-sided 0.99, Bonferroni). */
#define WG_REASON_CONFIDENCE 0.99

enum wg_why { WG_WHY_NOTHING, WG_WHY_DIES, WG_WHY_NO_HARVEST, WG_WHY_GOAL };
/** "nothing", "dies out", "no harvest", "goal missed" */
const char *wg_why_name(enum wg_why why);
/** Returns the question that a forecast raises: it dies out in more than a tenth of years; half have no harvest. */
enum wg_why wg_reasons_question(const struct wg_plan *plan, const struct wg_summary *summary);

/** One experiment: the lives again, with limits lifted or at another set point. */
struct wg_trial {
    int n_limits; /* 0: as planned, or the set point below; 1; 2: a pair */
    enum wg_limit limit[2];
    double set_point_c;        /* of every heater; NaN: as planned */
    int64_t lives;             /* 0: outgrew what can be counted */
    bool met[WG_REASON_LIVES]; /* lived to the end; or something was harvested; or the goal was met */
    int64_t n_met;
    double harvest_kg;        /* mean */
    struct wg_interval saved; /* share of lives that it saves, net */
    bool is_sure;             /* saves more than luck */
};

#define WG_REASON_TRIALS (WG_N_LIMITS + 4)
struct wg_reasons {
    enum wg_why why;
    int goal;          /* of the plan; WG_WHY_GOAL */
    int64_t lives;     /* simulated again; 0: no question, or too few replicates */
    int64_t simulated; /* over all trials */
    int n_trials;
    struct wg_trial trial[WG_REASON_TRIALS]; /* as planned; each limit that applies; a pair, set points if tried */
    int reason;                              /* trial that is the reason; 0: none */
    int next;                                /* the best other single limit, if it saves more than luck; 0: none */
    int best;                                /* the best single limit, sure or not */
    int warmer, cooler;                      /* trials of other set points that save more than luck; 0: none */
    bool pairs_tried;
    struct wg_story story; /* of the lives that failed as planned */
    struct wg_checks checks;
};
/**
 * Finds the reasons behind a forecast of the plan, and the checks of its defaults (analysis/checks.h) or only that of
 * newcomers. Uses threads and stop of the options, and never changes what the forecast itself is made of. Returns 0,
 * WG_STOPPED or an error.
 */
int wg_reasons_find(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                    bool newcomers_alone, const struct wg_ensemble_options *options, struct wg_error *err);
/** Finds the reasons why lives miss a goal of the plan, in a number of lives, at most WG_REASON_LIVES. */
int wg_reasons_find_goal(struct wg_reasons *reasons, const struct wg_plan *plan, int goal, int64_t lives,
                         const struct wg_ensemble_options *options, struct wg_error *err);
/** Returns true if the lives as planned ended as those of the summary: not so if its result is of another version. */
bool wg_reasons_agree(const struct wg_reasons *reasons, const struct wg_summary *summary);

#endif
