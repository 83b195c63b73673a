/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Simulation of one colony through one replicate of the weather: cohorts, feed, places, ledgers.
 *
 * The order of a step, in colony/step.c:
 * settings -> keeper's other actions -> shelter and bins -> feed and ration -> development,
 * death, stage changes -> laying and mating -> mishaps -> ledgers -> diary.
 * In a bin: first the ration, then microbial loss of the rest, then deaths and exits together.
 * Adults: ageing, laying, mating, emergence.
 */
#ifndef WG_COLONY_COLONY_H
#define WG_COLONY_COLONY_H

#include "base/random.h"
#include "colony/diary.h"
#include "plan/plan.h"
#include "species/clock.h"
#include "species/growth.h"

/** Data shared by all replicates; immutable after init. Borrows the plan, which must outlive it. */
struct wg_world {
    const struct wg_plan *plan;
    struct wg_climate *climate;
    struct wg_clocks clocks;
    struct wg_cohort_growth growth;
    struct wg_place_model *places; /* n_places */
    int n_generations;
    int n_lineages;  /* lineages: see colony/cohort.h */
    bool is_varied;  /* from another world: all is borrowed */
    bool has_tables; /* owns its clocks and its growth table */
};
int wg_world_init(struct wg_world *world, const struct wg_plan *plan, struct wg_error *err);
/** Does the same for a checked plan with borrowed clocks and growth table of its animal, which take most of the time. */
int wg_world_init_with(struct wg_world *world, const struct wg_plan *plan, const struct wg_clocks *clocks,
                       const struct wg_cohort_growth *growth, struct wg_error *err);
/** Returns how far the growth table of a plan looks ahead: half of the development of larvae in a step, when it is warm. */
double wg_world_look_ahead(const struct wg_plan *plan);
/**
 * Prepares the world of another animal, which borrows the climate and the places of `world` and these tables. `plan` is the
 * plan of `world` with the numbers of that animal, to which the tables belong.
 */
void wg_world_vary(struct wg_world *varied, const struct wg_world *world, const struct wg_plan *plan,
                   const struct wg_clocks *clocks, const struct wg_cohort_growth *growth);
void wg_world_free(struct wg_world *world);
/** Checks the plan, the tables and the climate of a world: 0, or an error that names what is wrong (for tests, debuggers). */
int wg_world_verify(const struct wg_world *world, struct wg_error *err);

/** Upper limit on the individuals of a colony: beyond it, a replicate stops (diary->stopped_day). */
#define WG_MAX_INDIVIDUALS (INT64_C(1) << 61)

/** Opaque to callers; see colony/cohort.h and colony/state.h for its parts. */
struct wg_colony;
/** Allocates a colony for a world; later only its cohort pools grow, between days. */
int wg_colony_new(struct wg_colony **colony, const struct wg_world *world, struct wg_error *err);
void wg_colony_free(struct wg_colony *colony);
/** Makes the next replicate that of another animal: `world` and the colony's are the same but for wg_world_vary(). */
void wg_colony_live_in(struct wg_colony *colony, const struct wg_world *world);
/**
 * Checks all that the code takes for granted of a colony at the end of a step, as wg_step_ledger() leaves it: pools, feed,
 * temperatures, ledgers. 0, or WG_ERR_INTERNAL that names the bin or place, the number and its limits (for tests, debuggers).
 */
int wg_colony_verify(const struct wg_colony *colony, struct wg_error *err);

/**
 * Simulates one replicate from the first to the last day into `diary`, which it
 * clears first and finishes at the end. `chance` and `mishap` are borrowed streams
 * of purposes DEMOGRAPHY and MISHAPS, at their start; `weather` is already drawn.
 * Returns 0, or a negative error. A colony above WG_MAX_INDIVIDUALS is not an error:
 * diary->stopped_day says when it stopped.
 */
int wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                  struct wg_diary *diary, struct wg_error *err);

#endif
