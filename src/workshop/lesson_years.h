/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The climates of a lesson, and how a life of it ended.
 */
#ifndef WG_WORKSHOP_LESSON_YEARS_H
#define WG_WORKSHOP_LESSON_YEARS_H

#include "climate/weather.h"
#include "colony/diary.h"
#include "workshop/lesson.h"

/* ---- the climates of a lesson ---- */

/** Fills the climate of an enum wg_lesson_weather other than STEADY (asserted). */
void wg_lesson_climate(struct wg_climate_spec *climate, int weather);
/** The lowest of the twelve mean lows, degC. */
double wg_lesson_coldest_c(const struct wg_climate_spec *climate);

/* ---- how a life of a lesson ended, from its diary ---- */

/** Days are those of the diary; see enum wg_lesson_fact. */
struct wg_colony_end {
    enum wg_lesson_end end;
    int last_day, last_eggs_day;
    int64_t lost, lost_most, late_flies;
    double late_air_c;
};
/** Finds the end of a colony in one place, which had a starter. */
void wg_colony_end_find(struct wg_colony_end *out, const struct wg_diary *diary);

#endif
