/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Builds worlds once and shares them between threads.
 *
 * Each world has its own state, so that threads build different ones at the same time; a thread waits only for one that another
 * thread is building.
 */
#include "forecast/worlds.h"

#include "forecast/lattice.h"
#include "forecast/once_built.h"
#include "species/plausible.h"

#include <stdlib.h>

/* One animal: a copy of the plan with its numbers, and its world. */
struct animal_world {
    struct wg_once_built build;
    struct wg_plan plan;
    struct wg_world world;
};

struct wg_worlds {
    struct wg_world middle;
    int n_animals;
    struct animal_world **animal; /* NULL until somebody asks for it */
    struct wg_tables *tables;     /* of its animals */
    bool owns_tables;
    struct wg_builds builds;
};

/* Borrows the tables of a plan's animal. */
static int borrow_tables(struct wg_worlds *worlds, const struct wg_plan *plan, struct wg_clocks *clocks,
                         struct wg_cohort_growth *growth, struct wg_error *err) {
    const int code = wg_tables_clocks(worlds->tables, &plan->species, clocks, err);
    return code == 0 ? wg_tables_growth(worlds->tables, &plan->species, &clocks->stage[WG_CLOCK_LARVA],
                                        wg_world_look_ahead(plan), growth, err)
                     : code;
}

static int build_animal(struct wg_worlds *worlds, int i, struct animal_world *animal) {
    struct wg_clocks clocks = {0};
    struct wg_cohort_growth growth = {0};
    animal->plan = *worlds->middle.plan;
    wg_lattice_species(worlds->middle.plan, i, &animal->plan.species);
    const int code = borrow_tables(worlds, &animal->plan, &clocks, &growth, &animal->build.err);
    if (code == 0)
        wg_world_vary(&animal->world, &worlds->middle, &animal->plan, &clocks, &growth);
    return code;
}

int wg_worlds_get(struct wg_worlds *worlds, int animal, const struct wg_world **world, struct wg_error *err) {
    *world = &worlds->middle;
    if (animal < 0)
        return 0;
    wg_assert(animal < worlds->n_animals);
    pthread_mutex_lock(&worlds->builds.lock);
    struct animal_world *found = worlds->animal[animal];
    if (found == NULL)
        found = worlds->animal[animal] = calloc(1, sizeof *found);
    const bool is_mine = found != NULL && wg_build_claim(&worlds->builds, &found->build);
    pthread_mutex_unlock(&worlds->builds.lock);
    if (found == NULL)
        return wg_no_memory(err, NULL);
    if (is_mine)
        wg_build_finish(&worlds->builds, &found->build, build_animal(worlds, animal, found));
    *world = &found->world;
    return wg_build_report(&found->build, err);
}

static int build_middle(struct wg_worlds *worlds, const struct wg_plan *plan, struct wg_error *err) {
    struct wg_clocks clocks = {0};
    struct wg_cohort_growth growth = {0};
    int code = wg_plan_check(plan, err); /* only a checked animal has tables */
    if (code == 0)
        code = borrow_tables(worlds, plan, &clocks, &growth, err);
    return code == 0 ? wg_world_init_with(&worlds->middle, plan, &clocks, &growth, err) : code;
}

int wg_worlds_new(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_tables *tables,
                  struct wg_error *err) {
    struct wg_worlds *const made = calloc(1, sizeof *made);
    *worlds = NULL;
    if (made == NULL)
        return wg_no_memory(err, NULL);
    made->tables = tables;
    made->owns_tables = tables == NULL;
    pthread_mutex_init(&made->builds.lock, NULL);
    pthread_cond_init(&made->builds.built, NULL);
    int code = tables == NULL ? wg_tables_new(&made->tables, err) : 0;
    if (code == 0)
        code = build_middle(made, plan, err);
    if (code == 0 && plan->animals == WG_ANIMALS_PLAUSIBLE) {
        made->n_animals = wg_plausible_count();
        made->animal = calloc((size_t)made->n_animals, sizeof(struct animal_world *));
        code = made->animal == NULL ? wg_no_memory(err, NULL) : 0;
    }
    if (code < 0)
        wg_worlds_free(made);
    else
        *worlds = made;
    return code;
}

void wg_worlds_free(struct wg_worlds *worlds) {
    if (worlds == NULL)
        return;
    for (int i = 0; worlds->animal != NULL && i < worlds->n_animals; i++) {
        if (worlds->animal[i] != NULL)
            wg_world_free(&worlds->animal[i]->world);
        free(worlds->animal[i]);
    }
    free(worlds->animal);
    wg_world_free(&worlds->middle);
    if (worlds->owns_tables)
        wg_tables_free(worlds->tables);
    pthread_cond_destroy(&worlds->builds.built);
    pthread_mutex_destroy(&worlds->builds.lock);
    free(worlds);
}
