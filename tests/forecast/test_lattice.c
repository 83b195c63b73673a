/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the lattice of animals and winters against its definition: an incomplete block design with 64 animals, 64
 * winters and 8 replicates of each, in which two animals share at most one winter (Cochran & Cox 1957, Experimental
 * Designs, MEMORY: a partially balanced incomplete block design).
 */
#include "forecast/lattice.h"
#include "species/plausible.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <string.h>

TestSuite(lattice);

static struct wg_plan plan_of_seed(uint64_t seed) {
    return (struct wg_plan){.animals = WG_ANIMALS_PLAUSIBLE, .seed = seed};
}

/* Counts how often each animal lived each of a block's winters. */
static void count_block(const struct wg_plan *plan, int64_t block, int lived[256][WG_LATTICE_ANIMALS]) {
    memset(lived, 0, sizeof(int[256][WG_LATTICE_ANIMALS]));
    for (int64_t k = block * WG_LATTICE_BLOCK; k < (block + 1) * WG_LATTICE_BLOCK; k++) {
        const struct wg_cell cell = wg_lattice_cell(plan, k);
        const int64_t winter = cell.winter - block * WG_LATTICE_ANIMALS;
        cr_assert(cell.animal >= 0 && cell.animal < wg_plausible_count());
        cr_assert(winter >= 0 && winter < WG_LATTICE_ANIMALS, "winter %lld", (long long)cell.winter);
        lived[cell.animal][winter]++;
    }
}

Test(lattice, a_block_has_64_animals_in_8_of_64_winters_each) {
    static int lived[256][WG_LATTICE_ANIMALS];
    for (uint64_t seed = 1; seed <= 20; seed++) {
        const struct wg_plan plan = plan_of_seed(seed);
        for (int64_t block = 0; block < 6; block++) {
            int of_winter[WG_LATTICE_ANIMALS] = {0}, animals = 0;
            count_block(&plan, block, lived);
            for (int a = 0; a < 256; a++) {
                int winters = 0;
                for (int w = 0; w < WG_LATTICE_ANIMALS; w++) {
                    cr_assert(lived[a][w] <= 1, "seed %d, block %d: animal %d lives winter %d %d times", (int)seed,
                              (int)block, a, w, lived[a][w]);
                    winters += lived[a][w];
                    of_winter[w] += lived[a][w];
                }
                cr_assert(winters == 0 || winters == 8, "animal %d lives %d winters", a, winters);
                animals += winters > 0;
            }
            cr_assert_eq(animals, WG_LATTICE_ANIMALS);
            for (int w = 0; w < WG_LATTICE_ANIMALS; w++)
                cr_assert_eq(of_winter[w], 8, "winter %d has %d animals", w, of_winter[w]);
        }
    }
}

Test(lattice, two_animals_share_at_most_one_winter) {
    static int lived[256][WG_LATTICE_ANIMALS];
    const struct wg_plan plan = plan_of_seed(2026);
    count_block(&plan, 0, lived);
    for (int a = 0; a < 256; a++)
        for (int b = 0; b < a; b++) {
            int shared = 0;
            for (int w = 0; w < WG_LATTICE_ANIMALS; w++)
                shared += lived[a][w] && lived[b][w];
            cr_assert(shared <= 1, "animals %d and %d share %d winters", a, b, shared);
        }
}

Test(lattice, each_64_replicates_have_every_winter_and_a_fair_group_of_animals) {
    for (uint64_t seed = 1; seed <= 20; seed++) {
        const struct wg_plan plan = plan_of_seed(seed);
        for (int64_t round = 0; round < 40; round++) {
            uint64_t winters = 0, animals = 0;
            const int group = wg_lattice_cell(&plan, round * 64).animal / 64;
            for (int64_t k = round * 64; k < (round + 1) * 64; k++) {
                const struct wg_cell cell = wg_lattice_cell(&plan, k);
                cr_assert_eq(cell.animal / 64, group);
                winters |= UINT64_C(1) << (cell.winter % 64);
                animals |= UINT64_C(1) << (cell.animal % 64);
            }
            cr_assert(winters == UINT64_MAX && animals == UINT64_MAX);
        }
    }
}

