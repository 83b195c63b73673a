/**
 * Many small jobs on several threads, and a few replicates of a plan in one of
 * them (private to forecast/). For studies that try another plan each time, where
 * a whole ensemble for each would spend its time on starting threads.
 */
#ifndef WG_FORECAST_THREAD_POOL_H
#define WG_FORECAST_THREAD_POOL_H

#include "forecast/ensemble.h"

/** Processors that this process may use, at least 1: the number of threads where nobody says another. */
int wg_processors(void);

struct wg_thread_pool {
    int threads;            /* >= 1; 0: one per processor */
    const atomic_int *stop; /* as in struct wg_ensemble_options; may be NULL */
    /** Called in any thread, one at a time; may be NULL. */
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};
/**
 * job(self, i) for i = 0 .. n-1, in any order and thread: a job writes only what
 * belongs to its i, so the outcome does not depend on the number of threads. 0;
 * WG_STOPPED; or an error of a job, after which no new ones are begun.
 */
int wg_thread_pool_run(const struct wg_thread_pool *many, int64_t n,
                       int (*job)(void *self, int64_t i, struct wg_error *err), void *self, struct wg_error *err);

/** Lives replicates first .. first+n-1 of a plan, one after the other, in the calling thread. */
int wg_replicates_run(const struct wg_plan *plan, int64_t first, int64_t n, const struct wg_observer *observer,
                      struct wg_error *err);

#endif
