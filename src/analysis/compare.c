/*
 * Runs several setups under the same weather and computes their paired differences.
 *
 *   interval      of the mean of d = b - a in the same replicate: Student's t, corrected for skewness (intervals.c); of a
 *                 difference of shares: the paired score interval (there)
 *   pairing       (var a + var b) / var d: variance reduction factor
 *   price         R = mean(cost)/mean(mass); Fieller's limits are the R at which
 *                 mean(cost) - R mean(mass) is t standard errors from 0
 *
 * Common random numbers: Law 2015, Simulation Modeling and Analysis, 5th ed., ch. 11. Ratio: Fieller 1954, J. R. Stat. Soc. B 16:175. Proportion: Wilson 1927, JASA 22:209.
 */
#include "analysis/compare.h"

#include "analysis/intervals.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#define MAX_OBSERVERS 3

/* ---- the outcomes ---- */

static const struct {
    enum wg_outcome_number outcome;
    enum wg_better better;
} compared_row[] = {
#define ROW(name, better) {WG_OUTCOME_##name, better},
    WG_COMPARED_TABLE(ROW)
#undef ROW
};

enum wg_outcome_number wg_compared_outcome(enum wg_compared compared) {
    return compared_row[compared].outcome;
}

enum wg_better wg_compared_better(enum wg_compared compared) {
    return compared_row[compared].better;
}

/* ---- a difference ---- */

/* Returns the t quantile for the mean of n values; NaN for n < 2. */
static double t_of_confidence(int64_t n) {
    return n > 1 ? gsl_cdf_tdist_Pinv((1 + WG_COMPARE_CONFIDENCE) / 2, (double)(n - 1)) : (double)NAN;
}

/* Returns the variance of x over the replicates with both x and y; NaN for fewer than two. */
static double variance_of(const double *x, const double *y, int64_t n) {
    struct wg_sum sum = {0}, squares = {0};
    int64_t both = 0;
    for (int64_t k = 0; k < n; k++) {
        if (isnan(x[k]) || isnan(y[k]))
            continue;
        wg_sum_add(&sum, x[k]);
        both++;
    }
    const double mean = wg_sum_total(&sum) / (double)both;
    for (int64_t k = 0; k < n; k++)
        if (!isnan(x[k]) && !isnan(y[k]))
            wg_sum_add(&squares, (x[k] - mean) * (x[k] - mean));
    return both > 1 ? wg_sum_total(&squares) / (double)(both - 1) : (double)NAN;
}

static void measure_difference(struct wg_difference *difference, const double *a, const double *b, int64_t n) {
    struct wg_sum sum = {0}, squares = {0}, cubes = {0};
    for (int64_t k = 0; k < n; k++) {
        if (isnan(b[k] - a[k]))
            continue;
        wg_sum_add(&sum, b[k] - a[k]);
        difference->n++;
    }
    const double count = (double)difference->n;
    difference->mean = wg_sum_total(&sum) / count; /* NaN for none */
    for (int64_t k = 0; k < n; k++) {
        const double from_mean = b[k] - a[k] - difference->mean;
        if (isnan(from_mean))
            continue;
        wg_sum_add(&squares, from_mean * from_mean);
        wg_sum_add(&cubes, from_mean * from_mean * from_mean);
    }
    const double second = wg_sum_total(&squares) / count, third = wg_sum_total(&cubes) / count;
    const double variance = difference->n > 1 ? second * count / (count - 1) : (double)NAN;
    difference->sd = sqrt(variance);
    difference->interval = wg_mean_interval(difference->mean, difference->sd, third / (second * sqrt(second)),
                                            difference->n, WG_COMPARE_CONFIDENCE);
    difference->variance_factor = (variance_of(a, b, n) + variance_of(b, a, n)) / variance;
}

/* -1 worse, 0 tie, 1 better */
static int compare_outcomes(double a, double b, enum wg_better better) {
    const int more = (b > a) - (b < a);
    return better == WG_MORE_IS_BETTER ? more : -more;
}

