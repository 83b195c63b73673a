/**
 * Cohorts and the pools that hold them (private to the colony).
 *
 * A cohort is all individuals that share stage, home, entry step and line (generation, overwintered or not):
 * they have lived through the same temperatures, so one development x serves all.
 */
#ifndef WG_COLONY_COHORT_H
#define WG_COLONY_COHORT_H

#include "base/error.h"
#include "colony/plan.h"

#include <stdint.h>

struct wg_cohort {
    int64_t count;
    double x;      /* development in the stage */
    double log_s;  /* ln of the stage clock's survival at x, kept to save a look-up */
    double mass_g; /* mean fresh mass of one, from larva to adult; 0 for eggs */
    double mark;   /* mated females: x when they mated; dormant: cold days so far; else 0 */
    double days;   /* dormant: days so far; else 0 */
    double share;  /* larvae: what they weigh at x if well fed, share of full-grown, kept to save a look-up; else 0 */
    int line;
};

/** All cohorts of one stage at one home, oldest first. Zero-initialised is empty. */
struct wg_pool {
    int n, capacity;
    struct wg_cohort *cohort;
    /* While the keeper moves animals (wg_pool_begin_moves() to wg_pool_end_moves()): */
    int held;     /* the first so many were there in the morning, the others were moved in today */
    double moved; /* the share of the morning's that was moved out so far */
};

void wg_pool_free(struct wg_pool *pool);
/** Room for `more` further cohorts. The only place where cohorts allocate: called between steps. */
int wg_pool_reserve(struct wg_pool *pool, int more, struct wg_error *err);
/** Appends a cohort; room must have been reserved (asserted). A count of 0 is not kept. */
void wg_pool_add(struct wg_pool *pool, const struct wg_cohort *cohort);
/** Appends, or joins a cohort of equal x, mark, days and line (mean masses are averaged). */
void wg_pool_join(struct wg_pool *pool, const struct wg_cohort *cohort);
/** The moves of a day begin, or are done: who was moved in joins its equals, empty cohorts go. */
void wg_pool_begin_moves(struct wg_pool *pool);
void wg_pool_end_moves(struct wg_pool *pool);
/** Drops empty cohorts, keeping the order. */
void wg_pool_compact(struct wg_pool *pool);
int64_t wg_pool_count(const struct wg_pool *pool);
/** kg */
double wg_pool_mass_kg(const struct wg_pool *pool);

/**
 * A line: the generation, and whether its members overwintered as young (they were
 * there before the spring's first day). Spring emergence is theirs alone.
 */
static inline int wg_lineage(int generation, int overwintered) {
    return 2 * generation + overwintered;
}
static inline int wg_lineage_generation(int line) {
    return line / 2;
}
static inline int wg_lineage_overwintered(int line) {
    return line % 2;
}
#define WG_MAX_GENERATIONS WG_GENERATION_NUMBERS
#define WG_MAX_LINEAGES (2 * WG_MAX_GENERATIONS)

/**
 * Those who leave one stage and enter another during a step, by line. Only lines below n_lines have been written to
 * (0: nobody): a flow is emptied by setting that to 0, and most days most flows are empty.
 */
struct wg_flow {
    int n_lines;
    int64_t count[WG_MAX_LINEAGES];
    double mass_g[WG_MAX_LINEAGES]; /* total, g */
};
void wg_flow_add(struct wg_flow *flow, int line, int64_t count, double mean_mass_g);
/** Takes `count` of a line out at the flow's mean mass; returns that mean mass in g. */
double wg_flow_take(struct wg_flow *flow, int line, int64_t count);

#endif
