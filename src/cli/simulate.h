/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Simulates a scenario into a result file, with progress on a terminal.
 */
#ifndef WG_CLI_SIMULATE_H
#define WG_CLI_SIMULATE_H

#include "analysis/reasons.h"
#include "cli/progress.h"
#include "results/result_file.h"

#include <stdbool.h>

struct wg_simulation {
    const char *path;                    /* of the result */
    bool force;                          /* replace an existing result */
    const struct wg_file_identity *over; /* NULL, or the one file that may be replaced */
    bool quiet;                          /* no progress */
    struct wg_progress *progress;        /* of several simulations, begun and ended by the caller; NULL: of this one */
    int threads;                         /* 0: one per processor */
    struct wg_tables *tables;            /* of the animals, shared with other simulations; NULL: its own */
    const char *command_line;
    /** Called after the last replicate, to store the reasons (wg_result_explain()); NULL: they are not asked. */
    int (*explain)(void *self, struct wg_result_writer *writer, struct wg_error *err);
    void *explain_self;
};

#define WG_MAX_THREADS 256

/**
 * Runs plan.replicates with plan.seed for the observers (at most 6) and the result writer. Returns 0, WG_STOPPED
 * (leaves no file) or a negative error. An error of `explain` leaves the result without reasons.
 */
int wg_simulate(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                const struct wg_observer *observers, int n_observers, struct wg_error *err);

/** Observes nothing; for a run that is only timed. */
int wg_ignore_replicate(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err);

/**
 * Finds the reasons behind a forecast (analysis/reasons.h). *stopped: the user stopped the search, and there are none.
 * Returns 0 or a negative error.
 */
int wg_simulate_reasons(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                        bool newcomers_alone, struct wg_tables *tables, int threads, bool quiet, bool *stopped,
                        struct wg_error *err);

#endif
