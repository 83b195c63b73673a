/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Simulates one replicate (private to forecast/ and library/).
 */
#ifndef WG_FORECAST_REPLICATE_H
#define WG_FORECAST_REPLICATE_H

#include "forecast/lattice.h"
#include "forecast/worlds.h"

/** The state of one thread that simulates replicates. Zero-initialise it; free is safe after a failed init. */
struct wg_simulator {
    const struct wg_world *world; /* of the middle animal */
    struct wg_worlds *worlds;     /* of the others; NULL: the plan has none */
    struct wg_colony *colony;
    struct wg_weather weather;
    gsl_rng *weather_rng, *chance, *mishap;
};
/** For a plan of one animal. */
int wg_simulator_init(struct wg_simulator *simulator, const struct wg_world *world, struct wg_error *err);
/** For any plan; simulators of several threads share the worlds. */
int wg_simulator_init_all(struct wg_simulator *simulator, struct wg_worlds *worlds, struct wg_error *err);
void wg_simulator_free(struct wg_simulator *simulator);
/**
 * Simulates a replicate of the world's plan into the diary: its cell of the lattice gives the animal and the winter.
 * Returns 0, WG_ERR_OVERGROWN (a colony too large to count), or an error of wg_worlds_get().
 */
int wg_simulator_run(struct wg_simulator *simulator, int64_t replicate, struct wg_diary *diary, struct wg_error *err);

#endif
