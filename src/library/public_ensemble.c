/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs all replicates of a plan, with the observers of the command `run` and the program's callback.
 */
#include "analysis/cells.h"
#include "library/public.h"
#include "results/result_file.h"
#include "text/warning_sentences.h"

#include <math.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CONFIDENCE 0.95 /* as in the forecast's answer */

struct wintergrub_ensemble {
    const wintergrub_plan *plan;
    int threads;
    int (*call)(void *self, int64_t number, const wintergrub_replicate *replicate);
    void *self;
    char *path, *note; /* of the result file; NULL: none */
    int replace;
    atomic_int stop, is_running;
    int has_summary;
    struct wintergrub_summary summary;
};

int wintergrub_ensemble_new(wintergrub_ensemble **ensemble, const wintergrub_plan *plan,
                            struct wintergrub_error *error) {
    struct wg_error err = {0};
    *ensemble = calloc(1, sizeof **ensemble);
    if (*ensemble == NULL) {
        (void)wg_no_memory(&err, NULL);
        return wg_public_error(error, &err);
    }
    (*ensemble)->plan = plan;
    return 0;
}

static void free_summary(struct wintergrub_summary *summary) {
    wg_goal_tally_free(&summary->goals);
    wg_work_free(&summary->work);
    wg_summary_free(&summary->outcomes);
}

void wintergrub_ensemble_free(wintergrub_ensemble *ensemble) {
    if (ensemble == NULL)
        return;
    free_summary(&ensemble->summary);
    free(ensemble->path);
    free(ensemble->note);
    free(ensemble);
}

void wintergrub_ensemble_set_threads(wintergrub_ensemble *ensemble, int threads) {
    ensemble->threads = threads > 0 ? threads : 0;
}

void wintergrub_ensemble_on_replicate(wintergrub_ensemble *ensemble,
                                      int (*call)(void *self, int64_t number, const wintergrub_replicate *replicate),
                                      void *self) {
    ensemble->call = call;
    ensemble->self = self;
}

int wintergrub_ensemble_write(wintergrub_ensemble *ensemble, const char *path, int replace, const char *note,
                              struct wintergrub_error *error) {
    struct wg_error err = {0};
    char *const kept_path = path == NULL ? NULL : strdup(path);
    char *const kept_note = note == NULL ? NULL : strdup(note);
    if ((path != NULL && kept_path == NULL) || (note != NULL && kept_note == NULL)) {
        free(kept_path);
        free(kept_note);
        (void)wg_no_memory(&err, NULL);
        return wg_public_error(error, &err);
    }
    free(ensemble->path);
    free(ensemble->note);
    ensemble->path = kept_path;
    ensemble->note = kept_note;
    ensemble->replace = replace;
    return 0;
}

void wintergrub_ensemble_stop(wintergrub_ensemble *ensemble) {
    atomic_store(&ensemble->stop, 1);
}

const wintergrub_summary *wintergrub_ensemble_summary(const wintergrub_ensemble *ensemble) {
    return ensemble->has_summary ? &ensemble->summary : NULL;
}

/* ---- the run ---- */

static int on_replicate_program(void *self, int64_t number, const struct wg_diary *diary, struct wg_error *err) {
    const wintergrub_ensemble *const ensemble = self;
    const struct wintergrub_replicate shown = {.diary = diary,
                                               .cell = wg_lattice_cell(&ensemble->plan->scenario.plan, number)};
    (void)err;
    return ensemble->call(ensemble->self, number, &shown) == 0 ? 0 : WG_STOPPED;
}

static int begin_result_file(const wintergrub_ensemble *ensemble, struct wg_result_writer **writer,
                             struct wg_error *err) {
    const struct wg_scenario *const scenario = &ensemble->plan->scenario;
    char started[32];
    struct wg_public_locale locale;
    const int code = wg_public_locale_begin(&locale, err);
    if (code < 0)
        return code;
    wg_provenance_now(started);
    const struct wg_provenance provenance = {.command_line = ensemble->note,
                                             .started = started,
                                             .replicates = scenario->plan.replicates,
                                             .seed = scenario->plan.seed};
    const int made = wg_result_create(writer, ensemble->path, ensemble->replace, scenario, &provenance, err);
    wg_public_locale_end(&locale);
    return made;
}

