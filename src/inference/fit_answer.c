/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes quantiles, probabilities and predictive checks from the replicates of a fit.
 */
#include "inference/fit.h"

#include <math.h>

#define HALVINGS 40

bool wg_fit_has_answer(const struct wg_fit *fit) {
    return fit->agree >= WG_FIT_FEWEST;
}

/* Returns the quantile of n values, which it copies. */
static double quantile_of(const struct wg_fit *fit, const double *values, int64_t n, double q) {
    for (int64_t i = 0; i < n; i++)
        fit->sorting[i] = values[i];
    wg_sort(fit->sorting, (size_t)n);
    return wg_quantile_sorted(fit->sorting, (size_t)n, q);
}

static const struct wg_fit_sample *sample_of(const struct wg_fit *fit, bool before) {
    return before ? &fit->before : &fit->after;
}

double wg_fit_learnt(const struct wg_fit *fit, enum wg_learnt learnt, bool before, double q) {
    const int64_t n = before ? fit->drawn : fit->agree;
    const double *const values = (before ? fit->learnt_before : fit->learnt) + (int64_t)learnt * n;
    if (before || fit->after.n == fit->agree * fit->per_draw)
        return quantile_of(fit, values, n, q);
    for (int64_t k = 0; k < fit->after.n; k++) /* an animal counts by its futures that agree */
        fit->sorting[k] = values[fit->animal_of[k]];
    wg_sort(fit->sorting, (size_t)fit->after.n);
    return wg_quantile_sorted(fit->sorting, (size_t)fit->after.n, q);
}

double wg_fit_now(const struct wg_fit *fit, int quantity, bool before, double q) {
    const struct wg_fit_sample *const sample = sample_of(fit, before);
    wg_assert(quantity >= 0 && quantity < fit->today.n);
    return quantile_of(fit, sample->now + quantity * sample->n, sample->n, q);
}

/* Returns the n values of an outcome. */
static const double *values_of_outcome(const struct wg_fit_sample *sample, int outcome) {
    wg_assert(outcome >= 0 && outcome < WG_N_OUTCOMES);
    return sample->outcome + outcome * sample->n;
}

double wg_fit_happened(const struct wg_fit *fit, int outcome, bool before) {
    const struct wg_fit_sample *const sample = sample_of(fit, before);
    const double *const values = values_of_outcome(sample, outcome);
    int64_t happened = 0;
    for (int64_t i = 0; i < sample->n; i++)
        happened += !isnan(values[i]);
    return sample->n > 0 ? (double)happened / (double)sample->n : (double)NAN;
}

double wg_fit_outcome(const struct wg_fit *fit, int outcome, bool before, double q) {
    const struct wg_fit_sample *const sample = sample_of(fit, before);
    const double *const values = values_of_outcome(sample, outcome);
    const bool is_later = wg_diary_outcomes()[outcome].missing == WG_MISSING_LATER;
    int64_t used = 0;
    for (int64_t i = 0; i < sample->n; i++)
        if (!isnan(values[i]) || is_later)
            fit->sorting[used++] = isnan(values[i]) ? (double)INFINITY : values[i];
    wg_sort(fit->sorting, (size_t)used);
    return wg_quantile_sorted(fit->sorting, (size_t)used, q);
}

double wg_fit_share_above(const struct wg_fit *fit, int outcome, bool before, double threshold) {
    const struct wg_fit_sample *const sample = sample_of(fit, before);
    const double *const values = values_of_outcome(sample, outcome);
    int64_t above = 0;
    for (int64_t i = 0; i < sample->n; i++)
        above += values[i] > threshold;
    return sample->n > 0 ? (double)above / (double)sample->n : (double)NAN;
}

/* ---- the notes ---- */

/* A yes or no is explained unless its predictive probability is below 0.1. */
static bool explains_adults(const struct wg_log_entry *entry, const double *simulated, int64_t n,
                            struct wg_interval *range) {
    double chance = 0;
    for (int64_t k = 0; k < n; k++)
        chance += simulated[k] / (double)n;
    *range = (struct wg_interval){chance, chance};
    return (entry->value > 0 ? chance : 1 - chance) >= 0.1;
}

/* Returns the predictive probability that the keeper records at most `value`. */
static double probability_below(const struct wg_log_entry *entry, const double *simulated, int64_t n, double value) {
    struct wg_log_entry other = *entry;
    double chance = 0;
    other.value = value;
    for (int64_t k = 0; k < n; k++)
        chance += wg_log_entry_below(&other, simulated[k]) / (double)n;
    return chance;
}

/* Inverts probability_below() by bisection; sums start at 0, temperatures at a frost. */
static double predictive_quantile(const struct wg_log_entry *entry, const double *simulated, int64_t n, double chance) {
    double low = entry->kind == WG_LOG_BIN_TEMPERATURE ? -60 : 0, high = 100;
    while (probability_below(entry, simulated, n, high) < chance && high < 1e18)
        high *= 2;
    if (probability_below(entry, simulated, n, low) >= chance)
        return low;
    for (int k = 0; k < HALVINGS; k++) {
        const double middle = (low + high) / 2;
        *(probability_below(entry, simulated, n, middle) < chance ? &low : &high) = middle;
    }
    return high;
}

bool wg_fit_explains(const struct wg_fit *fit, const struct wg_log_entry *entries, int i, bool before,
                     struct wg_interval *range) {
    const struct wg_fit_sample *const sample = sample_of(fit, before);
    const double *const simulated = sample->simulated + i * sample->n;
    wg_assert(i >= 0 && i < fit->n_entries);
    if (entries[i].kind == WG_LOG_ADULTS)
        return explains_adults(&entries[i], simulated, sample->n, range);
    range->low = predictive_quantile(&entries[i], simulated, sample->n, 0.05);
    range->high = predictive_quantile(&entries[i], simulated, sample->n, 0.95);
    return entries[i].value >= range->low && entries[i].value <= range->high;
}
