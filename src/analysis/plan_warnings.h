/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Simulates a plan for its warnings alone.
 */
#ifndef WG_ANALYSIS_PLAN_WARNINGS_H
#define WG_ANALYSIS_PLAN_WARNINGS_H

#include "forecast/ensemble.h"
#include "forecast/warnings.h"

/** Simulates options->count replicates of a plan and lists its warnings. Returns what wg_ensemble_run() returns. */
int wg_warnings_of_plan(struct wg_warnings *warnings, const struct wg_plan *plan,
                        const struct wg_ensemble_options *options, struct wg_error *err);

#endif
