/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks days and dates against published epochs, the C library's calendar, and round trips.
 */
#include "base/calendar.h"

#include <criterion/criterion.h>
#include <signal.h>
#include <string.h>
#include <time.h>

static int32_t day_of(int year, int month, int day) {
    return wg_day_from_date((struct wg_date){year, month, day});
}

Test(calendar, knows_published_days) {
    cr_expect_eq(day_of(1970, 1, 1), 0);
    cr_expect_eq(day_of(1970, 1, 2), 1);
    cr_expect_eq(day_of(1969, 12, 31), -1);
    cr_expect_eq(day_of(2000, 3, 1), 11017);         /* Hinnant 2013 */
    cr_expect_eq(day_of(1858, 11, 17), -40587);      /* modified Julian day 0: IAU */
    cr_expect_eq(day_of(2000, 1, 1), 51544 - 40587); /* modified Julian day 51544: IAU, epoch J2000 */
    cr_expect_eq(day_of(1601, 1, 1), -134774);       /* 11,644,473,600 s before 1970: epoch of Windows FILETIME */
    cr_expect_eq(day_of(2038, 1, 19), 24855);        /* 2^31 s / 86400: last day of a 32-bit POSIX clock */
    cr_expect_eq(day_of(1, 1, 1), 1 - 719163);       /* Rata Die 1 and 719163: Reingold & Dershowitz, Calendrical
                                                    Calculations */
    cr_expect_eq(day_of(1, 1, 1), WG_DAY_FIRST);
    cr_expect_eq(day_of(9999, 12, 31), WG_DAY_LAST);
}

/* The rule of the bull Inter gravissimas, 1582: centuries are leap years only when 400 divides them. */
Test(calendar, keeps_the_leap_rule) {
    cr_expect(wg_is_leap(2000) && wg_is_leap(2024) && wg_is_leap(1600) && wg_is_leap(4));
    cr_expect(!wg_is_leap(1900) && !wg_is_leap(2100) && !wg_is_leap(2023) && !wg_is_leap(1));
    cr_expect_eq(wg_month_length(1900, 2), 28);
    cr_expect_eq(wg_month_length(2000, 2), 29);
    cr_expect_eq(wg_month_length(2100, 2), 28);
    cr_expect_eq(wg_month_length(2027, 9), 30);
    cr_expect_eq(wg_month_length(2027, 12), 31);
}

Test(calendar, knows_which_dates_exist) {
    cr_expect(wg_date_exists((struct wg_date){2024, 2, 29}));
    cr_expect(!wg_date_exists((struct wg_date){2023, 2, 29}));
    cr_expect(!wg_date_exists((struct wg_date){2023, 4, 31}));
    cr_expect(!wg_date_exists((struct wg_date){2023, 0, 1}));
    cr_expect(!wg_date_exists((struct wg_date){2023, 13, 1}));
    cr_expect(!wg_date_exists((struct wg_date){2023, 1, 0}));
    cr_expect(!wg_date_exists((struct wg_date){0, 1, 1}));
    cr_expect(!wg_date_exists((struct wg_date){10000, 1, 1}));
    cr_expect(!wg_date_exists((struct wg_date){-4, 1, 1}));
}

/* Every first and last of a month from 1 to 9999, one after the other */
Test(calendar, goes_round_at_every_month_boundary) {
    int32_t expected = WG_DAY_FIRST;
    int mistakes = 0;
    for (int year = 1; year <= 9999; year++)
        for (int month = 1; month <= 12; month++) {
            const int length = wg_month_length(year, month);
            const struct wg_date first = wg_date_from_day(expected);
            const struct wg_date last = wg_date_from_day(expected + length - 1);
            mistakes += first.year != year || first.month != month || first.day != 1;
            mistakes += last.year != year || last.month != month || last.day != length;
            mistakes += day_of(year, month, 1) != expected || day_of(year, month, length) != expected + length - 1;
            expected += length;
        }
    cr_expect_eq(mistakes, 0);
    cr_expect_eq(expected, WG_DAY_LAST + 1);
}

