/*
 * Simulates a scenario: passes each replicate to the observers and the result writer, which renames the file into place
 * after the last one.
 */
#include "cli/simulate.h"

#include "cli/distribute.h"
#include "cli/stop.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

#define MAX_OBSERVERS 6

/* ---- progress ---- */

#define SHORTEST_WAIT_S 0.1 /* between two lines of progress; nobody reads faster */

double wg_monotonic_s(void) {
    struct timespec now = {0};
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void print_progress(void *self, int64_t done, int64_t count) {
    struct wg_progress *const progress = self;
    const double now = wg_monotonic_s();
    if (now - progress->shown_s < SHORTEST_WAIT_S)
        return;
    progress->shown_s = now;
    progress->shown = true;
    (void)fprintf(stderr, "\rsimulating: %lld of %lld", (long long)done, (long long)count);
}

wg_progress_function *wg_progress_begin(struct wg_progress *progress, bool quiet) {
    *progress = (struct wg_progress){.shown_s = wg_monotonic_s(), .shown = !quiet && isatty(STDERR_FILENO)};
    if (!progress->shown)
        return NULL;
    (void)fputs("\rsimulating ...", stderr);
    return print_progress;
}

void wg_progress_end(const struct wg_progress *progress) {
    if (progress->shown)
        (void)fprintf(stderr, "\r%60s\r", "");
}

/* ---- the run ---- */

static int run_ensemble(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                        const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct wg_progress progress;
    struct wg_distributor distributor;
    struct wg_ensemble_options options = {
        .count = scenario->plan.replicates,
        .threads = simulation->threads,
        .stop = wg_stop_flag(),
        .progress = wg_progress_begin(&progress, simulation->quiet),
        .progress_self = &progress,
    };
    int code = wg_distributor_init(&distributor, scenario, &options.backend, err);
    if (code == 0)
        code = wg_ensemble_run(&scenario->plan, &options, observers, n_observers, err);
    wg_progress_end(&progress);
    wg_distributor_free(&distributor);
    return code;
}

int wg_simulate(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct wg_observer all[MAX_OBSERVERS + 1];
    wg_assert(n_observers <= MAX_OBSERVERS);
    for (int i = 0; i < n_observers; i++)
        all[i] = observers[i];
    char started[32];
    wg_provenance_now(started);
    const struct wg_provenance provenance = {.command_line = simulation->command_line,
                                             .started = started,
                                             .replicates = scenario->plan.replicates,
                                             .seed = scenario->plan.seed};
    struct wg_result_writer *writer = NULL;
    int code = simulation->over != NULL
                   ? wg_result_create_over(&writer, simulation->path, simulation->over, scenario, &provenance, err)
                   : wg_result_create(&writer, simulation->path, simulation->force, scenario, &provenance, err);
    if (code < 0)
        return code;
    all[n_observers] = wg_result_observer(writer);
    code = run_ensemble(scenario, simulation, all, n_observers + 1, err);
    if (code != 0) {
        wg_result_abandon(writer);
        return code;
    }
    return wg_result_close(writer, err);
}

int wg_simulate_reasons(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                        bool newcomers_alone, int threads, bool *stopped, struct wg_error *err) {
    const struct wg_ensemble_options options = {.threads = threads, .stop = wg_stop_flag()};
    const int code = wg_reasons_find(reasons, plan, summary, newcomers_alone, &options, err);
    *stopped = code == WG_STOPPED;
    if (*stopped)
        reasons->lives = reasons->checks.lives = 0;
    return code < 0 ? code : 0;
}
