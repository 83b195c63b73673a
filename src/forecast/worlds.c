/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Builds worlds and clocks once and shares them between threads.
 *
 * Each world and each clock has its own state, so that threads build different ones at the same time; a thread waits only
 * for one that another thread is building.
 */
#include "forecast/worlds.h"

#include "forecast/lattice.h"
#include "species/plausible.h"

#include <pthread.h>
#include <stdlib.h>

struct once_built {
    enum { BUILD_MISSING, BUILD_RUNNING, BUILD_DONE } state;
    int code; /* of a build that is done, with its error */
    struct wg_error err;
};

struct shared_clock {
    struct once_built build;
    bool is_lognormal;
    double spread;
    struct wg_clock clock;
    struct shared_clock *next;
};

/* One animal: a copy of the plan with its numbers, and its world. */
struct animal_world {
    struct once_built build;
    struct wg_plan plan;
    struct wg_world world;
};

struct wg_worlds {
    struct wg_world middle;
    int n_animals;
    struct animal_world **animal; /* NULL until somebody asks for it */
    struct wg_worlds *lender;     /* of the clocks; NULL: they are here */
    struct shared_clock *clocks;
    pthread_mutex_t lock;
    pthread_cond_t built;
};

/* ---- builds ---- */

/* Returns true if the caller has to build, false once it is built. The caller holds the lock. */
static bool claim_build(struct wg_worlds *worlds, struct once_built *build) {
    while (build->state == BUILD_RUNNING)
        pthread_cond_wait(&worlds->built, &worlds->lock);
    if (build->state == BUILD_DONE)
        return false;
    build->state = BUILD_RUNNING;
    return true;
}

static void finish_build(struct wg_worlds *worlds, struct once_built *build, int code) {
    pthread_mutex_lock(&worlds->lock);
    build->state = BUILD_DONE;
    build->code = code;
    pthread_cond_broadcast(&worlds->built);
    pthread_mutex_unlock(&worlds->lock);
}

static int report_build(const struct once_built *build, struct wg_error *err) {
    if (build->code < 0 && err != NULL && err->code == 0)
        *err = build->err;
    return build->code;
}

/* ---- clocks ---- */

/* Returns the clock of a spread, new if it is the first; NULL: out of memory. The caller holds the lock. */
static struct shared_clock *find_clock(struct wg_worlds *worlds, bool is_lognormal, double spread) {
    struct shared_clock *clock = worlds->clocks;
    while (clock != NULL && (clock->is_lognormal != is_lognormal || clock->spread != spread))
        clock = clock->next;
    if (clock != NULL)
        return clock;
    clock = calloc(1, sizeof *clock);
    if (clock != NULL) {
        *clock = (struct shared_clock){.is_lognormal = is_lognormal, .spread = spread, .next = worlds->clocks};
        worlds->clocks = clock;
    }
    return clock;
}

/* Lends a clock to *out. */
static int lend_clock(struct wg_worlds *worlds, bool is_lognormal, double spread, struct wg_clock *out,
                      struct wg_error *err) {
    struct wg_worlds *const from = worlds->lender != NULL ? worlds->lender : worlds;
    pthread_mutex_lock(&from->lock);
    struct shared_clock *const clock = find_clock(from, is_lognormal, spread);
    const bool is_mine = clock != NULL && claim_build(from, &clock->build);
    pthread_mutex_unlock(&from->lock);
    if (clock == NULL)
        return wg_no_memory(err, NULL);
    if (is_mine)
        finish_build(from, &clock->build,
                     is_lognormal ? wg_clock_init_lognormal(&clock->clock, spread, &clock->build.err)
                                  : wg_clock_init_gamma(&clock->clock, spread, &clock->build.err));
    *out = clock->clock;
    return report_build(&clock->build, err);
}

static int lend_clocks(struct wg_worlds *worlds, const struct wg_species *species, struct wg_clocks *out,
                       struct wg_error *err) {
    int code = lend_clock(worlds, true, species->dorm_heat_sigma, &out->dormancy, err);
    for (int i = 0; i < WG_N_CLOCKS && code == 0; i++)
        code = lend_clock(worlds, false, species->spread[i], &out->stage[i], err);
    return code;
}

/* ---- worlds ---- */

static int build_animal(struct wg_worlds *worlds, int i, struct animal_world *animal) {
    struct wg_clocks clocks = {0};
    animal->plan = *worlds->middle.plan;
    wg_lattice_species(worlds->middle.plan, i, &animal->plan.species);
    int code = lend_clocks(worlds, &animal->plan.species, &clocks, &animal->build.err);
    if (code == 0)
        code = wg_world_vary(&animal->world, &worlds->middle, &animal->plan, &clocks, &animal->build.err);
    return code;
}

int wg_worlds_get(struct wg_worlds *worlds, int animal, const struct wg_world **world, struct wg_error *err) {
    *world = &worlds->middle;
    if (animal < 0)
        return 0;
    wg_assert(animal < worlds->n_animals);
    pthread_mutex_lock(&worlds->lock);
    struct animal_world *found = worlds->animal[animal];
    if (found == NULL)
        found = worlds->animal[animal] = calloc(1, sizeof *found);
    const bool is_mine = found != NULL && claim_build(worlds, &found->build);
    pthread_mutex_unlock(&worlds->lock);
    if (found == NULL)
        return wg_no_memory(err, NULL);
    if (is_mine)
        finish_build(worlds, &found->build, build_animal(worlds, animal, found));
    *world = &found->world;
    return report_build(&found->build, err);
}

/* Builds the world of the middle animal; with a lender its clocks are borrowed. */
static int build_middle(struct wg_worlds *worlds, const struct wg_plan *plan, struct wg_error *err) {
    struct wg_clocks clocks = {0};
    if (worlds->lender == NULL)
        return wg_world_init(&worlds->middle, plan, err);
    const int code = wg_plan_check(plan, err); /* only a checked animal has clocks */
    const int lent = code == 0 ? lend_clocks(worlds, &plan->species, &clocks, err) : code;
    return lent == 0 ? wg_world_init_with(&worlds->middle, plan, &clocks, err) : lent;
}

int wg_worlds_new(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_error *err) {
    return wg_worlds_new_beside(worlds, plan, NULL, err);
}

int wg_worlds_new_beside(struct wg_worlds **worlds, const struct wg_plan *plan, struct wg_worlds *lender,
                         struct wg_error *err) {
    struct wg_worlds *const made = calloc(1, sizeof *made);
    *worlds = NULL;
    if (made == NULL)
        return wg_no_memory(err, NULL);
    made->lender = lender;
    pthread_mutex_init(&made->lock, NULL);
    pthread_cond_init(&made->built, NULL);
    int code = build_middle(made, plan, err);
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

static void free_clocks(struct shared_clock *clock) {
    while (clock != NULL) {
        struct shared_clock *const next = clock->next;
        wg_clock_free(&clock->clock);
        free(clock);
        clock = next;
    }
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
    free_clocks(worlds->clocks);
    wg_world_free(&worlds->middle);
    pthread_cond_destroy(&worlds->built);
    pthread_mutex_destroy(&worlds->lock);
    free(worlds);
}
