/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Plans for tests: one bench in a laboratory, one tray.
 */
#ifndef WG_TESTS_PLANS_H
#define WG_TESTS_PLANS_H

#include "colony/colony.h"

/**
 * A laboratory at temp_c for `days` days from 2026-01-01; one tray, no actions yet, unlimited feed, seed 1, 10
 * replicates.
 */
void plan_laboratory(struct wg_plan *plan, double temp_c, int days);
/** The same outdoors from 2026-09-15, with monthly normals of an invented humid subtropical site at 32.4 N. */
void plan_outdoors(struct wg_plan *plan, int days);
/** Adds a starter on day `day` of the period, from 0. */
void plan_start(struct wg_plan *plan, int day, enum wg_movable what, double age_days, int64_t count);
/** Feeds wet_kg of kitchen scraps every day instead of unlimited feed. */
void plan_feed(struct wg_plan *plan, double wet_kg);
/** Collects a share of the crawl-off every day. */
void plan_collect(struct wg_plan *plan, double share);
/** Adds place 1, named "second", with bin 1, named "other". */
void plan_add_place(struct wg_plan *plan, enum wg_housing_kind kind);
/** Adds any action; the plan stays sorted. */
void plan_add(struct wg_plan *plan, struct wg_action action);
/** Switches off background hazard, heat, cold and hunger: individuals die only of old age. */
void plan_immortal(struct wg_plan *plan);

/** Simulates replicate `replicate` of a plan into a fresh diary (free it). Asserts success. */
void plan_simulate(const struct wg_plan *plan, uint64_t replicate, struct wg_diary *diary);

#endif
