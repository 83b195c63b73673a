/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The limits on a colony that an experiment can lift, one at a time: each changes numbers of a plan, never the engine.
 */
#ifndef WG_ANALYSIS_LIMITS_H
#define WG_ANALYSIS_LIMITS_H

#include "plan/plan.h"

enum wg_limit {
    WG_LIMIT_COLD,    /* deaths by cold and freezing */
    WG_LIMIT_HEAT,    /* deaths by heat */
    WG_LIMIT_HUNGER,  /* too little feed */
    WG_LIMIT_AIR,     /* air too cool for flies to mate and lay */
    WG_LIMIT_LIGHT,   /* too dark for flies to mate */
    WG_LIMIT_MALES,   /* too few flies to meet */
    WG_LIMIT_START,   /* a small starter: chance alone may end it */
    WG_LIMIT_HARVEST, /* what the keeper takes out */
    WG_LIMIT_RAIDS,
    WG_LIMIT_POWER_CUTS,
    WG_N_LIMITS
};
/** "cold", "heat", "hunger", "cool air", "too little light", "too few males", "small start", "harvest", "raids", "power cuts" */
const char *wg_limit_name(enum wg_limit limit);
/** Returns true if the plan has the limit at all: a plan without raids cannot lose by them. */
bool wg_limit_applies(enum wg_limit limit, const struct wg_plan *plan);

/** Feed that is added to each bin when hunger is lifted, kg a day (fresh kitchen scraps, 3 kg per 100 L: judgement). */
double wg_limit_feed_kg(const struct wg_bin_plan *bin);

/** Copies a plan to change it. Borrows the lists that lifting leaves alone; free it after a failure, too. */
int wg_lifted_copy(struct wg_plan *copy, const struct wg_plan *plan, struct wg_error *err);
void wg_lifted_free(struct wg_plan *copy);
/**
 * Lifts a limit of a copy, each at most once. Numbers of the animal that change hold for every plausible animal of the
 * plan, as numbers given in a scenario do.
 */
void wg_lift(struct wg_plan *copy, enum wg_limit limit);
/** Returns true if a place has a heater. */
bool wg_plan_is_heated(const struct wg_plan *plan);
/** Sets the thermostat of every heater of a copy for the whole period. */
void wg_lifted_set_point(struct wg_plan *copy, double celsius);

#endif
