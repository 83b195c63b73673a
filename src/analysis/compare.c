/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs several setups under the same weather and computes their paired differences.
 *
 *   interval      of the mean of d = b - a in the same replicate: Student's t, corrected for skewness (intervals.c); of a
 *                 difference of shares: the paired score interval (there); clustered where replicates share animals or
 *                 winters (variance_split.c)
 *   pairing       (var a + var b) / var d: variance reduction factor
 *
 * Common random numbers: Law 2015, Simulation Modeling and Analysis, 5th ed., ch. 11. Proportion: Wilson 1927, JASA 22:209.
 */
#include "analysis/compare.h"

#include "analysis/cells.h"
#include "analysis/intervals.h"
#include "forecast/tables.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
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

const char *wg_setup_letter(int setup) {
    static const char letter[WG_COMPARE_MAX][2] = {"A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M",
                                                   "N", "O", "P", "Q", "R", "S", "T", "U", "V", "W", "X", "Y", "Z"};
    wg_assert(setup >= 0 && setup < WG_COMPARE_MAX);
    return letter[setup];
}

/* ---- a difference ---- */

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

static void measure_difference(struct wg_difference *difference, const double *a, const double *b, int64_t n,
                               double confidence) {
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
    difference->error = sqrt(variance / count);
    difference->freedom = count - 1;
    difference->interval =
        wg_mean_interval(difference->mean, difference->sd, third / (second * sqrt(second)), difference->n, confidence);
    difference->variance_factor = (variance_of(a, b, n) + variance_of(b, a, n)) / variance;
}

/* -1 worse, 0 tie, 1 better */
static int compare_outcomes(double a, double b, enum wg_better better) {
    const int more = (b > a) - (b < a);
    return better == WG_MORE_IS_BETTER ? more : -more;
}

static void count_wins(struct wg_difference *difference, const double *a, const double *b, int64_t n,
                       enum wg_better better, enum wg_missing_rule missing, double confidence) {
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
    difference->chance_interval = wg_wilson((size_t)difference->better, (size_t)all, confidence);
}

struct wg_difference wg_difference(const double *a, const double *b, int64_t n, enum wg_better better,
                                   enum wg_missing_rule missing) {
    struct wg_difference difference = {0};
    measure_difference(&difference, a, b, n, WG_COMPARE_CONFIDENCE);
    count_wins(&difference, a, b, n, better, missing, WG_COMPARE_CONFIDENCE);
    return difference;
}

/* ---- a difference in cells ---- */

/* One pass over the replicates of a difference; `values` is room for n. */
struct paired {
    const double *a, *b;
    const struct wg_split_value *cells;
    int64_t n;
    struct wg_split_value *values;
};

static void subtract(const struct paired *p) {
    for (int64_t k = 0; k < p->n; k++) {
        p->values[k] = p->cells[k];
        p->values[k].value = p->b[k] - p->a[k];
    }
}

static int by_animal_first(const void *left, const void *right) {
    const struct wg_split_value *const a = left, *const b = right;
    return (a->animal > b->animal) - (a->animal < b->animal);
}

/* Counts animals by the sign of the mean of their differences; an animal without any is counted apart. Sorts the differences. */
static void count_animals(struct wg_animals_won *won, const struct paired *p, enum wg_better better) {
    qsort(p->values, (size_t)p->n, sizeof *p->values, by_animal_first);
    for (int64_t k = 0; k < p->n;) {
        const int64_t animal = p->values[k].animal;
        double sum = 0;
        bool any = false;
        for (; k < p->n && p->values[k].animal == animal; k++) {
            any = any || !isnan(p->values[k].value);
            sum += isnan(p->values[k].value) ? 0 : p->values[k].value;
        }
        const int verdict = compare_outcomes(0, sum, better);
        if (animal < 0)
            continue;
        won->without += !any;
        won->better += any && verdict > 0;
        won->worse += any && verdict < 0;
        won->same += any && verdict == 0;
    }
}

