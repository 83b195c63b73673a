/*
 * Which unknowns of the animal move this plan's answer?
 *
 * Each number whose source is a judgement is moved over its plausible range, evenly.
 * Morris' elementary effects over all of them find the dozen that matter; the
 * variance is then shared out among those, the others at their values. At every
 * point the same few replicates are lived with the same seeds, and their mean is the
 * answer; how much luck is left in it is measured with other replicates.
 */
#include "analysis/sensitivity.h"

#include "forecast/thread_pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BISECTIONS 50
#define SHARE_OF_GAP 0.49 /* of what lies between two numbers, for the range of each: they never meet */
#define BASE_REPLICATES 200
#define WALKS 4          /* of elementary effects: few are enough to rank (judgement; 4 to 10 are usual) */
#define SCREEN_PART 0.28 /* of the budget */
#define SHARE_PART 0.65
#define BASE_POINTS 64 /* least base points of the shares, doubled while a point gets more than ENOUGH replicates */
#define ENOUGH 8
#define NOISE_POINTS 32

/* ---- one point ---- */

struct study_context {
    const struct wg_plan *plan;
    const struct wg_sensitivity_options *options;
    struct wg_sensitivity *matters;
    int n_inputs;
    const int *input; /* which unknown each input is */
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
                   "moved over their plausible ranges, the numbers of the animal contradict each other: %s", problem);
}

/* Mean answer of the plan with other numbers of the animal. */
static int simulate_answer(const struct study_context *bench, const struct wg_species *species, double *y,
                           struct wg_error *err) {
    const char *const problem = wg_species_problem(species);
    if (problem != NULL)
        return fail_contradiction(problem, err);
    struct wg_plan plan = *bench->plan; /* borrows the lists */
    plan.species = *species;
    struct outcome_sum tally = {.outcome = bench->matters->outcome};
    const struct wg_observer observer = {on_replicate_sensitivity, &tally};
    const int code = wg_replicates_run(&plan, bench->first, bench->per_point, &observer, err);
    *y = tally.sum / (double)bench->per_point;
    return code;
}

static int simulate_point(void *self, int64_t i, struct wg_error *err) {
    const struct study_context *const bench = self;
    struct wg_species species = bench->plan->species;
    for (int k = 0; k < bench->n_inputs; k++) {
        const struct wg_unknown *const unknown = &bench->matters->unknown[bench->input[k]];
        const double x = bench->x[(ptrdiff_t)i * bench->n_inputs + k];
        wg_species_put(&species, unknown->parameter, unknown->low + x * (unknown->high - unknown->low));
    }
    return simulate_answer(bench, &species, &bench->y[i], err);
}

static int evaluate(void *self, int64_t n, const double *x, double *y, struct wg_error *err) {
    struct study_context *const bench = self;
    bench->x = x;
    bench->y = y;
    bench->matters->replicates += n * bench->per_point;
    const struct wg_thread_pool many = {.threads = bench->options->threads,
                                        .stop = bench->options->stop,
                                        .progress = bench->options->progress,
                                        .progress_self = bench->options->progress_self};
    return wg_thread_pool_run(&many, n, simulate_point, bench, err);
}

/* ---- the unknowns ---- */

/* Numbers of the animal with two of them moved. */
static bool is_valid_pair(const struct wg_species *species, const struct wg_unknown *a, double x,
                          const struct wg_unknown *b, double y) {
    struct wg_species moved = *species;
    wg_species_put(&moved, b->parameter, y);
    wg_species_put(&moved, a->parameter, x);
    return wg_species_problem(&moved) == NULL;
}

/* As far from its value towards an end of its range as a number may go by itself. */
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

/* Two numbers of which one must not pass the other, such as the hours of mating: their ranges end between them. */
static void separate_ranges(const struct wg_species *species, struct wg_unknown *below, struct wg_unknown *above) {
    if (is_valid_pair(species, below, below->high, above, above->low))
        return;
    const double gap = above->value - below->value;
    below->high = fmin(below->high, below->value + SHARE_OF_GAP * gap);
    above->low = fmax(above->low, above->value - SHARE_OF_GAP * gap);
}

