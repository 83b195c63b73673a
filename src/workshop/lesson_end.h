/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/** How a life of a lesson ended, from its diary. */
#ifndef WG_WORKSHOP_LESSON_END_H
#define WG_WORKSHOP_LESSON_END_H

#include "colony/diary.h"
#include "workshop/lesson.h"

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
