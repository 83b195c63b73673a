/*
 * Finds which uncertain species parameters affect a plan's answer most.
 *
 * Each parameter whose source is a judgement is uniform over its plausible range. Morris' elementary effects rank all of
 * them; variance shares are computed for the dozen with the largest effects, the others at their values. The answer at a
 * point is the mean over the same few replicates with the same seeds; a second set of replicates measures the sampling
 * noise left in it.
 */
#include "analysis/sensitivity.h"

#include "forecast/thread_pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BISECTIONS 50
#define SHARE_OF_GAP 0.49 /* of the gap between two parameters, for the range of each: they never meet */
#define BASE_REPLICATES 200
#define WALKS 4          /* of elementary effects: few suffice for a ranking (judgement; 4 to 10 are usual) */
#define SCREEN_PART 0.28 /* of the budget */
#define SHARE_PART 0.65
#define BASE_POINTS 64 /* minimum of base points, doubled while a point gets more than MAX_PER_POINT replicates */
#define MAX_PER_POINT 8
#define NOISE_POINTS 32

/* ---- one point ---- */

struct study_context {
    const struct wg_plan *plan;
    const struct wg_sensitivity_options *options;
    struct wg_sensitivity *sensitivity;
    int n_inputs;
    const int *input; /* index of each input's unknown */
    int64_t first, per_point;
    const double *x;
    double *y;
};

struct outcome_sum {
    enum wg_sensitivity_outcome outcome;
    double sum;
};

static int on_replicate_sensitivity(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct outcome_sum *const tally = self;
    (void)replicate;
    (void)err;
    tally->sum += tally->outcome == WG_SENSITIVITY_SURVIVAL ? diary->survived : diary->total_crawl_off_mass;
    return 0;
}

static int fail_contradiction(const char *problem, struct wg_error *err) {
    return wg_fail(err, WG_ERR_INPUT, "species",
                   "Within their plausible ranges the numbers of the animal contradict each other: %s", problem);
}

/* Computes the mean answer of the plan with other species parameters. */
static int simulate_answer(const struct study_context *context, const struct wg_species *species, double *y,
                           struct wg_error *err) {
    const char *const problem = wg_species_problem(species);
    if (problem != NULL)
        return fail_contradiction(problem, err);
    struct wg_plan plan = *context->plan; /* borrows the lists */
    plan.species = *species;
    plan.animals = WG_ANIMALS_MIDDLE; /* the study varies the numbers itself */
    struct outcome_sum tally = {.outcome = context->sensitivity->outcome};
    const struct wg_observer observer = {on_replicate_sensitivity, &tally};
    const int code = wg_replicates_run(&plan, context->first, context->per_point, &observer, err);
    *y = tally.sum / (double)context->per_point;
    return code;
}

static int simulate_point(void *self, int64_t i, struct wg_error *err) {
    const struct study_context *const context = self;
    struct wg_species species = context->plan->species;
    for (int k = 0; k < context->n_inputs; k++) {
        const struct wg_unknown *const unknown = &context->sensitivity->unknown[context->input[k]];
        const double x = context->x[(ptrdiff_t)i * context->n_inputs + k];
        wg_species_put(&species, unknown->parameter, unknown->low + x * (unknown->high - unknown->low));
    }
    return simulate_answer(context, &species, &context->y[i], err);
}

static int evaluate(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    struct study_context *const context = self;
    context->x = x;
    context->y = y;
    context->sensitivity->replicates += n * context->per_point;
    const struct wg_thread_pool pool = {.threads = context->options->threads,
                                        .stop = context->options->stop,
                                        .progress = context->options->progress,
                                        .progress_self = context->options->progress_self};
    return wg_thread_pool_run(&pool, n, simulate_point, context, err);
}

/* ---- the unknowns ---- */

/* True if the species with two parameters changed is consistent. */
static bool is_valid_pair(const struct wg_species *species, const struct wg_unknown *a, double x,
                          const struct wg_unknown *b, double y) {
    struct wg_species moved = *species;
    wg_species_put(&moved, b->parameter, y);
    wg_species_put(&moved, a->parameter, x);
    return wg_species_problem(&moved) == NULL;
}

