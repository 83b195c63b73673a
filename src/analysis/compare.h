/**
 * Several setups through the same weather and the same mishaps, replicate by replicate.
 *
 * Replicate k of every setup uses the streams (seed, k, WEATHER) and (seed, k,
 * MISHAPS), so its days are the same, and a difference between two setups is
 * not blurred by one of them having had the warmer winter. Births and deaths
 * are drawn by each setup for itself.
 */
#ifndef WG_ANALYSIS_COMPARE_H
#define WG_ANALYSIS_COMPARE_H

#include "forecast/summary.h"

#define WG_COMPARE_MIN 2
#define WG_COMPARE_MAX 8
#define WG_COMPARE_CONFIDENCE 0.95

/** Which of two values a keeper would rather have. */
enum wg_better { WG_MORE_IS_BETTER, WG_LESS_IS_BETTER };

/* outcome of WG_OUTCOME_TABLE, what is better */
#define WG_COMPARED_TABLE(X)                                                                                           \
    X(survived, WG_MORE_IS_BETTER)                                                                                     \
    X(weeks_without_harvest, WG_LESS_IS_BETTER)                                                                        \
    X(first_crawl_off_day, WG_LESS_IS_BETTER)                                                                          \
    X(spring_emergence_50, WG_LESS_IS_BETTER)                                                                          \
    X(total_crawl_off_mass, WG_MORE_IS_BETTER)                                                                         \
    X(total_harvest_mass, WG_MORE_IS_BETTER)                                                                           \
    X(total_heater_energy, WG_LESS_IS_BETTER)                                                                          \
    X(total_heater_cost, WG_LESS_IS_BETTER)

enum wg_compared {
#define WG_COMPARED_ENUM(name, better) WG_COMPARED_##name,
    WG_COMPARED_TABLE(WG_COMPARED_ENUM)
#undef WG_COMPARED_ENUM
        WG_N_COMPARED
};
enum wg_outcome_number wg_compared_outcome(enum wg_compared compared);
enum wg_better wg_compared_better(enum wg_compared compared);

/**
 * One outcome of a setup less that of the first, replicate by replicate.
 *
 * The mean is over the `n` replicates in which both have a value; its interval
 * is mean -+ t sd/sqrt(n) at WG_COMPARE_CONFIDENCE, with Student's t of n - 1
 * degrees of freedom; n < 2: NaN.
 *
 * The chance to be better is better / (better + worse + ties), with Wilson's
 * interval: a tie is not better. A date that did not come is later than any,
 * and two that did not come tie; what is left out of quantiles (WG_MISSING_OMITTED)
 * is left out here where either has none.
 */
struct wg_difference {
    int64_t n;
    double mean, sd;
    struct wg_interval interval;
    int64_t better, worse, ties;
    double chance; /* NaN if there was nothing to compare */
    struct wg_interval chance_interval;
    /**
     * What sharing the weather was worth, measured: (var a + var b) / var(b - a) over the n. So many times the
     * replicates would be needed for the same interval if each setup had weather of its own. NaN: no spread at all;
     * +INFINITY: the difference alone has none.
     */
    double variance_factor;
};
/** The difference b - a of n values each (NaN: did not happen). */
struct wg_difference wg_difference(const double *a, const double *b, int64_t n, enum wg_better better,
                                   enum wg_missing_rule missing);

/** Why there is, or is not, a price of extra harvest. */
enum wg_extra_status {
    WG_EXTRA_PRICED,
    WG_EXTRA_NONE,     /* no more is harvested, or not surely: the interval of the difference reaches 0 */
    WG_EXTRA_NO_PRICE, /* of the energy bought not all has a price in the scenario */
    WG_EXTRA_FREE      /* more is harvested, and energy costs no more */
};
/** What a kg more costs: mean difference of the cost of energy over that of the harvest, which is wg_compare_main(). */
struct wg_extra_price {
    enum wg_extra_status why;
    double per_kg;               /* NaN unless PRICED, in the scenario's currency */
    struct wg_interval interval; /* of the ratio of paired means (Fieller 1954, J. R. Stat. Soc. B 16:175) */
};

/** A setup against the first. */
struct wg_setup_pair {
    struct wg_difference difference[WG_N_COMPARED];
    struct wg_extra_price extra;
};

/** One setup. */
struct wg_setup {
    const struct wg_plan *plan;         /* borrowed; its own seed and replicates are not used */
    const char *name;                   /* in messages: a path or title; borrowed */
    const struct wg_observer *observer; /* those who look on besides the summary; borrowed, may be NULL */
    int n_observers;                    /* at most 3 */
    struct wg_summary summary;          /* filled by wg_compare_run() */
};

struct wg_compare {
    int n; /* setups */
    struct wg_setup setup[WG_COMPARE_MAX];
    int64_t replicates;
    uint64_t seed;
    int at;                                    /* the setup that is being run, or was when it failed */
    struct wg_setup_pair pair[WG_COMPARE_MAX]; /* against setup 0; [0] stays zero */
};

/**
 * Can they be compared? 0, or WG_ERR_INPUT with the setup's name, the reason and
 * both values: less than 2 or more than 8; another period; anything in which the
 * climates differ that a drawn day depends on (kind, place, monthly tables, any day of the record).
 *
 * Other numbers of mishaps a year are no reason: each day's deviates are the
 * same for all, so a setup with fewer of them has some of those that the other
 * has, on the same days and hours. They are then part of what is compared, as
 * are feed, work, species numbers, wild visitors and steps a day.
 */
int wg_compare_check(const struct wg_compare *compare, struct wg_error *err);

/**
 * Checks, runs every setup (options->first and ->count are not read; progress
 * counts the replicates of all setups) and works out the pairs. 0, WG_STOPPED or
 * a negative error; free in every case.
 */
int wg_compare_run(struct wg_compare *compare, const struct wg_ensemble_options *options, struct wg_error *err);
/** What is compared first: what is taken out, or crawl-off where no setup takes anything out. */
enum wg_compared wg_compare_main(const struct wg_compare *compare);
/** Frees the summaries. Safe on zeros and after a failure. */
void wg_compare_free(struct wg_compare *compare);

#endif
