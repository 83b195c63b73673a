/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Tells which animal and which winter each replicate lives.
 */
#include "analysis/cells.h"

#include "base/random.h"
#include "forecast/lattice.h"
#include "species/plausible.h"

#include <stdlib.h>

#define MAX_DAYS_OF_ONE_WINTER 366

bool wg_plan_replays_winters(const struct wg_plan *plan) {
    return plan->climate.kind == WG_CLIMATE_YEARS && plan->last_day - plan->first_day < MAX_DAYS_OF_ONE_WINTER;
}

bool wg_plan_shares_cells(const struct wg_plan *plan) {
    return plan->animals != WG_ANIMALS_MIDDLE || wg_plan_replays_winters(plan);
}

int wg_cells_init(struct wg_cells *cells, const struct wg_plan *plan, struct wg_error *err) {
    *cells = (struct wg_cells){.plan = plan};
    if (!wg_plan_replays_winters(plan))
        return 0;
    const int code = wg_climate_new(&cells->climate, &plan->climate, plan->first_day, plan->last_day, err);
    cells->rng = code == 0 ? gsl_rng_alloc(wg_rng_type()) : NULL;
    return code == 0 && cells->rng == NULL ? wg_no_memory(err, NULL) : code;
}

void wg_cells_free(struct wg_cells *cells) {
    if (cells->rng != NULL)
        gsl_rng_free(cells->rng);
    wg_climate_free(cells->climate);
    *cells = (struct wg_cells){0};
}

void wg_cells_place(struct wg_cells *cells, int64_t replicate, struct wg_split_value *value) {
    const struct wg_cell cell = wg_lattice_cell(cells->plan, replicate);
    value->animal = cell.animal;
    value->winter = cell.winter;
    value->weight = 1;
    if (cells->climate == NULL)
        return;
    wg_rng_start(cells->rng, cells->plan->seed, (uint64_t)cell.winter, WG_PURPOSE_WEATHER);
    value->winter = wg_years_replayed(cells->climate, cells->rng);
}

int wg_cells_of(struct wg_split_value **values, const struct wg_plan *plan, int64_t n, struct wg_error *err) {
    struct wg_cells cells = {0};
    *values = calloc((size_t)(n > 0 ? n : 1), sizeof **values);
    const int code = *values == NULL ? wg_no_memory(err, NULL) : wg_cells_init(&cells, plan, err);
    for (int64_t k = 0; k < n && code == 0; k++)
        wg_cells_place(&cells, k, &(*values)[k]);
    wg_cells_free(&cells);
    if (code < 0) {
        free(*values);
        *values = NULL;
    }
    return code;
}

void wg_cells_leave_out_june(struct wg_split_value *values, int64_t n) {
    for (int64_t k = 0; k < n; k++)
        if (values[k].animal >= 0)
            values[k].weight = wg_plausible_weight_without_june((int)values[k].animal);
}
