/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes quantiles and odds over the replicates' outcomes.
 */
#include "forecast/summary.h"

#include "base/bounds.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

int wg_summary_init(struct wg_summary *summary, const struct wg_plan *plan, int64_t replicates, struct wg_error *err) {
    *summary = (struct wg_summary){.first_day = plan->first_day,
                                   .n_days = (int)(plan->last_day - plan->first_day) + 1,
                                   .capacity = replicates,
                                   .n_outcomes = WG_N_OUTCOMES};
    summary->outcome = calloc((size_t)replicates * (size_t)summary->n_outcomes, sizeof *summary->outcome);
    if (summary->outcome == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

void wg_summary_free(struct wg_summary *summary) {
    free(summary->outcome);
    *summary = (struct wg_summary){0};
}

int wg_summary_verify(const struct wg_summary *summary, struct wg_error *err) {
    const struct wg_bound held[] = {
        {"n", (double)summary->n, 0, (double)summary->capacity},
        {"n_outcomes", summary->n_outcomes, WG_N_OUTCOMES, WG_N_OUTCOMES},
    };
    int code = wg_bounds_check(&(struct wg_bound_owner){"summary", -1, NULL, 0}, held, 2, err);
    for (int i = 0; i < summary->n_outcomes && code == 0; i++) {
        const struct wg_outcome *const outcome = &wg_diary_outcomes()[i];
        const bool is_date = outcome->missing == WG_MISSING_LATER || strcmp(outcome->unit, "day") == 0;
        const double least = i == WG_OUTCOME_balance ? -DBL_MAX : strcmp(outcome->unit, "degC") == 0 ? -WG_MOST_C : 0;
        const double most = is_date                                                  ? summary->n_days
                            : i == WG_OUTCOME_survived || i >= WG_OUTCOME_alive_ours ? 1
                                                                                     : DBL_MAX;
        for (int64_t k = 0; k < summary->n && code == 0; k++) {
            const double value = summary->outcome[i * summary->capacity + k];
            const struct wg_bound bound = {outcome->name, isnan(value) ? least : value, least, most};
            code = wg_bounds_check(&(struct wg_bound_owner){"summary", -1, "replicate", (int)k}, &bound, 1, err);
        }
    }
    return code;
}

static int on_replicate_summary(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_summary *const summary = self;
    (void)replicate;
    (void)err;
    wg_assert(summary->n < summary->capacity);
    const struct wg_outcome *const table = wg_diary_outcomes();
    for (int i = 0; i < summary->n_outcomes; i++)
        summary->outcome[i * summary->capacity + summary->n] = wg_diary_outcome(diary, &table[i]);
    summary->n++;
    summary->undated_springs += wg_diary_has_undated_spring(diary);
    return 0;
}

struct wg_observer wg_summary_observer(struct wg_summary *summary) {
    return (struct wg_observer){.on_replicate = on_replicate_summary, .self = summary};
}

const double *wg_summary_outcome(const struct wg_summary *summary, enum wg_outcome_number outcome) {
    return summary->outcome + (int64_t)outcome * summary->capacity;
}

/* Collects the values for the quantiles, +INFINITY for those that count as later. Returns their number. */
static size_t gather_outcome(const struct wg_summary *summary, enum wg_outcome_number outcome, double *values,
                             struct wg_spread *spread) {
    const double *const value = wg_summary_outcome(summary, outcome);
    struct wg_sum sum = {0};
    size_t n = 0;
    for (int64_t k = 0; k < summary->n; k++) {
        if (isnan(value[k])) {
            if (wg_diary_outcomes()[outcome].missing == WG_MISSING_LATER)
                values[n++] = (double)INFINITY;
            continue;
        }
        values[n++] = value[k];
        wg_sum_add(&sum, value[k]);
        spread->happened++;
    }
    spread->mean = spread->happened > 0 ? wg_sum_total(&sum) / (double)spread->happened : (double)NAN;
    return n;
}

int wg_summary_spread(const struct wg_summary *summary, enum wg_outcome_number outcome, struct wg_spread *spread) {
    *spread = (struct wg_spread){.n = summary->n};
    double *const values = malloc((size_t)(summary->n > 0 ? summary->n : 1) * sizeof *values);
    if (values == NULL)
        return WG_ERR_MEMORY;
    const size_t n = gather_outcome(summary, outcome, values, spread);
    wg_sort(values, n);
    spread->q05 = wg_quantile_sorted(values, n, 0.05);
    spread->q25 = wg_quantile_sorted(values, n, 0.25);
    spread->q50 = wg_quantile_sorted(values, n, 0.50);
    spread->q75 = wg_quantile_sorted(values, n, 0.75);
    spread->q95 = wg_quantile_sorted(values, n, 0.95);
    free(values);
    return 0;
}

double wg_summary_survival(const struct wg_summary *summary) {
    const double *const survived = wg_summary_outcome(summary, WG_OUTCOME_survived);
    size_t hits = 0;
    for (int64_t k = 0; k < summary->n; k++)
        hits += survived[k] > 0;
    return summary->n > 0 ? (double)hits / (double)summary->n : (double)NAN;
}