Test(lattice, four_blocks_have_all_animals_and_no_winter_twice) {
    const struct wg_plan plan = plan_of_seed(7);
    int lived[256] = {0};
    for (int64_t k = 0; k < 4 * WG_LATTICE_BLOCK; k++) {
        const struct wg_cell cell = wg_lattice_cell(&plan, k);
        lived[cell.animal]++;
        cr_assert_eq(cell.winter / 64, k / WG_LATTICE_BLOCK);
    }
    for (int a = 0; a < 256; a++)
        cr_assert_eq(lived[a], 8);
}

Test(lattice, the_seed_decides_and_the_number_of_replicates_does_not) {
    struct wg_plan plan = plan_of_seed(3), other = plan_of_seed(3);
    other.replicates = 5000;
    int same = 0;
    for (int64_t k = 0; k < WG_LATTICE_BLOCK; k++) {
        const struct wg_cell a = wg_lattice_cell(&plan, k), b = wg_lattice_cell(&other, k);
        cr_assert(a.animal == b.animal && a.winter == b.winter);
    }
    int first[256] = {0};
    for (uint64_t seed = 0; seed < 1000; seed++) {
        plan.seed = seed;
        const int animal = wg_lattice_cell(&plan, 0).animal;
        same += first[animal]++ > 0;
    }
    /* 1,000 draws from 256 leave 5 of them undrawn on average (coupon collector), more than 20 once in 10^7 */
    cr_assert(same <= 1000 - (256 - 20), "%d repeats", same);
}

Test(lattice, the_middle_animal_has_a_winter_for_each_replicate) {
    const struct wg_plan plan = {.seed = 9};
    for (int64_t k = 0; k < 2000; k++) {
        const struct wg_cell cell = wg_lattice_cell(&plan, k);
        cr_assert(cell.animal == -1 && cell.winter == k);
    }
}

Test(lattice, a_number_given_holds_for_every_animal) {
    struct wg_plan plan = plan_of_seed(1);
    cr_assert_eq(wg_species_set(&plan.species, "keepers"), 0);
    const struct wg_parameter *const given = wg_species_find("stay_open"), *const other = wg_species_find("egg_hazard");
    wg_species_put(&plan.species, given, 0.25);
    plan.is_given[wg_parameter_index(given)] = true;
    for (int i = 0; i < wg_plausible_count(); i++) {
        struct wg_species animal, table;
        wg_plausible_animal(i, &table);
        wg_lattice_species(&plan, i, &animal);
        cr_assert_eq(wg_species_get(&animal, given), 0.25);
        cr_assert_eq(wg_species_get(&animal, other), wg_species_get(&table, other));
    }
}

/* The smallest clutch above the largest of any animal; then every number at its least and most, one at a time. */
Test(lattice, a_number_given_never_contradicts_the_others) {
    struct wg_plan plan = plan_of_seed(1);
    cr_assert_eq(wg_species_set(&plan.species, "keepers"), 0);
    const struct wg_species keepers = plan.species;
    struct wg_species animal;
    plan.species.clutch_low = 2000;
    plan.species.clutch_high = 2100;
    plan.is_given[wg_parameter_index(wg_species_find("clutch_low"))] = true;
    wg_lattice_species(&plan, 7, &animal);
    cr_assert(animal.clutch_low == 2000 && animal.clutch_high == 2100);
    plan.is_given[wg_parameter_index(wg_species_find("clutch_low"))] = false;
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++)
        for (int end = 0; end < 3; end++) {
            plan.species = keepers;
            if (end < 2)
                wg_species_put(&plan.species, p, end == 0 ? p->least : p->most);
            if (wg_species_problem(&plan.species) != NULL)
                continue; /* which the plan's check refuses */
            plan.is_given[wg_parameter_index(p)] = true;
            for (int i = 0; i < wg_plausible_count(); i++) {
                wg_lattice_species(&plan, i, &animal);
                const char *const problem = wg_species_problem(&animal);
                cr_assert(problem == NULL, "%s, animal %d: %s", p->name, i, problem);
                cr_assert_eq(wg_species_get(&animal, p), wg_species_get(&plan.species, p));
            }
            plan.is_given[wg_parameter_index(p)] = false;
        }
}
