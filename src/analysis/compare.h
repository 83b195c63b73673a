/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Compares setups under the same weather and mishaps, replicate by replicate (common random numbers).
 *
 * Replicate k of every setup has the same winter of the lattice (weather and mishaps) and, unless a setup has the middle
 * animal only, the same plausible animal: all setups have the same days and none has the warmer winter. Births and deaths are drawn for each setup independently.
 */
#ifndef WG_ANALYSIS_COMPARE_H
#define WG_ANALYSIS_COMPARE_H

#include "analysis/odds.h"
#include "forecast/summary.h"

#define WG_COMPARE_MIN 2
#define WG_COMPARE_MAX 26 /* a letter for each */
#define WG_COMPARE_CONFIDENCE 0.95

/** Whether the larger or the smaller value is better for a keeper. */
enum wg_better { WG_MORE_IS_BETTER, WG_LESS_IS_BETTER };

/* outcome of WG_OUTCOME_TABLE, what is better */
#define WG_COMPARED_TABLE(X)                                                                                           \
    X(survived, WG_MORE_IS_BETTER)                                                                                     \
    X(weeks_without_harvest, WG_LESS_IS_BETTER)                                                                        \
    X(first_batch_50, WG_LESS_IS_BETTER)                                                                               \
    X(spring_emergence_50, WG_LESS_IS_BETTER)                                                                          \
    X(total_crawl_off_mass, WG_MORE_IS_BETTER)                                                                         \
    X(total_harvest_mass, WG_MORE_IS_BETTER)                                                                           \
    X(total_heater_energy, WG_LESS_IS_BETTER)                                                                          \
    X(total_heater_cost, WG_LESS_IS_BETTER)                                                                            \
    X(balance, WG_MORE_IS_BETTER) /* only with accounts: the last */

enum wg_compared {
#define WG_COMPARED_ENUM(name, better) WG_COMPARED_##name,
    WG_COMPARED_TABLE(WG_COMPARED_ENUM)
#undef WG_COMPARED_ENUM
        WG_N_COMPARED
};
/** Returns the outcome's place in the diary's table. */
enum wg_outcome_number wg_compared_outcome(enum wg_compared compared);
enum wg_better wg_compared_better(enum wg_compared compared);

/**
 * In how many plausible animals the mean difference is better, the same, worse; how many are without any difference, because it
 * did not happen in both setups. All 0 for the middle animal.
 */
struct wg_animals_won {
    int64_t better, same, worse, without;
};

/**
 * One outcome of a setup minus that of the first, replicate by replicate.
 *
 * The mean is over the `n` replicates in which both have a value; its interval at WG_COMPARE_CONFIDENCE is Student's,
 * corrected for skewness (wg_mean_interval()); NaN for n < 2 and where all differences are the same. That of `survived` is the
 * interval of a difference of shares (wg_share_difference_interval()), which is never of width 0.
 *
 * The probability to be better is better / (better + worse + ties), with Wilson's interval: a tie is not better.
 * Where replicates share animals or winters, all intervals are clustered instead (wg_variance_split()). A missing date is later than any date, and two missing
 * dates tie; with WG_MISSING_OMITTED a replicate in which either value is missing is omitted.
 */
struct wg_difference {
    int64_t n;
    double mean, sd;
    struct wg_interval interval;
    int64_t better, worse, ties;
    double chance; /* NaN without replicates to compare */
    struct wg_interval chance_interval;
    double error, freedom; /* standard error of the mean, degrees of freedom */
    struct wg_animals_won animals;
    /**
     * Variance reduction by the shared weather: (var a + var b) / var(b - a) over the n. With independent weather the
     * same interval would need this many times the replicates. NaN: no variance at all; +INFINITY: none in the
     * difference.
     */
    double variance_factor;
};
/** Returns the difference b - a of n values each (NaN: did not happen), the replicates being independent. */
struct wg_difference wg_difference(const double *a, const double *b, int64_t n, enum wg_better better,
                                   enum wg_missing_rule missing);
/**
 * Computes the difference of a compared outcome; `cells` (analysis/cells.h) place the n replicates, and are NULL if they share
 * nothing. Returns 0 or WG_ERR_MEMORY.
 */
int wg_compared_difference(struct wg_difference *difference, const double *a, const double *b,
                           const struct wg_split_value *cells, int64_t n, enum wg_compared compared, double confidence,
                           struct wg_error *err);

