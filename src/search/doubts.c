/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists the doubtful numbers of the animal on which a cheap winter may depend.
 *
 * Which numbers these are is judgement: those without a published value that decided about the cheapest winters of a shed when
 * each was put to the ends of its range. The ranges and their sources are the species table's.
 */
#include "search/doubts.h"

#include <stddef.h>

static const struct {
    const char *what;
    const char *number[WG_DOUBT_NUMBERS];
} doubt_row[] = {
    {"temperature from which flies mate and lay", {"mating_air", "laying_air"}},
    {"light in which flies mate", {"mating_light", NULL}},
    {"day length below which prepupae rest", {"dormancy_day", NULL}},
    {"whether prepupae rest by day length or by cold alone", {"dormancy_by_day_length", NULL}},
    {"warmth that ends the rest", {"dormancy_heat_median", NULL}},
    {"deaths of prepupae at rest and awake", {"dormant_hazard", "prepupa_hazard"}},
    {"deaths of prepupae and pupae by cold", {"prepupa_cold", "pupa_cold"}},
};

/* Fills a doubt. Returns false if the plan gives one of its numbers. */
static bool fill_doubt(struct wg_doubt *doubt, size_t row, const struct wg_plan *plan) {
    *doubt = (struct wg_doubt){.what = doubt_row[row].what};
    for (int i = 0; i < WG_DOUBT_NUMBERS && doubt_row[row].number[i] != NULL; i++) {
        const struct wg_parameter *const number = wg_species_find(doubt_row[row].number[i]);
        wg_assert(number != NULL);
        doubt->number[doubt->n++] = number;
        if (plan->is_given[wg_parameter_index(number)])
            return false;
    }
    return true;
}

void wg_doubts_of(struct wg_doubts *doubts, const struct wg_plan *plan) {
    doubts->n = 0;
    for (size_t row = 0; row < sizeof doubt_row / sizeof *doubt_row; row++)
        doubts->n += fill_doubt(&doubts->doubt[doubts->n], row, plan);
}

void wg_doubt_apply(const struct wg_doubt *doubt, bool high, struct wg_plan *plan) {
    const struct wg_species before = plan->species;
    for (int i = 0; i < doubt->n; i++) {
        const struct wg_parameter *const number = doubt->number[i];
        wg_species_put(&plan->species, number, high ? number->high : number->low);
        plan->is_given[wg_parameter_index(number)] = true;
    }
    if (wg_species_problem(&plan->species) != NULL)
        plan->species = before;
}
