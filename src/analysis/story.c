/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Sums what diaries say of lives that failed.
 */
#include "analysis/story.h"

#include "base/stats.h"

#include <math.h>
#include <string.h>

#define MOST 0.8 /* of a sum: judgement */
#define DAYS_BEFORE_END 14

static int64_t any_alive_on(const struct wg_diary *diary, int day) {
    int64_t sum = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        sum += diary->count[(ptrdiff_t)day * WG_N_STAGES + stage];
    return sum;
}

static int last_day_alive(const struct wg_diary *diary) {
    int day = diary->n_days - 1;
    while (day >= 0 && any_alive_on(diary, day) == 0)
        day--;
    return day;
}

static int largest_stage(const int64_t count[WG_N_STAGES]) {
    int largest = 0;
    for (int stage = 1; stage < WG_N_STAGES; stage++)
        if (count[stage] > count[largest])
            largest = stage;
    return largest;
}

/* The end of a life that died out. */
static void add_end(struct wg_story *story, const struct wg_diary *diary) {
    const int last = last_day_alive(diary);
    if (last < 0 || last == diary->n_days - 1)
        return;
    int first = 0;
    while (any_alive_on(diary, first) == 0)
        first++;
    const int half = (last - first) / 2; /* of a life that was short */
    int seen = last - (half < DAYS_BEFORE_END ? half : DAYS_BEFORE_END);
    while (any_alive_on(diary, seen) == 0) /* wild flies may come later */
        seen++;
    story->last_stage[largest_stage(diary->count + (ptrdiff_t)seen * WG_N_STAGES)]++;
    story->last_day[story->ended++] = last;
}

static void add_flies(struct wg_story *story, const struct wg_diary *diary, int day, int month) {
    for (int p = 0; p < diary->n_places; p++) {
        const ptrdiff_t at = (ptrdiff_t)day * diary->n_places + p;
        const double flies = (double)diary->adults_emerged[at];
        story->flies[month] += flies;
        story->air_c[month] += flies * diary->air_temperature[at];
    }
    story->eggs[month] += (double)diary->eggs_laid[day];
}

static void add_bin_days(struct wg_story *story, const struct wg_diary *diary, int day) {
    for (int b = 0; b < diary->n_bins; b++) {
        const ptrdiff_t at = (ptrdiff_t)day * diary->n_bins + b;
        story->feed_wanted_kg += diary->feed_demand[at];
        story->feed_eaten_kg += diary->feed_eaten[at];
        story->hottest_c = fmax(story->hottest_c, diary->bin_high[at]);
        story->coldest_c = fmin(story->coldest_c, diary->bin_temperature[at]);
    }
}

void wg_story_add(struct wg_story *story, const struct wg_diary *diary) {
    wg_assert(story->lives < WG_STORY_LIVES);
    if (story->lives++ == 0)
        story->hottest_c = story->coldest_c = (double)NAN;
    for (int day = 0; day < diary->n_days; day++) {
        const int month = wg_date_from_day(diary->first_day + day).month - 1;
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            story->deaths[cause][month] += (double)diary->deaths[(ptrdiff_t)day * WG_N_CAUSES + cause];
        add_flies(story, diary, day, month);
        add_bin_days(story, diary, day);
        story->taken += (double)(diary->harvest_count[day] + diary->eggs_taken[day]);
        story->power_out_hours += diary->power_out_hours[day];
    }
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            story->dead[cause][stage] += (double)diary->dead[stage][cause];
    add_end(story, diary);
}

/* ---- questions ---- */

struct wg_month_span wg_story_span(const double by_month[WG_MONTHS]) {
    return wg_month_span(by_month, MOST);
}

double wg_story_last_day(const struct wg_story *story) {
    double sorted[WG_STORY_LIVES];
    memcpy(sorted, story->last_day, sizeof sorted);
    wg_sort(sorted, (size_t)story->ended);
    return wg_quantile_sorted(sorted, (size_t)story->ended, 0.5);
}

enum wg_stage wg_story_last_stage(const struct wg_story *story) {
    return (enum wg_stage)largest_stage(story->last_stage);
}

struct wg_barren_flies wg_story_barren_flies(const struct wg_story *story) {
    double flies[WG_MONTHS], sum = 0, air_c = 0;
    for (int m = 0; m < WG_MONTHS; m++) {
        const bool is_barren = story->eggs[m] < story->flies[m];
        flies[m] = is_barren ? story->flies[m] : 0;
        sum += flies[m];
        air_c += is_barren ? story->air_c[m] : 0;
    }
    return (struct wg_barren_flies){
        .flies = story->lives > 0 ? sum / (double)story->lives : 0, .air_c = air_c / sum, .span = wg_story_span(flies)};
}
