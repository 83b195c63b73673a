/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Names of stages, access to the parameters and the check for contradictions.
 *
 * The values are in species_numbers.c, the table that describes them in
 * species_table.c.
 */
#include "species/species.h"

#include "base/error.h"
#include "species/reference.h"

#include <math.h>
#include <string.h>

const char *wg_stage_name(enum wg_stage stage) {
    static const char *const name[WG_N_STAGES] = {"egg",  "larva",        "prepupa",   "dormant prepupa",
                                                  "pupa", "adult female", "adult male"};
    wg_assert(stage >= 0 && stage < WG_N_STAGES);
    return name[stage];
}

const struct wg_parameter *wg_species_find(const char *name) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        if (strcmp(p->name, name) == 0) {
            return p;
        }
    }
    return NULL;
}

double wg_species_get(const struct wg_species *species, const struct wg_parameter *parameter) {
    double value;
    memcpy(&value, (const char *)species + parameter->offset, sizeof value);
    return value;
}

void wg_species_put(struct wg_species *species, const struct wg_parameter *parameter, double value) {
    memcpy((char *)species + parameter->offset, &value, sizeof value);
}

static bool is_developing(const struct wg_rate *rate, double temp_c) {
    return rate->t0_c < temp_c && temp_c < rate->tm_c;
}

static const char *clock_problem(const struct wg_species *species) {
    for (int i = 0; i < WG_N_CLOCKS; i++) {
        if (!(species->rate[i].t0_c < species->rate[i].tm_c)) {
            return "the temperature at which a stage begins to develop must lie below the one at which it stops";
        }
    }
    if (!is_developing(&species->rate[WG_CLOCK_LARVA], WG_REFERENCE_C) ||
        !is_developing(&species->rate[WG_CLOCK_ADULT], WG_REFERENCE_C)) {
        return "larvae and flies must develop at 27 degC, the reference temperature of their ages and waiting times";
    }
    return NULL;
}

const char *wg_species_problem(const struct wg_species *species) {
    const struct {
        bool wrong;
        const char *text;
    } check[] = {
        {species->young_larva_x >= species->old_larva_x,
         "the cold curve of young larvae must end before that of old larvae begins"},
        {species->hatch_mass_g >= species->final_mass_g, "a larva must be heavier at the end than when it hatches"},
        {species->mass_cool_to_c > species->mass_ref_c || species->mass_ref_c > species->mass_warm_from_c,
         "the three temperatures that shape the final mass must rise: cool limit, reference, warm limit"},
        {species->mate_hours_min > species->mate_hours_full, "mating_hours_least must not exceed mating_hours_full"},
        {species->clutch_low > species->clutch_high, "the smallest clutch must not exceed the largest"},
        {species->clutch_mass_low > species->clutch_mass_high, "clutch_mass_low must not exceed clutch_mass_high"},
    };
    const char *problem = clock_problem(species);
    for (size_t i = 0; problem == NULL && i < sizeof check / sizeof check[0]; i++) {
        problem = check[i].wrong ? check[i].text : NULL;
    }
    return problem;
}

/* The numbers that wg_species_problem() compares with each other. */
#define MOST_RELATED 5
static const char *const related_numbers[][MOST_RELATED] = {
    {"egg_rate_a", "egg_t0", "egg_tm", "egg_rate_m"},
    {"larva_rate_a", "larva_t0", "larva_tm", "larva_rate_m"},
    {"prepupa_rate_a", "prepupa_t0", "prepupa_tm", "prepupa_rate_m"},
    {"pupa_rate_a", "pupa_t0", "pupa_tm", "pupa_rate_m"},
    {"adult_rate_a", "adult_t0", "adult_tm", "adult_rate_m"},
    {"young_larva_until", "old_larva_from"},
    {"hatch_mass", "final_mass"},
    {"mass_cool_limit", "mass_reference", "mass_warm_from"},
    {"mating_hours_least", "mating_hours_full"},
    {"clutch_low", "clutch_high"},
    {"clutch_mass_low", "clutch_mass_high"},
};

void wg_species_reconcile(struct wg_species *species, const struct wg_species *other,
                          const bool is_given[WG_SPECIES_NUMBERS]) {
    for (size_t g = 0; g < sizeof related_numbers / sizeof *related_numbers; g++) {
        bool any_given = false;
        for (const char *const *name = related_numbers[g]; *name != NULL; name++)
            any_given |= is_given[wg_parameter_index(wg_species_find(*name))];
        for (const char *const *name = related_numbers[g]; any_given && *name != NULL; name++)
            wg_species_put(species, wg_species_find(*name), wg_species_get(other, wg_species_find(*name)));
    }
}
