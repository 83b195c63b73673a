/**
 * One ensemble spread over several processes, on one machine or many (MPI).
 *
 * Process 0 is the program: it reads, prints, writes. The others hold out their
 * hands (wg_ranks_serve()): of n processes, number r lives every (n-1)th replicate
 * and hands each finished diary over in order. Replicate k is the same wherever it
 * is lived, and process 0 shows them in order, so a result has the same bytes as
 * that of one process. A process is never further ahead than its own ring of
 * diaries: it waits until process 0 takes the next.
 *
 * A program built without MPI (the ordinary build) is always alone: nothing here
 * does anything then. Main thread only.
 */
#ifndef WG_FORECAST_RANKS_H
#define WG_FORECAST_RANKS_H

#include "forecast/ensemble.h"

/** Before anything else in main(); later failures of MPI itself end all processes. 0 or WG_ERR_THREAD. */
int wg_ranks_begin(int *argc, char ***argv, struct wg_error *err);
/** How many processes there are (1: alone) and which of them this is, from 0. */
int wg_ranks_count(void);
int wg_ranks_rank(void);
/** The last thing. From process 0 it ends the service of the others. */
void wg_ranks_end(void);

/* ---- process 0 ---- */

/** What the others need to make the plan: bytes that mean something to `plan` of struct wg_ranks_reader. Borrowed. */
struct wg_ranks_order {
    const void *bytes;
    size_t size; /* at most INT_MAX (wg_assert) */
};
/**
 * What to put into the options of an ensemble so that the others live it, when wg_ranks_count() > 1. options->threads
 * are those of each process, 0 is 1. A process that is stopped or fails is WG_ERR_THREAD or its own error, and then no
 * more replicates are begun anywhere. A process that is killed ends all of them: the launcher (mpirun) sees to that.
 */
struct wg_backend wg_ranks_backend(const struct wg_ranks_order *order);

/* ---- the others ---- */

/** Makes a plan of an order's bytes. `release` frees it, also after a failure. */
struct wg_ranks_reader {
    int (*plan)(void *self, const void *bytes, size_t size, struct wg_plan **plan, struct wg_error *err);
    void (*release)(void *self);
    void *self;
};
/** Lives what process 0 orders until that ends. `stop` as in struct wg_ensemble_options. Errors go to process 0. */
void wg_ranks_serve(const struct wg_ranks_reader *reader, const atomic_int *stop);

#endif
