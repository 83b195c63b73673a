/**
 * One colony living through one weather: cohorts, feed piles, places, ledgers.
 *
 * The step's order is written once, in colony/step.c:
 * settings -> keeper's other actions -> shelter and bins -> feed and ration -> development,
 * death, stage changes -> mating and laying -> mishaps -> ledgers -> diary.
 * In a bin: the ration from what lies there, then microbes on what is left, then
 * deaths and exits together. Flies live, lay, mate, and the new ones emerge, in this order.
 */
#ifndef WG_COLONY_COLONY_H
#define WG_COLONY_COLONY_H

#include "base/random.h"
#include "colony/diary.h"
#include "colony/plan.h"
#include "species/clock.h"
#include "species/growth.h"

/** All that replicates share: immutable after init. Borrows the plan, which must outlive it. */
struct wg_world {
    const struct wg_plan *plan;
    struct wg_climate *climate;
    struct wg_clocks clocks;
    struct wg_cohort_growth growth;
    struct wg_place_model *places; /* n_places */
    int n_generations;
    int n_lines; /* generations, overwintered or not: see src/colony/cohort.h */
};
int wg_world_init(struct wg_world *world, const struct wg_plan *plan, struct wg_error *err);
void wg_world_free(struct wg_world *world);
/** Checks the plan, the tables and the climate of a world: 0, or an error that names what is wrong (for tests, debuggers). */
int wg_world_verify(const struct wg_world *world, struct wg_error *err);

/** The most individuals a colony may count: beyond, a replicate stops and says so. */
#define WG_MAX_INDIVIDUALS (INT64_C(1) << 61)

/** Opaque to callers; see src/colony/cohort.h and state.h for its parts. */
struct wg_colony;
/** Allocates for a world: nothing is allocated later, except that cohort pools may grow between days. */
int wg_colony_new(struct wg_colony **colony, const struct wg_world *world, struct wg_error *err);
void wg_colony_free(struct wg_colony *colony);
/**
 * Checks all that the code takes for granted of a colony at the end of a step, as wg_step_ledger() leaves it: pools, feed,
 * temperatures, ledgers. 0, or WG_ERR_INTERNAL that names the bin or place, the number and its limits (for tests, debuggers).
 */
int wg_colony_verify(const struct wg_colony *colony, struct wg_error *err);

/**
 * Lives one replicate from the first to the last day into `diary` (cleared
 * first, concluded at the end). `chance` and `mishap` are borrowed streams of
 * purposes DEMOGRAPHY and MISHAPS, at their start; `weather` was drawn before.
 * Returns 0, or a negative error. A colony that outgrows the ceiling is not an
 * error here: diary->stopped_day says when.
 */
int wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                  struct wg_diary *diary, struct wg_error *err);

#endif
