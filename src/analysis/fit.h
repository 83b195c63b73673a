/**
 * What does a keeper's log say about this colony? A few numbers of the animal,
 * uncertain beforehand, weighed by how well what they lead to agrees with what was
 * seen, and the forecast narrowed by it.
 *
 * Method: importance sampling over whole replicates. Each draw takes factors from
 * a proposal and lives a few replicates of its own weather and luck; its weight is
 * prior x mean chance of the log / proposal. That mean is right on average however few
 * replicates it is over, and so is the posterior (Andrieu & Roberts 2009, Ann. Stat. 37:697). The proposal starts as the prior and follows the
 * weights in rounds, at first tempered so that enough draws count (population
 * Monte Carlo: Cappe et al. 2004, J. Comput. Graph. Stat. 13:907). That is simpler
 * than a particle filter, which would have to store and copy colonies half-way
 * through, and enough for five numbers. Only the last round is reported, so its
 * weights are plain importance weights. Where few draws carry the weight, the
 * effective sample size says so.
 */
#ifndef WG_ANALYSIS_FIT_H
#define WG_ANALYSIS_FIT_H

#include "analysis/log_entry.h"
#include "base/stats.h"
#include "forecast/ensemble.h"

/* ---- the unknowns ---- */

/** Each is a factor on numbers of the species. */
enum wg_fit_parameter {
    WG_FIT_LARVA_RATE, /* speed of larval development */
    WG_FIT_LARVA_MASS, /* mass of full-grown larvae */
    WG_FIT_HAZARD,     /* background deaths of all stages */
    WG_FIT_LAYING,     /* share of females that lay, at most all */
    WG_FIT_DORMANCY,   /* heat that ends dormancy */
    WG_N_FIT_PARAMETERS
};
/** "larval speed", ... and the sigma of the logarithm of the factor's prior, which is lognormal with median 1. */
const char *wg_fit_parameter_name(enum wg_fit_parameter fitted);
double wg_fit_parameter_prior_sigma(enum wg_fit_parameter fitted);
/** The numbers of a species changed by factors, each kept within what a scenario may set. */
void wg_fit_parameter_apply(struct wg_species *species, const double factor[WG_N_FIT_PARAMETERS]);

/** The factor above which the plan's numbers change no more: a share that is 1 already. */
double wg_fit_parameter_max(const struct wg_plan *plan, enum wg_fit_parameter fitted);

/* ---- the fit ---- */

struct wg_fit_options {
    int64_t draws;    /* of the last round; each earlier one has half. >= 100; 500 */
    int64_t per_draw; /* replicates of each draw; 16 */
    int most_rounds;  /* of tempering before it; 8 */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

/** One draw of the last round; what is simulated of it is by one of its replicates, chosen by its chance. */
struct wg_fit_draw {
    double factor[WG_N_FIT_PARAMETERS];
    double weight; /* of all draws: 1 */
    double log_chance;
};

/** A value beside its weight, to be sorted. */
struct wg_weighted_value {
    double value, weight;
};

#define WG_FIT_DEGENERATE 50.0 /* effective draws below which the answer is a hint only (judgement) */

struct wg_fit {
    int64_t n;                /* draws */
    struct wg_fit_draw *draw; /* owned */
    double *simulated;        /* [note][n], owned */
    int n_notes;
    int n_outcomes;
    double *outcome, *before; /* [outcome][n], [outcome][n_before] from the prior alone; owned */
    int64_t n_before;
    struct wg_weighted_value *sorting; /* room in which quantiles are worked out, by one thread at a time; owned */
    double effective;                  /* draws' worth of weight: 1 / sum of squared weights (Kong 1992) */
    double temper; /* 1: the proposal came to rest on the whole log; less: the rounds ran out, or luck is too large */
    int rounds;
    int64_t draws, replicates;        /* in all rounds */
    double most[WG_N_FIT_PARAMETERS]; /* factors beyond it act like it (wg_fit_parameter_max()) */
};
/** The factor of a draw as it acts. */
double wg_fit_factor(const struct wg_fit *fit, int64_t draw, enum wg_fit_parameter fitted);

/**
 * Weighs a plan's unknowns by a log of n >= 1 notes, whose days and bins are the plan's. Replicates are numbered on
 * from 0, round after round. 0, WG_STOPPED or an error; free in every case.
 */
int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *notes, int n,
               const struct wg_fit_options *options, struct wg_error *err);
void wg_fit_free(struct wg_fit *fit);

/** The q-quantile of n values with weights (NULL: all alike), NaN values left out: the least value with at least q of the
 * weight up to it; NaN where none is left, or without memory. */
double wg_weighted_quantile(const double *values, const double *weights, int64_t n, double q);
/** The q-quantile of one factor, after the log. */
double wg_fit_quantile(const struct wg_fit *fit, enum wg_fit_parameter fitted, double q);
/** Weighted share of the draws in which an outcome (its row in wg_diary_outcomes()) happened, after the log or before it. */
double wg_fit_happened(const struct wg_fit *fit, int outcome, bool before);
/** Its q-quantile; where it did not happen, enum wg_missing_rule says what that counts as: later than all (INFINITY) or left out. */
double wg_fit_outcome(const struct wg_fit *fit, int outcome, bool before, double q);
/** Weighted share of the draws whose outcome is above a threshold: survived above 0.5 is the chance of survival. */
double wg_fit_share_above(const struct wg_fit *fit, int outcome, bool before, double threshold);
/**
 * What the weighted draws would have written in place of note i, errors of the log included: the range of 90 %, and
 * whether the note lies in it. Of flies: the chance to note them, twice; explained unless the note had less than 1 in 10.
 */
bool wg_fit_explains(const struct wg_fit *fit, const struct wg_log_entry *notes, int i, struct wg_interval *range);
/** Systematic resampling (Kitagawa 1996, J. Comput. Graph. Stat. 5:1): k draws' numbers with chances by weight, from one uniform `u` in (0, 1). */
void wg_fit_resample(const struct wg_fit *fit, double u, int64_t k, int64_t *draws);

#endif
