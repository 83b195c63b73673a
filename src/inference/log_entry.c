/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Computes what a replicate predicts for a log entry, and the keeper's error.
 */
#include "inference/log_entry.h"

#include "base/elementary.h"
#include "colony/diary.h"
#include "species/death.h"

#include <math.h>
#include <stddef.h>

/* all judgement, see the header */
#define SIGMA_LOG 0.25
#define MIN_KG 0.020
#define MIN_EGGS 200.0
#define SIGMA_K 2.0
#define DETECTION 0.2
#define JAR_SPREAD 0.1

const char *wg_log_kind_name(enum wg_log_kind kind) {
    static const char *const name[WG_N_LOG_KINDS] = {
        [WG_LOG_CRAWL_OFF] = "crawl-off",
        [WG_LOG_TAKEN] = "taken",
        [WG_LOG_EGGS_TRAPPED] = "eggs trapped",
        [WG_LOG_BIN_TEMPERATURE] = "bin temperature",
        [WG_LOG_ADULTS] = "adults",
        [WG_LOG_JAR] = "jar in the cold",
    };
    return name[kind];
}

static double sum_doubles_between(const double *values, int from, int to) {
    double sum = 0;
    for (int d = from; d <= to; d++)
        sum += values[d];
    return sum;
}

static double sum_counts_between(const int64_t *values, int from, int to) {
    double sum = 0;
    for (int d = from; d <= to; d++)
        sum += (double)values[d];
    return sum;
}

/* Returns the probability that the keeper records flies. */
static double probability_flies_recorded(const struct wg_diary *diary, int day) {
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    const double flies = (double)count[WG_FEMALE] + (double)count[WG_MALE];
    return WG_LOG_ERROR_RATE + (1 - 2 * WG_LOG_ERROR_RATE) * -wg_expm1(flies * wg_log1p(-DETECTION));
}

double wg_log_entry_simulated(const struct wg_log_entry *entry, const struct wg_species *animal,
                              const struct wg_diary *diary) {
    if (entry->kind == WG_LOG_JAR)
        return wg_exp(-wg_hazard_in_the_cold(animal, WG_CLOCK_PREPUPA, entry->temp_c) *
                      (entry->day - entry->since + 1));
    const int from = (int)(entry->since - diary->first_day), to = (int)(entry->day - diary->first_day);
    wg_assert(from >= 0 && from <= to && to < diary->n_days);
    switch (entry->kind) {
    case WG_LOG_CRAWL_OFF:
        return sum_doubles_between(diary->crawl_off_mass, from, to);
    case WG_LOG_TAKEN:
        return sum_doubles_between(diary->harvest_mass, from, to);
    case WG_LOG_EGGS_TRAPPED:
        return sum_counts_between(diary->eggs_trapped, from, to);
    case WG_LOG_BIN_TEMPERATURE:
        wg_assert(entry->bin >= 0 && entry->bin < diary->n_bins);
        return diary->bin_temperature[(ptrdiff_t)to * diary->n_bins + entry->bin];
    case WG_LOG_ADULTS:
        return probability_flies_recorded(diary, to);
    case WG_LOG_JAR:
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

double wg_log_entry_scaled(const struct wg_log_entry *entry, double value) {
    switch (entry->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        return wg_log(value + MIN_KG);
    case WG_LOG_EGGS_TRAPPED:
        return wg_log(value + MIN_EGGS);
    case WG_LOG_JAR:
        return wg_log((value * entry->started + 0.5) / (entry->started + 1));
    case WG_LOG_BIN_TEMPERATURE:
    case WG_LOG_ADULTS:
    case WG_N_LOG_KINDS:
        break;
    }
    return value;
}

double wg_log_entry_variance(const struct wg_log_entry *entry, double simulated) {
    switch (entry->kind) {
    case WG_LOG_BIN_TEMPERATURE:
        return SIGMA_K * SIGMA_K;
    case WG_LOG_ADULTS:
        return simulated * (1 - simulated);
    case WG_LOG_JAR: {
        const double deaths = -wg_log_entry_scaled(entry, simulated) * JAR_SPREAD;
        return (1 - simulated) / (simulated * entry->started + 0.5) + 0.25 / entry->started / entry->started +
               deaths * deaths;
    }
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
    case WG_LOG_EGGS_TRAPPED:
    case WG_N_LOG_KINDS:
        break;
    }
    return SIGMA_LOG * SIGMA_LOG;
}

double wg_log_entry_below(const struct wg_log_entry *entry, double simulated) {
    if (entry->kind == WG_LOG_ADULTS)
        return entry->value > 0 ? 1 : 1 - simulated;
    return wg_normal_cdf((wg_log_entry_scaled(entry, entry->value) - wg_log_entry_scaled(entry, simulated)) /
                         sqrt(wg_log_entry_variance(entry, simulated)));
}
