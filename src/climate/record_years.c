/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Which year of a record does each simulated year replay?
 *
 * Each simulated year, counted from the period's first calendar day, replays one of the record's years that covers it
 * completely, all equally likely. Days are matched by date: 29 February repeats the 28th of a common year, and is
 * skipped if the simulated year has none. Days before the period come from before the year drawn, or are the means of
 * the season where the record does not reach; so is the day after it, of which only the low is used.
 */
#include "climate/climate.h"

/* The same date `years` later, or a day outside the calendar. */
static int32_t years_on(int32_t day, int years) {
    struct wg_date date = wg_date_from_day(day);
    date.year += years;
    if (date.year < 1)
        return WG_DAY_FIRST - 1;
    if (date.year > 9999)
        return WG_DAY_LAST + 1;
    if (!wg_date_exists(date))
        date.day = 28;
    return wg_day_from_date(date);
}

/* Finds the first and last day of simulated year y of the period; returns false if the period has ended. */
static bool find_year(const struct wg_climate *climate, int y, int32_t *from, int32_t *to) {
    *from = years_on(climate->first_day, y);
    const int32_t next = years_on(climate->first_day, y + 1);
    *to = next <= climate->last_day ? next - 1 : climate->last_day;
    return *from <= climate->last_day;
}

/* Counts the years of the record that cover from..to; *shift is the offset of the first; the others follow it. */
static int count_covers(const struct wg_weather_record *record, int32_t from, int32_t to, int *shift) {
    const int32_t last_day = record->first_day + record->n_days - 1;
    const int year = wg_date_from_day(from).year;
    const int first = wg_date_from_day(record->first_day).year - year, last = wg_date_from_day(last_day).year - year;
    int n = 0;
    for (int s = first; s <= last; s++) {
        if (years_on(from, s) < record->first_day || years_on(to, s) > last_day)
            continue;
        if (n++ == 0)
            *shift = s;
    }
    return n;
}

int wg_years_check(const struct wg_climate *climate, struct wg_error *err) {
    const struct wg_weather_record *const record = climate->spec.record;
    int32_t from, to;
    for (int y = 0; find_year(climate, y, &from, &to); y++) {
        int shift;
        if (count_covers(record, from, to, &shift) > 0)
            continue;
        char text[4][24];
        wg_day_format_long(from, text[0]);
        wg_day_format_long(to, text[1]);
        wg_day_format_long(record->first_day, text[2]);
        wg_day_format_long(record->first_day + record->n_days - 1, text[3]);
        return wg_fail(
            err, WG_ERR_INPUT, NULL,
            "the weather record runs from %s to %s and has no year that covers all of %s to %s; bring a longer "
            "record, shorten the period, or let the weather be generated from the record (use: fitted)",
            text[2], text[3], text[0], text[1]);
    }
    return 0;
}

/* Copies days from..to of the simulation from the record, `shift` years later. */
static void copy_days(struct wg_weather *weather, const struct wg_climate *climate, int32_t from, int32_t to,
                      int shift) {
    const struct wg_weather_record *const record = climate->spec.record;
    for (int32_t day = from; day <= to; day++) {
        const int32_t i = day - weather->first_day, source = years_on(day, shift) - record->first_day;
        const int season = wg_season_index(day);
        const bool known = source >= 0 && source < record->n_days;
        weather->high_c[i] = known ? record->high_c[source] : climate->high_c[season];
        weather->low_c[i] = known ? record->low_c[source] : climate->low_c[season];
    }
}

/* Draws one of the record's years that cover from..to; returns how many years later it is. */
static int draw_shift(const struct wg_climate *climate, int32_t from, int32_t to, gsl_rng *rng) {
    int shift = 0;
    const int n = count_covers(climate->spec.record, from, to, &shift);
    return shift + (int)(wg_uniform(rng) * n);
}

int wg_years_replayed(const struct wg_climate *climate, gsl_rng *rng) {
    int32_t from, to;
    (void)find_year(climate, 0, &from, &to);
    return wg_date_from_day(from).year + draw_shift(climate, from, to, rng);
}

void wg_years_draw(struct wg_weather *weather, const struct wg_climate *climate, gsl_rng *rng) {
    int32_t from, to;
    for (int y = 0; find_year(climate, y, &from, &to); y++) {
        const int shift = draw_shift(climate, from, to, rng);
        copy_days(weather, climate, y == 0 ? weather->first_day : from, to == climate->last_day ? to + 1 : to, shift);
    }
}
