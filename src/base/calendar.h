/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Days and dates: proleptic Gregorian calendar, days counted from 1970-01-01.
 *
 * The conversions follow the era arithmetic described by Hinnant (2013,
 * "chrono-compatible low-level date algorithms", public domain).
 */
#ifndef WG_BASE_CALENDAR_H
#define WG_BASE_CALENDAR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** The valid days: 0001-01-01 to 9999-12-31. */
#define WG_DAY_FIRST (-719162)
#define WG_DAY_LAST 2932896

/** A civil date. month 1..12, day 1..31. */
struct wg_date {
    int year, month, day;
};

bool wg_is_leap(int year);
/** Returns 28..31. month 1..12 (else wg_assert). */
int wg_month_length(int year, int month);
/** Returns true if the date is valid (year 1..9999). */
bool wg_date_exists(struct wg_date date);

/** Returns the days since 1970-01-01 (negative before). The date must be valid (else wg_assert). */
int32_t wg_day_from_date(struct wg_date date);
/** Returns the date of a day. WG_DAY_FIRST <= day <= WG_DAY_LAST (else wg_assert), here and in all functions below. */
struct wg_date wg_date_from_day(int32_t day);

/** Returns the day of the year, 1..366. */
int wg_day_of_year(int32_t day);
/** Returns the day's index in a year of 365 days, 0..364; 29 February has the index of 28 February. */
int wg_season_index(int32_t day);
/** Returns 0..11. */
int wg_month_index(int32_t day);

/**
 * Parses exactly "YYYY-MM-DD" (10 characters, nothing after). Returns 0 and sets *day, or leaves *day unchanged and
 * returns -1 for any other form, -2 for an invalid date. `text` is NUL-terminated, not NULL.
 */
int wg_day_parse(const char *text, int32_t *day);
/** Writes "YYYY-MM-DD", NUL-terminated. */
void wg_day_format(int32_t day, char out[11]);
/** Returns "January" for 0 to "December" for 11. */
const char *wg_month_name(int month);
/** Writes a date such as "12 May 2027", NUL-terminated, at most 17 characters. */
void wg_day_format_long(int32_t day, char out[24]);

/** A yearly season, both ends included, as season indices; from > to spans New Year. */
struct wg_season {
    int from, to; /* 0..364 */
};
/** The whole year. */
#define WG_ALL_YEAR ((struct wg_season){0, 364})
bool wg_season_contains(struct wg_season season, int32_t day);

#define WG_MONTHS 12
/** A run of months, which may go over the new year. */
struct wg_month_span {
    int first, months; /* first 0..11; months 0: none */
};
/** Returns the shortest run of months with a share of the sum of all; the earliest of several. */
struct wg_month_span wg_month_span(const double by_month[WG_MONTHS], double share);

#endif
