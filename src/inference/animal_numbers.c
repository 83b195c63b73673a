/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Turns the numbers of an animal into coordinates and back, and draws animals around the plausible ones.
 */
#include "inference/animal_numbers.h"

#include "base/elementary.h"
#include "base/random.h"
#include "forecast/lattice.h"
#include "species/plausible.h"

#include <math.h>

#define FEWEST_VALUES 8 /* with fewer a number is a switch (judgement: a switch has two or three) */
#define EDGE 1e-6       /* of the range between the limits: a value at a limit has a finite coordinate */
#define WIDTH 0.5 /* h of the kernel: clearly outside the plausible animals, and their shape is kept (judgement) */
#define HALVINGS 10

/* ---- coordinates ---- */

static double coordinate_of(const struct wg_parameter *row, double value) {
    const double share = (value - row->least) / (row->most - row->least), inner = fmin(1 - EDGE, fmax(EDGE, share));
    return wg_log(inner / (1 - inner));
}

static double number_at(const struct wg_parameter *row, double x) {
    const double share = x < 0 ? wg_exp(x) / (1 + wg_exp(x)) : 1 / (1 + wg_exp(-x));
    return row->least + (row->most - row->least) * share;
}

/* Counts the values of a number among the plausible animals, up to FEWEST_VALUES. */
static int count_different(const struct wg_parameter *row, const struct wg_species *animals, int n) {
    double seen[FEWEST_VALUES];
    int n_seen = 0;
    for (int i = 0; i < n && n_seen < FEWEST_VALUES; i++) {
        const double value = wg_species_get(&animals[i], row);
        int k = 0;
        while (k < n_seen && seen[k] != value)
            k++;
        if (k == n_seen)
            seen[n_seen++] = value;
    }
    return n_seen;
}

#define SAMPLE 64 /* any first 64 animals are a cross-section of all */

static void find_mean(struct wg_animal_numbers *numbers) {
    double x[WG_SPECIES_NUMBERS];
    const int count = wg_plausible_count();
    for (int i = 0; i < numbers->n; i++)
        numbers->mean[i] = 0;
    for (int k = 0; k < count; k++) {
        struct wg_species animal;
        wg_plausible_animal(k, &animal);
        wg_animal_numbers_get(numbers, &animal, x);
        for (int i = 0; i < numbers->n; i++)
            numbers->mean[i] += x[i] / count;
    }
}

void wg_animal_numbers_init(struct wg_animal_numbers *numbers, const struct wg_plan *plan) {
    struct wg_species sample[SAMPLE];
    numbers->n = 0;
    for (int i = 0; i < SAMPLE; i++)
        wg_plausible_animal(i, &sample[i]);
    for (const struct wg_parameter *row = wg_species_parameters(); row->name != NULL; row++)
        if (!plan->is_given[wg_parameter_index(row)] && count_different(row, sample, SAMPLE) >= FEWEST_VALUES)
            numbers->row[numbers->n++] = row;
    find_mean(numbers);
}

void wg_animal_numbers_get(const struct wg_animal_numbers *numbers, const struct wg_species *animal, double *x) {
    for (int i = 0; i < numbers->n; i++)
        x[i] = coordinate_of(numbers->row[i], wg_species_get(animal, numbers->row[i]));
}

void wg_animal_numbers_move(const struct wg_animal_numbers *numbers, const double *x, struct wg_species *animal) {
    double from[WG_SPECIES_NUMBERS], step = 1;
    wg_animal_numbers_get(numbers, animal, from);
    for (int k = 0; k < HALVINGS; k++, step /= 2) {
        struct wg_species moved = *animal;
        for (int i = 0; i < numbers->n; i++)
            wg_species_put(&moved, numbers->row[i], number_at(numbers->row[i], from[i] + step * (x[i] - from[i])));
        if (wg_species_problem(&moved) == NULL) {
            *animal = moved;
            return;
        }
    }
}

/* ---- draws ---- */

static void random_animal(const struct wg_animal_numbers *numbers, gsl_rng *rng, double *x) {
    struct wg_species animal;
    wg_plausible_animal((int)(wg_uniform(rng) * wg_plausible_count()), &animal);
    wg_animal_numbers_get(numbers, &animal, x);
}

/* Moves coordinates between and around the plausible animals. */
static int jitter_coordinates(const struct wg_animal_numbers *numbers, uint64_t seed, int64_t k, double *x,
                              struct wg_error *err) {
    const double *const mean = numbers->mean;
    double one[WG_SPECIES_NUMBERS], other[WG_SPECIES_NUMBERS];
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    if (rng == NULL)
        return wg_no_memory(err, NULL);
    wg_rng_start(rng, seed, (uint64_t)k, WG_PURPOSE_PARAMETERS);
    random_animal(numbers, rng, one);
    random_animal(numbers, rng, other);
    gsl_rng_free(rng);
    for (int i = 0; i < numbers->n; i++)
        x[i] = mean[i] + sqrt(1 - WIDTH * WIDTH) * (x[i] - mean[i]) + WIDTH * (one[i] - other[i]) / sqrt(2);
    return 0;
}

int wg_animal_numbers_draw(const struct wg_animal_numbers *numbers, const struct wg_plan *plan, int64_t k, bool jitter,
                           uint64_t seed, struct wg_species *animal, struct wg_error *err) {
    double x[WG_SPECIES_NUMBERS], middle[WG_SPECIES_NUMBERS];
    const bool is_middle = plan->animals == WG_ANIMALS_MIDDLE, is_jittered = jitter || k >= wg_plausible_count();
    int code = 0;
    wg_plausible_animal((int)(k % wg_plausible_count()), animal);
    wg_animal_numbers_get(numbers, animal, x);
    if (is_jittered)
        code = jitter_coordinates(numbers, seed, k, x, err);
    if (is_middle) {
        *animal = plan->species;
        wg_animal_numbers_get(numbers, animal, middle);
        for (int i = 0; i < numbers->n; i++)
            x[i] += middle[i] - numbers->mean[i];
    } else if (code == 0) {
        wg_lattice_species(plan, (int)(k % wg_plausible_count()), animal);
    }
    if (is_middle || is_jittered)
        wg_animal_numbers_move(numbers, x, animal);
    return code;
}
