/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Cohorts and the pools that hold them (private to the colony).
 *
 * A cohort is all individuals with the same stage, pool, step of entry and lineage (generation, overwintered or not).
 * They have the same temperature history, and so the same development x.
 */
#ifndef WG_COLONY_COHORT_H
#define WG_COLONY_COHORT_H

#include "base/error.h"
#include "plan/plan.h"

#include <stdint.h>

struct wg_cohort {
    int64_t count;
    double x;      /* development in the stage */
    double log_s;  /* ln of the stage clock's survival at x, cached */
    double mass_g; /* mean fresh mass of one individual, from larva to adult; 0 for eggs */
    double mark;   /* mated females: x at mating; dormant: cold days so far; else 0 */
    double days;   /* dormant: days so far; else 0 */
    double share;  /* larvae: well-fed mass at x as a share of the final mass, cached; else 0 */
    int lineage;   /* wg_lineage() */
};

/** All cohorts of one stage in one bin or place, oldest first. Zero-initialised is empty. */
struct wg_pool {
    int n, capacity;
    struct wg_cohort *cohort;
    /* While the keeper moves animals (wg_pool_begin_moves() to wg_pool_end_moves()): */
    int held;     /* number of cohorts of this morning; those after them were moved in today */
    double moved; /* share of the morning's individuals moved out so far */
};

void wg_pool_free(struct wg_pool *pool);
/** Reserves capacity for `more` further cohorts. The only function that allocates cohorts; called between steps. */
int wg_pool_reserve(struct wg_pool *pool, int more, struct wg_error *err);
/** Appends a cohort; asserts capacity. Ignores a count of 0. */
void wg_pool_add(struct wg_pool *pool, const struct wg_cohort *cohort);
/** Merges a cohort into one of equal x, mark, days and lineage (averaging mass), or appends it. */
void wg_pool_join(struct wg_pool *pool, const struct wg_cohort *cohort);
/** Begins and ends the moves of a day; the end merges what was moved in and drops empty cohorts. */
void wg_pool_begin_moves(struct wg_pool *pool);
void wg_pool_end_moves(struct wg_pool *pool);
/** Drops empty cohorts; keeps the order. */
void wg_pool_compact(struct wg_pool *pool);
int64_t wg_pool_count(const struct wg_pool *pool);
/** kg */
double wg_pool_mass_kg(const struct wg_pool *pool);

/**
 * A lineage: the generation, and whether its members overwintered as immatures (were
 * alive before the first day of spring). Spring emergence counts only those.
 */
static inline int wg_lineage(int generation, int overwintered) {
    return 2 * generation + overwintered;
}
static inline int wg_lineage_generation(int lineage) {
    return lineage / 2;
}
static inline int wg_lineage_overwintered(int lineage) {
    return lineage % 2;
}
#define WG_MAX_GENERATIONS WG_GENERATION_NUMBERS
#define WG_MAX_LINEAGES (2 * WG_MAX_GENERATIONS)

/**
 * Individuals that leave one stage and enter another during a step, by lineage. Only lineages below n_lineages are
 * initialised: setting that to 0 empties a flow, and on most days most flows are empty.
 */
struct wg_flow {
    int n_lineages;
    int64_t count[WG_MAX_LINEAGES];
    double mass_g[WG_MAX_LINEAGES]; /* total, g */
};
void wg_flow_add(struct wg_flow *flow, int lineage, int64_t count, double mean_mass_g);
/** Removes `count` individuals of a lineage; returns their mean mass in g. */
double wg_flow_take(struct wg_flow *flow, int lineage, int64_t count);

#endif