/** Whether extra harvest has a price, or why not. */
enum wg_extra_status {
    WG_EXTRA_PRICED,
    WG_EXTRA_NONE,     /* no significant extra harvest: the interval of the difference reaches 0 */
    WG_EXTRA_NO_PRICE, /* some of the energy bought has no price in the scenario */
    WG_EXTRA_FREE      /* more harvest at no extra energy cost */
};
/** Cost of an extra kg: mean difference of the cost over that of the harvest. */
struct wg_extra_price {
    enum wg_extra_status why;
    double per_kg;               /* NaN unless PRICED, in the unit of the cost */
    struct wg_interval interval; /* of the ratio of paired means (Fieller 1954, J. R. Stat. Soc. B 16:175) */
};

/** Costs and harvests of two setups, [replicate]; `cells` as in wg_compared_difference(). */
struct wg_priced {
    const double *cost[2], *kg[2];
    const struct wg_split_value *cells;
    int64_t n;
    double confidence;
};
/**
 * Finds the price of what the second setup yields beyond the first, from their paired differences at the same confidence
 * (price.c). Returns 0 or WG_ERR_MEMORY.
 */
int wg_price_of(struct wg_extra_price *price, const struct wg_priced *of, const struct wg_difference *cost,
                const struct wg_difference *kg, struct wg_error *err);

/** A setup compared with the first. */
struct wg_setup_pair {
    struct wg_difference difference[WG_N_COMPARED];
    struct wg_extra_price extra;
};

/** One setup. */
struct wg_setup {
    const struct wg_plan *plan;         /* borrowed; its own seed and replicates are ignored */
    const char *name;                   /* in messages: a path or title; borrowed */
    const struct wg_observer *observer; /* further observers besides the summary; borrowed, may be NULL */
    int n_observers;                    /* at most 3 */
    struct wg_summary summary;          /* filled by wg_compare_run() */
    struct wg_odds odds;                /* likewise */
};

struct wg_compare {
    int n; /* setups */
    struct wg_setup setup[WG_COMPARE_MAX];
    int64_t replicates;
    uint64_t seed;
    int at;                                    /* the setup now running, or the one that failed */
    struct wg_setup_pair pair[WG_COMPARE_MAX]; /* against setup 0; [0] stays zero */
};

/** Returns the currency of the setups, "" if none of them names one. */
const char *wg_compare_currency(const struct wg_compare *compare);
/**
 * Checks that the setups can be compared. Returns 0, or WG_ERR_INPUT with the setup's name, the reason and
 * both values: fewer than 2 or more than WG_COMPARE_MAX setups; different periods; different climates in anything that a
 * drawn day depends on (kind, site, monthly tables, any day of the record); prices in different currencies.
 *
 * Mishap rates may differ: each day's deviates are the same for all, so a setup with a lower rate has a subset of the
 * other's mishaps, on the same days and hours. The rates are then part of the comparison, as are feed, work, species
 * parameters, wild visitors and steps a day.
 */
int wg_compare_check(const struct wg_compare *compare, struct wg_error *err);

/**
 * Checks and runs every setup (ignores options->first and ->count; progress counts the replicates of all setups) and
 * computes the pairs. Returns 0, WG_STOPPED or a negative error; free in every case.
 */
int wg_compare_run(struct wg_compare *compare, const struct wg_ensemble_options *options, struct wg_error *err);
/**
 * Finds the cells of setup i: *cells (malloc'ed) has compare->replicates, or is NULL if they are independent. Returns 0, or an
 * error as wg_cells_init().
 */
int wg_compare_cells(const struct wg_compare *compare, int i, struct wg_split_value **cells, struct wg_error *err);
/** Pairs the cells of two setups, in the same winters: those of `cells` get the animals of `other` where they have none. */
void wg_cells_pair(struct wg_split_value *cells, const struct wg_split_value *other, int64_t n);
/** Returns the plan of a setup as it is simulated: with the seed, replicates and animals of the comparison. Borrows its lists. */
struct wg_plan wg_compare_plan(const struct wg_compare *compare, int setup);
/** Returns "A", "B", ... */
const char *wg_setup_letter(int setup);
/** Returns the main outcome: total harvest, or crawl-off if no setup takes anything out. */
enum wg_compared wg_compare_main(const struct wg_compare *compare);
/** True if files have the outcome, because any setup has it (wg_outcome_is_kept()). */
bool wg_compare_keeps(const struct wg_compare *compare, enum wg_outcome_number outcome);
/** Returns how many rows of WG_COMPARED_TABLE apply: the balance only if any setup keeps accounts. */
int wg_compare_compared_kept(const struct wg_compare *compare);
/** Frees the summaries. Safe on a zeroed struct and after a failure. */
void wg_compare_free(struct wg_compare *compare);

#endif
