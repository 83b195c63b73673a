/*
 * What would the log say if this replicate were the truth, and how likely is what it says?
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
#define NOTICED 0.2
#define WRONG 0.02

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

static double sum_reals_between(const double *values, int from, int to) {
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

/* Chance that flies are noted. */
static double chance_flies_noted(const struct wg_diary *diary, int day) {
    const int64_t *const count = diary->count + (ptrdiff_t)day * WG_N_STAGES;
    const double flies = (double)count[WG_FEMALE] + (double)count[WG_MALE];
    return WRONG + (1 - 2 * WRONG) * -wg_expm1(flies * wg_log1p(-NOTICED));
}

double wg_log_entry_simulated(const struct wg_log_entry *note, const struct wg_diary *diary) {
    const int from = (int)(note->since - diary->first_day), to = (int)(note->day - diary->first_day);
    wg_assert(from >= 0 && from <= to && to < diary->n_days);
    switch (note->kind) {
    case WG_LOG_CRAWL_OFF:
        return sum_reals_between(diary->crawl_off_mass, from, to);
    case WG_LOG_TAKEN:
        return sum_reals_between(diary->harvest_mass, from, to);
    case WG_LOG_EGGS_TRAPPED:
        return sum_counts_between(diary->eggs_trapped, from, to);
    case WG_LOG_BIN_TEMPERATURE:
        wg_assert(note->bin >= 0 && note->bin < diary->n_bins);
        return diary->bin_temperature[(ptrdiff_t)to * diary->n_bins + note->bin];
    case WG_LOG_ADULTS:
        return chance_flies_noted(diary, to);
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

static double log_normal_kernel(double off, double sigma) {
    return -off * off / (2 * sigma * sigma);
}

double wg_log_entry_log_chance(const struct wg_log_entry *note, double simulated) {
    switch (note->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        return log_normal_kernel(wg_log((note->value + MIN_KG) / (simulated + MIN_KG)), SIGMA_LOG);
    case WG_LOG_EGGS_TRAPPED:
        return log_normal_kernel(wg_log((note->value + MIN_EGGS) / (simulated + MIN_EGGS)), SIGMA_LOG);
    case WG_LOG_BIN_TEMPERATURE:
        return log_normal_kernel(note->value - simulated, SIGMA_K);
    case WG_LOG_ADULTS:
        return wg_log(note->value > 0 ? simulated : 1 - simulated);
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

double wg_log_entry_below(const struct wg_log_entry *note, double simulated) {
    switch (note->kind) {
    case WG_LOG_CRAWL_OFF:
    case WG_LOG_TAKEN:
        return wg_normal_cdf(wg_log((note->value + MIN_KG) / (simulated + MIN_KG)) / SIGMA_LOG);
    case WG_LOG_EGGS_TRAPPED:
        return wg_normal_cdf(wg_log((note->value + MIN_EGGS) / (simulated + MIN_EGGS)) / SIGMA_LOG);
    case WG_LOG_BIN_TEMPERATURE:
        return wg_normal_cdf((note->value - simulated) / SIGMA_K);
    case WG_LOG_ADULTS:
        return note->value > 0 ? 1 : 1 - simulated;
    case WG_N_LOG_KINDS:
        break;
    }
    return (double)NAN;
}

/* ---- the unknowns ---- */

/* The sigmas: a quarter of the logarithm of high/low of the plausible range of that number, where there is one. */
static const struct {
    const char *name;
    double sigma;
} unknown[WG_N_FIT_PARAMETERS] = {
    [WG_FIT_LARVA_RATE] = {"speed of larvae", 0.10},           /* derived: larva_rate_a 2.8e-5 to 4.2e-5 */
    [WG_FIT_LARVA_MASS] = {"mass of full-grown larvae", 0.19}, /* derived: final_mass 0.12 to 0.26 g */
    [WG_FIT_HAZARD] = {"everyday deaths", 0.40},               /* judgement: between those of the stages, 0.3 to 0.6 */
    [WG_FIT_LAYING] = {"share of females that lay", 0.16},     /* derived: laying_share_sun 0.5 to 0.95 */
    [WG_FIT_DORMANCY] = {"heat that ends dormancy", 0.40},     /* derived: dormancy_heat_median 60 to 300 */
};

const char *wg_fit_parameter_name(enum wg_fit_parameter fitted) {
    return unknown[fitted].name;
}

double wg_fit_parameter_prior_sigma(enum wg_fit_parameter fitted) {
    return unknown[fitted].sigma;
}

/* Which numbers each factor changes. */
static const struct {
    enum wg_fit_parameter fitted;
    const char *name;
} changed[] = {
    {WG_FIT_LARVA_RATE, "larva_rate_a"},   {WG_FIT_LARVA_MASS, "final_mass"},
    {WG_FIT_HAZARD, "egg_hazard"},         {WG_FIT_HAZARD, "larva_hazard"},
    {WG_FIT_HAZARD, "prepupa_hazard"},     {WG_FIT_HAZARD, "pupa_hazard"},
    {WG_FIT_HAZARD, "adult_hazard"},       {WG_FIT_LAYING, "laying_share_sun"},
    {WG_FIT_LAYING, "laying_share_lamps"}, {WG_FIT_DORMANCY, "dormancy_heat_median"},
};
#define N_CHANGED (sizeof changed / sizeof *changed)

void wg_fit_parameter_apply(struct wg_species *species, const double factor[WG_N_FIT_PARAMETERS]) {
    for (size_t i = 0; i < N_CHANGED; i++) {
        const struct wg_parameter *const p = wg_species_find(changed[i].name);
        wg_assert(p != NULL);
        wg_species_put(species, p,
                       fmin(p->most, fmax(p->least, factor[changed[i].fitted] * wg_species_get(species, p))));
    }
}

static bool has_lamps(const struct wg_plan *plan) {
    bool has = false;
    for (int i = 0; i < plan->n_places; i++)
        has = has || plan->places[i].shelter.lamp_hours > 0;
    return has;
}

double wg_fit_parameter_max(const struct wg_plan *plan, enum wg_fit_parameter fitted) {
    double most = 0;
    for (size_t i = 0; i < N_CHANGED; i++) {
        const struct wg_parameter *const p = wg_species_find(changed[i].name);
        const bool is_used = strcmp(changed[i].name, "laying_share_lamps") != 0 || has_lamps(plan);
        if (changed[i].fitted == fitted && is_used && wg_species_get(&plan->species, p) > 0)
            most = fmax(most, p->most / wg_species_get(&plan->species, p));
    }
    return most;
}
