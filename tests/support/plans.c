/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "support/plans.h"

#include "forecast/lattice.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void one_place(struct wg_plan *plan, enum wg_housing_kind kind, int days) {
    *plan = (struct wg_plan){.n_places = 1, .n_bins = 1, .replicates = 10, .seed = 1, .steps_per_day = 1};
    plan->places = calloc(1, sizeof *plan->places);
    plan->bins = calloc(1, sizeof *plan->bins);
    cr_assert(plan->places != NULL && plan->bins != NULL);
    strcpy(plan->places[0].name, "place");
    strcpy(plan->bins[0].name, "tray");
    strcpy(plan->numbers, "keepers");
    wg_shelter_defaults(&plan->places[0].shelter, kind);
    wg_ground_defaults(&plan->places[0].ground, kind);
    wg_bin_defaults(&plan->bins[0].spec, kind, 0.150, 0);
    cr_assert_eq(wg_species_set(&plan->species, "keepers"), 0);
    plan->feed_unlimited = true;
    plan->unlimited_quality = 1;
    plan->last_day = plan->first_day + days - 1;
}

void plan_laboratory(struct wg_plan *plan, double temp_c, int days) {
    one_place(plan, WG_LABORATORY, days);
    plan->first_day = wg_day_from_date((struct wg_date){2026, 1, 1});
    plan->last_day = plan->first_day + days - 1;
    plan->climate = (struct wg_climate_spec){.kind = WG_CLIMATE_CONSTANT, .constant_c = temp_c, .latitude_deg = 0};
}

void plan_outdoors(struct wg_plan *plan, int days) {
    one_place(plan, WG_OUTDOORS, days);
    plan->first_day = wg_day_from_date((struct wg_date){2026, 9, 15});
    plan->last_day = plan->first_day + days - 1;
    plan->climate = (struct wg_climate_spec){
        .kind = WG_CLIMATE_NORMALS,
        .latitude_deg = 32.4,
        .elevation_m = 60,
        .sun_coefficient = 0.16,
        .high_c = {14.4, 16.7, 20.6, 25, 28.9, 32.8, 33.9, 33.3, 30.6, 25.6, 20, 15.6},
        .low_c = {2.2, 3.9, 7.8, 12.2, 16.7, 21.1, 22.2, 21.7, 18.3, 12.2, 7.2, 3.3},
    };
    cr_assert_eq(wg_climate_spread("humid subtropical", plan->climate.high_sd_c, plan->climate.low_sd_c), 0);
}

void plan_add_place(struct wg_plan *plan, enum wg_housing_kind kind) {
    plan->places = realloc(plan->places, 2 * sizeof *plan->places);
    plan->bins = realloc(plan->bins, 2 * sizeof *plan->bins);
    cr_assert(plan->places != NULL && plan->bins != NULL);
    plan->places[1] = (struct wg_place_plan){.name = "second"};
    plan->bins[1] = (struct wg_bin_plan){.name = "other", .place = 1};
    wg_shelter_defaults(&plan->places[1].shelter, kind);
    wg_ground_defaults(&plan->places[1].ground, kind);
    wg_bin_defaults(&plan->bins[1].spec, kind, 0.150, 0);
    plan->n_places = plan->n_bins = 2;
}

void plan_add(struct wg_plan *plan, struct wg_action action) {
    plan->actions = realloc(plan->actions, (size_t)(plan->n_actions + 1) * sizeof *plan->actions);
    cr_assert(plan->actions != NULL);
    plan->actions[plan->n_actions++] = action;
    wg_plan_sort(plan);
}

void plan_start(struct wg_plan *plan, int day, enum wg_movable what, double age_days, int64_t count) {
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_START,
                                      .from = plan->first_day + day,
                                      .to = plan->first_day + day,
                                      .every = 1,
                                      .place = -1,
                                      .as.start = {.what = what, .age_days = age_days, .count = count}});
}

void plan_feed(struct wg_plan *plan, double wet_kg) {
    plan->feed_unlimited = false;
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_FEED,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .place = -1,
                                      .as.feed = {.type = wg_feed_find("kitchen scraps"), .wet_kg = wet_kg}});
}

void plan_collect(struct wg_plan *plan, double share) {
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_COLLECT,
                                      .from = plan->first_day,
                                      .to = plan->last_day,
                                      .every = 1,
                                      .place = -1,
                                      .as.collect = {.share = share}});
}

void plan_immortal(struct wg_plan *plan) {
    struct wg_species *const species = &plan->species;
    memset(species->hazard, 0, sizeof species->hazard);
    species->dormant_hazard = species->heat_chronic = species->heat_acute = species->freeze_hazard = 0;
    species->starvation = 0;
    struct wg_cold *const cold[] = {&species->cold_egg,     &species->cold_young_larva, &species->cold_old_larva,
                                    &species->cold_prepupa, &species->cold_pupa,        &species->cold_adult};
    for (size_t i = 0; i < sizeof cold / sizeof *cold; i++)
        cold[i]->h4 = 0;
}

void plan_simulate(const struct wg_plan *plan, uint64_t replicate, struct wg_diary *diary) {
    struct wg_error err = {0};
    struct wg_world world = {0};
    struct wg_colony *colony = NULL;
    struct wg_weather weather = {0};
    struct wg_plan lived = *plan;
    const struct wg_cell cell = wg_lattice_cell(plan, (int64_t)replicate);
    wg_lattice_species(plan, cell.animal, &lived.species);
    cr_assert_eq(wg_world_init(&world, &lived, &err), 0, "%s", err.text);
    cr_assert_eq(wg_colony_new(&colony, &world, &err), 0, "%s", err.text);
    cr_assert_eq(wg_weather_init(&weather, world.climate, &err), 0, "%s", err.text);
    cr_assert_eq(wg_diary_init(diary, plan, &err), 0, "%s", err.text);
    gsl_rng *const rng[3] = {gsl_rng_alloc(wg_rng_type()), gsl_rng_alloc(wg_rng_type()), gsl_rng_alloc(wg_rng_type())};
    wg_rng_start(rng[0], plan->seed, (uint64_t)cell.winter, WG_PURPOSE_WEATHER);
    wg_rng_start(rng[1], plan->seed, replicate, WG_PURPOSE_DEMOGRAPHY);
    wg_rng_start(rng[2], plan->seed, (uint64_t)cell.winter, WG_PURPOSE_MISHAPS);
    wg_weather_draw(&weather, world.climate, rng[0]);
    cr_assert_eq(wg_colony_run(colony, &weather, rng[1], rng[2], diary, &err), 0, "%s", err.text);
    for (int i = 0; i < 3; i++)
        gsl_rng_free(rng[i]);
    wg_weather_free(&weather);
    wg_colony_free(colony);
    wg_world_free(&world);
}
