/*
 * Computes what a replicate predicts for a log entry, and the likelihood of the entry.
 */
#include "analysis/fit.h"
#include "base/elementary.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* all judgement, see the header */
#define SIGMA_LOG 0.25
#define MIN_KG 0.020
#define MIN_EGGS 200.0
#define SIGMA_K 2.0
#define DETECTION 0.2
#define ERROR_RATE 0.02

const char *wg_log_kind_name(enum wg_log_kind kind) {
    static const char *const name[WG_N_LOG_KINDS] = {
        [WG_LOG_CRAWL_OFF] = "crawl-off",
        [WG_LOG_TAKEN] = "taken",
        [WG_LOG_EGGS_TRAPPED] = "eggs trapped",
        [WG_LOG_BIN_TEMPERATURE] = "bin temperature",
        [WG_LOG_ADULTS] = "adults",
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
    return ERROR_RATE + (1 - 2 * ERROR_RATE) * -wg_expm1(flies * wg_log1p(-DETECTION));
}

double wg_log_entry_simulated(const struct wg_log_entry *entry, const struct wg_diary *diary) {
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
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

static double log_normal_kernel(double off, double sigma) {
    return -off * off / (2 * sigma * sigma);
}

double wg_log_entry_log_chance(const struct wg_log_entry *entry, double simulated) {
    switch (entry->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        return log_normal_kernel(wg_log((entry->value + MIN_KG) / (simulated + MIN_KG)), SIGMA_LOG);
    case WG_LOG_EGGS_TRAPPED:
        return log_normal_kernel(wg_log((entry->value + MIN_EGGS) / (simulated + MIN_EGGS)), SIGMA_LOG);
    case WG_LOG_BIN_TEMPERATURE:
        return log_normal_kernel(entry->value - simulated, SIGMA_K);
    case WG_LOG_ADULTS:
        return wg_log(entry->value > 0 ? simulated : 1 - simulated);
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

double wg_log_entry_below(const struct wg_log_entry *entry, double simulated) {
    switch (entry->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        return wg_normal_cdf(wg_log((entry->value + MIN_KG) / (simulated + MIN_KG)) / SIGMA_LOG);
    case WG_LOG_EGGS_TRAPPED:
        return wg_normal_cdf(wg_log((entry->value + MIN_EGGS) / (simulated + MIN_EGGS)) / SIGMA_LOG);
    case WG_LOG_BIN_TEMPERATURE:
        return wg_normal_cdf((entry->value - simulated) / SIGMA_K);
    case WG_LOG_ADULTS:
        return entry->value > 0 ? 1 : 1 - simulated;
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

/* ---- the unknowns ---- */

/* Sigma: a quarter of log(high / low) of the parameter's plausible range, if it has one. */
static const struct {
    const char *name;
    double sigma;
} fit_parameters[WG_N_FIT_PARAMETERS] = {
    [WG_FIT_LARVA_RATE] = {"speed of larvae", 0.10},           /* derived: larva_rate_a 2.8e-5 to 4.2e-5 */
    [WG_FIT_LARVA_MASS] = {"mass of full-grown larvae", 0.19}, /* derived: final_mass 0.12 to 0.26 g */
    [WG_FIT_HAZARD] = {"everyday deaths", 0.40},               /* judgement: between the stages' own, 0.3 to 0.6 */
    [WG_FIT_LAYING] = {"share of females that lay", 0.16},     /* derived: laying_share_sun 0.5 to 0.95 */
    [WG_FIT_DORMANCY] = {"heat that ends dormancy", 0.40},     /* derived: dormancy_heat_median 60 to 300 */
};

const char *wg_fit_parameter_name(enum wg_fit_parameter fitted) {
    return fit_parameters[fitted].name;
}

double wg_fit_parameter_prior_sigma(enum wg_fit_parameter fitted) {
    return fit_parameters[fitted].sigma;
}

/* The parameters that each factor scales. */
static const struct {
    enum wg_fit_parameter fitted;
    const char *name;
} scaled[] = {
    {WG_FIT_LARVA_RATE, "larva_rate_a"},
    {WG_FIT_LARVA_MASS, "final_mass"},
    {WG_FIT_HAZARD, "egg_hazard"},
    {WG_FIT_HAZARD, "larva_hazard"},
    {WG_FIT_HAZARD, "prepupa_hazard"},
    {WG_FIT_HAZARD, "pupa_hazard"},
    {WG_FIT_HAZARD, "adult_hazard"},
    {WG_FIT_HAZARD, "dormant_hazard"},
    {WG_FIT_LAYING, "laying_share_sun"},
    {WG_FIT_LAYING, "laying_share_lamps"},
    {WG_FIT_DORMANCY, "dormancy_heat_median"},
};
#define N_SCALED (sizeof scaled / sizeof *scaled)

void wg_fit_parameter_apply(struct wg_species *species, const double factor[WG_N_FIT_PARAMETERS]) {
    for (size_t i = 0; i < N_SCALED; i++) {
        const struct wg_parameter *const p = wg_species_find(scaled[i].name);
        wg_assert(p != NULL);
        wg_species_put(species, p,
                       fmin(p->most, fmax(p->least, factor[scaled[i].fitted] * wg_species_get(species, p))));
    }
}

static bool has_lamps(const struct wg_plan *plan) {
    bool has = false;
    for (int i = 0; i < plan->n_places; i++)
        has = has || plan->places[i].shelter.lamp_hours > 0;
    return has;
}

double wg_fit_parameter_max(const struct wg_plan *plan, enum wg_fit_parameter fitted) {
    double max_factor = 0;
    for (size_t i = 0; i < N_SCALED; i++) {
        const struct wg_parameter *const p = wg_species_find(scaled[i].name);
        const bool is_used = strcmp(scaled[i].name, "laying_share_lamps") != 0 || has_lamps(plan);
        if (scaled[i].fitted == fitted && is_used && wg_species_get(&plan->species, p) > 0)
            max_factor = fmax(max_factor, p->most / wg_species_get(&plan->species, p));
    }
    return max_factor;
}
