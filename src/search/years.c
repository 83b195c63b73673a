/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds odds, amounts and paired differences from years.
 */
#include "search/years.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#define USUAL_SHARE 0.15 /* of the variance, between animals */
#define USUAL_EVENTS 2.0 /* that this is worth */

/* ---- counts ---- */

static bool is_hit(const struct wg_search_question *q, const struct wg_search_year *year, int goal) {
    const uint32_t all = (1U << q->n_goals) - 1;
    if (goal == WG_GOALS_ALIVE)
        return year->is_alive;
    return goal == WG_GOALS_ALL ? (year->met & all) == all : (year->met >> goal & 1) != 0;
}

int64_t wg_years_hits(const struct wg_search_question *q, const struct wg_search_year *year, int64_t n, int goal) {
    int64_t hits = 0;
    for (int64_t k = 0; k < n; k++)
        hits += is_hit(q, &year[k], goal);
    return hits;
}

/* ---- splits ---- */

/* Makes n values of 0, each with its animal and winter. */
static struct wg_split_value *place_years(const struct wg_search_question *q, enum wg_search_stream stream, int64_t n,
                                          struct wg_error *err) {
    struct wg_split_value *const values = calloc((size_t)(n > 0 ? n : 1), sizeof *values);
    if (values == NULL)
        (void)wg_no_memory(err, NULL);
    for (int64_t k = 0; k < n && values != NULL; k++) {
        values[k] = (struct wg_split_value){.weight = 1, .animal = -1, .winter = k};
        if (q->place != NULL)
            q->place(q->self, stream, k, &values[k]);
    }
    return values;
}

int wg_years_chance(const struct wg_search_question *q, enum wg_search_stream stream, const struct wg_search_year *year,
                    int64_t n, int goal, double confidence, struct wg_goal_chance *chance, struct wg_error *err) {
    *chance = (struct wg_goal_chance){.hits = wg_years_hits(q, year, n, goal), .n = n, .verdict = WG_UNDECIDED};
    struct wg_split_value *const values = place_years(q, stream, n, err);
    if (values == NULL)
        return WG_ERR_MEMORY;
    for (int64_t k = 0; k < n; k++)
        values[k].value = is_hit(q, &year[k], goal);
    const int code = wg_variance_split(&chance->split, values, n, WG_SPLIT_SHARE, confidence, err);
    free(values);
    chance->share = (double)chance->hits / (double)n; /* NaN for none */
    chance->interval = chance->split.interval;
    if (goal >= 0 && n > 0)
        chance->verdict = wg_verdict(chance->interval, q->chance[goal]);
    return code;
}

double wg_years_animals(const struct wg_goal_chance *chance, double wanted) {
    const double p = chance->share, year = p * (1 - p);
    if (!(chance->split.n_animals > 1))
        return (double)NAN;
    const double events = fmin(p, 1 - p) * (double)chance->n, known = events / (events + USUAL_EVENTS);
    const double variance = known * chance->split.animal + (1 - known) * USUAL_SHARE * year;
    if (!(variance > 0))
        return p >= wanted ? 1 : 0;
    const double size = fmax(year / variance - 1, 1e-3);
    return gsl_cdf_beta_Q(wanted, p * size, (1 - p) * size);
}

/* ---- amounts ---- */

static double amount_of(const struct wg_search_year *year, enum wg_year_amount which) {
    return which == WG_YEAR_MONEY ? year->money : which == WG_YEAR_HARVEST ? year->harvest_kg : year->left;
}

static int find_year_quantiles(const struct wg_split_value *values, int64_t n, struct wg_search_amount *amount,
                               struct wg_error *err) {
    double *const sorted = malloc((size_t)(n > 0 ? n : 1) * sizeof *sorted);
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    for (int64_t k = 0; k < n; k++)
        sorted[k] = values[k].value;
    wg_sort(sorted, (size_t)n);
    amount->q10 = wg_quantile_sorted(sorted, (size_t)n, 0.1);
    amount->q50 = wg_quantile_sorted(sorted, (size_t)n, 0.5);
    amount->q90 = wg_quantile_sorted(sorted, (size_t)n, 0.9);
    free(sorted);
    return 0;
}

int wg_years_amount(const struct wg_search_question *q, enum wg_search_stream stream, const struct wg_search_year *year,
                    int64_t n, enum wg_year_amount which, struct wg_search_amount *amount, struct wg_error *err) {
    struct wg_variance_split split;
    struct wg_split_value *const values = place_years(q, stream, n, err);
    if (values == NULL)
        return WG_ERR_MEMORY;
    for (int64_t k = 0; k < n; k++)
        values[k].value = amount_of(&year[k], which);
    int code = wg_variance_split(&split, values, n, WG_SPLIT_AMOUNT, WG_SEARCH_CONFIDENCE, err);
    *amount = (struct wg_search_amount){.mean = split.mean, .interval = split.interval};
    if (code == 0)
        code = find_year_quantiles(values, n, amount, err);
    free(values);
    return code;
}

/* ---- differences ---- */

static int split_gap(struct wg_split_value *values, int64_t n, enum wg_split_kind kind, struct wg_search_gap *gap,
                     struct wg_error *err) {
    struct wg_variance_split split;
    const int code = wg_variance_split(&split, values, n, kind, WG_SEARCH_CONFIDENCE, err);
    *gap = (struct wg_search_gap){split.mean, split.interval};
    if (isnan(gap->interval.low) || isnan(gap->interval.high))
        gap->interval = (struct wg_interval){gap->mean, gap->mean};
    return code;
}

int wg_years_gap(const struct wg_search_question *q, enum wg_search_stream stream, const struct wg_search_year *first,
                 const struct wg_search_year *second, int64_t n, enum wg_year_amount which, struct wg_search_gap *gap,
                 struct wg_error *err) {
    struct wg_split_value *const values = place_years(q, stream, n, err);
    if (values == NULL)
        return WG_ERR_MEMORY;
    for (int64_t k = 0; k < n; k++)
        values[k].value = amount_of(&second[k], which) - amount_of(&first[k], which);
    const int code = split_gap(values, n, WG_SPLIT_AMOUNT, gap, err);
    free(values);
    return code;
}

int wg_years_odds_gap(const struct wg_search_question *q, enum wg_search_stream stream,
                      const struct wg_search_year *first, const struct wg_search_year *second, int64_t n,
                      struct wg_search_gap *gap, struct wg_error *err) {
    struct wg_split_value *const values = place_years(q, stream, n, err);
    if (values == NULL)
        return WG_ERR_MEMORY;
    for (int64_t k = 0; k < n; k++)
        values[k].value = is_hit(q, &second[k], WG_GOALS_ALL) - is_hit(q, &first[k], WG_GOALS_ALL);
    const int code = split_gap(values, n, WG_SPLIT_SHARE_DIFFERENCE, gap, err);
    free(values);
    return code;
}
