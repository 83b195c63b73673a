/* layer: cli, private */
/**
 * Simulating a scenario into a result file, with progress on a terminal.
 */
#ifndef WG_CLI_SIMULATE_H
#define WG_CLI_SIMULATE_H

#include <stdbool.h>
#include <wintergrub/result.h>

struct wg_simulation {
    const char *path; /* of the result */
    bool force;       /* replace one that is there */
    bool quiet;       /* no progress */
    int threads;      /* 0: one per processor */
    const char *command_line;
};

#define WG_MOST_THREADS 256

/**
 * Runs plan.replicates with plan.seed, seen by the observers (at most 6) and by
 * the result. 0; WG_STOPPED (nothing is left behind); a negative error.
 */
int wg_simulate(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                const struct wg_observer *observers, int n_observers, struct wg_error *err);

#endif
