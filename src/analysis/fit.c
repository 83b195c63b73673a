/*
 * Fits species parameters to a log by adaptive importance sampling.
 *
 *   weight = prior(factors) (mean likelihood(log | replicate))^t / proposal(factors)
 *
 * The mean is over the few replicates of a draw; one of them, chosen by its likelihood, then represents the draw.
 * Rounds: t is the largest value up to 1 at which the effective sample size is a tenth of the draws; mean and covariance
 * of the weighted logarithms give the next proposal, a normal distribution 1.5 times as wide (so that its tails are not
 * too thin), mixed with a fifth of the prior (so that weights are bounded: Hesterberg 1995, Technometrics 37:185).
 * After t = 1 the last round is drawn with plain weights.
 */
#include "analysis/fit.h"

#include "base/elementary.h"
#include "base/random.h"
#include "forecast/thread_pool.h"

#include <gsl/gsl_linalg.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define D WG_N_FIT_PARAMETERS
#define MIN_ESS_SHARE 0.1
#define WIDENING 1.5
#define PRIOR_PART 0.2
#define HALVINGS 50

/* The proposal distribution: the logarithms of the factors are normal. */
struct proposal {
    bool prior_only;
    double mean[D];
    double root[D][D]; /* Cholesky factor of the covariance, lower triangle */
    double log_scale;  /* sum of ln root[i][i] */
};

/* One round of draws. */
struct draw_round {
    const struct wg_plan *plan;
    const struct wg_log_entry *entries;
    int n_entries, n_outcomes;
    int64_t first, n, per_draw; /* draws before and in this round; replicates of each */
    struct wg_fit_draw *draw;
    double *log_ratio;           /* ln prior / proposal */
    double *simulated, *outcome; /* [entry][n], [outcome][n] of the replicate chosen for each draw */
    double *before; /* [outcome][n] of each draw's first replicate, regardless of the log; NULL: not kept */
};

/* ---- drawing ---- */

static double log_prior(const double z[D]) {
    double sum = 0;
    for (int i = 0; i < D; i++) {
        const double sigma = wg_fit_parameter_prior_sigma((enum wg_fit_parameter)i), u = z[i] / sigma;
        sum += -u * u / 2 - wg_log(sigma);
    }
    return sum;
}

/* Solves root u = z - mean row by row. */
static double log_normal(const struct proposal *p, const double z[D]) {
    double u[D], sum = -p->log_scale;
    for (int i = 0; i < D; i++) {
        u[i] = z[i] - p->mean[i];
        for (int j = 0; j < i; j++)
            u[i] -= p->root[i][j] * u[j];
        u[i] /= p->root[i][i];
        sum -= u[i] * u[i] / 2;
    }
    return sum;
}

static double log_ratio(const struct proposal *p, const double z[D]) {
    if (p->prior_only)
        return 0;
    const double prior = log_prior(z), normal = log_normal(p, z), top = fmax(prior, normal);
    return prior - top - wg_log(PRIOR_PART * wg_exp(prior - top) + (1 - PRIOR_PART) * wg_exp(normal - top));
}

static void draw_factors(const struct proposal *p, gsl_rng *rng, double factor[D], double *ratio) {
    double z[D], u[D];
    const bool prior = p->prior_only || wg_uniform(rng) < PRIOR_PART;
    for (int i = 0; i < D; i++)
        u[i] = wg_normal(rng);
    for (int i = 0; i < D; i++) {
        z[i] = prior ? u[i] * wg_fit_parameter_prior_sigma((enum wg_fit_parameter)i) : p->mean[i];
        for (int j = 0; j <= i && !prior; j++)
            z[i] += p->root[i][j] * u[j];
        factor[i] = wg_exp(z[i]);
    }
    *ratio = log_ratio(p, z);
}

/* ---- simulating ---- */

/* One draw during its simulation. */
struct draw_in_progress {
    struct draw_round *round;
    int64_t i;
    gsl_rng *rng;
    double log_sum; /* ln of the sum of the likelihoods so far; -INFINITY at first */
};

static double log_add(double a, double b) {
    const double top = fmax(a, b);
    return isinf(top) ? top : top + wg_log(wg_exp(a - top) + wg_exp(b - top));
}

static void store_outcomes(const struct draw_in_progress *draw, const struct wg_diary *diary, double *outcome) {
    const struct draw_round *const round = draw->round;
    for (int k = 0; k < round->n_outcomes; k++)
        outcome[k * round->n + draw->i] = wg_diary_outcome(diary, &wg_diary_outcomes()[k]);
}

static void store_replicate(const struct draw_in_progress *draw, const struct wg_diary *diary) {
    const struct draw_round *const round = draw->round;
    for (int k = 0; k < round->n_entries; k++)
        round->simulated[k * round->n + draw->i] = wg_log_entry_simulated(&round->entries[k], diary);
    store_outcomes(draw, diary, round->outcome);
}

