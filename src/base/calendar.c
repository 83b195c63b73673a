/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Converts between days and Gregorian dates.
 *
 * Years are counted from 1 March, so that the leap day is the last of its year,
 * in eras of 400 years = 146,097 days, after which the Gregorian calendar
 * repeats. Day 0 of era 0 is 0000-03-01, which is day -719468 from 1970-01-01.
 * Source: Hinnant (2013), "chrono-compatible low-level date algorithms".
 */
#include "base/calendar.h"

#include "base/error.h"

#include <string.h>

enum {
    ERA_YEARS = 400,
    ERA_DAYS = 146097,
    EPOCH_SHIFT = 719468 /* days from 0000-03-01 to 1970-01-01 */
};

bool wg_is_leap(int year) {
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

int wg_month_length(int year, int month) {
    static const int length[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    wg_assert(month >= 1 && month <= 12);
    return length[month - 1] + (month == 2 && wg_is_leap(year) ? 1 : 0);
}

bool wg_date_exists(struct wg_date date) {
    return date.year >= 1 && date.year <= 9999 && date.month >= 1 && date.month <= 12 && date.day >= 1 &&
           date.day <= wg_month_length(date.year, date.month);
}

int32_t wg_day_from_date(struct wg_date date) {
    wg_assert(wg_date_exists(date));
    const int year = date.month <= 2 ? date.year - 1 : date.year; /* a year begins in March; >= 0 */
    const int era = year / ERA_YEARS;
    const int year_of_era = year % ERA_YEARS;
    const int month_from_march = (date.month + 9) % 12;
    const int day_of_year = (153 * month_from_march + 2) / 5 + date.day - 1; /* 153 days in 5 months */
    const int day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return (int32_t)era * ERA_DAYS + day_of_era - EPOCH_SHIFT;
}

/* A day as a year that begins on 1 March and the day of that year, 0..365. */
struct march_day {
    int year, day_of_year;
};

static struct march_day from_march(int32_t day) {
    wg_assert(day >= WG_DAY_FIRST && day <= WG_DAY_LAST);
    const int shifted = day + EPOCH_SHIFT; /* > 0 over the whole range */
    const int era = shifted / ERA_DAYS;
    const int day_of_era = shifted % ERA_DAYS;
    /* 1460: days of 4 years less one; 36524: days of a century; 146096: days of an era less one */
    const int year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    return (struct march_day){
        .year = era * ERA_YEARS + year_of_era,
        .day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100),
    };
}

struct wg_date wg_date_from_day(int32_t day) {
    const struct march_day march = from_march(day);
    const int month_from_march = (5 * march.day_of_year + 2) / 153;
    const int month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
    return (struct wg_date){
        .year = march.year + (month <= 2 ? 1 : 0),
        .month = month,
        .day = march.day_of_year - (153 * month_from_march + 2) / 5 + 1,
    };
}

int wg_day_of_year(int32_t day) {
    const struct wg_date date = wg_date_from_day(day);
    return day - wg_day_from_date((struct wg_date){date.year, 1, 1}) + 1;
}

int wg_season_index(int32_t day) {
    const int first_of_march = 59, march_to_december = 306; /* days */
    const int from = from_march(day).day_of_year;           /* the leap day is the last one */
    if (from < march_to_december)
        return from + first_of_march;
    return from - march_to_december < first_of_march ? from - march_to_december : first_of_march - 1;
}

int wg_month_index(int32_t day) {
    return wg_date_from_day(day).month - 1;
}

/* Returns -1 unless all are digits. strtol() would accept signs and spaces, isdigit() the locale's digits. */
static int read_digits(const char *text, int count) {
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

int wg_day_parse(const char *text, int32_t *day) {
    if (strlen(text) != 10 || text[4] != '-' || text[7] != '-')
        return -1;
    const struct wg_date date = {read_digits(text, 4), read_digits(text + 5, 2), read_digits(text + 8, 2)};
    if (date.year < 0 || date.month < 0 || date.day < 0)
        return -1;
    if (!wg_date_exists(date))
        return -2;
    *day = wg_day_from_date(date);
    return 0;
}

static void write_digits(char *text, int count, int value) {
    for (int i = count - 1; i >= 0; i--) {
        text[i] = (char)('0' + value % 10);
        value /= 10;
    }
}

void wg_day_format(int32_t day, char out[11]) {
    const struct wg_date date = wg_date_from_day(day);
    write_digits(out, 4, date.year);
    out[4] = '-';
    write_digits(out + 5, 2, date.month);
    out[7] = '-';
    write_digits(out + 8, 2, date.day);
    out[10] = '\0';
}

static int digits_of(int value) {
    int digits = 1;
    while ((value /= 10) > 0)
        digits++;
    return digits;
}

const char *wg_month_name(int month) {
    static const char *const name[12] = {"January", "February", "March",     "April",   "May",      "June",
                                         "July",    "August",   "September", "October", "November", "December"};
    wg_assert(month >= 0 && month < 12);
    return name[month];
}

void wg_day_format_long(int32_t day, char out[24]) {
    const struct wg_date date = wg_date_from_day(day);
    char *end = out;
    write_digits(end, digits_of(date.day), date.day);
    end += digits_of(date.day);
    *end++ = ' ';
    const char *const month = wg_month_name(date.month - 1);
    const size_t length = strlen(month);
    memcpy(end, month, length);
    end += length;
    *end++ = ' ';
    write_digits(end, digits_of(date.year), date.year);
    end[digits_of(date.year)] = '\0';
}

bool wg_season_contains(struct wg_season season, int32_t day) {
    const int index = wg_season_index(day);
    if (season.from <= season.to)
        return index >= season.from && index <= season.to;
    return index >= season.from || index <= season.to;
}

/* ---- runs of months ---- */

static double sum_months(const double by_month[WG_MONTHS], int first, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += by_month[(first + i) % WG_MONTHS];
    return sum;
}

struct wg_month_span wg_month_span(const double by_month[WG_MONTHS], double share) {
    const double all = sum_months(by_month, 0, WG_MONTHS);
    for (int months = 1; months <= WG_MONTHS && all > 0; months++) {
        int best = 0;
        for (int first = 1; first < WG_MONTHS; first++)
            if (sum_months(by_month, first, months) > sum_months(by_month, best, months))
                best = first;
        if (months == WG_MONTHS || sum_months(by_month, best, months) >= share * all)
            return (struct wg_month_span){best, months};
    }
    return (struct wg_month_span){0, 0};
}
