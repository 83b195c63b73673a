/**
 * Simulates a scenario into a result file, with progress on a terminal.
 */
#ifndef WG_CLI_SIMULATE_H
#define WG_CLI_SIMULATE_H

#include "analysis/reasons.h"
#include "results/result_write.h"

#include <stdbool.h>

struct wg_simulation {
    const char *path;                    /* of the result */
    bool force;                          /* replace an existing result */
    const struct wg_file_identity *over; /* NULL, or the one file that may be replaced */
    bool quiet;                          /* no progress */
    int threads;                         /* 0: one per processor */
    const char *command_line;
};

#define WG_MAX_THREADS 256

/**
 * Runs plan.replicates with plan.seed for the observers (at most 6) and the result writer. Returns 0, WG_STOPPED
 * (leaves no file) or a negative error.
 */
int wg_simulate(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                const struct wg_observer *observers, int n_observers, struct wg_error *err);

/* ---- shared with `compare` ---- */

struct wg_progress {
    double shown_s; /* time of the last line */
    bool shown;
};
typedef void wg_progress_function(void *self, int64_t done, int64_t count);
/**
 * Prints a first line. Returns the callback for an ensemble, with `progress` as its self; NULL if quiet or if standard
 * error is not a terminal.
 */
wg_progress_function *wg_progress_begin(struct wg_progress *progress, bool quiet);
/** Clears the line. */
void wg_progress_end(const struct wg_progress *progress);

/**
 * Finds the reasons behind a forecast (analysis/reasons.h). *stopped: the user stopped the search, and there are none.
 * Returns 0 or a negative error.
 */
int wg_simulate_reasons(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                        bool newcomers_alone, int threads, bool *stopped, struct wg_error *err);
/** Returns the seconds of a monotonic clock. */
double wg_monotonic_s(void);

#endif