static void collect_unknowns(const struct wg_plan *plan, struct wg_sensitivity *matters) {
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
            matters->unknown[matters->n_unknowns++] = found[i];
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

static int choose_outcome(struct study_context *bench, struct wg_error *err) {
    struct wg_sensitivity *const matters = bench->matters;
    const bool choose = bench->options->outcome == WG_SENSITIVITY_CHOOSE;
    matters->outcome = choose ? WG_SENSITIVITY_SURVIVAL : bench->options->outcome;
    matters->base_replicates =
        bench->options->budget / 20 < BASE_REPLICATES ? bench->options->budget / 20 : BASE_REPLICATES;
    bench->per_point = matters->base_replicates;
    matters->replicates += bench->per_point;
    int code = simulate_answer(bench, &bench->plan->species, &matters->base, err);
    if (code == 0 && choose && (matters->base <= 0 || matters->base >= 1)) {
        matters->outcome = WG_SENSITIVITY_CRAWL_OFF;
        matters->replicates += bench->per_point;
        code = simulate_answer(bench, &bench->plan->species, &matters->base, err);
    }
    return code;
}

static int64_t at_least_one(double replicates) {
    return replicates < 1 ? 1 : (int64_t)replicates;
}

static int screen_unknowns(struct study_context *bench, struct wg_error *err) {
    struct wg_sensitivity *const matters = bench->matters;
    struct wg_effect effect[WG_MAX_UNKNOWNS];
    bench->n_inputs = matters->n_unknowns;
    bench->per_point = at_least_one(SCREEN_PART * (double)bench->options->budget / (WALKS * (bench->n_inputs + 1)));
    const struct wg_study study = {bench->n_inputs, evaluate, bench};
    const int code = wg_effects(&study, WALKS, bench->plan->seed, effect, err);
    if (code != 0)
        return code;
    for (int i = 0; i < matters->n_unknowns; i++)
        matters->unknown[i].effect = effect[i];
    qsort(matters->unknown, (size_t)matters->n_unknowns, sizeof matters->unknown[0], by_effect);
    while (matters->n_kept < bench->options->keep && matters->n_kept < matters->n_unknowns &&
           matters->unknown[matters->n_kept].effect.mean_size > 0)
        matters->unknown[matters->n_kept++].kept = true;
    return 0;
}

static int compute_shares(struct study_context *bench, struct wg_error *err) {
    struct wg_sensitivity *const matters = bench->matters;
    struct wg_variance_share share[WG_MAX_SHARED_INPUTS];
    double variance = 0;
    const double replicates = SHARE_PART * (double)bench->options->budget / (matters->n_kept + 2);
    int64_t points = BASE_POINTS;
    while (replicates / (double)points > ENOUGH)
        points *= 2;
    bench->n_inputs = matters->n_kept;
    matters->per_point = bench->per_point = at_least_one(replicates / (double)points);
    const struct wg_study study = {bench->n_inputs, evaluate, bench};
    const int code = wg_variance_shares(&study, points, bench->plan->seed, share, &matters->mean, &variance, err);
    matters->sd = sqrt(variance);
    for (int i = 0; i < matters->n_kept && code == 0; i++)
        matters->unknown[i].share = share[i];
    return code;
}

/* Half the variance, over points, of the difference between two sets of replicates: what does not cancel between points. */
static int measure_noise(struct study_context *bench, struct wg_error *err) {
    double x[NOISE_POINTS * WG_MAX_SHARED_INPUTS], y[2][NOISE_POINTS];
    const int d = bench->n_inputs;
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    if (rng == NULL)
        return wg_no_memory(err, NULL);
    wg_rng_start(rng, bench->plan->seed, 2, WG_PURPOSE_PARAMETERS);
    for (int i = 0; i < NOISE_POINTS * d; i++)
        x[i] = wg_uniform(rng);
    gsl_rng_free(rng);
    int code = 0;
    for (int set = 0; set < 2 && code == 0; set++) {
        bench->first = set * bench->per_point;
        code = evaluate(bench, NOISE_POINTS, x, y[set], err);
    }
    bench->first = 0;
    double sum = 0, squares = 0;
    for (int i = 0; i < NOISE_POINTS && code == 0; i++) {
        sum += y[0][i] - y[1][i];
        squares += (y[0][i] - y[1][i]) * (y[0][i] - y[1][i]);
    }
    const double variance = (squares - sum * sum / NOISE_POINTS) / (NOISE_POINTS - 1) / 2;
    bench->matters->noise_share = variance / (bench->matters->sd * bench->matters->sd);
    return code;
}

int wg_sensitivity_run(const struct wg_plan *plan, const struct wg_sensitivity_options *options,
                       struct wg_sensitivity *matters, struct wg_error *err) {
    wg_assert(options->budget >= 2000 && options->keep >= 1 && options->keep <= WG_MAX_SHARED_INPUTS);
    *matters = (struct wg_sensitivity){.noise_share = (double)NAN, .mean = (double)NAN, .sd = 0};
    int input[WG_MAX_UNKNOWNS];
    for (int i = 0; i < WG_MAX_UNKNOWNS; i++)
        input[i] = i;
    struct study_context bench = {.plan = plan, .options = options, .matters = matters, .input = input};
    collect_unknowns(plan, matters);
    int code = choose_outcome(&bench, err);
    if (code == 0)
        code = screen_unknowns(&bench, err);
    if (code == 0 && matters->n_kept > 0)
        code = compute_shares(&bench, err);
    if (code == 0 && matters->sd > 0)
        code = measure_noise(&bench, err);
    if (code == 0)
        qsort(matters->unknown, (size_t)matters->n_kept, sizeof matters->unknown[0], by_total);
    return code;
}

enum wg_outcome_number wg_sensitivity_answer(const struct wg_sensitivity *matters) {
    return matters->outcome == WG_SENSITIVITY_SURVIVAL ? WG_OUTCOME_survived : WG_OUTCOME_total_crawl_off_mass;
}
