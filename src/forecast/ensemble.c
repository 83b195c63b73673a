/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates replicates on worker threads and passes their diaries to the observers in order.
 *
 * Replicate k uses slot k mod n_slots of a ring buffer, so a worker waits until the observers have the slot's earlier
 * replicate: memory is bounded, and the observers' view does not depend on the number of threads.
 */
#include "forecast/ensemble.h"

#include "forecast/replicate.h"
#include "forecast/thread_pool.h"

#include <pthread.h>
#include <stdlib.h>

#define SLOTS_PER_THREAD 3
#define MAX_THREADS 256

enum slot_state { SLOT_FREE, SLOT_READY };

struct slot {
    struct wg_diary diary;
    enum slot_state state;
    int code;
    struct wg_error err;
};

struct replicate_ring {
    const struct wg_plan *plan;
    struct wg_worlds *worlds;
    const struct wg_ensemble_options *options;
    pthread_mutex_t lock;
    pthread_cond_t freed, filled;
    struct slot *slot;
    int n_slots;
    int64_t next; /* replicate to simulate next, from 0 */
    int64_t seen; /* replicates that the observers have */
    int closing;  /* no worker takes another */
};

struct worker {
    struct replicate_ring *ring;
    struct wg_simulator simulator;
    pthread_t thread;
    int started;
};

/* Returns the number of the k-th replicate. */
static int64_t number_of(const struct wg_ensemble_options *options, int64_t k) {
    return options->first + k * (options->stride > 1 ? options->stride : 1);
}

/* Waits for the next replicate with a free slot; -1 when none is left. The caller holds the lock. */
static int64_t claim_replicate(struct replicate_ring *ring) {
    while (!ring->closing && ring->next < ring->options->count && ring->next - ring->seen >= ring->n_slots)
        pthread_cond_wait(&ring->freed, &ring->lock);
    return ring->closing || ring->next >= ring->options->count ? -1 : ring->next++;
}

static void *run_worker(void *argument) {
    struct worker *const worker = argument;
    struct replicate_ring *const ring = worker->ring;
    pthread_mutex_lock(&ring->lock);
    for (int64_t k; (k = claim_replicate(ring)) >= 0;) {
        struct slot *const slot = &ring->slot[k % ring->n_slots];
        pthread_mutex_unlock(&ring->lock);
        slot->err = (struct wg_error){0};
        slot->code = wg_simulator_run(&worker->simulator, number_of(ring->options, k), &slot->diary, &slot->err);
        pthread_mutex_lock(&ring->lock);
        slot->state = SLOT_READY;
        pthread_cond_signal(&ring->filled);
    }
    pthread_mutex_unlock(&ring->lock);
    return NULL;
}

/* Passes replicate k to the observers. */
static int notify_observers(const struct replicate_ring *ring, struct slot *slot, int64_t k,
                            const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    if (slot->code < 0) {
        if (err != NULL && err->code == 0)
            *err = slot->err;
        return slot->code;
    }
    for (int i = 0; i < n_observers; i++) {
        const int code = observers[i].on_replicate(observers[i].self, number_of(ring->options, k), &slot->diary, err);
        if (code != 0)
            return code;
    }
    if (ring->options->progress != NULL)
        ring->options->progress(ring->options->progress_self, k + 1, ring->options->count);
    return 0;
}

/* The calling thread: passes on replicate after replicate, in order. */
static int coordinate_workers(struct replicate_ring *ring, const struct wg_observer *observers, int n_observers,
                              struct wg_error *err) {
    int code = 0;
    for (int64_t k = 0; k < ring->options->count && code == 0; k++) {
        struct slot *const slot = &ring->slot[k % ring->n_slots];
        pthread_mutex_lock(&ring->lock);
        while (slot->state != SLOT_READY)
            pthread_cond_wait(&ring->filled, &ring->lock);
        pthread_mutex_unlock(&ring->lock);
        code = wg_is_stop_asked(ring->options->stop) ? WG_STOPPED
                                                     : notify_observers(ring, slot, k, observers, n_observers, err);
        pthread_mutex_lock(&ring->lock);
        slot->state = SLOT_FREE;
        ring->seen = k + 1;
        ring->closing = code != 0;
        pthread_cond_broadcast(&ring->freed);
        pthread_mutex_unlock(&ring->lock);
    }
    return code;
}