static int on_replicate_fit(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct draw_in_progress *const draw = self;
    const struct draw_round *const round = draw->round;
    const bool first = isinf(draw->log_sum);
    (void)err;
    if (round->before != NULL && replicate == (round->first + draw->i) * round->per_draw)
        store_outcomes(draw, diary, round->before);
    double log_chance = 0;
    for (int k = 0; k < round->n_entries; k++)
        log_chance += wg_log_entry_log_chance(&round->entries[k], wg_log_entry_simulated(&round->entries[k], diary));
    draw->log_sum = log_add(draw->log_sum, log_chance);
    /* reservoir sampling: keeps each replicate with probability proportional to its likelihood */
    if (first || wg_log(wg_uniform(draw->rng)) < log_chance - draw->log_sum)
        store_replicate(draw, diary);
    return 0;
}

/* Streams that choose a replicate; the factors use the streams first + i, far below. */
#define CHOICE_STREAM (UINT64_C(1) << 62)

static int simulate_draw(void *self, int64_t i, struct wg_error *err) {
    struct draw_round *const round = self;
    struct wg_plan plan = *round->plan; /* borrows the lists */
    plan.animals = WG_ANIMALS_MIDDLE;   /* the fit varies the numbers itself */
    wg_fit_parameter_apply(&plan.species, round->draw[i].factor);
    struct draw_in_progress draw = {round, i, gsl_rng_alloc(wg_rng_type()), -(double)INFINITY};
    if (draw.rng == NULL)
        return wg_no_memory(err, NULL);
    wg_rng_start(draw.rng, plan.seed, CHOICE_STREAM + (uint64_t)(round->first + i), WG_PURPOSE_PARAMETERS);
    const struct wg_observer observer = {on_replicate_fit, &draw};
    const int code = wg_replicates_run(&plan, (round->first + i) * round->per_draw, round->per_draw, &observer, err);
    round->draw[i].log_chance = draw.log_sum - wg_log((double)round->per_draw);
    gsl_rng_free(draw.rng);
    return code;
}

static void free_round(struct draw_round *round) {
    free(round->draw);
    free(round->log_ratio);
    free(round->simulated);
    free(round->outcome);
    free(round->before);
    round->draw = NULL;
    round->log_ratio = round->simulated = round->outcome = round->before = NULL;
}

static int alloc_round(struct draw_round *round, struct wg_error *err) {
    const size_t n = (size_t)round->n;
    round->draw = calloc(n, sizeof *round->draw);
    round->log_ratio = calloc(n, sizeof *round->log_ratio);
    round->simulated = calloc(n * (size_t)round->n_entries, sizeof *round->simulated);
    round->outcome = calloc(n * (size_t)round->n_outcomes, sizeof *round->outcome);
    const bool is_first = round->first == 0; /* drawn from the prior, so it gives the forecast without the log */
    round->before = is_first ? calloc(n * (size_t)round->n_outcomes, sizeof *round->before) : NULL;
    if (round->draw != NULL && round->log_ratio != NULL && round->simulated != NULL && round->outcome != NULL &&
        (!is_first || round->before != NULL))
        return 0;
    return wg_no_memory(err, NULL);
}

static int simulate_round(struct draw_round *round, const struct proposal *proposal,
                          const struct wg_fit_options *options, struct wg_error *err) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    if (rng == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t i = 0; i < round->n; i++) {
        wg_rng_start(rng, round->plan->seed, (uint64_t)(round->first + i), WG_PURPOSE_PARAMETERS);
        draw_factors(proposal, rng, round->draw[i].factor, &round->log_ratio[i]);
    }
    gsl_rng_free(rng);
    const struct wg_thread_pool pool = {options->threads, options->stop, options->progress, options->progress_self};
    return wg_thread_pool_run(&pool, round->n, simulate_draw, round, err);
}

/* ---- weights ---- */

/* Computes the weights at temper t; returns the effective sample size. */
static double weight_draws(struct draw_round *round, double t) {
    double top = -(double)INFINITY, sum = 0, squares = 0;
    for (int64_t i = 0; i < round->n; i++)
        top = fmax(top, round->log_ratio[i] + t * round->draw[i].log_chance);
    for (int64_t i = 0; i < round->n; i++) {
        round->draw[i].weight = wg_exp(round->log_ratio[i] + t * round->draw[i].log_chance - top);
        sum += round->draw[i].weight;
    }
    for (int64_t i = 0; i < round->n; i++) {
        round->draw[i].weight /= sum;
        squares += round->draw[i].weight * round->draw[i].weight;
    }
    return 1 / squares;
}

/* Returns the largest t with a sufficient effective sample size, and leaves its weights. */
static double find_temper(struct draw_round *round) {
    const double min_ess = MIN_ESS_SHARE * (double)round->n;
    double low = 0, high = 1;
    if (weight_draws(round, 1) >= min_ess)
        return 1;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        *(weight_draws(round, middle) >= min_ess ? &low : &high) = middle;
    }
    (void)weight_draws(round, low);
    return low;
}

