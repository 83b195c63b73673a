/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds what ended a colony: after the last eggs nothing new comes, so what takes most of those that live then decides.
 *
 * It counts deaths; it does not try what would have happened otherwise. Flies that emerge after the last eggs have laid
 * none, whatever they die of. A harvest takes its animals before winter does, so its count says little: it ends a colony
 * only if it took nearly all that crawled off.
 */
#include "workshop/lesson_years.h"

#include <math.h>

#define NEARLY_ALL 0.8 /* of the crawl-off: judgement */

static int64_t living_on(const struct wg_diary *diary, int day) {
    int64_t n = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        n += diary->count[(ptrdiff_t)day * WG_N_STAGES + stage];
    return n;
}

static int last_day_with_any(const struct wg_diary *diary) {
    int day = diary->n_days - 1;
    while (day >= 0 && living_on(diary, day) == 0)
        day--;
    return day;
}

static int last_day_with_eggs_laid(const struct wg_diary *diary) {
    int day = diary->n_days - 1;
    while (day >= 0 && diary->eggs_laid[day] == 0)
        day--;
    return day;
}

/* Sums losses after a day, by what the colony's end would be called. */
static void sum_losses(const struct wg_diary *diary, int after, int64_t lost[WG_LESSON_N_ENDS]) {
    static const enum wg_lesson_end end_of[WG_N_CAUSES] = {
        [WG_CAUSE_BACKGROUND] = WG_LESSON_EVERYDAY, [WG_CAUSE_HEAT] = WG_LESSON_HEAT,
        [WG_CAUSE_COLD] = WG_LESSON_COLD,           [WG_CAUSE_FREEZING] = WG_LESSON_COLD,
        [WG_CAUSE_HUNGER] = WG_LESSON_HUNGER,       [WG_CAUSE_AGE] = WG_LESSON_EVERYDAY,
        [WG_CAUSE_RAID] = WG_LESSON_EVERYDAY};
    for (int day = after + 1; day < diary->n_days; day++) {
        for (int cause = 0; cause < WG_N_CAUSES; cause++)
            lost[end_of[cause]] += diary->deaths[(ptrdiff_t)day * WG_N_CAUSES + cause];
        lost[WG_LESSON_TAKEN] += diary->harvest_count[day];
    }
}

static bool took_nearly_all(const struct wg_diary *diary, int after) {
    int64_t taken = 0, crawled = 0;
    for (int day = after + 1; day < diary->n_days; day++) {
        taken += diary->harvest_count[day];
        crawled += diary->crawl_off_count[day];
    }
    return (double)taken > NEARLY_ALL * (double)crawled;
}

static void sum_late_flies(const struct wg_diary *diary, struct wg_colony_end *out) {
    double air_c = 0;
    for (int day = out->last_eggs_day + 1; day < diary->n_days; day++) {
        out->late_flies += diary->adults_emerged[day];
        air_c += (double)diary->adults_emerged[day] * diary->air_temperature[day];
    }
    if (out->late_flies > 0)
        out->late_air_c = air_c / (double)out->late_flies;
}

static enum wg_lesson_end largest_loss(const int64_t lost[WG_LESSON_N_ENDS]) {
    enum wg_lesson_end largest = WG_LESSON_COLD;
    for (int end = WG_LESSON_COLD; end < WG_LESSON_EVERYDAY; end++)
        if (lost[end] > lost[largest])
            largest = (enum wg_lesson_end)end;
    return lost[largest] > 0 ? largest : WG_LESSON_EVERYDAY;
}

void wg_colony_end_find(struct wg_colony_end *out, const struct wg_diary *diary) {
    *out = (struct wg_colony_end){.end = WG_LESSON_ALIVE, .late_air_c = (double)NAN};
    out->last_day = last_day_with_any(diary);
    out->last_eggs_day = last_day_with_eggs_laid(diary);
    if (out->last_day == diary->n_days - 1)
        return;
    int64_t lost[WG_LESSON_N_ENDS] = {0};
    sum_losses(diary, out->last_eggs_day, lost);
    if (!took_nearly_all(diary, out->last_eggs_day))
        lost[WG_LESSON_TAKEN] = 0;
    for (int end = 0; end < WG_LESSON_N_ENDS; end++)
        out->lost += lost[end];
    sum_late_flies(diary, out);
    lost[WG_LESSON_NO_YOUNG] = out->late_flies;
    out->end = largest_loss(lost);
    out->lost_most = lost[out->end];
}