/* Returns how far a parameter may go from its value towards `end` while the species stays consistent. */
static double valid_end(const struct wg_species *species, const struct wg_unknown *unknown, double end) {
    double good = unknown->value, bad = end;
    if (is_valid_pair(species, unknown, end, unknown, end))
        return end;
    for (int i = 0; i < BISECTIONS; i++) {
        const double middle = (good + bad) / 2;
        if (is_valid_pair(species, unknown, middle, unknown, middle))
            good = middle;
        else
            bad = middle;
    }
    return good;
}

/* Ends the ranges of two ordered parameters, such as the hours of mating, between their values. */
static void separate_ranges(const struct wg_species *species, struct wg_unknown *below, struct wg_unknown *above) {
    if (is_valid_pair(species, below, below->high, above, above->low))
        return;
    const double gap = above->value - below->value;
    below->high = fmin(below->high, below->value + SHARE_OF_GAP * gap);
    above->low = fmax(above->low, above->value - SHARE_OF_GAP * gap);
}

static void collect_unknowns(const struct wg_plan *plan, struct wg_sensitivity *sensitivity) {
    struct wg_unknown found[WG_MAX_UNKNOWNS];
    int n = 0;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        struct wg_unknown unknown = {.parameter = p, .value = wg_species_get(&plan->species, p)};
        wg_parameter_range(p, &plan->species, &unknown.low, &unknown.high);
        if (strncmp(p->source, "judgement", strlen("judgement")) != 0)
            continue;
        unknown.low = valid_end(&plan->species, &unknown, unknown.low);
        unknown.high = valid_end(&plan->species, &unknown, unknown.high);
        wg_assert(n < WG_MAX_UNKNOWNS);
        found[n++] = unknown;
    }
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            if (i != k)
                separate_ranges(&plan->species, &found[i], &found[k]);
    for (int i = 0; i < n; i++)
        if (found[i].low < found[i].high)
            sensitivity->unknown[sensitivity->n_unknowns++] = found[i];
}

static int by_effect(const void *a, const void *b) {
    const double x = ((const struct wg_unknown *)a)->effect.mean_size,
                 y = ((const struct wg_unknown *)b)->effect.mean_size;
    return (x < y) - (x > y);
}

static int by_total(const void *a, const void *b) {
    const double x = ((const struct wg_unknown *)a)->share.total, y = ((const struct wg_unknown *)b)->share.total;
    return (x < y) - (x > y);
}

/* ---- the steps ---- */

static int choose_outcome(struct study_context *context, struct wg_error *err) {
    struct wg_sensitivity *const sensitivity = context->sensitivity;
    const bool choose = context->options->outcome == WG_SENSITIVITY_CHOOSE;
    sensitivity->outcome = choose ? WG_SENSITIVITY_SURVIVAL : context->options->outcome;
    sensitivity->base_replicates =
        context->options->budget / 20 < BASE_REPLICATES ? context->options->budget / 20 : BASE_REPLICATES;
    context->per_point = sensitivity->base_replicates;
    sensitivity->replicates += context->per_point;
    int code = simulate_answer(context, &context->plan->species, &sensitivity->base, err);
    if (code == 0 && choose && (sensitivity->base <= 0 || sensitivity->base >= 1)) {
        sensitivity->outcome = WG_SENSITIVITY_CRAWL_OFF;
        sensitivity->replicates += context->per_point;
        code = simulate_answer(context, &context->plan->species, &sensitivity->base, err);
    }
    return code;
}

static int64_t at_least_one(double replicates) {
    return replicates < 1 ? 1 : (int64_t)replicates;
}

static int screen_unknowns(struct study_context *context, struct wg_error *err) {
    struct wg_sensitivity *const sensitivity = context->sensitivity;
    struct wg_effect effect[WG_MAX_UNKNOWNS];
    context->n_inputs = sensitivity->n_unknowns;
    context->per_point =
        at_least_one(SCREEN_PART * (double)context->options->budget / (WALKS * (context->n_inputs + 1)));
    const struct wg_study study = {context->n_inputs, evaluate, context};
    const int code = wg_effects(&study, WALKS, context->plan->seed, effect, err);
    if (code != 0)
        return code;
    for (int i = 0; i < sensitivity->n_unknowns; i++)
        sensitivity->unknown[i].effect = effect[i];
    qsort(sensitivity->unknown, (size_t)sensitivity->n_unknowns, sizeof sensitivity->unknown[0], by_effect);
    while (sensitivity->n_kept < context->options->keep && sensitivity->n_kept < sensitivity->n_unknowns &&
           sensitivity->unknown[sensitivity->n_kept].effect.mean_size > 0)
        sensitivity->unknown[sensitivity->n_kept++].kept = true;
    return 0;
}

