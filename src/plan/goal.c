/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Goals: their names, and whether a goal fits its plan.
 */
#include "plan/plan.h"

#define DAYS_A_WEEK 7

const char *wg_goal_name(enum wg_goal_kind kind) {
    static const char *const name[WG_GOAL_N_KINDS] = {
        [WG_GOAL_SURVIVE] = "survive",
        [WG_GOAL_HARVEST] = "harvest",
        [WG_GOAL_ADULTS] = "adults",
        [WG_GOAL_EGGS_TRAPPED] = "eggs_trapped",
        [WG_GOAL_TOTAL_HARVEST] = "total_harvest",
        [WG_GOAL_COST] = "cost",
        [WG_GOAL_BALANCE] = "balance",
    };
    return name[kind];
}

const char *wg_goal_problem(const struct wg_goal *goal, const struct wg_plan *plan) {
    if (!(goal->chance > 0 && goal->chance < 1))
        return "the chance must be above 0 and below 100 %: nothing is certain";
    if (!(goal->amount >= 0))
        return "the amount must not be negative";
    if (goal->by < plan->first_day || goal->by > plan->last_day)
        return "the day is outside the period";
    if (goal->kind == WG_GOAL_BALANCE && goal->by != plan->last_day)
        return "a balance counts over the whole period, so it has no other day";
    if (goal->kind != WG_GOAL_HARVEST)
        return NULL;
    if (goal->by - plan->first_day + 1 < DAYS_A_WEEK)
        return "a weekly harvest needs at least seven days of the period up to its day";
    if (goal->weeks < 1 || goal->by + (int64_t)DAYS_A_WEEK * (goal->weeks - 1) > plan->last_day)
        return "the period ends before the harvest has lasted that long";
    return NULL;
}
