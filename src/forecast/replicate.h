/**
 * Simulates one replicate (private to forecast/ and library/).
 */
#ifndef WG_FORECAST_REPLICATE_H
#define WG_FORECAST_REPLICATE_H

#include "colony/colony.h"

/** The state of one thread that simulates replicates. Zero-initialise it; free is safe after a failed init. */
struct wg_simulator {
    const struct wg_world *world;
    struct wg_colony *colony;
    struct wg_weather weather;
    gsl_rng *weather_rng, *chance, *mishap;
};
int wg_simulator_init(struct wg_simulator *simulator, const struct wg_world *world, struct wg_error *err);
void wg_simulator_free(struct wg_simulator *simulator);
/** Simulates a replicate of the world's plan into the diary. A colony too large to count is WG_ERR_OVERGROWN. */
int wg_simulator_run(struct wg_simulator *simulator, int64_t replicate, struct wg_diary *diary, struct wg_error *err);

#endif