/* Marks with 1 the replicates that are better, with 0 the others that count. */
static void mark_better(const struct paired *p, enum wg_better better, enum wg_missing_rule missing) {
    for (int64_t k = 0; k < p->n; k++) {
        const int either = isnan(p->a[k]) || isnan(p->b[k]);
        const double x = isnan(p->a[k]) ? (double)INFINITY : p->a[k], y = isnan(p->b[k]) ? (double)INFINITY : p->b[k];
        p->values[k] = p->cells[k];
        p->values[k].value = either && missing == WG_MISSING_OMITTED ? (double)NAN : compare_outcomes(x, y, better) > 0;
    }
}

static int use_clusters(struct wg_difference *d, const struct paired *p, enum wg_compared compared, double confidence,
                        struct wg_error *err) {
    const enum wg_better better = wg_compared_better(compared);
    const enum wg_split_kind kind = compared == WG_COMPARED_survived ? WG_SPLIT_SHARE_DIFFERENCE : WG_SPLIT_AMOUNT;
    struct wg_variance_split mean, chance;
    subtract(p);
    int code = wg_variance_split(&mean, p->values, p->n, kind, confidence, err);
    if (code == 0) {
        count_animals(&d->animals, p, better);
        mark_better(p, better, wg_diary_outcomes()[wg_compared_outcome(compared)].missing);
        code = wg_variance_split(&chance, p->values, p->n, WG_SPLIT_SHARE, confidence, err);
    }
    if (code < 0)
        return code;
    d->error = mean.error;
    d->freedom = mean.freedom;
    d->interval = mean.interval;
    d->chance_interval = chance.interval;
    return 0;
}

/* Outcomes of 0 or 1: the interval is that of a difference of shares. */
static void use_share_interval(struct wg_difference *difference, double confidence) {
    difference->interval = wg_share_difference_interval(
        difference->worse, difference->better, difference->better + difference->worse + difference->ties, confidence);
}

int wg_compared_difference(struct wg_difference *difference, const double *a, const double *b,
                           const struct wg_split_value *cells, int64_t n, enum wg_compared compared, double confidence,
                           struct wg_error *err) {
    *difference = (struct wg_difference){0};
    measure_difference(difference, a, b, n, confidence);
    count_wins(difference, a, b, n, wg_compared_better(compared),
               wg_diary_outcomes()[wg_compared_outcome(compared)].missing, confidence);
    if (compared == WG_COMPARED_survived)
        use_share_interval(difference, confidence);
    if (cells == NULL)
        return 0;
    struct wg_split_value *const values = calloc((size_t)(n > 0 ? n : 1), sizeof *values);
    if (values == NULL)
        return wg_no_memory(err, NULL);
    const int code = use_clusters(difference, &(struct paired){a, b, cells, n, values}, compared, confidence, err);
    free(values);
    return code;
}

/* ---- pairs ---- */

static const double *setup_outcomes(const struct wg_setup *setup, enum wg_compared compared) {
    return wg_summary_outcome(&setup->summary, compared_row[compared].outcome);
}

enum wg_compared wg_compare_main(const struct wg_compare *compare) {
    for (int i = 0; i < compare->n; i++)
        if (wg_plan_takes_out(compare->setup[i].plan))
            return WG_COMPARED_total_harvest_mass;
    return WG_COMPARED_total_crawl_off_mass;
}

static int find_price(const struct wg_setup *a, const struct wg_setup *b, const struct wg_split_value *cells,
                      struct wg_setup_pair *pair, enum wg_compared harvest, struct wg_error *err) {
    const struct wg_priced of = {
        {setup_outcomes(a, WG_COMPARED_total_heater_cost), setup_outcomes(b, WG_COMPARED_total_heater_cost)},
        {setup_outcomes(a, harvest), setup_outcomes(b, harvest)},
        cells,
        a->summary.n,
        WG_COMPARE_CONFIDENCE};
    return wg_price_of(&pair->extra, &of, &pair->difference[WG_COMPARED_total_heater_cost], &pair->difference[harvest],
                       err);
}

