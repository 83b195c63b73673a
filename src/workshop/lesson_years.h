/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** The climates of a lesson. */
#ifndef WG_WORKSHOP_LESSON_YEARS_H
#define WG_WORKSHOP_LESSON_YEARS_H

#include "climate/weather.h"

/** Fills the climate of an enum wg_lesson_weather other than STEADY (asserted). */
void wg_lesson_climate(struct wg_climate_spec *climate, int weather);
/** The lowest of the twelve mean lows, degC. */
double wg_lesson_coldest_c(const struct wg_climate_spec *climate);

#endif
