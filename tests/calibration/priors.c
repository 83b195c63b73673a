/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads priors.tsv and makes animals of standard normal deviates.
 *
 * A range is read as 5 to 95 % of a normal on the scale of its line; "wider" stretches it about its centre. Where a
 * line says "table", the range is that of the species table. Some lines are not numbers of the species but
 * make some, so that what papers measure is a number of its own and few numbers are tied together:
 *
 *     STAGE_days_27                         days in the stage at 27 degC, in place of STAGE_rate_a
 *     young_t0, young_tm, young_rate_m      shared by egg, larva, prepupa and pupa, beside
 *     STAGE_t0, STAGE_tm, STAGE_rate_m      which for these four are deviations from the shared (m: a factor)
 *     clutch_mean, clutch_half_width        in place of clutch_low and clutch_high
 *     heat_for_gas                          J of heat for each kg of dry feed whose carbon leaves as gas
 */
#include "calibration/priors.h"

#include "base/elementary.h"
#include "calibration/table.h"
#include "species/clock.h"
#include "species/reference.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double normal_95 = 1.6448536269514722;

static const char *const stages[WG_N_CLOCKS] = {"egg", "larva", "prepupa", "pupa", "adult"};

static double to_scale(enum prior_scale scale, double value) {
    if (scale == PRIOR_LN)
        return wg_log(value);
    return scale == PRIOR_LOGIT ? wg_log(value / (1.0 - value)) : value;
}

static double from_scale(enum prior_scale scale, double value) {
    if (scale == PRIOR_LN)
        return wg_exp(value);
    return scale == PRIOR_LOGIT ? 1.0 / (1.0 + wg_exp(-value)) : value;
}

double prior_at(const struct prior *prior, double deviate) {
    return from_scale(prior->scale, prior->centre + prior->sd * deviate);
}

static double prior_value(const struct prior *prior, const double *z) {
    return prior->z < 0 ? prior->centre : prior_at(prior, z[prior->z]);
}

/* ---- the file ---- */

static enum prior_scale scale_named(const struct table *table, const char *word) {
    static const char *const words[] = {"plain", "ln", "logit", "fixed"};
    for (int i = 0; i < 4; i++)
        if (strcmp(word, words[i]) == 0)
            return (enum prior_scale)i;
    table_fault(table, "unknown scale", word);
}

static void read_range(struct prior *prior, const struct table *table) {
    double low, high;
    const char *const range = table_cell(table, "5 to 95 %");
    if (strcmp(range, "table") == 0) {
        if (prior->number == NULL)
            table_fault(table, "the species table has no such number", prior->name);
        low = prior->number->low;
        high = prior->number->high;
    } else if (sscanf(range, "%lf to %lf", &low, &high) != 2) {
        table_fault(table, "this is no range", range);
    }
    const double from = to_scale(prior->scale, low), to = to_scale(prior->scale, high);
    prior->centre = 0.5 * (from + to);
    prior->sd = 0.5 * (to - from) / normal_95 * table_number(table, table_cell(table, "wider"));
    if (!isfinite(prior->centre) || !(prior->sd > 0.0))
        table_fault(table, "the range does not suit its scale", range);
}

static void read_prior(struct priors *priors, const struct table *table) {
    if (priors->n == MAX_PRIORS)
        table_fault(table, "too many lines", "");
    struct prior *const prior = &priors->row[priors->n++];
    const char *const most = table_cell(table, "at most");
    *prior = (struct prior){.z = -1, .most = HUGE_VAL};
    table_copy(table, "number", prior->name, sizeof prior->name);
    table_copy(table, "why", prior->why, sizeof prior->why);
    prior->number = wg_species_find(prior->name);
    prior->scale = scale_named(table, table_cell(table, "scale"));
    if (strcmp(most, "-") != 0)
        prior->most = table_number(table, most);
    if (prior->scale == PRIOR_FIXED) {
        prior->centre = table_number(table, table_cell(table, "5 to 95 %"));
        return;
    }
    read_range(prior, table);
    prior->z = priors->n_z++;
}

