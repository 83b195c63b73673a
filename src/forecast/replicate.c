/*
 * How does one possible year go? Three streams, one weather, one colony, one diary.
 */
#include "forecast/replicate.h"

int wg_liver_init(struct wg_liver *liver, const struct wg_world *world, struct wg_error *err) {
    *liver = (struct wg_liver){.world = world};
    liver->weather_rng = gsl_rng_alloc(wg_rng_type());
    liver->chance = gsl_rng_alloc(wg_rng_type());
    liver->mishap = gsl_rng_alloc(wg_rng_type());
    if (liver->weather_rng == NULL || liver->chance == NULL || liver->mishap == NULL)
        return wg_fail(err, WG_ERR_MEMORY, NULL, "there is no memory for the random streams");
    const int code = wg_weather_init(&liver->weather, world->climate, err);
    return code < 0 ? code : wg_colony_new(&liver->colony, world, err);
}

void wg_liver_free(struct wg_liver *liver) {
    gsl_rng *const rng[] = {liver->weather_rng, liver->chance, liver->mishap};
    for (size_t i = 0; i < sizeof rng / sizeof *rng; i++)
        if (rng[i] != NULL)
            gsl_rng_free(rng[i]);
    wg_weather_free(&liver->weather);
    wg_colony_free(liver->colony);
    *liver = (struct wg_liver){0};
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

int wg_liver_live(struct wg_liver *liver, int64_t replicate, struct wg_diary *diary, struct wg_error *err) {
    const uint64_t seed = liver->world->plan->seed, k = (uint64_t)replicate;
    wg_rng_start(liver->weather_rng, seed, k, WG_PURPOSE_WEATHER);
    wg_rng_start(liver->chance, seed, k, WG_PURPOSE_DEMOGRAPHY);
    wg_rng_start(liver->mishap, seed, k, WG_PURPOSE_MISHAPS);
    wg_weather_draw(&liver->weather, liver->world->climate, liver->weather_rng);
    const int code = wg_colony_live(liver->colony, &liver->weather, liver->chance, liver->mishap, diary, err);
    if (code == 0 && diary->stopped_day >= 0)
        return overgrown(replicate, diary->stopped_day, err);
    return code;
}
