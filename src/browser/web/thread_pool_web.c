/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs the jobs of a page in turn, as thread_pool.c does with threads. The replicates of a job are distributed over the
 * workers where that pays.
 */
#include "forecast/thread_pool.h"

#include "browser/web/host.h"
#include "forecast/replicate.h"

#define LEAST_SHARED 16 /* replicates: fewer take less time than the copies of the memory (judgement) */

int wg_processors(void) {
    return 1;
}

int wg_thread_pool_run(const struct wg_thread_pool *pool, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err) {
    wg_assert(n >= 1);
    for (int64_t i = 0; i < n; i++) {
        if (wg_host_wait(-1) == WG_HOST_STOPPED || wg_is_stop_asked(pool->stop))
            return WG_STOPPED;
        const int code = job(self, i, err);
        if (code != 0)
            return code;
        if (pool->progress != NULL)
            pool->progress(pool->progress_self, i + 1, n);
    }
    return 0;
}

static int run_here(const struct wg_plan *plan, int64_t first, int64_t n, const struct wg_observer *observer,
                    struct wg_error *err) {
    struct wg_worlds *worlds;
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    int code = wg_worlds_new(&worlds, plan, err);
    if (code == 0)
        code = wg_simulator_init_all(&simulator, worlds, err);
    if (code == 0)
        code = wg_diary_init(&diary, plan, err);
    for (int64_t k = first; k < first + n && code == 0; k++) {
        code = wg_simulator_run(&simulator, k, &diary, err);
        if (code == 0)
            code = observer->on_replicate(observer->self, k, &diary, err);
    }
    wg_diary_free(&diary);
    wg_simulator_free(&simulator);
    wg_worlds_free(worlds);
    return code;
}

int wg_replicates_run(const struct wg_plan *plan, int64_t first, int64_t n, const struct wg_observer *observer,
                      struct wg_error *err) {
    const struct wg_ensemble_options options = {.first = first, .count = n};
    return n < LEAST_SHARED ? run_here(plan, first, n, observer, err)
                            : wg_ensemble_run(plan, &options, observer, 1, err);
}
