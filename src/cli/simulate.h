/**
 * Simulating a scenario into a result file, with progress on a terminal.
 */
#ifndef WG_CLI_SIMULATE_H
#define WG_CLI_SIMULATE_H

#include "results/result_write.h"

#include <stdbool.h>

struct wg_simulation {
    const char *path;                    /* of the result */
    bool force;                          /* replace one that is there */
    const struct wg_file_identity *over; /* NULL, or the one file that may be replaced */
    bool quiet;                          /* no progress */
    int threads;                         /* 0: one per processor */
    const char *command_line;
};

#define WG_MAX_THREADS 256

/**
 * Runs plan.replicates with plan.seed, seen by the observers (at most 6) and by
 * the result. 0; WG_STOPPED (nothing is left behind); a negative error.
 */
int wg_simulate(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                const struct wg_observer *observers, int n_observers, struct wg_error *err);

/* ---- shared with `compare` ---- */

struct wg_progress {
    double shown_s; /* when a line was shown last */
    bool shown;
};
typedef void wg_progress_function(void *self, int64_t done, int64_t count);
/**
 * What to hand to an ensemble, with `progress` as its self: NULL when quiet or standard error is no terminal. A first
 * line is shown at once.
 */
wg_progress_function *wg_progress_begin(struct wg_progress *progress, bool quiet);
/** Leaves the line as if nothing had been there. */
void wg_progress_end(const struct wg_progress *progress);

/** Returns the seconds of a clock that never goes back. */
double wg_monotonic_s(void);

#endif