static int compute_shares(struct study_context *context, struct wg_error *err) {
    struct wg_sensitivity *const sensitivity = context->sensitivity;
    struct wg_variance_share share[WG_MAX_SHARED_INPUTS];
    double variance = 0;
    const double replicates = SHARE_PART * (double)context->options->budget / (sensitivity->n_kept + 2);
    int64_t points = BASE_POINTS;
    while (replicates / (double)points > MAX_PER_POINT)
        points *= 2;
    context->n_inputs = sensitivity->n_kept;
    sensitivity->per_point = context->per_point = at_least_one(replicates / (double)points);
    const struct wg_study study = {context->n_inputs, evaluate, context};
    const int code = wg_variance_shares(&study, points, context->plan->seed, share, &sensitivity->mean, &variance, err);
    sensitivity->sd = sqrt(variance);
    for (int i = 0; i < sensitivity->n_kept && code == 0; i++)
        sensitivity->unknown[i].share = share[i];
    return code;
}

/* Estimates the noise: half the variance, over points, of the difference between two sets of replicates. */
static int measure_noise(struct study_context *context, struct wg_error *err) {
    double x[NOISE_POINTS * WG_MAX_SHARED_INPUTS], y[2][NOISE_POINTS];
    const int d = context->n_inputs;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    if (rng == NULL)
        return wg_no_memory(err, NULL);
    wg_rng_start(rng, context->plan->seed, 2, WG_PURPOSE_PARAMETERS);
    for (int i = 0; i < NOISE_POINTS * d; i++)
        x[i] = wg_uniform(rng);
    gsl_rng_free(rng);
    int code = 0;
    for (int set = 0; set < 2 && code == 0; set++) {
        context->first = set * context->per_point;
        code = evaluate(context, NOISE_POINTS, x, y[set], err);
    }
    context->first = 0;
    double sum = 0, squares = 0;
    for (int i = 0; i < NOISE_POINTS && code == 0; i++) {
        sum += y[0][i] - y[1][i];
        squares += (y[0][i] - y[1][i]) * (y[0][i] - y[1][i]);
    }
    const double variance = (squares - sum * sum / NOISE_POINTS) / (NOISE_POINTS - 1) / 2;
    context->sensitivity->noise_share = variance / (context->sensitivity->sd * context->sensitivity->sd);
    return code;
}

int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *sensitivity, struct wg_error *err) {
    wg_assert(options->budget >= 2000 && options->keep >= 1 && options->keep <= WG_MAX_SHARED_INPUTS);
    *sensitivity = (struct wg_sensitivity){.noise_share = (double)NAN, .mean = (double)NAN, .sd = 0};
    int input[WG_MAX_UNKNOWNS];
    for (int i = 0; i < WG_MAX_UNKNOWNS; i++)
        input[i] = i;
    struct study_context context = {.plan = plan, .options = options, .sensitivity = sensitivity, .input = input};
    collect_unknowns(plan, sensitivity);
    int code = choose_outcome(&context, err);
    if (code == 0)
        code = screen_unknowns(&context, err);
    if (code == 0 && sensitivity->n_kept > 0)
        code = compute_shares(&context, err);
    if (code == 0 && sensitivity->sd > 0)
        code = measure_noise(&context, err);
    if (code == 0)
        qsort(sensitivity->unknown, (size_t)sensitivity->n_kept, sizeof sensitivity->unknown[0], by_total);
    return code;
}

enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *matters) {
    return matters->outcome == WG_SENSITIVITY_SURVIVAL ? WG_OUTCOME_survived : WG_OUTCOME_total_crawl_off_mass;
}
