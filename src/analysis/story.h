/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What happened in the lives that failed: deaths by month and cause, flies without eggs, the last alive.
 */
#ifndef WG_ANALYSIS_STORY_H
#define WG_ANALYSIS_STORY_H

#include "base/calendar.h"
#include "colony/diary.h"

#define WG_STORY_LIVES 64

/** Sums over the lives added, months from January. Zero-initialise it. */
struct wg_story {
    int64_t lives;
    double deaths[WG_N_CAUSES][WG_MONTHS];
    double dead[WG_N_CAUSES][WG_N_STAGES];
    double flies[WG_MONTHS], eggs[WG_MONTHS]; /* flies that emerged and stayed; eggs that they laid */
    double air_c[WG_MONTHS];                  /* mean air of the days and places of emergence, summed over flies */
    double taken;                             /* individuals taken out */
    double feed_wanted_kg, feed_eaten_kg;
    double hottest_c, coldest_c; /* of bins: hottest hour, coldest day (mean); NaN: no bin */
    double power_out_hours;
    int64_t ended;                   /* lives that died out after a start: the numbers below are of these */
    double last_day[WG_STORY_LIVES]; /* of the period, with any alive */
    /* lives by the stage with the most individuals two weeks before the end, or half a short life */
    int64_t last_stage[WG_N_STAGES];
};
/** Adds a life, at most WG_STORY_LIVES. */
void wg_story_add(struct wg_story *story, const struct wg_diary *diary);

/** Returns the shortest run of months with most (four fifths: judgement) of the sum; the earliest of several. */
struct wg_month_span wg_story_span(const double by_month[WG_MONTHS]);
/** Returns the middle last day of the lives that ended; NaN without any. */
double wg_story_last_day(const struct wg_story *story);
/** Returns the stage that was the last in most lives. */
enum wg_stage wg_story_last_stage(const struct wg_story *story);

/** Flies of months with fewer eggs than flies, where a mother lays hundreds. */
struct wg_barren_flies {
    double flies; /* per life */
    double air_c; /* mean where they emerged */
    struct wg_month_span span;
};
struct wg_barren_flies wg_story_barren_flies(const struct wg_story *story);

#endif
