/*
 * Which numbers of the animal agree with the log? Many are tried, each in a
 * replicate of its own; those that lead to what was seen weigh more.
 *
 *   weight = prior(factors) (mean chance(log | replicate))^t / proposal(factors)
 *
 * The mean is over the few replicates of a draw; one of them, chosen by its chance,
 * stands for the draw afterwards.
 * Rounds: t is the largest up to 1 at which a tenth of the draws count; mean and
 * covariance of the weighted logarithms make the next proposal, a normal half as wide
 * again (so that its tails are not the thinner ones), mixed with a fifth of the prior
 * (so that no weight is unbounded: Hesterberg 1995, Technometrics 37:185). When t = 1
 * the last round is drawn and weighed in full.
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
#define ENOUGH_SHARE 0.1
#define WIDER 1.5
#define PRIOR_PART 0.2
#define HALVINGS 50

/* Where the next draws come from: logarithms of the factors are normal. */
struct proposal {
    bool prior_only;
    double mean[D];
    double root[D][D]; /* lower triangle: root x root' is the covariance */
    double log_scale;  /* sum of ln root[i][i] */
};

/* One round of draws. */
struct draw_round {
    const struct wg_plan *plan;
    const struct wg_log_entry *notes;
    int n_notes, n_outcomes;
    int64_t first, n, per_draw; /* draws before and in this round; replicates of each */
    struct wg_fit_draw *draw;
    double *log_ratio;           /* ln prior / proposal */
    double *simulated, *outcome; /* [note][n], [outcome][n] of the replicate chosen for each draw */
    double *before; /* [outcome][n] of each draw's first replicate, whatever the log says; NULL: not kept */
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

/* ---- living ---- */

/* One draw being lived. */
struct draw_in_progress {
    struct draw_round *round;
    int64_t i;
    gsl_rng *rng;
    double log_sum; /* of the chances of its replicates so far; -INFINITY at first */
};

static double log_add(double a, double b) {
    const double top = fmax(a, b);
    return isinf(top) ? top : top + wg_log(wg_exp(a - top) + wg_exp(b - top));
}

static void keep_outcomes(const struct draw_in_progress *page, const struct wg_diary *diary, double *outcome) {
    const struct draw_round *const round = page->round;
    for (int k = 0; k < round->n_outcomes; k++)
        outcome[k * round->n + page->i] = wg_diary_outcome(diary, &wg_diary_outcomes()[k]);
}

static void keep_simulated(const struct draw_in_progress *page, const struct wg_diary *diary) {
    const struct draw_round *const round = page->round;
    for (int k = 0; k < round->n_notes; k++)
        round->simulated[k * round->n + page->i] = wg_log_entry_simulated(&round->notes[k], diary);
    keep_outcomes(page, diary, round->outcome);
}

static int on_replicate_fit(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct draw_in_progress *const page = self;
    const struct draw_round *const round = page->round;
    const bool first = isinf(page->log_sum);
    (void)err;
    if (round->before != NULL && replicate == (round->first + page->i) * round->per_draw)
        keep_outcomes(page, diary, round->before);
    double log_chance = 0;
    for (int k = 0; k < round->n_notes; k++)
        log_chance += wg_log_entry_log_chance(&round->notes[k], wg_log_entry_simulated(&round->notes[k], diary));
    page->log_sum = log_add(page->log_sum, log_chance);
    /* each ends up kept with a chance in proportion to its own */
    if (first || wg_log(wg_uniform(page->rng)) < log_chance - page->log_sum)
        keep_simulated(page, diary);
    return 0;
}

/* Draws use the streams first + i for their factors, and these, far from all of them, to choose a replicate. */
#define CHOICE (UINT64_C(1) << 62)

static int simulate_draw(void *self, int64_t i, struct wg_error *err) {
    struct draw_round *const round = self;
    struct wg_plan plan = *round->plan; /* borrows the lists */
    wg_fit_parameter_apply(&plan.species, round->draw[i].factor);
    struct draw_in_progress page = {round, i, gsl_rng_alloc(wg_rng_type()), -(double)INFINITY};
    if (page.rng == NULL)
        return wg_no_memory(err, NULL);
    wg_rng_start(page.rng, plan.seed, CHOICE + (uint64_t)(round->first + i), WG_PURPOSE_PARAMETERS);
    const struct wg_observer observer = {on_replicate_fit, &page};
    const int code = wg_replicates_run(&plan, (round->first + i) * round->per_draw, round->per_draw, &observer, err);
    round->draw[i].log_chance = page.log_sum - wg_log((double)round->per_draw);
    gsl_rng_free(page.rng);
    return code;
}

static void round_free(struct draw_round *round) {
    free(round->draw);
    free(round->log_ratio);
    free(round->simulated);
    free(round->outcome);
    free(round->before);
    round->draw = NULL;
    round->log_ratio = round->simulated = round->outcome = round->before = NULL;
}

static int round_make(struct draw_round *round, struct wg_error *err) {
    const size_t n = (size_t)round->n;
    round->draw = calloc(n, sizeof *round->draw);
    round->log_ratio = calloc(n, sizeof *round->log_ratio);
    round->simulated = calloc(n * (size_t)round->n_notes, sizeof *round->simulated);
    round->outcome = calloc(n * (size_t)round->n_outcomes, sizeof *round->outcome);
    const bool is_first = round->first == 0; /* from the prior, so that it shows the year before the log */
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
    const struct wg_thread_pool many = {options->threads, options->stop, options->progress, options->progress_self};
    return wg_thread_pool_run(&many, round->n, simulate_draw, round, err);
}

/* ---- weighing ---- */

/* Fills the weights at tempering t; returns the effective number of draws. */
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

/* The largest t at which enough draws count, with the weights of that t. */
static double find_temperature(struct draw_round *round) {
    const double enough = ENOUGH_SHARE * (double)round->n;
    double low = 0, high = 1;
    if (weight_draws(round, 1) >= enough)
        return 1;
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;
        *(weight_draws(round, middle) >= enough ? &low : &high) = middle;
    }
    (void)weight_draws(round, low);
    return low;
}