/* Every day of 1600..2400 (two whole eras), and every 37th of the rest, against gmtime_r() of the C library */
Test(calendar, agrees_with_the_c_library) {
    int mistakes = 0;
    for (int32_t day = WG_DAY_FIRST; day <= WG_DAY_LAST; day += day > -135140 && day < 157054 ? 1 : 37) {
        const time_t seconds = (time_t)day * 86400;
        struct tm tm;
        cr_assert_not_null(gmtime_r(&seconds, &tm));
        const struct wg_date date = wg_date_from_day(day);
        mistakes += date.year != tm.tm_year + 1900 || date.month != tm.tm_mon + 1 || date.day != tm.tm_mday;
        mistakes += wg_day_of_year(day) != tm.tm_yday + 1 || wg_month_index(day) != tm.tm_mon;
        mistakes += wg_day_from_date(date) != day;
    }
    cr_expect_eq(mistakes, 0);
}

Test(calendar, numbers_the_days_of_a_year) {
    cr_expect_eq(wg_day_of_year(day_of(2027, 1, 1)), 1);
    cr_expect_eq(wg_day_of_year(day_of(2027, 12, 31)), 365);
    cr_expect_eq(wg_day_of_year(day_of(2028, 12, 31)), 366);
    cr_expect_eq(wg_day_of_year(day_of(2028, 3, 1)), 61);
    cr_expect_eq(wg_month_index(day_of(2027, 1, 31)), 0);
    cr_expect_eq(wg_month_index(day_of(2027, 12, 1)), 11);
}

Test(calendar, gives_each_date_one_place_in_the_season) {
    cr_expect_eq(wg_season_index(day_of(2027, 1, 1)), 0);
    cr_expect_eq(wg_season_index(day_of(2027, 2, 28)), 58);
    cr_expect_eq(wg_season_index(day_of(2028, 2, 28)), 58);
    cr_expect_eq(wg_season_index(day_of(2028, 2, 29)), 58);
    cr_expect_eq(wg_season_index(day_of(2028, 3, 1)), 59);
    cr_expect_eq(wg_season_index(day_of(2027, 12, 31)), 364);
    cr_expect_eq(wg_season_index(day_of(2028, 12, 31)), 364);
    for (int32_t day = day_of(2027, 3, 1); day <= day_of(2027, 12, 31); day++)
        cr_expect_eq(wg_season_index(day), wg_season_index(day + 366), "a year later, past the leap day");
}

Test(calendar, refuses_a_date_that_does_not_exist, .signal = SIGABRT) {
    (void)day_of(2027, 2, 29);
}

Test(calendar, refuses_a_day_after_the_last, .signal = SIGABRT) {
    (void)wg_date_from_day(WG_DAY_LAST + 1);
}

Test(calendar, refuses_a_day_before_the_first, .signal = SIGABRT) {
    (void)wg_date_from_day(INT32_MIN);
}

Test(calendar, refuses_a_thirteenth_month, .signal = SIGABRT) {
    (void)wg_month_length(2027, 13);
}

/* ---- text ---- */

Test(calendar_text, is_read) {
    int32_t day = 7;
    cr_expect_eq(wg_day_parse("1970-01-01", &day), 0);
    cr_expect_eq(day, 0);
    cr_expect_eq(wg_day_parse("2028-02-29", &day), 0);
    cr_expect_eq(day, day_of(2028, 2, 29));
    cr_expect_eq(wg_day_parse("0001-01-01", &day), 0);
    cr_expect_eq(day, WG_DAY_FIRST);
    cr_expect_eq(wg_day_parse("9999-12-31", &day), 0);
    cr_expect_eq(day, WG_DAY_LAST);
}

