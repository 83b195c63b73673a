/**
 * What matters? How much of the uncertainty of an answer comes from which unknown
 * number: screening by elementary effects, then variance shares.
 *
 * The first parts know a function of numbers in 0..1 only; the last one puts a
 * plan and the numbers of the animal behind it.
 */
#ifndef WG_ANALYSIS_SENSITIVITY_H
#define WG_ANALYSIS_SENSITIVITY_H

#include "base/stats.h"
#include "forecast/ensemble.h"

#include <stdbool.h>

/** A function to be studied. Evaluates n points at once, x[n][n_inputs] each within 0..1, into y[n]; 0, WG_STOPPED or an error. */
struct wg_study {
    int n_inputs;
    int (*evaluate)(void *self, int64_t n, const double *x, double *y, struct wg_error *err);
    void *self;
};

/** Elementary effect of an input: change of y from one end of its range to the other, at random places of the rest. */
struct wg_effect {
    double mean, mean_size,
        sd; /* of the effects, of their absolute values (Campolongo, Cariboni & Saltelli 2007), their spread */
};
/**
 * Morris (1991, Technometrics 33:161): `walks` random walks of n_inputs + 1 points
 * on a grid of four levels, each step moves one input by two thirds of its range.
 * effect[n_inputs]. Costs walks (n_inputs + 1) evaluations.
 */
int wg_effects(const struct wg_study *study, int walks, uint64_t seed, struct wg_effect *effect, struct wg_error *err);

/** Share of the variance of y that goes with an input. */
struct wg_variance_share {
    double first, total;                         /* alone; with all it interacts in */
    struct wg_interval first_range, total_range; /* 95 %, bootstrap over the base points */
    double slope;                                /* correlation of input and y, -1..1: which way it works */
};
#define WG_MAX_SHARED_INPUTS 20 /* GSL's Sobol sequence has 40 dimensions, two for each */
/**
 * Sobol' indices (Sobol' 1993) on Sobol' points (1967; gsl_qrng): first order by Saltelli et al.
 * 2010 (Comput. Phys. Commun. 181:259), total by Jansen 1999 (Comput. Phys.
 * Commun. 117:35). `n` base points, n (n_inputs + 2) evaluations. share[n_inputs];
 * *mean and *variance of y. Where y does not vary, all shares are NaN.
 */
int wg_variance_shares(const struct wg_study *study, int64_t n, uint64_t seed, struct wg_variance_share *share,
                       double *mean, double *variance, struct wg_error *err);

/* ---- of a plan ---- */

#define WG_MAX_UNKNOWNS 128
#define WG_SENSITIVITY_BUDGET 20000 /* replicates */

/** The answer that is studied. */
enum wg_sensitivity_outcome { WG_SENSITIVITY_CHOOSE, WG_SENSITIVITY_SURVIVAL, WG_SENSITIVITY_CRAWL_OFF };

struct wg_sensitivity_options {
    enum wg_sensitivity_outcome
        outcome;    /* CHOOSE: survival if its chance is strictly between 0 and 1, else total crawl-off */
    int64_t budget; /* replicates, about; at least 2000 */
    int keep;       /* unknowns studied closely, at most WG_MAX_SHARED_INPUTS; 12 */
    int threads;
    const atomic_int *stop;
    void (*progress)(void *self, int64_t done, int64_t count);
    void *progress_self;
};

struct wg_unknown {
    const struct wg_parameter *parameter;
    double value, low, high; /* in the plan; the range it was moved over (wg_parameter_range()) */
    struct wg_effect effect;
    bool kept;
    struct wg_variance_share share; /* if kept */
};

struct wg_sensitivity {
    enum wg_sensitivity_outcome outcome;
    double base; /* of the plan as it is: chance or kg, mean over base_replicates */
    int64_t base_replicates;
    int n_unknowns;
    struct wg_unknown unknown[WG_MAX_UNKNOWNS]; /* kept ones first, by total share; then by mean size of effect */
    int n_kept;
    double mean, sd;    /* of the answer over the kept unknowns' ranges */
    double noise_share; /* part of that variance that is luck left in the means, not the unknowns */
    int64_t replicates, per_point;
};
/**
 * Studies the numbers of the animal whose source is a judgement. The same
 * replicates, with the same seeds, are lived at every point. 0, WG_STOPPED or an error.
 */
int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *matters, struct wg_error *err);
/** The outcome whose mean was studied. */
enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *matters);

#endif
