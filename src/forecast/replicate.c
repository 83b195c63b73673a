/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Simulates one replicate: draws its weather, runs the colony through it and fills the diary.
 */
#include "forecast/replicate.h"

int wg_simulator_init(struct wg_simulator *simulator, const struct wg_world *world, struct wg_error *err) {
    *simulator = (struct wg_simulator){.world = world};
    simulator->weather_rng = gsl_rng_alloc(wg_rng_type());
    simulator->chance = gsl_rng_alloc(wg_rng_type());
    simulator->mishap = gsl_rng_alloc(wg_rng_type());
    if (simulator->weather_rng == NULL || simulator->chance == NULL || simulator->mishap == NULL)
        return wg_no_memory(err, NULL);
    const int code = wg_weather_init(&simulator->weather, world->climate, err);
    return code == 0 ? wg_colony_new(&simulator->colony, world, err) : code;
}

int wg_simulator_init_all(struct wg_simulator *simulator, struct wg_worlds *worlds, struct wg_error *err) {
    const struct wg_world *middle;
    const int code = wg_worlds_get(worlds, -1, &middle, err);
    wg_assert(code == 0);
    const int made = wg_simulator_init(simulator, middle, err);
    simulator->worlds = worlds;
    return made;
}

void wg_simulator_free(struct wg_simulator *simulator) {
    gsl_rng *const rng[] = {simulator->weather_rng, simulator->chance, simulator->mishap};
    for (size_t i = 0; i < sizeof rng / sizeof *rng; i++)
        if (rng[i] != NULL)
            gsl_rng_free(rng[i]);
    wg_weather_free(&simulator->weather);
    wg_colony_free(simulator->colony);
    *simulator = (struct wg_simulator){0};
}

static int overgrown(int64_t replicate, int32_t day, struct wg_error *err) {
    char date[24];
    wg_day_format_long(day, date);
    return wg_fail(
        err, WG_ERR_OVERGROWN, NULL,
        "with unlimited feed the colony grows past what can be counted (2 x 10^18 individuals) on %s in replicate "
        "%lld; end the period before that day, or give a feeding plan, which is what limits a real colony",
        date, (long long)replicate);
}

static int choose_world(const struct wg_simulator *simulator, int animal, struct wg_error *err) {
    const struct wg_world *world = simulator->world;
    wg_assert(animal < 0 || simulator->worlds != NULL);
    const int code = animal < 0 ? 0 : wg_worlds_get(simulator->worlds, animal, &world, err);
    if (code == 0)
        wg_colony_live_in(simulator->colony, world);
    return code;
}

int wg_simulator_run(struct wg_simulator *simulator, int64_t replicate, struct wg_diary *diary, struct wg_error *err) {
    const uint64_t seed = simulator->world->plan->seed;
    const struct wg_cell cell = wg_lattice_cell(simulator->world->plan, replicate);
    wg_rng_start(simulator->weather_rng, seed, (uint64_t)cell.winter, WG_PURPOSE_WEATHER);
    wg_rng_start(simulator->mishap, seed, (uint64_t)cell.winter, WG_PURPOSE_MISHAPS);
    wg_rng_start(simulator->chance, seed, (uint64_t)replicate, WG_PURPOSE_DEMOGRAPHY);
    int code = choose_world(simulator, cell.animal, err);
    if (code < 0)
        return code;
    wg_weather_draw(&simulator->weather, simulator->world->climate, simulator->weather_rng);
    code = wg_colony_run(simulator->colony, &simulator->weather, simulator->chance, simulator->mishap, diary, err);
    if (code == 0 && diary->stopped_day >= 0)
        return overgrown(replicate, diary->stopped_day, err);
    return code;
}
