/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Simulates many replicates of one plan on several threads; the results do not depend on the number of threads.
 *
 * Replicate k uses only the streams (seed, k, purpose). Each worker simulates the next replicate into a slot of a ring
 * buffer, and the calling thread passes the diaries to the observers in order.
 */
#ifndef WG_FORECAST_ENSEMBLE_H
#define WG_FORECAST_ENSEMBLE_H

#include "colony/colony.h"

#include <stdatomic.h>
#include <stdbool.h>

/** on_replicate() runs in the calling thread, in order of `replicate`; a nonzero result ends the run and is returned. */
struct wg_observer {
    int (*on_replicate)(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err);
    void *self;
};

struct wg_backend;
struct wg_tables;

/** True once the flag is raised; NULL never is. */
static inline bool wg_is_stop_asked(const atomic_int *stop) {
    return stop != NULL && atomic_load_explicit(stop, memory_order_relaxed) != 0;
}

struct wg_ensemble_options {
    int64_t first, count;   /* replicates first .. first+count-1 */
    int64_t stride;         /* > 1: first, first + stride, first + 2 stride, ... instead; 0 is 1 */
    int threads;            /* >= 1; 0: one per processor */
    const atomic_int *stop; /* nonzero: stop soon (set by a signal handler); may be NULL */
    void (*progress)(void *self, int64_t done, int64_t count); /* may be NULL */
    void *progress_self;
    struct wg_tables *tables; /* shared with other ensembles; NULL: its own */
    /** Stands for the plan, its seed, `first` and `stride`: a page keeps replicates for more of the same. NULL: it does not. */
    const char *key;
    const struct wg_backend *backend; /* simulates in other processes; NULL: threads of this process */
};

/** Simulates replicates in other processes (see ranks.h); run() has the contract of wg_ensemble_run(). */
struct wg_backend {
    int (*run)(void *self, const struct wg_plan *plan, const struct wg_ensemble_options *options,
               const struct wg_observer *observers, int n_observers, struct wg_error *err);
    void *self;
};

/** Returns 0, WG_STOPPED or a negative error (WG_ERR_OVERGROWN names the day and the remedy). */
int wg_ensemble_run(const struct wg_plan *plan, const struct wg_ensemble_options *options,
                    const struct wg_observer *observers, int n_observers, struct wg_error *err);

#endif
