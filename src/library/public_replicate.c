/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs single replicates and reads their outcomes and series by name, from the tables of the diary.
 */
#include "data/series_terms.h"
#include "library/public.h"
#include "results/columns.h"

#include <stdlib.h>
#include <string.h>

/* ---- the tables ---- */

enum {
    PUBLIC_WG_PER_DAY = WINTERGRUB_PER_DAY,
    PUBLIC_WG_PER_DAY_STAGE = WINTERGRUB_PER_STAGE,
    PUBLIC_WG_PER_DAY_PLACE = WINTERGRUB_PER_PLACE,
    PUBLIC_WG_PER_DAY_BIN = WINTERGRUB_PER_BIN,
    PUBLIC_WG_PER_DAY_CAUSE = WINTERGRUB_PER_CAUSE
};

const struct wintergrub_variable *wintergrub_outcome(int i) {
#define PUBLIC_OUTCOME(name, missing, unit, text)                                                                      \
    {#name, unit, text, WINTERGRUB_PER_DAY, (missing) == WG_MISSING_LATER, 0},
    static const struct wintergrub_variable table[] = {WG_OUTCOME_TABLE(PUBLIC_OUTCOME)};
#undef PUBLIC_OUTCOME
    return i < 0 || (size_t)i >= sizeof table / sizeof *table ? NULL : &table[i];
}

const struct wintergrub_variable *wintergrub_series(int i) {
#define PUBLIC_SERIES(type, name, dims, unit, text)                                                                    \
    {#name, unit, text, (enum wintergrub_per)PUBLIC_##dims, 0, _Generic((type)0, int64_t : 1, default : 0)},
    static const struct wintergrub_variable table[] = {WG_DIARY_TABLE(PUBLIC_SERIES)};
#undef PUBLIC_SERIES
    return i < 0 || (size_t)i >= sizeof table / sizeof *table ? NULL : &table[i];
}

int wintergrub_outcome_is_date(int i) {
    return wintergrub_outcome(i) != NULL && wg_outcome_is_date(&wg_diary_outcomes()[i]);
}

const char *wintergrub_series_cell_methods(int i) {
    const struct wintergrub_variable *const series = wintergrub_series(i);
    return series == NULL ? NULL : wg_series_terms(series->name)->cell_methods;
}

const char *wintergrub_series_standard_name(int i) {
    const struct wintergrub_variable *const series = wintergrub_series(i);
    return series == NULL ? NULL : wg_series_terms(series->name)->standard_name;
}

int wg_public_find_outcome(const char *name) {
    const struct wintergrub_variable *outcome;
    for (int i = 0; (outcome = wintergrub_outcome(i)) != NULL; i++)
        if (strcmp(outcome->name, name) == 0)
            return i;
    return -1;
}

static const struct wg_series *find_diary_series(const char *name) {
    for (const struct wg_series *series = wg_diary_series(); series->name != NULL; series++)
        if (strcmp(series->name, name) == 0)
            return series;
    return NULL;
}

int wintergrub_plan_stores(const wintergrub_plan *plan, const char *name) {
    const struct wg_plan *const model = &plan->scenario.plan;
    const struct wg_diary shape = {.n_places = model->n_places, .n_bins = model->n_bins};
    const int outcome = wg_public_find_outcome(name);
    const struct wg_series *const series = find_diary_series(name);
    if (outcome >= 0)
        return wg_outcome_is_kept((enum wg_outcome_number)outcome, model);
    return series != NULL && wg_diary_width(&shape, series->dims) > 0 &&
           wg_series_place(&shape, wg_series_outdoors(model), series).series == series;
}

/* ---- reading ---- */

int wintergrub_replicate_outcome(const wintergrub_replicate *replicate, const char *name, double *value) {
    const int i = wg_public_find_outcome(name);
    if (i < 0 || replicate->diary == NULL)
        return WINTERGRUB_ERR_USAGE;
    *value = wg_diary_outcome(replicate->diary, &wg_diary_outcomes()[i]);
    return 0;
}

int wintergrub_replicate_series(const wintergrub_replicate *replicate, const char *name, int column, double *values,
                                size_t n) {
    const struct wg_diary *const diary = replicate->diary;
    const struct wg_series *const series = find_diary_series(name);
    if (series == NULL || diary == NULL || n != (size_t)diary->n_days)
        return WINTERGRUB_ERR_USAGE;
    const int width = wg_diary_width(diary, series->dims);
    if (column < 0 || column >= width)
        return WINTERGRUB_ERR_USAGE;
    const void *const all = wg_diary_values(diary, series);
    for (size_t day = 0; day < n; day++) {
        const size_t at = day * (size_t)width + (size_t)column;
        values[day] = series->is_count ? (double)((const int64_t *)all)[at] : ((const double *)all)[at];
    }
    return 0;
}

int wintergrub_replicate_animal(const wintergrub_replicate *replicate) {
    return replicate->cell.animal;
}

int64_t wintergrub_replicate_winter(const wintergrub_replicate *replicate) {
    return replicate->cell.winter;
}

/* ---- running ---- */

int wintergrub_world_new(wintergrub_world **world, const wintergrub_plan *plan, struct wintergrub_error *error) {
    struct wg_error err = {0};
    *world = NULL;
    wintergrub_world *const made = calloc(1, sizeof *made);
    int code = made == NULL ? wg_no_memory(&err, NULL) : 0;
    if (code == 0) {
        made->plan = &plan->scenario.plan;
        code = wg_worlds_new(&made->worlds, made->plan, NULL, &err);
    }
    if (code < 0) {
        wintergrub_world_free(made);
        return wg_public_error(error, &err);
    }
    *world = made;
    return 0;
}

void wintergrub_world_free(wintergrub_world *world) {
    if (world == NULL)
        return;
    wg_worlds_free(world->worlds);
    free(world);
}

int wintergrub_replicate_new(wintergrub_replicate **replicate, const wintergrub_world *world,
                             struct wintergrub_error *error) {
    struct wg_error err = {0};
    *replicate = NULL;
    wintergrub_replicate *const made = calloc(1, sizeof *made);
    int code = made == NULL ? wg_no_memory(&err, NULL) : wg_diary_init(&made->own, world->plan, &err);
    if (code == 0)
        code = wg_simulator_init_all(&made->simulator, world->worlds, &err);
    if (code < 0) {
        wintergrub_replicate_free(made);
        return wg_public_error(error, &err);
    }
    *replicate = made;
    return 0;
}

int wintergrub_replicate_run(wintergrub_replicate *replicate, int64_t number, struct wintergrub_error *error) {
    struct wg_error err = {0};
    replicate->diary = NULL;
    if (number < 0)
        return wg_public_fail(error, WG_ERR_USAGE, NULL, "Replicates are numbered from 0, not %lld.",
                              (long long)number);
    if (wg_simulator_run(&replicate->simulator, number, &replicate->own, &err) < 0)
        return wg_public_error(error, &err);
    replicate->cell = wg_lattice_cell(replicate->simulator.world->plan, number);
    replicate->diary = &replicate->own;
    return 0;
}

void wintergrub_replicate_free(wintergrub_replicate *replicate) {
    if (replicate == NULL)
        return;
    wg_simulator_free(&replicate->simulator);
    wg_diary_free(&replicate->own);
    free(replicate);
}