/* ---- numbers made of several lines ---- */

static int line_named(const struct priors *priors, const char *name) {
    for (int i = 0; i < priors->n; i++)
        if (strcmp(priors->row[i].name, name) == 0)
            return i;
    (void)fprintf(stderr, "priors: there is no line %s\n", name);
    exit(3);
}

static void find_lines(struct priors *priors) {
    struct prior_lines *const at = &priors->at;
    for (int c = 0; c < WG_N_CLOCKS; c++) {
        char name[PRIOR_NAME];
        (void)snprintf(name, sizeof name, "%s_days_27", stages[c]);
        at->days[c] = line_named(priors, name);
    }
    at->t0 = line_named(priors, "young_t0");
    at->tm = line_named(priors, "young_tm");
    at->m = line_named(priors, "young_rate_m");
    at->clutch = line_named(priors, "clutch_mean");
    at->half_width = line_named(priors, "clutch_half_width");
    at->heat = line_named(priors, "heat_for_gas");
}

static bool is_made(const char *name) {
    return strstr(name, "_rate_a") != NULL || strcmp(name, "clutch_low") == 0 || strcmp(name, "clutch_high") == 0 ||
           strcmp(name, "heat_per_dry_feed") == 0;
}

/* Every number of the species is on a line or made of some. */
static void check_complete(const struct priors *priors) {
    for (const struct wg_parameter *number = wg_species_parameters(); number->name != NULL; number++)
        if (!is_made(number->name))
            (void)line_named(priors, number->name);
}

void priors_read(struct priors *priors, const char *path) {
    struct table table;
    priors->n = priors->n_z = 0;
    table_open(&table, path);
    while (table_next(&table))
        read_prior(priors, &table);
    table_close(&table);
    find_lines(priors);
    check_complete(priors);
}

/* The four young stages share thresholds; the scale of a rate gives the stage its days at 27 degC. */
static bool make_rates(const struct priors *priors, const double *z, struct wg_species *species) {
    const struct prior_lines *const at = &priors->at;
    for (int c = 0; c < WG_N_CLOCKS; c++) {
        struct wg_rate *const rate = &species->rate[c];
        if (c != WG_CLOCK_ADULT) {
            rate->t0_c += prior_value(&priors->row[at->t0], z);
            rate->tm_c += prior_value(&priors->row[at->tm], z);
            rate->m *= prior_value(&priors->row[at->m], z);
        }
        rate->a = 1.0;
        const double shape = wg_rate_per_day(rate, WG_REFERENCE_C);
        if (!(shape > 0.0))
            return false;
        rate->a = 1.0 / (prior_value(&priors->row[at->days[c]], z) * shape);
    }
    return true;
}

static void make_clutch_and_heat(const struct priors *priors, const double *z, struct wg_species *species) {
    const struct prior_lines *const at = &priors->at;
    const double mean = prior_value(&priors->row[at->clutch], z), half = prior_value(&priors->row[at->half_width], z);
    species->clutch_low = mean - half;
    species->clutch_high = mean + half;
    species->heat_per_dry_feed = species->gas_share * prior_value(&priors->row[at->heat], z);
}

static bool within_limits(const struct wg_species *species) {
    for (const struct wg_parameter *number = wg_species_parameters(); number->name != NULL; number++) {
        const double value = wg_species_get(species, number);
        if (!(value >= number->least && value <= number->most))
            return false;
    }
    return true;
}

bool priors_animal(const struct priors *priors, const double *z, struct wg_species *species) {
    for (int i = 0; i < priors->n; i++) {
        const struct prior *const prior = &priors->row[i];
        if (prior->number == NULL)
            continue;
        const double value = prior_value(prior, z);
        if (value > prior->most)
            return false;
        wg_species_put(species, prior->number, value);
    }
    if (!make_rates(priors, z, species))
        return false;
    make_clutch_and_heat(priors, z, species);
    return within_limits(species) && wg_species_problem(species) == NULL;
}
