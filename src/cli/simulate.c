/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates a scenario: passes each replicate to the observers and the result writer, which renames the file into place
 * after the last one.
 */
#include "cli/simulate.h"

#include "cli/distribute.h"
#include "cli/stop.h"

#define MAX_OBSERVERS 6

/* ---- the run ---- */

static int run_ensemble(const struct wg_scenario *scenario, const struct wg_simulation *simulation,
                        const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct wg_progress own;
    struct wg_progress *const progress = simulation->progress != NULL ? simulation->progress : &own;
    struct wg_distributor distributor;
    struct wg_ensemble_options options = {
        .count = scenario->plan.replicates,
        .threads = simulation->threads,
        .stop = wg_stop_flag(),
        .progress = wg_progress_count,
        .progress_self = progress,
        .tables = simulation->tables,
    };
    if (simulation->progress == NULL)
        wg_progress_begin(progress, "simulating", simulation->quiet);
    int code = wg_distributor_init(&distributor, scenario, &options.backend, err);
    if (code == 0)
        code = wg_ensemble_run(&scenario->plan, &options, observers, n_observers, err);
    if (simulation->progress == NULL)
        wg_progress_end(progress);
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
    struct wg_error own = {0};
    const int explained = simulation->explain != NULL ? simulation->explain(simulation->explain_self, writer, &own) : 0;
    code = wg_result_close(writer, err);
    if (code == 0 && explained < 0)
        *err = own;
    return code < 0 ? code : explained;
}

int wg_simulate_reasons(struct wg_reasons *reasons, const struct wg_plan *plan, const struct wg_summary *summary,
                        bool newcomers_alone, struct wg_tables *tables, int threads, bool quiet, bool *stopped,
                        struct wg_error *err) {
    const struct wg_ensemble_options options = {.threads = threads, .stop = wg_stop_flag(), .tables = tables};
    struct wg_progress progress;
    wg_progress_begin(&progress, "finding the reason", quiet || wg_reasons_question(plan, summary) == WG_WHY_NOTHING);
    const int code = wg_reasons_find(reasons, plan, summary, newcomers_alone, &options, err);
    wg_progress_end(&progress);
    *stopped = code == WG_STOPPED;
    if (*stopped)
        reasons->lives = reasons->checks.lives = 0;
    return code < 0 ? code : 0;
}

int wg_ignore_replicate(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    (void)self;
    (void)replicate;
    (void)diary;
    (void)err;
    return 0;
}
