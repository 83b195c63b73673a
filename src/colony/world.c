/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Prepares what all replicates share: climate, clocks and places. */
#include "colony/state.h"

#include <stdlib.h>

static int prepare_place(struct wg_world *world, int p, struct wg_error *err) {
    const struct wg_plan *const plan = world->plan;
    struct wg_place_model *const model = &world->places[p];
    model->shelter = plan->places[p].shelter;
    model->heater = plan->places[p].heater;
    model->ground = plan->places[p].ground;
    int n_bins;
    const int first = wg_place_bins(plan, p, &n_bins);
    model->n_bins = n_bins;
    for (int b = 0; b < n_bins; b++)
        model->bin[b] = plan->bins[first + b].spec;
    return wg_place_model_init(model, world->climate, err);
}

double wg_world_look_ahead(const struct wg_plan *plan) {
    const double typical_c = 27.0;
    return wg_rate_per_day(&plan->species.rate[WG_CLOCK_LARVA], typical_c) / plan->steps_per_day / 2;
}

static int prepare_places(struct wg_world *world, struct wg_error *err) {
    const int n_places = world->plan->n_places;
    world->places = calloc((size_t)n_places, sizeof *world->places);
    int code = world->places == NULL ? wg_no_memory(err, NULL) : 0;
    for (int p = 0; p < n_places && code == 0; p++)
        code = prepare_place(world, p, err);
    return code;
}

static int prepare_world(struct wg_world *world, struct wg_error *err) {
    const struct wg_plan *const plan = world->plan;
    world->n_generations = wg_plan_generations(plan);
    world->n_lineages = 2 * world->n_generations; /* each generation overwintered or not */
    const int code = wg_climate_new(&world->climate, &plan->climate, plan->first_day, plan->last_day, err);
    return code == 0 ? prepare_places(world, err) : code;
}

static int build_tables(struct wg_world *world, struct wg_error *err) {
    const struct wg_plan *const plan = world->plan;
    world->has_tables = true;
    const int code = wg_clocks_init(&world->clocks, &plan->species, err);
    return code == 0 ? wg_cohort_growth_init(&world->growth, &plan->species, &world->clocks.stage[WG_CLOCK_LARVA],
                                             wg_world_look_ahead(plan), err)
                     : code;
}

int wg_world_init(struct wg_world *world, const struct wg_plan *plan, struct wg_error *err) {
    *world = (struct wg_world){.plan = plan};
    int code = wg_plan_check(plan, err);
    if (code == 0)
        code = build_tables(world, err);
    return code == 0 ? prepare_world(world, err) : code;
}

int wg_world_init_with(struct wg_world *world, const struct wg_plan *plan, const struct wg_clocks *clocks,
                       const struct wg_cohort_growth *growth, struct wg_error *err) {
    *world = (struct wg_world){.plan = plan, .clocks = *clocks, .growth = *growth};
    return prepare_world(world, err);
}

void wg_world_vary(struct wg_world *varied, const struct wg_world *world, const struct wg_plan *plan,
                   const struct wg_clocks *clocks, const struct wg_cohort_growth *growth) {
    *varied = *world;
    varied->plan = plan;
    varied->clocks = *clocks;
    varied->growth = *growth;
    varied->is_varied = true;
}

void wg_world_free(struct wg_world *world) {
    if (!world->is_varied) {
        free(world->places);
        if (world->has_tables) {
            wg_cohort_growth_free(&world->growth);
            wg_clocks_free(&world->clocks);
        }
        wg_climate_free(world->climate);
    }
    *world = (struct wg_world){0};
}

int wg_colony_new(struct wg_colony **colony, const struct wg_world *world, struct wg_error *err) {
    const struct wg_plan *const plan = world->plan;
    struct wg_colony *const made = calloc(1, sizeof *made);
    if (made != NULL) {
        made->world = world;
        made->bin = calloc((size_t)plan->n_bins + 1, sizeof *made->bin);
        made->place = calloc((size_t)plan->n_places + 1, sizeof *made->place);
        made->waiting = calloc((size_t)plan->n_actions + 1, sizeof *made->waiting);
    }
    *colony = made;
    if (made == NULL || made->bin == NULL || made->place == NULL || made->waiting == NULL)
        return wg_no_memory(err, NULL);
    return 0;
}

void wg_colony_live_in(struct wg_colony *colony, const struct wg_world *world) {
    wg_assert(world->climate == colony->world->climate && world->places == colony->world->places);
    colony->world = world;
}

static void free_bins(struct wg_colony *colony) {
    for (int b = 0; colony->bin != NULL && b < colony->world->plan->n_bins; b++) {
        wg_pool_free(&colony->bin[b].egg);
        wg_pool_free(&colony->bin[b].larva);
    }
    free(colony->bin);
}

static void free_places(struct wg_colony *colony) {
    for (int p = 0; colony->place != NULL && p < colony->world->plan->n_places; p++) {
        const struct wg_pool *pool[WG_PLACE_POOLS];
        wg_place_pools(&colony->place[p], pool);
        for (int i = 0; i < WG_PLACE_POOLS; i++)
            free(pool[i]->cohort);
    }
    free(colony->place);
}

void wg_colony_free(struct wg_colony *colony) {
    if (colony == NULL)
        return;
    free_bins(colony);
    free_places(colony);
    free(colony->steps);
    free(colony->waiting);
    free(colony);
}
