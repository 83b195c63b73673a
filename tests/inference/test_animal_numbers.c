/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the coordinates of animals, and the animals drawn around the plausible ones.
 */
#include "inference/animal_numbers.h"
#include "species/plausible.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static struct wg_plan plan;
static struct wg_animal_numbers numbers;

static void begin(enum wg_animals animals) {
    plan_laboratory(&plan, 27, 10);
    plan.animals = animals;
    wg_animal_numbers_init(&numbers, &plan);
}

/* There and back: the number itself, to rounding; a number at a limit comes back within a millionth of the range. */
Test(animal_numbers, coordinates_lead_back_to_the_animal) {
    begin(WG_ANIMALS_PLAUSIBLE);
    cr_assert_gt(numbers.n, 40, "most numbers differ between plausible animals");
    for (int k = 0; k < 20; k++) {
        struct wg_species animal, moved;
        double x[WG_SPECIES_NUMBERS];
        wg_plausible_animal(k, &animal);
        wg_plausible_animal(k + 100, &moved);
        wg_animal_numbers_get(&numbers, &animal, x);
        wg_animal_numbers_move(&numbers, x, &moved);
        for (int i = 0; i < numbers.n; i++) {
            const struct wg_parameter *const row = numbers.row[i];
            cr_assert_float_eq(wg_species_get(&moved, row), wg_species_get(&animal, row),
                               2e-6 * (row->most - row->least), "%s", row->name);
        }
    }
    wg_plan_free(&plan);
}

Test(animal_numbers, given_numbers_do_not_move) {
    struct wg_species animal;
    const struct wg_parameter *const mass = wg_species_find("final_mass");
    plan_laboratory(&plan, 27, 10);
    plan.animals = WG_ANIMALS_PLAUSIBLE;
    plan.species.final_mass_g = 0.1875;
    plan.is_given[wg_parameter_index(mass)] = true;
    wg_animal_numbers_init(&numbers, &plan);
    for (int k = 0; k < 300; k += 7) {
        cr_assert_eq(wg_animal_numbers_draw(&numbers, &plan, k, k % 2 == 0, 3, &animal, NULL), 0);
        cr_assert_eq(animal.final_mass_g, 0.1875);
    }
    wg_plan_free(&plan);
}

/* The kernel keeps mean and variance of every coordinate; 2,000 draws know a mean to 0.022 sd, a variance to 3 to 6 %. */
Test(animal_numbers, jittered_animals_have_the_spread_of_the_plausible_ones) {
    enum { DRAWS = 2000 };
    static double sum[WG_SPECIES_NUMBERS], squares[WG_SPECIES_NUMBERS], all[WG_SPECIES_NUMBERS];
    double x[WG_SPECIES_NUMBERS];
    struct wg_species animal;
    int off = 0;
    begin(WG_ANIMALS_PLAUSIBLE);
    for (int k = 0; k < wg_plausible_count(); k++) {
        wg_plausible_animal(k, &animal);
        wg_animal_numbers_get(&numbers, &animal, x);
        for (int i = 0; i < numbers.n; i++)
            all[i] += pow(x[i] - numbers.mean[i], 2) / wg_plausible_count();
    }
    for (int k = 0; k < DRAWS; k++) {
        cr_assert_eq(wg_animal_numbers_draw(&numbers, &plan, k, true, 11, &animal, NULL), 0);
        cr_assert_null(wg_species_problem(&animal));
        wg_animal_numbers_get(&numbers, &animal, x);
        for (int i = 0; i < numbers.n; i++) {
            sum[i] += (x[i] - numbers.mean[i]) / DRAWS;
            squares[i] += pow(x[i] - numbers.mean[i], 2) / DRAWS;
        }
    }
    /* a draw whose numbers contradict each other is pulled back, so a few coordinates may be narrower */
    for (int i = 0; i < numbers.n; i++)
        off += fabs(sum[i]) > 5 * 0.0224 * sqrt(all[i]) || fabs(squares[i] / all[i] - 1) > 0.3;
    cr_expect_leq(off, numbers.n / 20, "%d of %d coordinates", off, numbers.n);
    wg_plan_free(&plan);
}

/* A plan with one animal keeps it in the middle. */
Test(animal_numbers, of_a_plan_with_one_animal_lie_around_it) {
    double sum[WG_SPECIES_NUMBERS] = {0}, x[WG_SPECIES_NUMBERS], middle[WG_SPECIES_NUMBERS];
    struct wg_species animal;
    int off = 0;
    begin(WG_ANIMALS_MIDDLE);
    for (int k = 0; k < wg_plausible_count(); k++) {
        cr_assert_eq(wg_animal_numbers_draw(&numbers, &plan, k, false, 1, &animal, NULL), 0);
        wg_animal_numbers_get(&numbers, &animal, x);
        for (int i = 0; i < numbers.n; i++)
            sum[i] += x[i] / wg_plausible_count();
    }
    wg_animal_numbers_get(&numbers, &plan.species, middle);
    /* only contradictions between numbers pull an animal away from where its coordinates would be */
    for (int i = 0; i < numbers.n; i++)
        off += fabs(sum[i] - middle[i]) > 0.1 * fmax(1, fabs(middle[i]));
    cr_expect_leq(off, numbers.n / 20, "%d of %d coordinates", off, numbers.n);
    wg_plan_free(&plan);
}
