/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Distributes one ensemble over several processes, on one machine or many (MPI).
 *
 * Rank 0 is the program: it reads, prints and writes. The other ranks wait in wg_ranks_serve(): of n ranks, rank r
 * simulates every (n-1)th replicate and sends its diaries in order. Replicate k is the same on every rank, and rank 0
 * passes them to the observers in order, so the result has the same bytes as from one process. A rank is never further
 * ahead than its own ring of diaries: it waits until rank 0 receives the next one.
 *
 * Without MPI (the default build) these functions do nothing. Main thread only.
 */
#ifndef WG_FORECAST_RANKS_H
#define WG_FORECAST_RANKS_H

#include "forecast/ensemble.h"

/** Starts MPI; call it first in main(). A later failure of MPI itself ends all ranks. Returns 0 or WG_ERR_THREAD. */
int wg_ranks_begin(int *argc, char ***argv, struct wg_error *err);
/** The number of ranks (1: no others) and the rank of this process, from 0. */
int wg_ranks_count(void);
int wg_ranks_rank(void);
/** Ends MPI; call it last. On rank 0 it also ends wg_ranks_serve() on the others. */
void wg_ranks_end(void);

/* ---- rank 0 ---- */

/** The bytes from which the other ranks build the plan, by `plan` of struct wg_ranks_reader. Borrowed. */
struct wg_ranks_order {
    const void *bytes;
    size_t size; /* at most INT_MAX (wg_assert) */
};
/**
 * Returns the backend that makes the other ranks simulate an ensemble, when wg_ranks_count() > 1. options->threads
 * applies to each rank, 0 is 1. If a rank stops or fails, the run returns WG_ERR_THREAD or the rank's own error, and no
 * rank starts another replicate. If a rank is killed, the launcher (mpirun) ends all of them.
 */
struct wg_backend wg_ranks_backend(const struct wg_ranks_order *order);

/* ---- the other ranks ---- */

/** Builds a plan from an order's bytes. `release` frees it, also after a failure. */
struct wg_ranks_reader {
    int (*plan)(void *self, const void *bytes, size_t size, struct wg_plan **plan, struct wg_error *err);
    void (*release)(void *self);
    void *self;
};
/** Simulates what rank 0 orders until rank 0 ends. `stop` as in struct wg_ensemble_options. Errors go to rank 0. */
void wg_ranks_serve(const struct wg_ranks_reader *reader, const atomic_int *stop);

#endif
