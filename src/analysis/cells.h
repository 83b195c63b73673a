/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Tells which animal and which winter each replicate of a plan lives, so that replicates that share one are not taken for
 * independent.
 */
#ifndef WG_ANALYSIS_CELLS_H
#define WG_ANALYSIS_CELLS_H

#include "analysis/variance_split.h"
#include "climate/climate.h"
#include "forecast/summary.h"

/** Zero-initialise; free with wg_cells_free() in every case. */
struct wg_cells {
    const struct wg_plan *plan; /* borrowed */
    struct wg_climate *climate; /* of a replayed record; else NULL */
    gsl_rng *rng;
};

/**
 * Whether replicates of the plan share animals or winters. If not, each is a sample of its own, of one animal: the middle
 * one.
 */
bool wg_plan_shares_cells(const struct wg_plan *plan);
/** Whether each replicate replays one winter of a record (not for a period longer than a year). */
bool wg_plan_replays_winters(const struct wg_plan *plan);

/** Returns 0, WG_ERR_MEMORY, or WG_ERR_INPUT as wg_climate_new(). */
int wg_cells_init(struct wg_cells *cells, const struct wg_plan *plan, struct wg_error *err);
void wg_cells_free(struct wg_cells *cells);
/**
 * Sets animal, winter and the weight 1 of a replicate. The winter is the year of the record in which it begins, else the
 * number of its weather; the animal -1 is the middle one.
 */
void wg_cells_place(struct wg_cells *cells, int64_t replicate, struct wg_split_value *value);
/** Makes n values of 0, placed, for replicates 0 .. n - 1. Returns 0 with *values (malloc'ed), or as wg_cells_init(). */
int wg_cells_of(struct wg_split_value **values, const struct wg_plan *plan, int64_t n, struct wg_error *err);

/** Weighs values by how plausible their animals are without the finding that flies are seen in June. */
void wg_cells_leave_out_june(struct wg_split_value *values, int64_t n);

#endif
