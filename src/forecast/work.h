/**
 * Computes the keeper's work by week: feed demand and ration, trap intervals, crawl-off, bins with too little or too much
 * feed.
 *
 * Weeks count from the period's first day; the last may be shorter. Quantiles are over the first `capacity` replicates:
 * all of them up to 10,000 (a 5 % quantile is then known to 0.4 %), fewer if weeks x (places + 3) x replicates would
 * exceed 2^20 values (8 MB; for a year at one place 4,946 replicates, to 0.6 %), but at least 100. All replicates enter
 * the counts: two per bin and week.
 */
#ifndef WG_FORECAST_WORK_H
#define WG_FORECAST_WORK_H

#include "forecast/ensemble.h"

/** Traps are due when this share of the eggs has hatched (common practice: hardly any). */
#define WG_WORK_HATCHED 0.05
/** Larvae that eat less than this share of their weekly demand are underfed (judgement). */
#define WG_WORK_HUNGRY 0.5

/** Faults in the feeding of a bin. */
enum wg_work_fault {
    WG_UNDERFED, /* the larvae ate less than WG_WORK_HUNGRY of their demand in the week */
    WG_OVERFED,  /* more usable feed is left at the week's end than the weekly ration: sour, hot, ammonia */
    WG_N_FAULTS
};

/** Collects weekly sums (an observer). Borrows the plan, which must outlive it. */
struct wg_work {
    const struct wg_plan *plan;
    int n_weeks;
    int64_t n;        /* replicates seen */
    int64_t capacity; /* the first min(n, capacity) are kept for quantiles */
    double *kept;     /* [quantity][week][capacity]: demand dry, demand wet, crawl-off, air of each place */
    double *scratch;  /* capacity values, for sorting */
    int64_t *faults;  /* [fault][bin][week]: replicates with the fault */
    double *ration;   /* [bin][week]: weekly ration, dry usable kg */
    double *usable;   /* [bin][week]: usable dry share of the wet feed, NaN without usable feed */
};
/** Returns 0 or WG_ERR_MEMORY; *work is safe to free after both. */
int wg_work_init(struct wg_work *work, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);
void wg_work_free(struct wg_work *work);
/** Returns the observer that fills it. */
struct wg_observer wg_work_observer(struct wg_work *work);

struct wg_work_spread {
    double q05, q50, q95; /* NaN: no replicates */
};
struct wg_work_week {
    int from, days;                      /* first day, from 0; length, at most 7 */
    struct wg_work_spread wanted_dry_kg; /* demand of all bins, dry usable kg */
    struct wg_work_spread wanted_wet_kg; /* the same as wet feed of the plan's kinds; NaN if none is usable */
    struct wg_work_spread crawl_off_kg;
    double given_wet_kg; /* ration of all bins; NaN if feed is unlimited */
};
/** Summarises week 0 .. n_weeks-1. Sorts in work->scratch: one thread at a time. */
void wg_work_week(const struct wg_work *work, int week, struct wg_work_week *out);
/** Returns the median over replicates of a place's mean air temperature in a week, degC. */
double wg_work_air_c(const struct wg_work *work, int week, int place);
/**
 * Returns the interval at which to pull the traps of a place in that week, in whole days: the longest in which at most
 * WG_WORK_HATCHED of the eggs hatch at the air's median temperature, at least 1. HUGE_VAL: eggs do not develop.
 */
double wg_work_pull_days(const struct wg_work *work, int week, int place);
/** True for a place with traps in the plan or, if no place has any, with bins. */
bool wg_work_has_traps(const struct wg_plan *plan, int place);

/** Consecutive weeks, each with the fault in more than half of the replicates. */
struct wg_work_spell {
    int week, weeks; /* the first week and the number of weeks */
    double share;    /* of replicates, in the worst week */
};
/** Finds spell number i, from 0, of a fault in a bin; false if there are fewer. */
bool wg_work_spell(const struct wg_work *work, enum wg_work_fault fault, int bin, int i, struct wg_work_spell *out);

#endif
