/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs the jobs of a page, as thread_pool.c does with threads: the workers share those whose results can be sent. Others run
 * in turn, and the workers share the replicates of each where that pays.
 */
#include "forecast/thread_pool.h"

#include "browser/web/host.h"
#include "browser/web/shared_work.h"
#include "forecast/replicate.h"

#include <string.h>

#define LEAST_SHARED 16 /* replicates: fewer take less time than the copies of the memory (judgement) */

int wg_processors(void) {
    return 1;
}

/* ---- shared jobs ---- */

struct web_jobs {
    const struct wg_thread_pool *pool;
    int64_t n;
    int (*job)(void *self, int64_t i, struct wg_error *err);
    void *self;
};

static int run_shared_job(void *self, int64_t i, struct wg_error *err) {
    const struct web_jobs *const jobs = self;
    return jobs->job(jobs->self, i, err);
}

static void add_size(void *to, void *data, size_t size) {
    (void)data;
    *(size_t *)to += size;
}

static void write_piece(void *to, void *data, size_t size) {
    unsigned char **const packet = to;
    memcpy(*packet, data, size);
    *packet += size;
}

static void read_piece(void *to, void *data, size_t size) {
    const unsigned char **const packet = to;
    memcpy(data, *packet, size);
    *packet += size;
}

static size_t size_of_pieces(void *self, int64_t i) {
    const struct web_jobs *const jobs = self;
    size_t size = 0;
    jobs->pool->pieces(jobs->self, i, add_size, &size);
    return size;
}

static void write_pieces(void *self, int64_t i, unsigned char *packet) {
    const struct web_jobs *const jobs = self;
    jobs->pool->pieces(jobs->self, i, write_piece, &packet);
}

static int take_pieces(void *self, int64_t i, const unsigned char *packet, size_t size, struct wg_error *err) {
    const struct web_jobs *const jobs = self;
    const struct wg_thread_pool *const pool = jobs->pool;
    (void)err;
    if (wg_is_stop_asked(pool->stop))
        return WG_STOPPED;
    wg_assert(size == size_of_pieces(self, i));
    pool->pieces(jobs->self, i, read_piece, &packet);
    if (pool->progress != NULL)
        pool->progress(pool->progress_self, i + 1, jobs->n);
    return 0;
}

/* ---- all jobs ---- */

static int run_in_turn(const struct web_jobs *jobs, struct wg_error *err) {
    const struct wg_thread_pool *const pool = jobs->pool;
    for (int64_t i = 0; i < jobs->n; i++) {
        if (wg_host_wait(-1) == WG_HOST_STOPPED || wg_is_stop_asked(pool->stop))
            return WG_STOPPED;
        const int code = jobs->job(jobs->self, i, err);
        if (code != 0)
            return code;
        if (pool->progress != NULL)
            pool->progress(pool->progress_self, i + 1, jobs->n);
    }
    return 0;
}

int wg_thread_pool_run(const struct wg_thread_pool *pool, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err) {
    struct web_jobs jobs = {pool, n, job, self};
    struct wg_shared_work work = {.count = n,
                                  .run = run_shared_job,
                                  .size = size_of_pieces,
                                  .write = write_pieces,
                                  .take = take_pieces,
                                  .self = &jobs};
    wg_assert(n >= 1);
    return pool->pieces != NULL ? wg_shared_work_run(&work, err) : run_in_turn(&jobs, err);
}

/* ---- the replicates of one job ---- */

static int run_here(const struct wg_plan *plan, struct wg_tables *tables, int64_t first, int64_t n,
                    const struct wg_observer *observer, struct wg_error *err) {
    struct wg_worlds *worlds;
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    int code = wg_worlds_new(&worlds, plan, tables, err);
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

int wg_replicates_run(const struct wg_plan *plan, struct wg_tables *tables, int64_t first, int64_t n,
                      const struct wg_observer *observer, struct wg_error *err) {
    const struct wg_ensemble_options options = {.first = first, .count = n, .tables = tables};
    return n < LEAST_SHARED || wg_is_work_shared() ? run_here(plan, tables, first, n, observer, err)
                                                   : wg_ensemble_run(plan, &options, observer, 1, err);
}
