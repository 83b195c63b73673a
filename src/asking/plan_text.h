/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Writes the answers as a plan in YAML, with comments for the keeper who edits it.
 */
#ifndef WG_ASKING_PLAN_TEXT_H
#define WG_ASKING_PLAN_TEXT_H

#include "asking/question.h"
#include "text/bytes.h"

/** Appends the plan. The same answers give the same bytes. */
void wg_plan_text(const struct wg_answers *answers, struct wg_bytes *out);

#endif
