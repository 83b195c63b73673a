/*
 * Who does the next job? Whoever is free: the jobs are numbered, a thread takes the
 * next number, and what a job finds out is filed under its number.
 */
#include "forecast/thread_pool.h"

#include "forecast/replicate.h"

#include <pthread.h>
#include <stdlib.h>

#define MOST_THREADS 256

struct crew {
    const struct wg_many *many;
    int (*job)(void *self, int64_t i, struct wg_error *err);
    void *self;
    pthread_mutex_t lock;
    int64_t n, next, done;
    int code; /* not 0: nothing new is begun */
    struct wg_error err;
};

static int asked_to_stop(const struct wg_many *many) {
    return many->stop != NULL && atomic_load_explicit(many->stop, memory_order_relaxed) != 0;
}

static int64_t take(struct crew *crew) {
    if (crew->code == 0 && asked_to_stop(crew->many))
        crew->code = WG_STOPPED;
    return crew->code == 0 && crew->next < crew->n ? crew->next++ : -1;
}

/* The lock is held. */
static void file(struct crew *crew, int code, const struct wg_error *err) {
    crew->done++;
    if (code != 0 && crew->code == 0) {
        crew->code = code;
        crew->err = *err;
    }
    if (crew->code == 0 && crew->many->progress != NULL)
        crew->many->progress(crew->many->progress_self, crew->done, crew->n);
}

static void *work(void *argument) {
    struct crew *const crew = argument;
    pthread_mutex_lock(&crew->lock);
    for (int64_t i; (i = take(crew)) >= 0;) {
        pthread_mutex_unlock(&crew->lock);
        struct wg_error err = {0};
        const int code = crew->job(crew->self, i, &err);
        pthread_mutex_lock(&crew->lock);
        file(crew, code, &err);
    }
    pthread_mutex_unlock(&crew->lock);
    return NULL;
}

static int n_threads(const struct wg_many *many, int64_t n) {
    const int asked = many->threads > 0 ? many->threads : wg_processors();
    const int some = asked > MOST_THREADS ? MOST_THREADS : asked;
    return some > n ? (int)n : some;
}

int wg_many_run(const struct wg_many *many, int64_t n, int (*job)(void *self, int64_t i, struct wg_error *err),
                void *self, struct wg_error *err) {
    wg_assert(n >= 1);
    struct crew crew = {.many = many, .job = job, .self = self, .n = n};
    pthread_t thread[MOST_THREADS];
    const int others = n_threads(many, n) - 1;
    int started = 0;
    pthread_mutex_init(&crew.lock, NULL);
    /* a thread that cannot be had is no failure: the calling one does the work too */
    while (started < others && pthread_create(&thread[started], NULL, work, &crew) == 0)
        started++;
    (void)work(&crew);
    for (int i = 0; i < started; i++)
        pthread_join(thread[i], NULL);
    pthread_mutex_destroy(&crew.lock);
    if (crew.code < 0 && err != NULL && err->code == 0)
        *err = crew.err;
    return crew.code;
}

int wg_live_some(const struct wg_plan *plan, int64_t first, int64_t n, const struct wg_observer *observer,
                 struct wg_error *err) {
    struct wg_world world = {0};
    struct wg_liver liver = {0};
    struct wg_diary diary = {0};
    int code = wg_world_init(&world, plan, err);
    if (code == 0)
        code = wg_liver_init(&liver, &world, err);
    if (code == 0)
        code = wg_diary_init(&diary, plan, err);
    for (int64_t k = first; k < first + n && code == 0; k++) {
        code = wg_liver_live(&liver, k, &diary, err);
        if (code == 0)
            code = observer->see(observer->self, k, &diary, err);
    }
    wg_diary_free(&diary);
    wg_liver_free(&liver);
    wg_world_free(&world);
    return code;
}
