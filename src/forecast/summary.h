/**
 * The forecast in numbers: odds, dates, pounds, from the outcomes of all replicates.
 */
#ifndef WG_FORECAST_SUMMARY_H
#define WG_FORECAST_SUMMARY_H

#include "base/stats.h"
#include "colony/diary.h"
#include "forecast/ensemble.h"

/** Collects outcomes (an observer). Holds n_outcomes doubles per replicate, nothing else grows. */
struct wg_summary {
    int32_t first_day;
    int n_days;
    int64_t n, capacity;
    int n_outcomes;
    double *outcome; /* [outcome][room] */
};
int wg_summary_init(struct wg_summary *summary, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);
void wg_summary_free(struct wg_summary *summary);
/** The observer that fills it. */
struct wg_observer wg_summary_observer(struct wg_summary *summary);

/** Spread of one outcome. Where it did not happen, enum wg_missing_rule of the outcome says what that counts as; `happened` counts the rest. */
struct wg_spread {
    int64_t n, happened;
    double q05, q25, q50, q75, q95; /* +INFINITY: "not by the end" in that quantile */
    double mean;                    /* over those where it happened; NaN if none */
};
/** The n values of an outcome, in order of replicates (NaN: did not happen). */
const double *wg_summary_outcome(const struct wg_summary *summary, enum wg_outcome_number outcome);
/** 0 or WG_ERR_MEMORY. */
int wg_summary_spread(const struct wg_summary *summary, enum wg_outcome_number outcome, struct wg_spread *spread);
/** Odds of survival and its 95 % interval. */
double wg_summary_survival(const struct wg_summary *summary, struct wg_interval *interval);

#endif
