/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sets the animals of a plan to those stored in a result, whatever today's defaults are.
 */
#include "results/stored_parts.h"

#include "species/plausible.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LISTED 6 /* at most so many differing numbers are listed by name */

static void append_item(char text[WG_STORED_NUMBERS_SIZE], int *n, const char *item) {
    const size_t used = strlen(text);
    if ((*n)++ < LISTED)
        (void)snprintf(text + used, WG_STORED_NUMBERS_SIZE - used, "%s%s", used > 0 ? ", " : "", item);
    else if (*n == LISTED + 1)
        (void)snprintf(text + used, WG_STORED_NUMBERS_SIZE - used, " and more");
}

static bool is_stored(const struct wg_result_data *data, const char *name) {
    for (int i = 0; i < data->n_parameters; i++)
        if (strcmp(data->parameter[i].name, name) == 0)
            return true;
    return false;
}

static int fail_stored_number(const struct wg_result_data *data, const struct wg_result_parameter *stored,
                              struct wg_error *err) {
    return wg_fail(err, WG_ERR_FORMAT, data->in.path,
                   "This result has \"%.40s\" for %.60s, which is not a valid value.", stored->value, stored->name);
}

/* Copies one stored number into the species. */
static int apply_stored_number(const struct wg_result_data *data, const struct wg_result_parameter *stored,
                               struct wg_species *species, struct wg_stored_numbers *numbers, struct wg_error *err) {
    char item[160], *end;
    const struct wg_parameter *const p = wg_species_find(stored->name);
    const double then = strtod(stored->value, &end);
    if (end == stored->value || *end != '\0')
        return fail_stored_number(data, stored, err);
    if (p == NULL) {
        (void)snprintf(item, sizeof item, "%.60s (%s then)", stored->name, stored->value);
        append_item(numbers->gone, &numbers->n_gone, item);
        return 0;
    }
    const double now = wg_species_get(species, p);
    if (then == now)
        return 0;
    if (!(then >= p->least && then <= p->most))
        return fail_stored_number(data, stored, err);
    (void)snprintf(item, sizeof item, "%s %s then, %.9g now", p->name, stored->value, now);
    append_item(numbers->changed, &numbers->n_changed, item);
    wg_species_put(species, p, then);
    return 0;
}

static int apply_middle_animal(const struct wg_result_data *data, struct wg_species *species,
                               struct wg_stored_numbers *numbers, struct wg_error *err) {
    int code = 0;
    for (int i = 0; i < data->n_parameters && code == 0; i++)
        code = apply_stored_number(data, &data->parameter[i], species, numbers, err);
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        if (!is_stored(data, p->name))
            append_item(numbers->new, &numbers->n_new, p->name);
    const char *const problem = code == 0 ? wg_species_problem(species) : NULL;
    return problem == NULL ? code
                           : wg_fail(err, WG_ERR_FORMAT, data->in.path,
                                     "The numbers of the animal in this result contradict each other: %s.", problem);
}

/* ---- the plausible animals ---- */

/* Copies the numbers of stored animal i that this program knows. */
static void copy_animal(const struct wg_result_data *data, int i, struct wg_species *species) {
    for (int k = 0; k < data->n_parameters; k++) {
        const struct wg_parameter *const p = wg_species_find(data->parameter[k].name);
        if (p != NULL)
            wg_species_put(species, p, data->animals.value[(ptrdiff_t)i * data->n_parameters + k]);
    }
}

static int check_animal(const struct wg_result_data *data, int number, const struct wg_species *species,
                        struct wg_error *err) {
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        const double value = wg_species_get(species, p);
        if (!(value >= p->least && value <= p->most))
            return wg_fail(err, WG_ERR_FORMAT, data->in.path,
                           "This result has %g for %s of animal %d, which is not a valid value.", value, p->name,
                           number);
    }
    const char *const problem = wg_species_problem(species);
    return problem == NULL
               ? 0
               : wg_fail(err, WG_ERR_FORMAT, data->in.path,
                         "The numbers of animal %d in this result contradict each other: %s.", number, problem);
}

static int apply_plausible_animals(const struct wg_result_data *data, struct wg_plan *plan, struct wg_error *err) {
    struct wg_species *const animals = malloc((size_t)wg_plausible_count() * sizeof *animals);
    int code = animals == NULL ? wg_no_memory(err, NULL) : 0;
    for (int i = 0; i < wg_plausible_count() && code == 0; i++)
        wg_plausible_animal(i, &animals[i]);
    for (int i = 0; i < data->animals.n && code == 0; i++) {
        const int number = (int)data->animals.number[i];
        copy_animal(data, i, &animals[number]);
        code = check_animal(data, number, &animals[number], err);
    }
    free(plan->plausible);
    plan->plausible = animals;
    return code;
}

int wg_stored_animals_changed(const struct wg_result_data *data, const struct wg_plan *plan) {
    int n = 0;
    for (int i = 0; i < data->animals.n; i++) {
        struct wg_species today, then;
        wg_lattice_species(plan, (int)data->animals.number[i], &today);
        then = today;
        copy_animal(data, i, &then);
        n += memcmp(&then, &today, sizeof then) != 0;
    }
    return n;
}

int wg_stored_numbers_apply(const struct wg_result_data *data, struct wg_plan *plan, struct wg_stored_numbers *numbers,
                            struct wg_error *err) {
    int code = apply_middle_animal(data, &plan->species, numbers, err);
    if (code < 0)
        return code;
    plan->animals = data->animals.animals;
    numbers->n_animals = wg_stored_animals_changed(data, plan);
    return data->animals.n > 0 ? apply_plausible_animals(data, plan, err) : 0;
}
