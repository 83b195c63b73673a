/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Keeps a run.
 */
#include "browser/page_run.h"

#include "browser/command_line.h"
#include "report/reasons_text.h"

#include <stdlib.h>

#define KEPT_BYTES ((size_t)48 * 1024 * 1024) /* of daily series: a page shares its memory with others (judgement) */

static void write_command(struct wg_page_run *run) {
    wg_bytes_free(&run->command);
    wg_command_begin(&run->command, "run", run->scenario.path);
    wg_command_add_count(&run->command, "--replicates", (uint64_t)run->scenario.plan.replicates);
    wg_command_add_count(&run->command, "--seed", run->scenario.plan.seed);
}

static int keep_in_memory(struct wg_page_run *run, struct wg_error *err) {
    const struct wg_plan *const plan = &run->scenario.plan;
    const struct wg_provenance provenance = {
        .command_line = run->command.data, .started = run->now, .replicates = plan->replicates, .seed = plan->seed};
    const struct wg_keep keep = {.series = wg_figures_series(),
                                 .bytes = KEPT_BYTES,
                                 .observers = run->life_observer,
                                 .n_observers = WG_REPORT_OBSERVERS};
    return wg_result_memory_new(&run->memory, &run->scenario, &provenance, &keep, err);
}

int wg_page_run_begin(struct wg_page_run *run, struct wg_error *err) {
    const struct wg_plan *const plan = &run->scenario.plan;
    run->watch.plan = plan;
    wg_goal_tally_init(&run->odds, plan);
    int code = wg_report_lives_init(&run->lives, plan, plan->replicates, err);
    wg_report_lives_observers(&run->lives, run->life_observer);
    write_command(run);
    if (code == 0)
        code = wg_bytes_failed(&run->command, err);
    if (code == 0)
        code = wg_summary_init(&run->summary, plan, plan->replicates, err);
    if (code == 0)
        code = wg_work_init(&run->work, plan, plan->replicates, err);
    return code == 0 ? keep_in_memory(run, err) : code;
}

void wg_page_run_observers(struct wg_page_run *run, struct wg_observer out[WG_PAGE_RUN_OBSERVERS]) {
    out[0] = wg_summary_observer(&run->summary);
    out[1] = wg_warning_observer(&run->watch);
    out[2] = wg_work_observer(&run->work);
    out[3] = wg_goal_tally_observer(&run->odds);
    out[4] = wg_result_memory_observer(run->memory);
}

int wg_page_run_end(struct wg_page_run *run, struct wg_error *err) {
    run->scenario.plan.replicates = run->summary.n;
    write_command(run);
    wg_warnings_find(&run->warnings, &run->watch, &run->work);
    int code = wg_bytes_failed(&run->command, err);
    if (code == 0)
        code = wg_result_memory_open(run->memory, &run->data, err);
    run->data.in.command_line = run->command.data; /* a run that was stopped has another than it began with */
    return code;
}

struct wg_forecast wg_page_run_forecast(const struct wg_page_run *run) {
    return (struct wg_forecast){.scenario = &run->scenario,
                                .summary = &run->summary,
                                .warnings = &run->warnings,
                                .work = &run->work,
                                .odds = &run->odds,
                                .reasons = run->is_explained ? &run->reasons : NULL};
}

int wg_page_run_explain(struct wg_engine *engine, struct wg_page_run *run, struct wg_error *err) {
    struct wg_page_progress progress = {.engine = engine, .doing = "finding the reason"};
    const struct wg_ensemble_options options = {
        .stop = &engine->stop, .progress = wg_page_progress, .progress_self = &progress};
    if (run->is_explained)
        return 0;
    int code = wg_reasons_find(&run->reasons, &run->scenario.plan, &run->summary, false, &options, err);
    if (code == 0)
        code = wg_reasons_result_words(&run->reasons, &run->scenario.plan, &run->summary, &run->data.words, err);
    run->is_explained = code == 0;
    return code;
}

void wg_page_run_free(struct wg_page_run *run) {
    if (run == NULL)
        return;
    wg_result_data_free(&run->data);
    wg_result_memory_free(run->memory);
    wg_report_lives_free(&run->lives);
    wg_bytes_free(&run->command);
    wg_work_free(&run->work);
    wg_goal_tally_free(&run->odds);
    wg_summary_free(&run->summary);
    wg_scenario_free(&run->scenario);
    free(run);
}
