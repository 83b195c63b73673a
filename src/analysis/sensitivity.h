/**
 * Sensitivity analysis: how much of an answer's uncertainty comes from which unknown parameter. Screens by elementary
 * effects, then computes variance shares.
 *
 * The first parts work on any function on the unit cube; the last applies them to a plan and its species parameters.
 */
#ifndef WG_ANALYSIS_SENSITIVITY_H
#define WG_ANALYSIS_SENSITIVITY_H

#include "base/stats.h"
#include "forecast/ensemble.h"

#include <stdbool.h>

/** A function to study: evaluate() computes y[n] at n points x[n][n_inputs] in 0..1. Returns 0, WG_STOPPED or an error. */
struct wg_study {
    int n_inputs;
    int (*evaluate)(void *self, int64_t n, const double *x, double *y, struct wg_error *err);
    void *self;
};

/** Elementary effects of an input: the change of y over the input's range, at random points of the other inputs. */
struct wg_effect {
    double mean, mean_size, sd; /* mean_size: of the absolute effects (Campolongo, Cariboni & Saltelli 2007) */
};
/**
 * Computes effect[n_inputs] by Morris (1991, Technometrics 33:161): `walks` random walks of n_inputs + 1 points
 * on a grid of four levels; each step moves one input by two thirds of its range.
 * Costs walks (n_inputs + 1) evaluations.
 */
int wg_effects(const struct wg_study *study, int walks, uint64_t seed, struct wg_effect *effect, struct wg_error *err);

/** An input's share of the variance of y. */
struct wg_variance_share {
    double first, total;                         /* alone; with its interactions */
    struct wg_interval first_range, total_range; /* 95 %, bootstrap over the base points */
    double slope;                                /* correlation of input and y, -1..1 */
};
#define WG_MAX_SHARED_INPUTS 20 /* GSL's Sobol sequence has 40 dimensions, two per input */
/**
 * Computes Sobol' indices (Sobol' 1993) on Sobol' points (1967; gsl_qrng): first order by Saltelli et al.
 * 2010 (Comput. Phys. Commun. 181:259), total by Jansen 1999 (Comput. Phys. Commun. 117:35).
 * `n` base points cost n (n_inputs + 2) evaluations. Sets share[n_inputs] and the *mean and *variance of y; if y is
 * constant, all shares are NaN.
 */
int wg_variance_shares(const struct wg_study *study, int64_t n, uint64_t seed, struct wg_variance_share *share,
                       double *mean, double *variance, struct wg_error *err);

/* ---- of a plan ---- */

#define WG_MAX_UNKNOWNS 128
#define WG_SENSITIVITY_BUDGET 20000 /* replicates */

/** The answer to study. */
enum wg_sensitivity_outcome { WG_SENSITIVITY_CHOOSE, WG_SENSITIVITY_SURVIVAL, WG_SENSITIVITY_CRAWL_OFF };

struct wg_sensitivity_options {
    enum wg_sensitivity_outcome outcome; /* CHOOSE: survival if 0 < probability < 1, else total crawl-off */
    int64_t budget;                      /* approximate number of replicates, at least 2000 */
    int keep;                            /* unknowns that get variance shares, at most WG_MAX_SHARED_INPUTS; 12 */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

struct wg_unknown {
    const struct wg_parameter *parameter;
    double value, low, high; /* value in the plan; range studied (wg_parameter_range()) */
    struct wg_effect effect;
    bool kept;
    struct wg_variance_share share; /* if kept */
};

struct wg_sensitivity {
    enum wg_sensitivity_outcome outcome;
    double base; /* answer of the unchanged plan: probability or kg, mean over base_replicates */
    int64_t base_replicates;
    int n_unknowns;
    struct wg_unknown unknown[WG_MAX_UNKNOWNS]; /* kept ones first, by total share; the rest by mean absolute effect */
    int n_kept;
    double mean, sd;    /* of the answer over the kept unknowns' ranges */
    double noise_share; /* share of that variance due to sampling noise of the means, not to the unknowns */
    int64_t replicates, per_point;
};
/**
 * Studies the species parameters whose source is a judgement, with the same replicates and seeds at every point.
 * Returns 0, WG_STOPPED or an error.
 */
int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *sensitivity, struct wg_error *err);
/** Returns the outcome whose mean was studied. */
enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *sensitivity);

#endif