/* Mean and covariance of the weighted logarithms, made wider. Never narrower than a tenth of the prior, for a start. */
static int propose(const struct draw_round *round, struct proposal *p, struct wg_error *err) {
    double covariance[D * D] = {0};
    memset(p->mean, 0, sizeof p->mean);
    for (int64_t k = 0; k < round->n; k++)
        for (int i = 0; i < D; i++)
            p->mean[i] += round->draw[k].weight * wg_log(round->draw[k].factor[i]);
    for (int64_t k = 0; k < round->n; k++)
        for (int i = 0; i < D; i++)
            for (int j = 0; j < D; j++)
                covariance[i * D + j] += WIDER * WIDER * round->draw[k].weight *
                                         (wg_log(round->draw[k].factor[i]) - p->mean[i]) *
                                         (wg_log(round->draw[k].factor[j]) - p->mean[j]);
    for (int i = 0; i < D; i++)
        covariance[i * D + i] += wg_pow(0.1 * wg_fit_parameter_prior_sigma((enum wg_fit_parameter)i), 2);
    gsl_matrix_view matrix = gsl_matrix_view_array(covariance, D, D);
    if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0)
        return wg_fail(err, WG_ERR_INTERNAL, NULL, "the draws of the fit have no proper covariance");
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

/* The year before the log, from the first round, which came from the prior. */
static void keep_prior_outcomes(struct wg_fit *fit, struct draw_round *round) {
    fit->before = round->before;
    fit->n_before = round->n;
    round->before = NULL;
}

static int run_round(struct wg_fit *fit, struct draw_round *round, struct proposal *proposal,
                     const struct wg_fit_options *options, struct wg_error *err) {
    int code = round_make(round, err);
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
            fit->temper = find_temperature(&round);
            code = propose(&round, proposal, err);
        }
        if (code == 0 && fit->rounds++ == 0)
            keep_prior_outcomes(fit, &round);
        round_free(&round);
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

int wg_fit_run(struct wg_fit *fit, const struct wg_plan *plan, const struct wg_log_entry *notes, int n,
               const struct wg_fit_options *options, struct wg_error *err) {
    wg_assert(n >= 1 && options->draws >= 100 && options->per_draw >= 1 && options->most_rounds >= 1);
    *fit = (struct wg_fit){.n_notes = n, .n_outcomes = WG_N_OUTCOMES};
    for (int f = 0; f < WG_N_FIT_PARAMETERS; f++)
        fit->most[f] = wg_fit_parameter_max(plan, (enum wg_fit_parameter)f);
    struct draw_round round = {
        .plan = plan, .notes = notes, .n_notes = n, .n_outcomes = fit->n_outcomes, .per_draw = options->per_draw};
    struct proposal proposal = {.prior_only = true};
    fit->sorting = calloc((size_t)options->draws, sizeof *fit->sorting); /* no round has more */
    if (fit->sorting == NULL)
        return wg_no_memory(err, NULL);
    int code = adapt_proposal(fit, round, &proposal, options, err);
    round.first = fit->draws;
    round.n = options->draws;
    if (code == 0)
        code = run_round(fit, &round, &proposal, options, err);
    if (code == 0)
        store_fit(fit, &round);
    round_free(&round);
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