static int start_workers(struct replicate_ring *ring, struct worker *workers, int n, struct wg_error *err) {
    for (int i = 0; i < n; i++) {
        workers[i].ring = ring;
        const int code = wg_simulator_init_all(&workers[i].simulator, ring->worlds, err);
        if (code < 0)
            return code;
        if (pthread_create(&workers[i].thread, NULL, run_worker, &workers[i]) != 0)
            return n == 1 ? wg_fail(err, WG_ERR_THREAD, NULL,
                                    "No worker thread could be started: this machine allows no more threads "
                                    "or memory (ulimit -u, ulimit -v).")
                          : wg_fail(err, WG_ERR_THREAD, NULL,
                                    "Worker thread %d of %d could not be started. Try --threads 1.", i + 1, n);
        workers[i].started = 1;
    }
    return 0;
}

static void end_workers(struct replicate_ring *ring, struct worker *workers, int n) {
    pthread_mutex_lock(&ring->lock);
    ring->closing = 1;
    pthread_cond_broadcast(&ring->freed);
    pthread_mutex_unlock(&ring->lock);
    for (int i = 0; i < n; i++)
        if (workers[i].started)
            pthread_join(workers[i].thread, NULL);
    for (int i = 0; i < n; i++)
        wg_simulator_free(&workers[i].simulator);
}

static int ensemble_threads(const struct wg_ensemble_options *options) {
    const int requested = options->threads > 0 ? options->threads : wg_processors();
    const int n = requested > MAX_THREADS ? MAX_THREADS : requested;
    return n > options->count ? (int)options->count : n;
}

static int run_ring(struct replicate_ring *ring, int n, const struct wg_observer *observers, int n_observers,
                    struct wg_error *err) {
    struct worker *const workers = calloc((size_t)n, sizeof *workers);
    ring->n_slots = n * SLOTS_PER_THREAD;
    ring->slot = calloc((size_t)ring->n_slots, sizeof *ring->slot);
    int code = 0;
    if (workers == NULL || ring->slot == NULL)
        code = wg_no_memory(err, NULL);
    for (int i = 0; i < ring->n_slots && code == 0; i++)
        code = wg_diary_init(&ring->slot[i].diary, ring->plan, err);
    if (code == 0)
        code = start_workers(ring, workers, n, err);
    if (code == 0)
        code = coordinate_workers(ring, observers, n_observers, err);
    if (workers != NULL)
        end_workers(ring, workers, n);
    for (int i = 0; ring->slot != NULL && i < ring->n_slots; i++)
        wg_diary_free(&ring->slot[i].diary);
    free(ring->slot);
    free(workers);
    return code;
}

int wg_ensemble_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                    const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    wg_assert(options->count >= 1 && options->first >= 0);
    if (options->backend != NULL)
        return options->backend->run(options->backend->self, plan, options, observers, n_observers, err);
    struct replicate_ring ring = {.plan = plan, .options = options};
    int code = wg_worlds_new(&ring.worlds, plan, options->tables, err);
    if (code == 0) {
        pthread_mutex_init(&ring.lock, NULL);
        pthread_cond_init(&ring.freed, NULL);
        pthread_cond_init(&ring.filled, NULL);
        code = run_ring(&ring, ensemble_threads(options), observers, n_observers, err);
        pthread_cond_destroy(&ring.filled);
        pthread_cond_destroy(&ring.freed);
        pthread_mutex_destroy(&ring.lock);
    }
    wg_worlds_free(ring.worlds);
    return code;
}
