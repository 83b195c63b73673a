/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs numbered jobs on several threads: each thread takes the next number until none is left.
 */
#include "forecast/thread_pool.h"

#include "forecast/replicate.h"

#include <pthread.h>
#include <stdlib.h>

#define MAX_THREADS 256

struct task_queue {
    const struct wg_thread_pool *pool;
    int (*job)(void *self, int64_t i, struct wg_error *err);
    void *self;
    pthread_mutex_t lock;
    int64_t n, next, done;
    int code; /* nonzero: no new job starts */
    struct wg_error err;
};

static int64_t claim_task(struct task_queue *queue) {
    if (queue->code == 0 && wg_is_stop_asked(queue->pool->stop))
        queue->code = WG_STOPPED;
    return queue->code == 0 && queue->next < queue->n ? queue->next++ : -1;
}

/* The caller holds the lock. */
static void record_result(struct task_queue *queue, int code, const struct wg_error *err) {
    queue->done++;
    if (code != 0 && queue->code == 0) {
        queue->code = code;
        queue->err = *err;
    }
    if (queue->code == 0 && queue->pool->progress != NULL)
        queue->pool->progress(queue->pool->progress_self, queue->done, queue->n);
}

static void *run_tasks(void *argument) {
    struct task_queue *const queue = argument;
    pthread_mutex_lock(&queue->lock);
    for (int64_t i; (i = claim_task(queue)) >= 0;) {
        pthread_mutex_unlock(&queue->lock);
        struct wg_error err = {0};
        const int code = queue->job(queue->self, i, &err);
        pthread_mutex_lock(&queue->lock);
        record_result(queue, code, &err);
    }
    pthread_mutex_unlock(&queue->lock);
    return NULL;
}

static int pool_threads(const struct wg_thread_pool *pool, int64_t n) {
    const int requested = pool->threads > 0 ? pool->threads : wg_processors();
    const int limited = requested > MAX_THREADS ? MAX_THREADS : requested;
    return limited > n ? (int)n : limited;
}

int wg_thread_pool_run(const struct wg_thread_pool *pool, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err) {
    wg_assert(n >= 1);
    struct task_queue queue = {.pool = pool, .job = job, .self = self, .n = n};
    pthread_t thread[MAX_THREADS];
    const int others = pool_threads(pool, n) - 1;
    int started = 0;
    pthread_mutex_init(&queue.lock, NULL);
    /* a thread that fails to start is no error: the calling thread works too */
    while (started < others && pthread_create(&thread[started], NULL, run_tasks, &queue) == 0)
        started++;
    (void)run_tasks(&queue);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    pthread_mutex_destroy(&queue.lock);
    if (queue.code < 0 && err != NULL && err->code == 0)
        *err = queue.err;
    return queue.code;
}

int wg_replicates_run(const struct wg_plan *plan, struct wg_tables *tables, int64_t first, int64_t n,
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
