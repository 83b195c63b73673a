/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A keeper's goal and the probability with which it should be met.
 *
 * The diary of a replicate decides whether that replicate meets a goal (colony/goal_met.h); analysis/ counts over
 * replicates (odds.h). A plan has up to WG_MAX_GOALS goals.
 */
#ifndef WG_PLAN_GOAL_H
#define WG_PLAN_GOAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define WG_MAX_GOALS 8
/** Default probability of a goal (judgement: nine years in ten). */
#define WG_GOAL_CHANCE 0.90

enum wg_goal_kind {
    WG_GOAL_SURVIVE,       /* any individual is alive at the end of day `by` */
    WG_GOAL_HARVEST,       /* `amount` kg in each of `weeks` consecutive weeks, the first of which ends by day `by` */
    WG_GOAL_ADULTS,        /* `amount` flies alive at the end of any day up to day `by` */
    WG_GOAL_EGGS_TRAPPED,  /* `amount` eggs laid in egg traps from the first day to day `by` */
    WG_GOAL_TOTAL_HARVEST, /* `amount` kg from the first day to day `by` */
    WG_GOAL_COST,          /* energy cost from the first day to day `by` is at most `amount` */
    WG_GOAL_BALANCE, /* the balance of the whole period is above `amount` (plan/accounts.h); day `by` is its last */
    WG_GOAL_N_KINDS
};
/** As a scenario's key: "survive", "harvest", "adults", "eggs_trapped", "total_harvest", "cost", "balance". */
const char *wg_goal_name(enum wg_goal_kind kind);

struct wg_goal {
    enum wg_goal_kind kind;
    int32_t by;         /* a day of the period, included */
    int weeks;          /* HARVEST: >= 1; by + 7 (weeks - 1) is within the period */
    double amount;      /* kg, individuals, eggs or money; HARVEST: kg a week */
    bool all_crawl_off; /* harvests: all crawl-off, caught or not; else what the keeper takes out, scooped larvae too */
    double chance;      /* required probability, inside 0..1 */
    int line;           /* in the scenario file, 0 if none */
};

struct wg_plan;

/**
 * Checks a goal against its plan: day outside the period, weeks that do not fit, a
 * probability of 0 or 1, an amount below 0. Returns NULL, or the problem as a sentence
 * without capital and full stop (static text).
 */
const char *wg_goal_problem(const struct wg_goal *goal, const struct wg_plan *plan);

#endif
