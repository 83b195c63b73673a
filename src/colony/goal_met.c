/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Decides from the finished diary whether a replicate met the keeper's goal.
 *
 * A weekly harvest is a run of consecutive weeks that starts on any day. Its first
 * week must end by the goal's day, and every week must bring the amount.
 */
#include "colony/goal_met.h"

#define DAYS_A_WEEK 7

/* Number of simulated days up to the goal's day. */
static int days_until(const struct wg_diary *diary, int32_t by) {
    const int simulated = diary->stopped_day < 0 ? diary->n_days : (int)(diary->stopped_day - diary->first_day);
    const int days = (int)(by - diary->first_day) + 1;
    return days < 0 ? 0 : days < simulated ? days : simulated;
}

static bool is_any_alive(const struct wg_diary *diary, int n) {
    if (n == 0)
        return false;
    const int64_t *const count = diary->count + (ptrdiff_t)(n - 1) * WG_N_STAGES;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        if (count[stage] > 0)
            return true;
    return false;
}

static bool adults(const struct wg_diary *diary, int n, double amount) {
    for (int d = 0; d < n; d++) {
        const int64_t *const count = diary->count + (ptrdiff_t)d * WG_N_STAGES;
        if ((double)count[WG_FEMALE] + (double)count[WG_MALE] >= amount)
            return true;
    }
    return false;
}

static double sum(const double *values, int n) {
    double total = 0;
    for (int d = 0; d < n; d++)
        total += values[d];
    return total;
}

static const double *harvest_of(const struct wg_goal *goal, const struct wg_diary *diary) {
    return goal->all_crawl_off ? diary->crawl_off_mass : diary->harvest_mass;
}

static bool weeks_running(const struct wg_goal *goal, const double *kg) {
    for (int week = 0; week < goal->weeks; week++)
        if (sum(&kg[week * DAYS_A_WEEK], DAYS_A_WEEK) < goal->amount)
            return false;
    return true;
}

static bool weekly(const struct wg_goal *goal, const struct wg_diary *diary, int n) {
    const int simulated = days_until(diary, diary->first_day + diary->n_days - 1);
    for (int d = 0; d + DAYS_A_WEEK <= n && d + goal->weeks * DAYS_A_WEEK <= simulated; d++)
        if (weeks_running(goal, harvest_of(goal, diary) + d))
            return true;
    return false;
}

static double eggs(const struct wg_diary *diary, int n) {
    double total = 0;
    for (int d = 0; d < n; d++)
        total += (double)diary->eggs_trapped[d];
    return total;
}

bool wg_goal_met(const struct wg_goal *goal, const struct wg_diary *diary) {
    const int n = days_until(diary, goal->by);
    switch (goal->kind) {
    case WG_GOAL_SURVIVE:
        return n == (int)(goal->by - diary->first_day) + 1 && is_any_alive(diary, n);
    case WG_GOAL_HARVEST:
        return weekly(goal, diary, n);
    case WG_GOAL_ADULTS:
        return adults(diary, n, goal->amount);
    case WG_GOAL_EGGS_TRAPPED:
        return eggs(diary, n) >= goal->amount;
    case WG_GOAL_TOTAL_HARVEST:
        return sum(harvest_of(goal, diary), n) >= goal->amount;
    case WG_GOAL_COST:
        return sum(diary->heater_cost, n * diary->n_places) <= goal->amount;
    case WG_GOAL_BALANCE:
        return n == diary->n_days && diary->balance > goal->amount;
    case WG_GOAL_N_KINDS:
        break;
    }
    wg_assert(goal->kind < WG_GOAL_N_KINDS);
    return false;
}
