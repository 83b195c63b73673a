/*
 * Computes quantiles, probabilities and predictive checks from the weighted draws of a fit.
 */
#include "analysis/fit.h"

#include <math.h>
#include <stdlib.h>

#define HALVINGS 40

static int by_value(const void *a, const void *b) {
    const double x = ((const struct wg_weighted_value *)a)->value, y = ((const struct wg_weighted_value *)b)->value;
    return (x > y) - (x < y);
}

/* Sorts the n values and returns their quantile. */
static double weighted_quantile(struct wg_weighted_value *sorted, int64_t n, double q) {
    double all = 0, sum = 0, answer = (double)NAN;
    wg_assert(q >= 0 && q <= 1 && n >= 0);
    for (int64_t i = 0; i < n; i++)
        all += sorted[i].weight;
    qsort(sorted, (size_t)n, sizeof *sorted, by_value);
    for (int64_t i = 0; i < n; i++) {
        sum += sorted[i].weight;
        answer = sorted[i].value;
        if (sum >= q * all && sorted[i].weight > 0)
            break;
    }
    return answer;
}

double wg_weighted_quantile(const double *values, const double *weights, int64_t n, double q) {
    struct wg_weighted_value *const sorted = calloc((size_t)n + 1, sizeof *sorted);
    int64_t used = 0;
    if (sorted == NULL)
        return (double)NAN;
    for (int64_t i = 0; i < n; i++)
        if (!isnan(values[i]))
            sorted[used++] = (struct wg_weighted_value){values[i], weights != NULL ? weights[i] : 1};
    const double answer = weighted_quantile(sorted, used, q);
    free(sorted);
    return answer;
}

double wg_fit_factor(const struct wg_fit *fit, int64_t draw, enum wg_fit_parameter fitted) {
    return fmin(fit->draw[draw].factor[fitted], fit->most[fitted]);
}

double wg_fit_quantile(const struct wg_fit *fit, enum wg_fit_parameter fitted, double q) {
    for (int64_t i = 0; i < fit->n; i++)
        fit->sorting[i] = (struct wg_weighted_value){wg_fit_factor(fit, i, fitted), fit->draw[i].weight};
    return weighted_quantile(fit->sorting, fit->n, q);
}

double wg_fit_happened(const struct wg_fit *fit, int outcome, bool before) {
    wg_assert(outcome >= 0 && outcome < fit->n_outcomes);
    const int64_t n = before ? fit->n_before : fit->n;
    const double *const values = (before ? fit->before : fit->outcome) + outcome * n;
    double share = 0, all = 0;
    for (int64_t i = 0; i < n; i++) {
        const double weight = before ? 1 : fit->draw[i].weight;
        all += weight;
        share += isnan(values[i]) ? 0 : weight;
    }
    return all > 0 ? share / all : (double)NAN;
}

double wg_fit_outcome(const struct wg_fit *fit, int outcome, bool before, double q) {
    wg_assert(outcome >= 0 && outcome < fit->n_outcomes);
    const int64_t n = before ? fit->n_before : fit->n;
    const double *const values = (before ? fit->before : fit->outcome) + outcome * n;
    const bool is_later = wg_diary_outcomes()[outcome].missing == WG_MISSING_LATER;
    int64_t used = 0;
    for (int64_t i = 0; i < n; i++)
        if (!isnan(values[i]) || is_later)
            fit->sorting[used++] = (struct wg_weighted_value){isnan(values[i]) ? (double)INFINITY : values[i],
                                                              before ? 1 : fit->draw[i].weight};
    return weighted_quantile(fit->sorting, used, q);
}

double wg_fit_share_above(const struct wg_fit *fit, int outcome, bool before, double threshold) {
    wg_assert(outcome >= 0 && outcome < fit->n_outcomes);
    const int64_t n = before ? fit->n_before : fit->n;
    const double *const values = (before ? fit->before : fit->outcome) + outcome * n;
    double share = 0;
    for (int64_t i = 0; i < n; i++)
        if (values[i] > threshold)
            share += before ? 1 / (double)n : fit->draw[i].weight;
    return share;
}

/* A yes or no is explained unless its posterior predictive probability is below 0.1. */
static bool explains_adults(const struct wg_fit *fit, const struct wg_log_entry *entry, int i,
                            struct wg_interval *range) {
    double chance = 0;
    for (int64_t k = 0; k < fit->n; k++)
        chance += fit->draw[k].weight * fit->simulated[i * fit->n + k];
    *range = (struct wg_interval){chance, chance};
    return (entry->value > 0 ? chance : 1 - chance) >= 0.1;
}

/* Returns the posterior predictive probability that the keeper records at most `value`. */
static double probability_below(const struct wg_fit *fit, const struct wg_log_entry *entry, int i, double value) {
    struct wg_log_entry other = *entry;
    double chance = 0;
    other.value = value;
    for (int64_t k = 0; k < fit->n; k++)
        chance += fit->draw[k].weight * wg_log_entry_below(&other, fit->simulated[i * fit->n + k]);
    return chance;
}

/* Inverts probability_below() by bisection; sums start at 0, temperatures at a frost. */
static double predictive_quantile(const struct wg_fit *fit, const struct wg_log_entry *entry, int i, double chance) {
    double low = entry->kind == WG_LOG_BIN_TEMPERATURE ? -60 : 0, high = 100;
    while (probability_below(fit, entry, i, high) < chance && high < 1e18)
        high *= 2;
    if (probability_below(fit, entry, i, low) >= chance)
        return low;
    for (int k = 0; k < HALVINGS; k++) {
        const double middle = (low + high) / 2;
        *(probability_below(fit, entry, i, middle) < chance ? &low : &high) = middle;
    }
    return high;
}

bool wg_fit_explains(const struct wg_fit *fit, const struct wg_log_entry *entries, int i, struct wg_interval *range) {
    wg_assert(i >= 0 && i < fit->n_entries);
    if (entries[i].kind == WG_LOG_ADULTS)
        return explains_adults(fit, &entries[i], i, range);
    range->low = predictive_quantile(fit, &entries[i], i, 0.05);
    range->high = predictive_quantile(fit, &entries[i], i, 0.95);
    return entries[i].value >= range->low && entries[i].value <= range->high;
}

void wg_fit_resample(const struct wg_fit *fit, double u, int64_t k, int64_t *draws) {
    wg_assert(u > 0 && u < 1 && k >= 1);
    double sum = fit->draw[0].weight;
    int64_t at = 0;
    for (int64_t i = 0; i < k; i++) {
        while (sum < (u + (double)i) / (double)k && at < fit->n - 1)
            sum += fit->draw[++at].weight;
        draws[i] = at;
    }
}