/* The summary's own come first, so that they include the replicate at which the program stops. */
static int run_with_observers(wintergrub_ensemble *ensemble, struct wg_result_writer *writer, struct wg_error *err) {
    const struct wg_plan *const plan = &ensemble->plan->scenario.plan;
    struct wintergrub_summary *const summary = &ensemble->summary;
    struct wg_observer observers[6] = {wg_summary_observer(&summary->outcomes), wg_goal_tally_observer(&summary->goals),
                                       wg_warning_observer(&summary->watch), wg_work_observer(&summary->work)};
    int n = 4;
    if (ensemble->call != NULL)
        observers[n++] = (struct wg_observer){.on_replicate = on_replicate_program, .self = ensemble};
    if (writer != NULL)
        observers[n++] = wg_result_observer(writer);
    const struct wg_ensemble_options options = {
        .count = plan->replicates, .threads = ensemble->threads, .stop = &ensemble->stop};
    return wg_ensemble_run(plan, &options, observers, n, err);
}

static int run_to_file(wintergrub_ensemble *ensemble, struct wg_error *err) {
    struct wg_result_writer *writer = NULL;
    int code = ensemble->path == NULL ? 0 : begin_result_file(ensemble, &writer, err);
    if (code == 0)
        code = run_with_observers(ensemble, writer, err);
    if (writer == NULL)
        return code;
    if (code == 0)
        return wg_result_close(writer, err);
    wg_result_abandon(writer);
    return code;
}

static int begin_summary(struct wintergrub_summary *summary, const struct wg_scenario *scenario, struct wg_error *err) {
    const struct wg_plan *const plan = &summary->as_run;
    free_summary(summary);
    summary->as_run = scenario->plan;
    summary->name = wg_scenario_name(scenario);
    summary->watch = (struct wg_warning_tally){.plan = plan};
    wg_goal_tally_init(&summary->goals, plan);
    int code = wg_plan_check(plan, err);
    if (code == 0)
        code = wg_summary_init(&summary->outcomes, plan, plan->replicates, err);
    return code == 0 ? wg_work_init(&summary->work, plan, plan->replicates, err) : code;
}

int wintergrub_ensemble_run(wintergrub_ensemble *ensemble, struct wintergrub_error *error) {
    struct wintergrub_summary *const summary = &ensemble->summary;
    struct wg_error err = {0};
    if (atomic_exchange(&ensemble->is_running, 1) != 0)
        return wg_public_fail(error, WG_ERR_USAGE, NULL,
                              "This ensemble is running already: wait, or make another one.");
    ensemble->has_summary = 0;
    int code = begin_summary(summary, &ensemble->plan->scenario, &err);
    if (code == 0)
        code = run_to_file(ensemble, &err);
    if (code == WG_ERR_EXISTS && !ensemble->replace) /* without the program's option */
        (void)wg_fail(&err, code, ensemble->path,
                      "There is already a file of this name. Choose another name, or allow it to be replaced.");
    atomic_store(&ensemble->stop, 0);
    if (code >= 0) {
        wg_warnings_find(&summary->warnings, &summary->watch, &summary->work);
        ensemble->has_summary = 1;
    }
    atomic_store(&ensemble->is_running, 0);
    return code < 0 ? wg_public_error(error, &err) : code;
}

/* ---- the summary ---- */

static int fail_unknown_outcome(const char *name, struct wintergrub_error *error) {
    return wg_public_fail(error, WG_ERR_USAGE, NULL, "There is no outcome \"%.60s\".", name);
}

int64_t wintergrub_summary_replicates(const wintergrub_summary *summary) {
    return summary->outcomes.n;
}

