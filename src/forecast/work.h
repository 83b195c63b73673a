/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Computes the keeper's work by week: feed demand and ration, trap intervals, crawl-off, bins with too little or too much
 * feed.
 *
 * Weeks count from the period's first day; the last may be shorter. Quantiles are over the first `capacity` replicates:
 * all of them up to 10,000 (a 5 % quantile is then known to 0.4 %), fewer if weeks x quantities x replicates would
 * exceed 2^21 values (16 MB; for a year of one bin at one place 7,913 replicates), but at least 100. The quantities are
 * four and the air of each place; with several bins also demand and crawl-off of each; with feed as eaten what is given. All replicates enter the counts.
 *
 * A keeper works for a colony that lives. So spans are over the replicates in which it lives on a day of the span.
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

/** Most entries of moves that are summarised. */
#define WG_WORK_MOVES 12

/**
 * Moves of one day; or a move that waits for its condition, with all others in its days: a diary has only the sums of
 * each day.
 */
struct wg_work_move {
    int32_t from, to;    /* the days on which it may be done; equal unless it waits */
    int32_t first, last; /* the days between which any replicate moved an animal; none: first > last */
};

/** Collects weekly sums (an observer). Borrows the plan, which must outlive it. */
struct wg_work {
    const struct wg_plan *plan;
    int n_weeks;
    int64_t n;             /* replicates seen */
    int64_t capacity;      /* the first min(n, capacity) are kept for quantiles */
    double *kept;          /* [quantity][week][capacity] */
    double *scratch;       /* capacity values, for sorting */
    int64_t *faults;       /* [fault][bin][week]: replicates with the fault */
    int64_t *alive_faults; /* the same, of those in which the colony lives on a day of the week */
    int64_t *alive;        /* [week]: replicates in which it does */
    int64_t all_winter;    /* replicates in which flies emerge all winter, so that the spring has no date */
    int n_moves;           /* the first WG_WORK_MOVES */
    bool has_more_moves;   /* later ones are left out */
    struct wg_work_move move[WG_WORK_MOVES];
    double *moved;  /* [move][stage][capacity]: individuals moved */
    double *ration; /* [bin][week]: weekly ration, dry usable kg */
    double *usable; /* [bin][week]: usable dry share of the wet feed, NaN without usable feed */
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
    double given_wet_kg; /* ration of all bins, as eaten its median; NaN if feed is unlimited */
};
/** Summarises week 0 .. n_weeks-1. Sorts in work->scratch: one thread at a time. */
void wg_work_week(const struct wg_work *work, int week, struct wg_work_week *out);
/** Consecutive weeks, in the replicates in which the colony lives on a day of them. */
struct wg_work_span {
    int from, days; /* first day, from 0; length */
    double alive;   /* share of these replicates */
    struct wg_work_spread crawl_off_kg;
};
/** The work at a bin in a span. Amounts of several weeks are the mean of a week. */
struct wg_work_bin {
    struct wg_work_spread wanted_kg; /* as wet feed; dry and usable if feed is unlimited, NaN if the plan has no feed */
    struct wg_work_spread given_kg;  /* wet feed; one value unless it is given as eaten */
    double given_wet_kg;             /* its middle; NaN if feed is unlimited */
    struct wg_work_spread crawl_off_kg;
    bool has_fault[WG_N_FAULTS]; /* in more than half of the weeks of these replicates */
    bool is_unfed;               /* the plan gives nothing in the four weeks before their end */
};
/** Summarises `n` weeks from `week` on. NaN: the colony lives in none. Sorts in work->scratch, as does the next. */
void wg_work_span(const struct wg_work *work, int week, int n, struct wg_work_span *out);
void wg_work_bin(const struct wg_work *work, int week, int n, int bin, struct wg_work_bin *out);

/** Returns the spread over replicates of the individuals of a stage moved in entry `move`, 0 .. n_moves-1. */
struct wg_work_spread wg_work_moved(const struct wg_work *work, int move, enum wg_stage stage);
/** Returns the number of replicates kept for quantiles in which nothing was moved in entry `move`; sets *of to all kept. */
int64_t wg_work_moved_nothing(const struct wg_work *work, int move, int64_t *of);

/** Returns the median over replicates of a place's mean air temperature in a week, degC. */
double wg_work_air_c(const struct wg_work *work, int week, int place);
/**
 * Returns the interval at which to pull the traps of a place in that week, in whole days: the longest in which at most
 * WG_WORK_HATCHED of the eggs hatch at the air's median temperature, at least 1. HUGE_VAL: eggs do not develop.
 */
double wg_work_pull_days(const struct wg_work *work, int week, int place);
/** True if the plan has traps set or pulled at the place on a day of a week; week < 0: of the period. */
bool wg_work_has_traps(const struct wg_work *work, int week, int place);

/** Consecutive weeks, each with the fault in more than half of the replicates. */
struct wg_work_spell {
    int week, weeks; /* the first week and the number of weeks */
    int unfed;       /* of these weeks, those before whose end the plan gave the bin nothing for four weeks */
    double share;    /* of replicates, in the worst week */
};
/** Finds spell number i, from 0, of a fault in a bin; false if there are fewer. */
bool wg_work_spell(const struct wg_work *work, enum wg_work_fault fault, int bin, int i, struct wg_work_spell *out);

#endif
