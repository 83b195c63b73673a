/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Tells from the finished diary of a replicate whether it met a goal.
 */
#ifndef WG_COLONY_GOAL_MET_H
#define WG_COLONY_GOAL_MET_H

#include "colony/diary.h"
#include "plan/goal.h"

/** True if the replicate of a finished diary met the goal. Days not simulated (stopped_day) bring nothing. */
bool wg_goal_met(const struct wg_goal *goal, const struct wg_diary *diary);

#endif
