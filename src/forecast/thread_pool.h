/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Runs many small jobs on several threads, and a few replicates of a plan within one job. For studies that try many
 * plans, where an ensemble for each would spend its time starting threads.
 */
#ifndef WG_FORECAST_THREAD_POOL_H
#define WG_FORECAST_THREAD_POOL_H

#include "forecast/ensemble.h"

/** Returns the number of processors that this process may use, at least 1: the default number of threads. */
int wg_processors(void);
/**
 * Returns the number of processors, rounded up, whose time the control group of this process may use, 0 if no limit is
 * found. `mount` is the folder of the groups (cgroup v2), `list` a file such as /proc/self/cgroup.
 */
int wg_processors_quota(const char *mount, const char *list);

struct wg_thread_pool {
    int threads;            /* >= 1; 0: one per processor */
    const atomic_int *stop; /* as in struct wg_ensemble_options; may be NULL */
    /** Runs in any thread, one call at a time; may be NULL. */
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
    /**
     * Calls piece(to, data, size) for each piece of memory that job i writes: the workers of a page share no memory, so these
     * bytes go from the worker that ran it to the caller's. NULL: a page runs the jobs in turn.
     */
    void (*pieces)(void *self, int64_t i, void (*piece)(void *to, void *data, size_t size), void *to);
};
/**
 * Calls job(self, i) for i = 0 .. n-1, in any order and thread. A job must write only what
 * belongs to its i, so that the outcome does not depend on the number of threads. Returns 0, WG_STOPPED,
 * or the first error of a job, after which no new job starts.
 */
int wg_thread_pool_run(const struct wg_thread_pool *pool, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err);

/** Simulates replicates first .. first+n-1 of a plan in the calling thread. `tables`: as in struct wg_ensemble_options. */
int wg_replicates_run(const struct wg_plan *plan, struct wg_tables *tables, int64_t first, int64_t n,
                      const struct wg_observer *observer, struct wg_error *err);

#endif
