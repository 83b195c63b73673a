/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes and reads the animals of a result: animal and winter of each replicate, and a table of their numbers.
 */
#include "results/stored_parts.h"

#include "results/columns.h"
#include "species/plausible.h"
#include "storage/provenance.h"

#include <stdlib.h>
#include <string.h>

#define ANIMALS "animals" /* attribute of the provenance */
#define NUMBER "plausible_animal"
#define VALUE "plausible_value"

static int add_cell_column(struct wg_h5 *file, const char *name, const char *text) {
    const struct wg_h5_variable variable = {
        .name = name, .unit = "1", .text = text, .kind = WG_H5_COUNT, .n_dims = 1, .dim = {"replicate"}};
    return wg_h5_variable(file, &variable);
}

struct wg_cell_columns wg_cell_columns_add(struct wg_h5 *file) {
    const int animal = add_cell_column(file, "animal", "number of the plausible animal; -1: the middle animal");
    const int winter = add_cell_column(
        file, "winter", "number of the winter: replicates of one winter have the same weather and mishaps");
    return (struct wg_cell_columns){.animal = animal, .winter = winter};
}

void wg_cell_columns_write(struct wg_h5 *file, const struct wg_cell_columns *columns, int64_t replicate,
                           struct wg_cell cell) {
    const int64_t animal = cell.animal;
    (void)wg_h5_write_rows(file, columns->animal, replicate, 1, &animal);
    (void)wg_h5_write_rows(file, columns->winter, replicate, 1, &cell.winter);
}

/* ---- the table of numbers ---- */

/* Lists the animals of the first replicates in their order in the table; returns how many. */
static int64_t list_animals(const struct wg_plan *plan, int64_t replicates, int64_t *number) {
    const int all = wg_plausible_count();
    const int64_t cells = (int64_t)all / WG_LATTICE_ANIMALS * WG_LATTICE_BLOCK; /* these have all of them */
    memset(number, 0, (size_t)all * sizeof *number);
    for (int64_t k = 0; k < replicates && k < cells; k++)
        number[wg_lattice_cell(plan, k).animal] = 1;
    int64_t n = 0;
    for (int i = 0; i < all; i++)
        if (number[i] != 0)
            number[n++] = i;
    return n;
}

static void fill_values(const struct wg_plan *plan, int64_t n, const int64_t *number, double *value) {
    for (int64_t i = 0; i < n; i++) {
        struct wg_species species;
        wg_lattice_species(plan, (int)number[i], &species);
        for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
            *value++ = wg_species_get(&species, p);
    }
}

static void put_animals(struct wg_h5 *file, int64_t n, const int64_t *number, const double *value) {
    const struct wg_h5_variable numbers = {.name = NUMBER,
                                           .unit = "1",
                                           .text = "number of a plausible animal that lived",
                                           .kind = WG_H5_COUNT,
                                           .n_dims = 1};
    (void)wg_h5_dimension(file, &numbers, n, number);
    (void)wg_put_reals(file, VALUE, "1", "its numbers, each in the unit of parameter_unit", NUMBER, "parameter", value);
}

int wg_stored_animals_write(struct wg_h5 *file, const struct wg_plan *plan, int64_t replicates, struct wg_error *err) {
    (void)wg_h5_attribute(file, -1, ANIMALS, wg_animals_name(plan->animals));
    if (plan->animals != WG_ANIMALS_PLAUSIBLE)
        return 0;
    int64_t *const number = malloc((size_t)wg_plausible_count() * sizeof *number);
    double *const value = malloc((size_t)wg_plausible_count() * sizeof(struct wg_species));
    const int code = number == NULL || value == NULL ? wg_no_memory(err, NULL) : 0;
    if (code == 0) {
        const int64_t n = list_animals(plan, replicates, number);
        fill_values(plan, n, number, value);
        put_animals(file, n, number, value);
    }
    free(number);
    free(value);
    return code;
}

/* ---- reading ---- */

/* A file without the attribute has the middle animal. */
static int read_choice(struct wg_stored_file *file, enum wg_animals *animals, struct wg_error *err) {
    char *const text = wg_h5_attribute_or_empty(file->h5, WG_PROVENANCE, ANIMALS);
    int i = 0;
    if (text == NULL)
        return wg_no_memory(err, file->facts.path);
    while (text[0] != '\0' && i <= WG_ANIMALS_MIDDLE_IN_LATTICE &&
           strcmp(text, wg_animals_name((enum wg_animals)i)) != 0)
        i++;
    free(text);
    if (i > WG_ANIMALS_MIDDLE_IN_LATTICE)
        return wg_stored_damaged(file, "its choice of animals", err);
    *animals = (enum wg_animals)i;
    return 0;
}

int wg_stored_animals_read(struct wg_stored_file *file, int n_parameters, struct wg_stored_animals *animals,
                           struct wg_error *err) {
    struct wg_h5_shape shape;
    void *number = NULL, *value = NULL;
    *animals = (struct wg_stored_animals){0};
    int code = read_choice(file, &animals->animals, err);
    if (code < 0 || animals->animals != WG_ANIMALS_PLAUSIBLE)
        return code;
    if (!wg_h5_find_shape(file->h5, WG_PROVENANCE "/" NUMBER, WG_H5_COUNT, &shape) || shape.n_dims != 1 ||
        shape.size[0] < 1 || shape.size[0] > wg_plausible_count())
        return wg_stored_damaged(file, "its list of animals", err);
    animals->n = (int)shape.size[0];
    code = wg_stored_values(file, WG_PROVENANCE "/" NUMBER, WG_H5_COUNT, &shape, &number, err);
    animals->number = number;
    const struct wg_h5_shape table = {2, {shape.size[0], n_parameters}};
    if (code == 0)
        code = wg_stored_values(file, WG_PROVENANCE "/" VALUE, WG_H5_REAL, &table, &value, err);
    animals->value = value;
    for (int i = 0; i < animals->n && code == 0; i++)
        if (animals->number[i] < 0 || animals->number[i] >= wg_plausible_count())
            code = wg_stored_damaged(file, "its list of animals", err);
    return code;
}
