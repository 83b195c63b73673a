/*
 * Who does the next job? Whoever is free: the jobs are numbered, a thread takes the
 * next number, and what a job finds out is filed under its number.
 */
#include "forecast/thread_pool.h"

#include "forecast/replicate.h"

#include <pthread.h>
#include <stdlib.h>

#define MAX_THREADS 256

struct task_queue {
    const struct wg_thread_pool *many;
    int (*job)(void *self, int64_t i, struct wg_error *err);
    void *self;
    pthread_mutex_t lock;
    int64_t n, next, done;
    int code; /* not 0: nothing new is begun */
    struct wg_error err;
};

static int64_t claim_task(struct task_queue *crew) {
    if (crew->code == 0 && wg_is_stop_asked(crew->many->stop))
        crew->code = WG_STOPPED;
    return crew->code == 0 && crew->next < crew->n ? crew->next++ : -1;
}

/* The lock is held. */
static void record_result(struct task_queue *crew, int code, const struct wg_error *err) {
    crew->done++;
    if (code != 0 && crew->code == 0) {
        crew->code = code;
        crew->err = *err;
    }
    if (crew->code == 0 && crew->many->progress != NULL)
        crew->many->progress(crew->many->progress_self, crew->done, crew->n);
}

static void *run_tasks(void *argument) {
    struct task_queue *const crew = argument;
    pthread_mutex_lock(&crew->lock);
    for (int64_t i; (i = claim_task(crew)) >= 0;) {
        pthread_mutex_unlock(&crew->lock);
        struct wg_error err = {0};
        const int code = crew->job(crew->self, i, &err);
        pthread_mutex_lock(&crew->lock);
        record_result(crew, code, &err);
    }
    pthread_mutex_unlock(&crew->lock);
    return NULL;
}

static int pool_threads(const struct wg_thread_pool *many, int64_t n) {
    const int asked = many->threads > 0 ? many->threads : wg_processors();
    const int some = asked > MAX_THREADS ? MAX_THREADS : asked;
    return some > n ? (int)n : some;
}

int wg_thread_pool_run(const struct wg_thread_pool *many, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err) {
    wg_assert(n >= 1);
    struct task_queue crew = {.many = many, .job = job, .self = self, .n = n};
    pthread_t thread[MAX_THREADS];
    const int others = pool_threads(many, n) - 1;
    int started = 0;
    pthread_mutex_init(&crew.lock, NULL);
    /* a thread that cannot be had is no failure: the calling one does the work too */
    while (started < others && pthread_create(&thread[started], NULL, run_tasks, &crew) == 0)
        started++;
    (void)run_tasks(&crew);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    pthread_mutex_destroy(&crew.lock);
    if (crew.code < 0 && err != NULL && err->code == 0)
        *err = crew.err;
    return crew.code;
}

int wg_replicates_run(const struct wg_plan *plan, int64_t first, int64_t n, const struct wg_observer *observer,
                      struct wg_error *err) {
    struct wg_world world = {0};
    struct wg_simulator simulator = {0};
    struct wg_diary diary = {0};
    int code = wg_world_init(&world, plan, err);
    if (code == 0)
        code = wg_simulator_init(&simulator, &world, err);
    if (code == 0)
        code = wg_diary_init(&diary, plan, err);
    for (int64_t k = first; k < first + n && code == 0; k++) {
        code = wg_simulator_run(&simulator, k, &diary, err);
        if (code == 0)
            code = observer->on_replicate(observer->self, k, &diary, err);
    }
    wg_diary_free(&diary);
    wg_simulator_free(&simulator);
    wg_world_free(&world);
    return code;
}
