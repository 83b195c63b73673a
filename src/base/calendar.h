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

/** The days that exist here: 0001-01-01 to 9999-12-31. */
#define WG_DAY_FIRST (-719162)
#define WG_DAY_LAST 2932896

/** A civil date. month 1..12, day 1..31. */
struct wg_date {
    int year, month, day;
};

bool wg_is_leap(int year);
/** 28..31. month 1..12 (else wg_assert). */
int wg_month_length(int year, int month);
/** True if the date exists (year 1..9999). */
bool wg_date_exists(struct wg_date date);

/** Days since 1970-01-01 (negative before). The date must exist (else wg_assert). */
int32_t wg_day_from_date(struct wg_date date);
/** The date of a day, WG_DAY_FIRST <= day <= WG_DAY_LAST (else wg_assert); so for all functions of a `day` below. */
struct wg_date wg_date_from_day(int32_t day);

/** 1..366 within its year. */
int wg_day_of_year(int32_t day);
/** 0..364: the day's place in a year of 365 days; 29 February shares the place of 28 February. */
int wg_season_index(int32_t day);
/** 0..11 */
int wg_month_index(int32_t day);

/**
 * Reads "YYYY-MM-DD" exactly (10 characters, nothing after). 0 and *day, or, with *day untouched, -1 for not of this
 * form, -2 for a date that does not exist. `text` is NUL-terminated, not NULL.
 */
int wg_day_parse(const char *text, int32_t *day);
/** Writes "YYYY-MM-DD" and a NUL. */
void wg_day_format(int32_t day, char out[11]);
/** Writes a date as people write it, "12 May 2027", and a NUL; 17 characters at most. */
void wg_day_format_long(int32_t day, char out[24]);

/** A yearly season, both ends included, as season indices; it may run over New Year (from > to). */
struct wg_season {
    int from, to; /* 0..364 */
};
/** The whole year. */
#define WG_ALL_YEAR ((struct wg_season){0, 364})
bool wg_season_contains(struct wg_season season, int32_t day);

#endif