/* Sets the proposal to the weighted mean and widened covariance, plus a tenth of the prior's sigma. */
static int propose(const struct draw_round *round, struct proposal *p, struct wg_error *err) {
    double covariance[D * D] = {0};
    memset(p->mean, 0, sizeof p->mean);
    for (int64_t k = 0; k < round->n; k++)
        for (int i = 0; i < D; i++)
            p->mean[i] += round->draw[k].weight * wg_log(round->draw[k].factor[i]);
    for (int64_t k = 0; k < round->n; k++)
        for (int i = 0; i < D; i++)
            for (int j = 0; j < D; j++)
                covariance[i * D + j] += WIDENING * WIDENING * round->draw[k].weight *
                                         (wg_log(round->draw[k].factor[i]) - p->mean[i]) *
                                         (wg_log(round->draw[k].factor[j]) - p->mean[j]);
    for (int i = 0; i < D; i++)
        covariance[i * D + i] += wg_pow(0.1 * wg_fit_parameter_prior_sigma((enum wg_fit_parameter)i), 2);
    gsl_matrix_view matrix = gsl_matrix_view_array(covariance, D, D);
    if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0)
        return wg_fail(err, WG_ERR_INTERNAL, NULL, "The draws of the fit have no positive definite covariance.");
    p->prior_only = false;
    p->log_scale = 0;
    for (int i = 0; i < D; i++) {
        for (int j = 0; j < D; j++)
            p->root[i][j] = j <= i ? covariance[i * D + j] : 0;
        p->log_scale += wg_log(p->root[i][i]);
    }
    return 0;
}

/* ---- the rounds ---- */

/* Keeps the prior outcomes of the first round. */
static void store_prior_outcomes(struct wg_fit *fit, struct draw_round *round) {
    fit->before = round->before;
    fit->n_before = round->n;
    round->before = NULL;
}

static int run_round(struct wg_fit *fit, struct draw_round *round, struct proposal *proposal,
                     const struct wg_fit_options *options, struct wg_error *err) {
    int code = alloc_round(round, err);
    if (code == 0)
        code = simulate_round(round, proposal, options, err);
    fit->draws += round->n;
    fit->replicates += round->n * round->per_draw;
    return code;
}

static int adapt_proposal(struct wg_fit *fit, struct draw_round round, struct proposal *proposal,
                          const struct wg_fit_options *options, struct wg_error *err) {
    int code = 0;
    round.n = options->draws / 2;
    while (code == 0 && fit->temper < 1 && fit->rounds < options->most_rounds) {
        round.first = fit->draws;
        code = run_round(fit, &round, proposal, options, err);
        if (code == 0) {
            fit->temper = find_temper(&round);
            code = propose(&round, proposal, err);
        }
        if (code == 0 && fit->rounds++ == 0)
            store_prior_outcomes(fit, &round);
        free_round(&round);
    }
    return code;
}

static void store_fit(struct wg_fit *fit, struct draw_round *round) {
    fit->n = round->n;
    fit->effective = weight_draws(round, 1);
    fit->draw = round->draw;
    fit->simulated = round->simulated;
    fit->outcome = round->outcome;
    round->draw = NULL;
    round->simulated = round->outcome = NULL;
}

int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *entries, int n,
               const struct wg_fit_options *options, struct wg_error *err) {
    wg_assert(n >= 1 && options->draws >= 100 && options->per_draw >= 1 && options->most_rounds >= 1);
    *fit = (struct wg_fit){.n_entries = n, .n_outcomes = WG_N_OUTCOMES};
    for (int f = 0; f < WG_N_FIT_PARAMETERS; f++)
        fit->most[f] = wg_fit_parameter_max(plan, (enum wg_fit_parameter)f);
    struct draw_round round = {
        .plan = plan, .entries = entries, .n_entries = n, .n_outcomes = fit->n_outcomes, .per_draw = options->per_draw};
    struct proposal proposal = {.prior_only = true};
    fit->sorting = calloc((size_t)options->draws, sizeof *fit->sorting); /* the largest round */
    if (fit->sorting == NULL)
        return wg_no_memory(err, NULL);
    int code = adapt_proposal(fit, round, &proposal, options, err);
    round.first = fit->draws;
    round.n = options->draws;
    if (code == 0)
        code = run_round(fit, &round, &proposal, options, err);
    if (code == 0)
        store_fit(fit, &round);
    free_round(&round);
    return code;
}

void wg_fit_free(struct wg_fit *fit) {
    free(fit->draw);
    free(fit->simulated);
    free(fit->outcome);
    free(fit->before);
    free(fit->sorting);
    *fit = (struct wg_fit){0};
}
