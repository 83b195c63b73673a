/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Summarises the outcomes of all replicates: odds, quantiles, means.
 */
#ifndef WG_FORECAST_SUMMARY_H
#define WG_FORECAST_SUMMARY_H

#include "base/stats.h"
#include "colony/diary.h"
#include "forecast/ensemble.h"

/** Collects outcomes (an observer): n_outcomes doubles per replicate. */
struct wg_summary {
    int32_t first_day;
    int n_days;
    int64_t n, capacity;
    int n_outcomes;
    double *outcome; /* [outcome][capacity] */
};
int wg_summary_init(struct wg_summary *summary, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);
void wg_summary_free(struct wg_summary *summary);
/** Checks the outcomes. Returns 0, or WG_ERR_INTERNAL with the replicate and the outcome (for tests and debuggers). */
int wg_summary_verify(const struct wg_summary *summary, struct wg_error *err);
/** Returns the observer that fills it. */
struct wg_observer wg_summary_observer(struct wg_summary *summary);

/** Spread of one outcome. enum wg_missing_rule of the outcome defines what a replicate without a value counts as. */
struct wg_spread {
    int64_t n, happened;            /* replicates; those with a value */
    double q05, q25, q50, q75, q95; /* +INFINITY: "not by the end" in that quantile */
    double mean;                    /* over those with a value; NaN if none */
};
/** Returns the n values of an outcome, in order of replicates (NaN: did not happen). */
const double *wg_summary_outcome(const struct wg_summary *summary, enum wg_outcome_number outcome);
/** Returns 0 or WG_ERR_MEMORY. */
int wg_summary_spread(const struct wg_summary *summary, enum wg_outcome_number outcome, struct wg_spread *spread);
/** Returns the share of replicates alive at the end; NaN for none. Its interval: wg_odds_find(). */
double wg_summary_survival(const struct wg_summary *summary);

#endif
