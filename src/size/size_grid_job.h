/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The work of `size` over two numbers: chances that all goals are met, for each pair of values, in the same weather.
 */
#ifndef WG_SIZE_GRID_JOB_H
#define WG_SIZE_GRID_JOB_H

#include "analysis/compare.h"
#include "answers/setups.h"
#include "answers/size_text.h"

/** Zero-initialise; set what is asked, read `base`, then call the functions below in order. Free in every case. */
struct wg_size_grid_job {
    /* what is asked */
    const char *key[WG_VARIED_MAX]; /* KEY, or KEY=VALUE,VALUE,... */
    int64_t most;                   /* years of all setups together */
    struct wg_scenario base;        /* its seed is that of the grid */
    /* what is found */
    int n; /* setups */
    struct wg_scenario scenario[WG_COMPARE_MAX];
    struct wg_varied varied; /* with the odds */
    struct wg_varied_number number[WG_VARIED_MAX];
    struct wg_compare compare;
    struct wg_goal_chance goal[WG_COMPARE_MAX * WG_MAX_GOALS], all[WG_COMPARE_MAX];
    struct wg_mistakes mistakes; /* of setup `at` */
    int at;
    /* its own */
    struct wg_plan plan[WG_COMPARE_MAX]; /* as simulated; borrow from the scenarios */
    struct wg_goal_tally tally[WG_COMPARE_MAX];
    struct wg_observer observer[WG_COMPARE_MAX];
};
void wg_size_grid_job_free(struct wg_size_grid_job *job);

/**
 * Makes the setups. Returns 0; WG_ERR_USAGE: what is asked has a mistake; or another negative error, with any mistakes of
 * a setup in job->mistakes.
 */
int wg_size_grid_job_prepare(struct wg_size_grid_job *job, struct wg_error *err);
/** Simulates them. Returns 0, WG_STOPPED or a negative error, of setup job->compare.at if it grows too large to count. */
int wg_size_grid_job_run(struct wg_size_grid_job *job, const struct wg_ensemble_options *options, struct wg_error *err);

/** Returns what is printed; borrows the job. */
struct wg_size_grid wg_size_grid_job_output(const struct wg_size_grid_job *job);

#endif