const double *wintergrub_summary_values(const wintergrub_summary *summary, const char *outcome) {
    const int number = wg_public_find_outcome(outcome);
    return number < 0 ? NULL : wg_summary_outcome(&summary->outcomes, (enum wg_outcome_number)number);
}

int wintergrub_summary_spread(const wintergrub_summary *summary, const char *outcome, struct wintergrub_spread *spread,
                              struct wintergrub_error *error) {
    struct wg_spread found;
    struct wg_error err = {0};
    const int number = wg_public_find_outcome(outcome);
    if (number < 0)
        return fail_unknown_outcome(outcome, error);
    if (wg_summary_spread(&summary->outcomes, (enum wg_outcome_number)number, &found) < 0) {
        (void)wg_no_memory(&err, outcome);
        return wg_public_error(error, &err);
    }
    *spread = (struct wintergrub_spread){.n = found.n,
                                         .happened = found.happened,
                                         .mean = found.mean,
                                         .q05 = found.q05,
                                         .q25 = found.q25,
                                         .q50 = found.q50,
                                         .q75 = found.q75,
                                         .q95 = found.q95};
    return 0;
}

/* Replicates that share animals or winters are no independent trials. */
static int share_in_cells(const struct wg_plan *plan, const double *values, int64_t n, double least, double most,
                          struct wg_variance_split *split, struct wg_error *err) {
    struct wg_split_value *cells;
    int code = wg_cells_of(&cells, plan, n, err);
    for (int64_t k = 0; k < n && code == 0; k++)
        cells[k].value = values[k] >= least && values[k] <= most;
    if (code == 0)
        code = wg_variance_split(split, cells, n, WG_SPLIT_SHARE, CONFIDENCE, err);
    free(cells);
    return code;
}

int wintergrub_summary_share(const wintergrub_summary *summary, const char *outcome, double least, double most,
                             struct wintergrub_share *share, struct wintergrub_error *error) {
    const double *const values = wintergrub_summary_values(summary, outcome);
    struct wg_variance_split split = {0};
    struct wg_error err = {0};
    if (values == NULL)
        return fail_unknown_outcome(outcome, error);
    if (share_in_cells(&summary->as_run, values, summary->outcomes.n, least, most, &split, &err) < 0)
        return wg_public_error(error, &err);
    *share = (struct wintergrub_share){.hits = split.n > 0 ? llround(split.mean * (double)split.n) : 0,
                                       .n = split.n,
                                       .share = split.mean,
                                       .low = split.interval.low,
                                       .high = split.interval.high};
    return 0;
}

int wintergrub_summary_goal(const wintergrub_summary *summary, int i, struct wintergrub_share *share,
                            struct wintergrub_error *error) {
    struct wg_goal_chance chance;
    struct wg_error err = {0};
    if (i < 0 || i >= summary->as_run.n_goals)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "The plan has %d goals, and none is number %d.",
                              summary->as_run.n_goals, i);
    if (wg_goal_tally_chance(&summary->goals, i, CONFIDENCE, &chance, &err) < 0)
        return wg_public_error(error, &err);
    *share = (struct wintergrub_share){.hits = chance.hits,
                                       .n = chance.n,
                                       .share = chance.share,
                                       .low = chance.interval.low,
                                       .high = chance.interval.high};
    return 0;
}

int wintergrub_summary_warnings(const wintergrub_summary *summary) {
    return summary->warnings.n;
}

int64_t wintergrub_summary_warning(const wintergrub_summary *summary, int i, char *text, size_t size) {
    if (size > 0)
        text[0] = '\0';
    if (i < 0 || i >= summary->warnings.n)
        return 0;
    char sentence[WG_WARNING_TEXT];
    struct wg_public_locale locale;
    const bool is_plain = wg_public_locale_begin(&locale, NULL) == 0;
    wg_warning_text(&summary->warnings, i, sentence);
    if (is_plain)
        wg_public_locale_end(&locale);
    if (size > 0)
        (void)snprintf(text, size, "%s", sentence);
    return summary->warnings.list[i].replicates;
}