static void count_wins(struct wg_difference *difference, const double *a, const double *b, int64_t n,
                       enum wg_better better, enum wg_missing_rule missing) {
    for (int64_t k = 0; k < n; k++) {
        const int either = isnan(a[k]) || isnan(b[k]);
        if (either && missing == WG_MISSING_OMITTED)
            continue;
        const double x = isnan(a[k]) ? (double)INFINITY : a[k], y = isnan(b[k]) ? (double)INFINITY : b[k];
        const int verdict = compare_outcomes(x, y, better);
        difference->better += verdict > 0;
        difference->worse += verdict < 0;
        difference->ties += verdict == 0;
    }
    const int64_t all = difference->better + difference->worse + difference->ties;
    difference->chance = all > 0 ? (double)difference->better / (double)all : (double)NAN;
    difference->chance_interval = wg_wilson((size_t)difference->better, (size_t)all, WG_COMPARE_CONFIDENCE);
}

struct wg_difference wg_difference(const double *a, const double *b, int64_t n, enum wg_better better,
                                   enum wg_missing_rule missing) {
    struct wg_difference difference = {0};
    measure_difference(&difference, a, b, n);
    count_wins(&difference, a, b, n, better, missing);
    return difference;
}

/* ---- the price of extra harvest ---- */

static const double *setup_outcomes(const struct wg_setup *setup, enum wg_compared compared) {
    return wg_summary_outcome(&setup->summary, compared_row[compared].outcome);
}

enum wg_compared wg_compare_main(const struct wg_compare *compare) {
    for (int i = 0; i < compare->n; i++)
        if (wg_plan_takes_out(compare->setup[i].plan))
            return WG_COMPARED_total_harvest_mass;
    return WG_COMPARED_total_crawl_off_mass;
}

/* A year with energy bought without a price has no cost (NaN). */
static int has_no_price(const struct wg_setup *setup) {
    const double *const cost = setup_outcomes(setup, WG_COMPARED_total_heater_cost);
    for (int64_t k = 0; k < setup->summary.n; k++)
        if (isnan(cost[k]))
            return 1;
    return 0;
}

/* Solves a R^2 - 2 b R + c = 0; a > 0 because the mass differs significantly from 0. */
static struct wg_interval fieller(double mean_cost, double mean_kg, double var_cost, double var_kg, double cov,
                                  int64_t n) {
    const double t = t_of_confidence(n), share = t * t / (double)n;
    const double a = mean_kg * mean_kg - share * var_kg, b = mean_cost * mean_kg - share * cov;
    const double c = mean_cost * mean_cost - share * var_cost;
    const double root = sqrt(fmax(b * b - a * c, 0));
    return (struct wg_interval){(b - root) / a, (b + root) / a};
}

static struct wg_interval price_interval(const struct wg_setup *a, const struct wg_setup *b,
                                         const struct wg_setup_pair *pair, enum wg_compared harvest) {
    const double *const cost_a = setup_outcomes(a, WG_COMPARED_total_heater_cost);
    const double *const cost_b = setup_outcomes(b, WG_COMPARED_total_heater_cost);
    const double *const kg_a = setup_outcomes(a, harvest);
    const double *const kg_b = setup_outcomes(b, harvest);
    const struct wg_difference *const cost = &pair->difference[WG_COMPARED_total_heater_cost];
    const struct wg_difference *const kg = &pair->difference[harvest];
    const int64_t n = a->summary.n;
    struct wg_sum both = {0};
    for (int64_t k = 0; k < n; k++)
        wg_sum_add(&both, (cost_b[k] - cost_a[k] - cost->mean) * (kg_b[k] - kg_a[k] - kg->mean));
    return fieller(cost->mean, kg->mean, cost->sd * cost->sd, kg->sd * kg->sd, wg_sum_total(&both) / (double)(n - 1),
                   n);
}

/* Fieller's limits exist only if Student's interval excludes 0. */
static bool is_significant(const struct wg_difference *kg) {
    return kg->mean > t_of_confidence(kg->n) * kg->sd / sqrt((double)kg->n);
}

static struct wg_extra_price price_of(const struct wg_setup *a, const struct wg_setup *b,
                                      const struct wg_setup_pair *pair, enum wg_compared harvest) {
    const struct wg_difference *const cost = &pair->difference[WG_COMPARED_total_heater_cost];
    const struct wg_difference *const kg = &pair->difference[harvest];
    const double none = (double)NAN;
    struct wg_extra_price price = {WG_EXTRA_PRICED, none, {none, none}};
    if (!(kg->interval.low > 0 && is_significant(kg))) {
        price.why = WG_EXTRA_NONE;
    } else if (has_no_price(a) || has_no_price(b)) {
        price.why = WG_EXTRA_NO_PRICE;
    } else if (!(cost->mean > 0)) {
        price.why = WG_EXTRA_FREE;
    } else {
        price.per_kg = cost->mean / kg->mean;
        price.interval = price_interval(a, b, pair, harvest);
    }
    return price;
}

