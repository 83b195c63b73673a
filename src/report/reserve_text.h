/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Words the odds of survival in the places of two keepers.
 */
#ifndef WG_REPORT_RESERVE_TEXT_H
#define WG_REPORT_RESERVE_TEXT_H

#include "analysis/reserve.h"
#include "report/json.h"

#define WG_RESERVE_TEXT 320

/** "Alive at home in 61 of 100 years (55 to 67), at the neighbour's in 55 (49 to 61), in at least one in 83 (78 to 87)." */
void wg_reserve_words(const struct wg_reserve *reserve, const struct wg_plan *plan, char out[WG_RESERVE_TEXT]);
/** Writes the object "keepers". */
void wg_reserve_put_json(struct wg_json *json, const struct wg_reserve *reserve);

#endif
