/**
 * The keeper's work, week by week: how much the larvae could eat and what the plan
 * gives, how often to pull the traps, what crawls off, where feed lacks or piles up.
 *
 * Weeks are counted from the period's first day; the last may be shorter. The
 * quantiles are over replicates, the first `room` of them: `room` is their number,
 * at most 10,000 (a 5 % quantile is then known to 0.4 %), fewer where weeks times
 * (places + 3) times replicates would pass 2^20 values (8 MB: of a year at one place
 * 4,946, to 0.6 %), but never below 100. Beside that only counts are kept: two per bin and week.
 */
#ifndef WG_FORECAST_WORK_H
#define WG_FORECAST_WORK_H

#include "forecast/ensemble.h"

/** Traps are pulled so often that at most this share of the eggs has hatched (common practice: hardly any). */
#define WG_WORK_HATCHED 0.05
/** Below this share of what they could eat, over a week, larvae go hungry (judgement). */
#define WG_WORK_HUNGRY 0.5

/** What may be wrong with the feeding of a bin. */
enum wg_work_fault {
    WG_UNDERFED, /* the larvae ate less than WG_WORK_HUNGRY of what they could have eaten in the week */
    WG_OVERFED, /* at the week's end more usable feed is left than the plan gives in seven days, by the four weeks up to
                    its last feeding: sour, hot, ammonia */
    WG_N_FAULTS
};

/** Collects weeks (an observer). Borrows the plan, which must outlive it. */
struct wg_work {
    const struct wg_plan *plan;
    int n_weeks;
    int64_t n;        /* replicates seen */
    int64_t capacity; /* of them kept for quantiles: the first min(n, room) */
    double *kept;     /* [quantity][week][room]; quantities: wanted dry, wanted wet, crawl-off, air of each place */
    double *scratch;  /* room values, for sorting */
    int64_t *faults;  /* [fault][bin][week]: replicates in which it was so */
    double *ration;   /* [bin][week]: dry usable feed that the plan gives in seven days */
    double *usable;   /* [bin][week]: usable dry share of the wet feed, NaN if nothing usable is given */
};
/** 0 or WG_ERR_MEMORY; *work is then safe to free. */
int wg_work_init(struct wg_work *work, const struct wg_plan *plan, int64_t replicates, struct wg_error *err);
void wg_work_free(struct wg_work *work);
/** The observer that fills it. */
struct wg_observer wg_work_observer(struct wg_work *work);

struct wg_work_spread {
    double q05, q50, q95; /* NaN: nothing was seen */
};
struct wg_work_week {
    int from, days;                      /* first day, from 0; length, 7 or less */
    struct wg_work_spread wanted_dry_kg; /* dry usable feed the larvae could have eaten, all bins */
    struct wg_work_spread
        wanted_wet_kg; /* the same as wet feed of the kinds the plan gives; NaN if it gives none that is usable */
    struct wg_work_spread crawl_off_kg;
    double given_wet_kg; /* by the plan, all bins; NaN if feed is unlimited */
};
/** Week 0 .. n_weeks-1. Sorts in work->scratch: one thread at a time. */
void wg_work_week(const struct wg_work *work, int week, struct wg_work_week *out);
/** Median over replicates of the mean air temperature of a place in a week, degC. */
double wg_work_air_c(const struct wg_work *work, int week, int place);
/**
 * Every how many days to pull the traps of a place in that week, whole days: the longest wait, at the air's median
 * temperature, in which at most WG_WORK_HATCHED of the eggs hatch; at least 1. HUGE_VAL: eggs do not develop.
 */
double wg_work_pull_days(const struct wg_work *work, int week, int place);
/** True for a place whose traps matter: it has traps in the plan; or, if no place has any, it has bins. */
bool wg_work_has_traps(const struct wg_plan *plan, int place);

/** Weeks on end, or a single one, each with the fault in more than half of the replicates. */
struct wg_work_spell {
    int week, weeks; /* the first, and how many */
    double share;    /* of replicates, in its worst week */
};
/** Spell number i, from 0, of a fault in a bin; false when there is none. */
bool wg_work_spell(const struct wg_work *work, enum wg_work_fault fault, int bin, int i, struct wg_work_spell *out);

#endif
