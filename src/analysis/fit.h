/**
 * Fits a few uncertain species parameters to a keeper's log, and updates the forecast.
 *
 * Method: importance sampling over whole replicates. Each draw takes factors from a proposal and simulates a few
 * replicates with their own weather and chance; its weight is prior x mean likelihood of the log / proposal. That mean is
 * unbiased for any number of replicates, so the posterior is exact (Andrieu & Roberts 2009, Ann. Stat. 37:697). The
 * proposal starts as the prior and adapts to the weights in rounds, tempered at first so that enough draws carry weight
 * (population Monte Carlo: Cappe et al. 2004, J. Comput. Graph. Stat. 13:907). That is simpler than a particle filter,
 * which would have to store and copy colonies half-way through, and sufficient for five parameters. Only the last round
 * is reported, so its weights are plain importance weights. The effective sample size shows when few draws dominate.
 */
#ifndef WG_ANALYSIS_FIT_H
#define WG_ANALYSIS_FIT_H

#include "analysis/log_entry.h"
#include "base/stats.h"
#include "forecast/ensemble.h"

/* ---- the unknowns ---- */

/** Each is a factor on species parameters. */
enum wg_fit_parameter {
    WG_FIT_LARVA_RATE, /* speed of larval development */
    WG_FIT_LARVA_MASS, /* mass of full-grown larvae */
    WG_FIT_HAZARD,     /* background mortality of all stages */
    WG_FIT_LAYING,     /* share of females that lay, at most 1 */
    WG_FIT_DORMANCY,   /* heat that ends dormancy */
    WG_N_FIT_PARAMETERS
};
/** The name, and the sigma of the factor's prior, which is lognormal with median 1. */
const char *wg_fit_parameter_name(enum wg_fit_parameter fitted);
double wg_fit_parameter_prior_sigma(enum wg_fit_parameter fitted);
/** Scales species parameters by the factors, each clamped to the limits of a scenario. */
void wg_fit_parameter_apply(struct wg_species *species, const double factor[WG_N_FIT_PARAMETERS]);

/** Returns the factor above which the plan's parameters no longer change: at their maximum, such as a share of 1. */
double wg_fit_parameter_max(const struct wg_plan *plan, enum wg_fit_parameter fitted);

/* ---- the fit ---- */

struct wg_fit_options {
    int64_t draws;    /* of the last round; earlier rounds have half. >= 100; 500 */
    int64_t per_draw; /* replicates of each draw; 16 */
    int most_rounds;  /* tempered rounds before it; 8 */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

/** One draw of the last round; one of its replicates, chosen by its likelihood, represents it. */
struct wg_fit_draw {
    double factor[WG_N_FIT_PARAMETERS];
    double weight; /* normalised: sums to 1 over the draws */
    double log_chance;
};

/** A value with its weight, for sorting. */
struct wg_weighted_value {
    double value, weight;
};

#define WG_FIT_DEGENERATE 50.0 /* effective sample size below which the fit is unreliable (judgement) */

struct wg_fit {
    int64_t n;                /* draws */
    struct wg_fit_draw *draw; /* owned */
    double *simulated;        /* [entry][n], owned */
    int n_entries;
    int n_outcomes;
    double *outcome, *before; /* [outcome][n], [outcome][n_before] from the prior alone; owned */
    int64_t n_before;
    struct wg_weighted_value *sorting; /* scratch for quantiles, for one thread at a time; owned */
    double effective;                  /* effective sample size: 1 / sum of squared weights (Kong 1992) */
    double temper; /* 1: the proposal adapted to the whole log; below: the rounds ran out, or noise is too large */
    int rounds;
    int64_t draws, replicates;        /* in all rounds */
    double most[WG_N_FIT_PARAMETERS]; /* larger factors have the same effect (wg_fit_parameter_max()) */
};
/** Returns the effective factor of a draw, at most wg_fit_parameter_max(). */
double wg_fit_factor(const struct wg_fit *fit, int64_t draw, enum wg_fit_parameter fitted);

/**
 * Fits a plan's parameters to a log of n >= 1 entries, whose days and bins are the plan's. Numbers replicates from 0
 * across rounds. Returns 0, WG_STOPPED or an error; free in every case.
 */
int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *entries, int n,
               const struct wg_fit_options *options, struct wg_error *err);
void wg_fit_free(struct wg_fit *fit);

/**
 * Returns the weighted q-quantile of n values (weights NULL: equal), without NaN values: the smallest value with
 * cumulative weight at least q; NaN if none is left, or without memory.
 */
double wg_weighted_quantile(const double *values, const double *weights, int64_t n, double q);
/** Returns the posterior q-quantile of one factor. */
double wg_fit_quantile(const struct wg_fit *fit, enum wg_fit_parameter fitted, double q);
/** Returns the probability that an outcome (its row in wg_diary_outcomes()) happens, posterior or (`before`) prior. */
double wg_fit_happened(const struct wg_fit *fit, int outcome, bool before);
/** Returns an outcome's q-quantile; if it did not happen it counts by its enum wg_missing_rule: INFINITY or omitted. */
double wg_fit_outcome(const struct wg_fit *fit, int outcome, bool before, double q);
/** Returns the probability that an outcome exceeds a threshold: survived above 0.5 is the survival probability. */
double wg_fit_share_above(const struct wg_fit *fit, int outcome, bool before, double threshold);
/**
 * Posterior predictive check: sets the 90 % range for entry i, observation errors included, and returns true if
 * the entry lies in it. For flies the range is the probability to record them, twice; true unless the entry had a
 * probability below 0.1.
 */
bool wg_fit_explains(const struct wg_fit *fit, const struct wg_log_entry *entries, int i, struct wg_interval *range);
/** Systematic resampling (Kitagawa 1996, J. Comput. Graph. Stat. 5:1): k draws by weight, from one uniform `u` in (0, 1). */
void wg_fit_resample(const struct wg_fit *fit, double u, int64_t k, int64_t *draws);

#endif