/* Outcomes of 0 or 1: the interval is that of a difference of shares. */
static void use_share_interval(struct wg_difference *difference) {
    difference->interval =
        wg_share_difference_interval(difference->worse, difference->better,
                                     difference->better + difference->worse + difference->ties, WG_COMPARE_CONFIDENCE);
}

static void compute_differences(struct wg_compare *compare) {
    const struct wg_setup *const first = &compare->setup[0];
    for (int i = 1; i < compare->n; i++) {
        const struct wg_setup *const setup = &compare->setup[i];
        struct wg_setup_pair *const pair = &compare->pair[i];
        for (int c = 0; c < WG_N_COMPARED; c++) {
            const enum wg_compared which = (enum wg_compared)c;
            pair->difference[c] =
                wg_difference(setup_outcomes(first, which), setup_outcomes(setup, which), compare->replicates,
                              wg_compared_better(which), wg_diary_outcomes()[wg_compared_outcome(which)].missing);
        }
        use_share_interval(&pair->difference[WG_COMPARED_survived]);
        pair->extra = price_of(first, setup, pair, wg_compare_main(compare));
    }
}

/* ---- running ---- */

struct progress {
    const struct wg_ensemble_options *options;
    int64_t before, all; /* replicates of the finished setups; of all setups */
};

static void forward_progress(void *self, int64_t done, int64_t count) {
    const struct progress *const progress = self;
    (void)count;
    progress->options->progress(progress->options->progress_self, progress->before + done, progress->all);
}

/* Where any setup has plausible animals, all live the winters of the lattice. */
static enum wg_animals common_animals(const struct wg_compare *compare, const struct wg_plan *plan) {
    for (int i = 0; i < compare->n; i++)
        if (compare->setup[i].plan->animals == WG_ANIMALS_PLAUSIBLE && plan->animals == WG_ANIMALS_MIDDLE)
            return WG_ANIMALS_MIDDLE_IN_LATTICE;
    return plan->animals;
}

struct wg_plan wg_compare_plan(const struct wg_compare *compare, int setup) {
    struct wg_plan plan = *compare->setup[setup].plan;
    plan.seed = compare->seed;
    plan.replicates = compare->replicates;
    plan.animals = common_animals(compare, &plan);
    return plan;
}

static int run_setup(struct wg_compare *compare, struct wg_setup *setup, const struct wg_ensemble_options *options,
                     struct wg_error *err) {
    const struct wg_plan plan = wg_compare_plan(compare, compare->at);
    struct wg_observer all[MAX_OBSERVERS + 1];
    wg_assert(setup->n_observers <= MAX_OBSERVERS);
    int code = wg_summary_init(&setup->summary, &plan, compare->replicates, err);
    if (code < 0)
        return code;
    all[0] = wg_summary_observer(&setup->summary);
    for (int i = 0; i < setup->n_observers; i++)
        all[i + 1] = setup->observer[i];
    struct progress progress = {options, compare->at * compare->replicates, compare->n * compare->replicates};
    struct wg_ensemble_options own_options = *options;
    own_options.first = 0;
    own_options.count = compare->replicates;
    own_options.progress = options->progress != NULL ? forward_progress : NULL;
    own_options.progress_self = &progress;
    return wg_ensemble_run(&plan, &own_options, all, setup->n_observers + 1, err);
}

int wg_compare_run(struct wg_compare *compare, const struct wg_ensemble_options *options, struct wg_error *err) {
    int code = wg_compare_check(compare, err);
    for (int i = 0; i < compare->n && code == 0; i++) {
        compare->at = i;
        code = run_setup(compare, &compare->setup[i], options, err);
    }
    if (code == 0)
        compute_differences(compare);
    return code;
}

void wg_compare_free(struct wg_compare *compare) {
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        wg_summary_free(&compare->setup[i].summary);
}