static int compare_pair_outcomes(struct wg_compare *compare, int i, const struct wg_split_value *cells,
                                 struct wg_error *err) {
    const struct wg_setup *const first = &compare->setup[0], *const setup = &compare->setup[i];
    struct wg_setup_pair *const pair = &compare->pair[i];
    int code = 0;
    for (int c = 0; c < WG_N_COMPARED && code == 0; c++) {
        const enum wg_compared which = (enum wg_compared)c;
        code = wg_compared_difference(&pair->difference[c], setup_outcomes(first, which), setup_outcomes(setup, which),
                                      cells, compare->replicates, which, WG_COMPARE_CONFIDENCE, err);
    }
    return code == 0 ? find_price(first, setup, cells, pair, wg_compare_main(compare), err) : code;
}

/* Where any setup has plausible animals, all live the winters of the lattice. */
static enum wg_animals common_animals(const struct wg_compare *compare, const struct wg_plan *plan) {
    for (int i = 0; i < compare->n; i++)
        if (compare->setup[i].plan->animals == WG_ANIMALS_PLAUSIBLE && plan->animals == WG_ANIMALS_MIDDLE)
            return WG_ANIMALS_MIDDLE_IN_LATTICE;
    return plan->animals;
}

/* Returns the plan of a setup as it is simulated; it shares the arrays of the setup's own, read only. */
struct wg_plan wg_compare_plan(const struct wg_compare *compare, int i) {
    struct wg_plan plan = *compare->setup[i].plan;
    plan.seed = compare->seed;
    plan.replicates = compare->replicates;
    plan.animals = common_animals(compare, &plan);
    return plan;
}

int wg_compare_cells(const struct wg_compare *compare, int i, struct wg_split_value **cells, struct wg_error *err) {
    const struct wg_plan plan = wg_compare_plan(compare, i);
    *cells = NULL;
    return wg_plan_shares_cells(&plan) ? wg_cells_of(cells, &plan, compare->replicates, err) : 0;
}

void wg_cells_pair(struct wg_split_value *cells, const struct wg_split_value *other, int64_t n) {
    for (int64_t k = 0; k < n; k++)
        if (cells[k].animal < 0)
            cells[k].animal = other[k].animal;
}

static int compute_pair(struct wg_compare *compare, int i, struct wg_error *err) {
    struct wg_split_value *cells, *other = NULL;
    int code = wg_compare_cells(compare, 0, &cells, err);
    if (code == 0)
        code = wg_compare_cells(compare, i, &other, err);
    if (code == 0 && cells != NULL)
        wg_cells_pair(cells, other, compare->replicates);
    if (code == 0)
        code = compare_pair_outcomes(compare, i, cells, err);
    free(cells);
    free(other);
    return code;
}

static int compute_differences(struct wg_compare *compare, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < compare->n && code == 0; i++) {
        const struct wg_plan plan = wg_compare_plan(compare, i);
        code = wg_odds_find_of(&compare->setup[i].odds, &plan, &compare->setup[i].summary,
                               wg_compared_outcome(wg_compare_main(compare)), err);
        if (code == 0 && i > 0)
            code = compute_pair(compare, i, err);
    }
    return code;
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
    struct wg_ensemble_options sharing = *options;
    struct wg_tables *own;
    int code = wg_tables_share(&own, &sharing.tables, err);
    if (code == 0)
        code = wg_compare_check(compare, err);
    for (int i = 0; i < compare->n && code == 0; i++) {
        compare->at = i;
        code = run_setup(compare, &compare->setup[i], &sharing, err);
    }
    wg_tables_free(own);
    return code == 0 ? compute_differences(compare, err) : code;
}

void wg_compare_free(struct wg_compare *compare) {
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        wg_summary_free(&compare->setup[i].summary);
}
