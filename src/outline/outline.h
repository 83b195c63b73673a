/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The plan as understood, as text: what `check` prints.
 */
#ifndef WG_OUTLINE_OUTLINE_H
#define WG_OUTLINE_OUTLINE_H

#include "scenario/scenario.h"

/**
 * Describes the resolved plan in about a screenful, with its main numbers in both unit systems. malloc'ed; NULL if out
 * of memory.
 */
char *wg_outline(const struct wg_scenario *scenario);
/** Lists every key by group with its value, marking defaults with "(default)". malloc'ed; NULL if out of memory. */
char *wg_outline_keys(const struct wg_scenario *scenario);

#endif
