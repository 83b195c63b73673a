/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads dates with the year at their end. Reference: the days are those of ISO 8601 dates written out by hand.
 */
#include "text/written_date.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static int32_t day_of(int year, int month, int day) {
    return wg_day_from_date((struct wg_date){year, month, day});
}

static struct wg_written_date read_date(const char *text, int code) {
    struct wg_written_date date;
    cr_assert_eq(wg_written_date_read(text, &date), code, "%s", text);
    return date;
}

Test(written_date, one_reading) {
    static const struct {
        const char *text;
        int year, month, day;
    } dates[] = {{"2026-11-15", 2026, 11, 15}, {"11/15/2026", 2026, 11, 15}, {"15/11/2026", 2026, 11, 15},
                 {"15.11.2026", 2026, 11, 15}, {"3.4.2026", 2026, 4, 3},     {"3/3/2026", 2026, 3, 3},
                 {"15-11-2026", 2026, 11, 15}, {"02/29/2024", 2024, 2, 29},  {"1/31/0001", 1, 1, 31}};
    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        const struct wg_written_date date = read_date(dates[i].text, 0);
        cr_expect_not(wg_written_date_is_open(&date), "%s", dates[i].text);
        cr_expect_eq(date.day[date.exists[0] ? 0 : 1], day_of(dates[i].year, dates[i].month, dates[i].day), "%s",
                     dates[i].text);
    }
}

Test(written_date, two_readings) {
    const struct wg_written_date date = read_date("03/04/2026", 0);
    char message[WG_DATE_MESSAGE];
    cr_assert(wg_written_date_is_open(&date));
    cr_expect_eq(date.day[WG_DATE_MONTH_FIRST], day_of(2026, 3, 4));
    cr_expect_eq(date.day[WG_DATE_DAY_FIRST], day_of(2026, 4, 3));
    wg_written_date_advise(&date, "03/04/2026", "from: ", true, message);
    cr_expect_str_eq(message,
                     "\"03/04/2026\" can be 4 March 2026 or 3 April 2026: write from: 2026-03-04 or from: 2026-04-03.");
    wg_written_date_advise(&date, "03/04", "", false, message);
    cr_expect_str_eq(message, "\"03/04\" can be 4 March or 3 April: write 03-04 or 04-03.");
}

Test(written_date, no_date) {
    static const char *const forms[] = {"",          "tomorrow",   "11/15/26", "11/15-2026", "11 15 2026",
                                        "11/2026",   "111/1/2026", "1//2026",  "1/2/2026 ",  "1/2/20261",
                                        "-1/2/2026", "2026/11/15", "11.15",    "1/2/2o26"};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
        (void)read_date(forms[i], -1);
    (void)read_date("31/31/2026", -2);
    (void)read_date("02/30/2026", -2);
    (void)read_date("11.15.2026", -2);
    (void)read_date("2026-02-30", -2);
}

/* Days as people write them; the reference is the calendar on the wall. */
Test(written_date, months_by_name) {
    static const struct {
        const char *text;
        struct wg_date date;
    } forms[] = {{"May 1", {0, 5, 1}},           {"1 May", {0, 5, 1}},         {"Sept. 30th, 2026", {2026, 9, 30}},
                 {"february 29", {0, 2, 29}},    {"2 Feb 2027", {2027, 2, 2}}, {"Dec-24", {0, 12, 24}},
                 {"3rd of... no", {-1, 0, 0}},   {"May", {-1, 0, 0}},          {"1", {-1, 0, 0}},
                 {"Feb 30", {-1, 0, 0}},         {"29 Feb 2027", {-1, 0, 0}},  {"Ma 1", {-1, 0, 0}},
                 {"May 1 2", {-1, 0, 0}},        {"May June 1", {-1, 0, 0}},   {"", {-1, 0, 0}},
                 {"May 1 2027 2028", {-1, 0, 0}}};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        struct wg_date date;
        const bool is_date = wg_worded_date_read(forms[i].text, &date);
        cr_expect_eq(is_date, forms[i].date.year >= 0, "%s", forms[i].text);
        if (is_date)
            cr_expect(date.year == forms[i].date.year && date.month == forms[i].date.month &&
                          date.day == forms[i].date.day,
                      "%s", forms[i].text);
    }
}

/* Decides by dates on lines 2, 3, ...; returns the line refused, 0 if none. */
static int decide(const char *const *dates, enum wg_date_order *order, char *message) {
    struct wg_date_evidence evidence = {.open_line = 0};
    for (int i = 0; dates[i] != NULL; i++) {
        const struct wg_written_date date = read_date(dates[i], 0);
        wg_date_evidence_add(&evidence, &date, dates[i], i + 2);
    }
    return wg_date_evidence_decide(&evidence, order, message);
}

Test(written_date, a_file_decides) {
    char message[WG_DATE_MESSAGE];
    enum wg_date_order order;
    cr_expect_eq(decide((const char *const[]){"03/04/2026", "03/15/2026", NULL}, &order, message), 0);
    cr_expect_eq(order, WG_DATE_MONTH_FIRST);
    cr_expect_eq(decide((const char *const[]){"15/03/2026", "03/04/2026", NULL}, &order, message), 0);
    cr_expect_eq(order, WG_DATE_DAY_FIRST);
    cr_expect_eq(decide((const char *const[]){"2026-03-15", "3.4.2026", "03/03/2026", NULL}, &order, message), 0);
    cr_expect_eq(decide((const char *const[]){"03/03/2026", "03/04/2026", "03/05/2026", NULL}, &order, message), 3);
    cr_expect_str_eq(message,
                     "No day over 12 tells the order: \"03/04/2026\" can be 4 March 2026 or 3 April 2026: write "
                     "2026-03-04 or 2026-04-03.");
    cr_expect_eq(decide((const char *const[]){"03/15/2026", "1/1/2026", "15/03/2026", NULL}, &order, message), 4);
    cr_expect_str_eq(message,
                     "This date has the day first, but that of line 2 the month: write all as year-month-day.");
    cr_expect_eq(decide((const char *const[]){"15/03/2026", "03/15/2026", NULL}, &order, message), 3);
    cr_expect_not_null(strstr(message, "month first, but that of line 2 the day"));
}
