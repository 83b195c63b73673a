/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Kinds of numbers and usual values around them, for `size`.
 */
#ifndef WG_ENOUGH_SIZE_RANGE_H
#define WG_ENOUGH_SIZE_RANGE_H

#include "variants/vary.h"

#define WG_SIZE_DAYS 60.0    /* default range of a date: two months to either side */
#define WG_SIZE_DEGREES 10.0 /* default range of a temperature to either side, in degC, or as much in degF */

bool wg_size_is_temperature(const struct wg_vary *vary);
/** True for a percentage that cannot exceed 100, unlike "efficiency: 300 %". */
bool wg_size_is_share(const struct wg_vary *vary);
/** Returns WG_SIZE_DEGREES in the value's unit; a bare number in a list may be in either unit. */
double wg_size_degrees(const struct wg_vary *vary);

#define WG_SIZE_GRID_VALUES 5
/** Lists values around that of the plan, which is the third: halves and doubles, or steps of a temperature, share or date. */
void wg_size_usual_values(const struct wg_vary *vary, double out[WG_SIZE_GRID_VALUES]);

#endif