Test(calendar_text, of_another_form_is_refused) {
    const char *const bad[] = {"",
                               "2027",
                               "2027-1-1",
                               "2027-01-1",
                               "2027-01-01 ",
                               " 2027-01-01",
                               "2027/01/01",
                               "2027-01-01T",
                               "01-01-2027",
                               "20270101",
                               "+027-01-01",
                               "-027-01-01",
                               "2027-0a-01",
                               "2027-01- 1",
                               "2027-01--1",
                               "2O27-01-01",
                               "2027.01.01",
                               "2027-010-1",
                               "12027-01-01",
                               "\xd9\xa1\xd9\xa1-01-01",
                               "2027-01-0\x01"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        int32_t day = 12345;
        cr_expect_eq(wg_day_parse(bad[i], &day), -1, "\"%s\"", bad[i]);
        cr_expect_eq(day, 12345);
    }
}

Test(calendar_text, of_a_date_that_does_not_exist_is_refused) {
    const char *const bad[] = {"2027-02-29", "2027-04-31", "2027-13-01", "2027-00-01", "2027-01-00",
                               "2027-01-32", "1900-02-29", "2100-02-29", "0000-01-01", "2027-99-99"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        int32_t day = 12345;
        cr_expect_eq(wg_day_parse(bad[i], &day), -2, "\"%s\"", bad[i]);
        cr_expect_eq(day, 12345);
    }
}

Test(calendar_text, is_written) {
    char text[11];
    char words[24];
    wg_day_format(0, text);
    cr_expect_str_eq(text, "1970-01-01");
    wg_day_format(WG_DAY_FIRST, text);
    cr_expect_str_eq(text, "0001-01-01");
    wg_day_format(WG_DAY_LAST, text);
    cr_expect_str_eq(text, "9999-12-31");
    wg_day_format_long(day_of(2027, 5, 12), words);
    cr_expect_str_eq(words, "12 May 2027");
    wg_day_format_long(day_of(2027, 9, 30), words);
    cr_expect_str_eq(words, "30 September 2027");
    wg_day_format_long(WG_DAY_FIRST, words);
    cr_expect_str_eq(words, "1 January 1");
}

Test(calendar_text, goes_round) {
    for (int32_t day = day_of(1999, 1, 1); day < day_of(2005, 1, 1); day++) {
        char text[11];
        int32_t back = -1;
        wg_day_format(day, text);
        cr_expect_eq(wg_day_parse(text, &back), 0);
        cr_expect_eq(back, day);
    }
}

/* ---- seasons ---- */

Test(season, holds_both_its_ends) {
    const struct wg_season summer = {151, 242}; /* 1 June to 31 August */
    cr_expect(!wg_season_contains(summer, day_of(2027, 5, 31)));
    cr_expect(wg_season_contains(summer, day_of(2027, 6, 1)));
    cr_expect(wg_season_contains(summer, day_of(2028, 6, 1)));
    cr_expect(wg_season_contains(summer, day_of(2027, 8, 31)));
    cr_expect(!wg_season_contains(summer, day_of(2027, 9, 1)));
    cr_expect(!wg_season_contains(summer, day_of(2028, 9, 1)));
}

Test(season, runs_over_new_year) {
    const struct wg_season winter = {304, 58}; /* 1 November to the end of February */
    cr_expect(!wg_season_contains(winter, day_of(2027, 10, 31)));
    cr_expect(wg_season_contains(winter, day_of(2027, 11, 1)));
    cr_expect(wg_season_contains(winter, day_of(2027, 12, 31)));
    cr_expect(wg_season_contains(winter, day_of(2028, 1, 1)));
    cr_expect(wg_season_contains(winter, day_of(2028, 2, 29)));
    cr_expect(!wg_season_contains(winter, day_of(2028, 3, 1)));
}

Test(season, may_be_one_day_or_the_whole_year) {
    const struct wg_season new_year = {0, 0};
    int held = 0;
    for (int32_t day = day_of(2028, 1, 1); day <= day_of(2028, 12, 31); day++) {
        held += wg_season_contains(new_year, day);
        cr_expect(wg_season_contains(WG_ALL_YEAR, day));
    }
    cr_expect_eq(held, 1);
}
