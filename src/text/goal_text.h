/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Describes a goal in words, with amounts in both unit systems.
 */
#ifndef WG_TEXT_GOAL_TEXT_H
#define WG_TEXT_GOAL_TEXT_H

#include "plan/goal.h"

#define WG_GOAL_SENTENCE_SIZE 200

/**
 * Words a goal without its chance or full stop: "2.27 kg (5 lb) a week taken out by 1 May 2027, for 4 weeks".
 * `currency`: of the plan.
 */
void wg_goal_text(const struct wg_goal *goal, const char *currency, char out[WG_GOAL_SENTENCE_SIZE]);

#endif
