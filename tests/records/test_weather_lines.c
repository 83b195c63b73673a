/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks lines of real weather files: quotes, byte order marks, codes for missing values, truncated lines.
 *
 * References: RFC 4180 for commas and quotes; the readme of GHCN-Daily (Menne et al.
 * 2012) for the .dly columns, tenths of a degree and quality flags; the EnergyPlus documentation for EPW (35 values an
 * hour, 99.9 for a missing temperature, eight lines of header).
 */
#include "records/weather_file.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int read_text(struct wg_weather_record *record, const char *text, size_t size,
                     struct wg_weather_record_note *note, struct wg_error *err) {
    *err = (struct wg_error){0};
    return wg_weather_record_parse(record, "file", text, size, WG_WEATHER_RECORD_UNIT_GUESSED, note, err);
}

/* Expects n days with these lows and highs, without errors. */
static void expect_days(const char *text, int n, const double *low, const double *high) {
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_assert_eq(read_text(&record, text, strlen(text), &note, &err), 0, "%s\n%s", text, err.text);
    cr_assert_eq(record.n_days, n, "%s", text);
    for (int i = 0; i < n; i++) {
        cr_expect_float_eq(record.low_c[i], low[i], 1e-9, "%s", text);
        cr_expect_float_eq(record.high_c[i], high[i], 1e-9, "%s", text);
    }
    wg_weather_record_free(&record);
}

static void expect_rejected_bytes(const char *text, size_t size, const char *where, const char *expected) {
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_expect_eq(read_text(&record, text, size, &note, &err), WG_ERR_INPUT, "%s", expected);
    cr_expect_not_null(strstr(err.text, expected), "%s\n%s", expected, err.text);
    cr_expect_str_eq(err.where, where, "%s: %s", expected, err.where);
    wg_weather_record_free(&record);
}

static void expect_rejected(const char *text, const char *where, const char *expected) {
    expect_rejected_bytes(text, strlen(text), where, expected);
}

static const double one_low[] = {-1.5}, one_high[] = {12};

/* ---- tables ---- */

Test(weather_lines, quoted_cells) {
    expect_days("date,site,tmin_C,tmax_C\n2026-01-01,\"Farm, \"\"east\"\" gate\",-1.5,12\n", 1, one_low, one_high);
    expect_days("\"date\",\"tmin_C\",\"tmax_C\"\r\n\"2026-01-01\", \"-1.5\" ,\"12\"\r\n", 1, one_low, one_high);
}

Test(weather_lines, a_byte_order_mark_blank_lines_and_comments_are_skipped) {
    expect_days("\xEF\xBB\xBF"
                "date,tmin_C,tmax_C\n\n# a note\n  \n2026-01-01,-1.5,12",
                1, one_low, one_high);
    expect_days("\n# a note\ndate,tmin_C,tmax_C\n2026-01-01,-1.5,12\n", 1, one_low, one_high);
}

/* 29.3 degF is -1.5 degC, 53.6 degF is 12 degC. */
Test(weather_lines, columns_have_several_names_and_any_order) {
    expect_days("Day,High (degC),Low (degC)\n2026-01-01,12,-1.5\n", 1, one_low, one_high);
    expect_days("DATE,Max Temp F,Min Temp F\n2026-01-01,53.6,29.3\n", 1, one_low, one_high);
    expect_days("date,rain,dailylow_celsius,dailyhigh_celsius\n20260101,3,-1.5,12\n", 1, one_low, one_high);
    expect_days("date,tmin_fahrenheit,tmax_fahrenheit\n2026-01-01T00:00,29.3,53.6\n", 1, one_low, one_high);
}

Test(weather_lines, columns_of_different_units_are_rejected) {
    expect_rejected("date,tmin_C,tmax_F\n2026-01-01,-1.5,53.6\n", "file, line 1", "different units");
    expect_rejected("date,tmin,tmax_F\n2026-01-01,29.3,53.6\n", "file, line 1", "different units");
}

/* A straight line fills a gap of two days between 0 and 9 degrees: 3 and 6. */
Test(weather_lines, codes_for_a_missing_value) {
    static const char *const missing[] = {"",  "-9999", "9999",  "NA",    "NaN",   "null",
                                          "M", "-",     "-99.9", "999.9", "9999.9"};
    const double low[] = {0, 3, 6, 9}, high[] = {10, 13, 16, 19};
    for (size_t i = 0; i < sizeof missing / sizeof *missing; i++) {
        char text[200];
        snprintf(text, sizeof text,
                 "date,tmin_C,tmax_C\n2026-01-01,0,10\n2026-01-02,%s,%s\n2026-01-03,%s,16\n2026-01-04,9,19\n",
                 missing[i], missing[i], missing[i]);
        expect_days(text, 4, low, high);
    }
}

Test(weather_lines, short_rows) {
    const double low[] = {0, 1, 2}, high[] = {10, 11, 12};
    expect_days("date,tmin_C,tmax_C\n2026-01-01,0,10\n2026-01-02,1\n2026-01-03,2,12\n", 3, low, high);
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,0,10\n,1,2\n", "file, line 3", "A date such as");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01x,1,2\n", "file, line 2", "A date such as");
}

/* ---- binary input ---- */

Test(weather_lines, binary_input_is_rejected_with_its_line) {
    static const char bytes[] = "date,tmin_C,tmax_C\n2026-01-01,1\0002,3\n";
    expect_rejected_bytes(bytes, sizeof bytes - 1, "file, line 2", "too long or not text");
    const size_t size = 1 << 20;
    char *const text = malloc(size + 1);
    memset(text, 'a', size);
    text[size] = '\0';
    expect_rejected_bytes(text, size, "file, line 1", "too long or not text");
    memcpy(text, "date,tmin_C,tmax_C\n", 19);
    expect_rejected_bytes(text, size, "file, line 2", "too long or not text");
    free(text);
}

/* ---- GHCN-Daily ---- */

#define BY_YEAR "XX000000001,20230101,TMIN,-15,,,W,2400\n"

Test(weather_lines, list_of_elements) {
    expect_days(BY_YEAR "XX000000001,20230101,PRCP,99,,,W,\nXX000000001,20230101,TMAX,120,,,W,\n", 1, one_low,
                one_high);
    expect_rejected(BY_YEAR "XX000000002,20230101,TMAX,120,,,W,\n", "file, line 2", "second weather station");
    expect_rejected(BY_YEAR "XX000000001,20230231,TMAX,120,,,W,\n", "file, line 2", "does not exist");
    expect_rejected(BY_YEAR "XX000000001,2023-101,TMAX,120,,,W,\n", "file, line 2", "differs in layout from the first");
    expect_rejected(BY_YEAR "XX000000001,20230101,TMAX,12O,,,W,\n", "file, line 2", "not a plain number");
}

/* Current lists have a header; concatenated years have several. */
Test(weather_lines, list_with_headers) {
    static const char header[] = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n";
    char text[400];
    snprintf(text, sizeof text, "%s" BY_YEAR "%sXX000000001,20230101,TMAX,120,,,W,\n", header, header);
    expect_days(text, 1, one_low, one_high);
}

/* Attributes are "measurement,quality,source"; a blank quality flag means that the value is good. */
Test(weather_lines, table_skips_flagged_values) {
    const double low[] = {0, 1, 2}, high[] = {10, 11, 12};
    expect_days("\"STATION\",\"DATE\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n"
                "\"XX000000001\",\"2023-01-01\",\"100\",\",,W\",\"0\",\", ,W\"\n"
                "\"XX000000001\",\"2023-01-02\",\"990\",\",I,W\",\"10\",\"H,,W\"\n"
                "\"XX000000001\",\"2023-01-03\",\"120\",\"\",\"900\",\",X\"\n"
                "\"XX000000001\",\"2023-01-03\",\"120\",\"\",\"20\",\"\"\n",
                3, low, high);
}

/* Writes one line for a month: day d is base + d tenths of a degree, days after `days` are missing. */
static void put_month(char *text, const char *month, const char *element, int base, int days) {
    text += strlen(text);
    text += sprintf(text, "XX000000001%s%s", month, element);
    for (int d = 1; d <= 31; d++)
        text += sprintf(text, "%5d  W", d <= days ? base + d : -9999);
    strcpy(text, "\n");
}

Test(weather_lines, dly_line_is_a_month) {
    char text[2000] = "";
    double low[28], high[28];
    for (int d = 0; d < 28; d++) {
        low[d] = 0.1 * (d + 1);
        high[d] = 10 + 0.1 * (d + 1);
    }
    put_month(text, "202302", "TMIN", 0, 31); /* the reader ignores 29 to 31 February */
    put_month(text, "202302", "PRCP", 500, 28);
    strcat(text, "\n");
    put_month(text, "202302", "TMAX", 100, 28);
    expect_days(text, 28, low, high);
}

Test(weather_lines, dly_line_may_be_truncated) {
    char text[2000] = "";
    put_month(text, "202301", "TMIN", -16, 1);
    text[21 + 8] = '\0'; /* after the first day */
    strcat(text, "\nXX000000001202301TMAX  120  W\n");
    expect_days(text, 1, one_low, one_high);
}

Test(weather_lines, dly_skips_flagged_values) {
    char text[2000] = "";
    const double low[] = {0.1, 0.2, 0.3}, high[] = {10.1, 10.2, 10.3};
    put_month(text, "202301", "TMIN", 0, 3);
    put_month(text, "202301", "TMAX", 100, 3);
    memcpy(text + 21 + 8, "  900 X ", 8); /* 90 degC on the 2nd, flagged X: failed the bounds check */
    expect_days(text, 3, low, high);
}

Test(weather_lines, dly_errors_have_a_position) {
    char text[2000] = "";
    put_month(text, "202301", "TMIN", 0, 3);
    char *const end = text + strlen(text);
    strcpy(end, "and then some words that are not columns\n");
    expect_rejected(text, "file, line 2", "differs in layout from the first");
    strcpy(end, "XX000000002202301TMAX  120  W\n");
    expect_rejected(text, "file, line 2", "second weather station");
    strcpy(end, "XX000000001202313TMAX  120  W\n");
    expect_rejected(text, "file, line 2", "does not exist");
    strcpy(end, "XX000000001202301TMAX  1x0  W\n");
    expect_rejected(text, "file, line 2", "not a plain number");
}

/* ---- EPW ---- */

static size_t put_epw(char *text, const char *first_line, int days, int hours) {
    size_t n = (size_t)sprintf(text, "%s\nA\nB\nC\nD\nE\nF\nG\n", first_line);
    for (int day = 1; day <= days; day++)
        for (int hour = 1; hour <= hours; hour++)
            n += (size_t)sprintf(text + n, "1999,1,%d,%d,0,source,%d,5,80\n", day, hour, 10 * day + hour % 12);
    return n;
}

#define SITE "LOCATION,Town,Region,XXX,data,000000,32.5,-92.1,-6.0,24.0"

Test(weather_lines, epw_day_with_too_few_hours) {
    static char text[8000];
    const double low[] = {10, 20}, high[] = {21, 31};
    size_t n = put_epw(text, SITE, 2, 24);
    expect_days(text, 2, low, high);
    sprintf(text + n,
            "1999,1,3,1,0,source,99.9,5,80\n1999,1,3,2,0,source,15,5,80\n"); /* one missing value; too few hours */
    expect_days(text, 2, low, high);
    (void)put_epw(text, SITE, 2, 19);
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_expect_eq(read_text(&record, text, strlen(text), &note, &err), WG_ERR_INPUT);
    wg_weather_record_free(&record);
}

/* Two years in one file would merge into one with lower lows and higher highs. */
Test(weather_lines, epw_day_with_too_many_hours) {
    static char text[65536];
    (void)put_epw(text, SITE, 2, 25);
    expect_rejected(text, "file, line 33", "more than 24 hours");
}

Test(weather_lines, epw_site_is_used_if_plausible) {
    static char text[8000];
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    (void)put_epw(text, SITE, 2, 24);
    cr_assert_eq(read_text(&record, text, strlen(text), &note, &err), 0, "%s", err.text);
    cr_expect(note.has_latitude && note.latitude_deg == 32.5 && note.has_elevation && note.elevation_m == 24);
    wg_weather_record_free(&record);
    (void)put_epw(text, "LOCATION,Town,Region,XXX,data,000000,99,0,0,-9999", 2, 24);
    cr_assert_eq(read_text(&record, text, strlen(text), &note, &err), 0, "%s", err.text);
    cr_expect(!note.has_latitude && !note.has_elevation);
    wg_weather_record_free(&record);
}

Test(weather_lines, epw_errors_have_a_position) {
    static char text[8000];
    const size_t n = put_epw(text, SITE, 1, 24);
    sprintf(text + n, "1999,1,2,1\n");
    expect_rejected(text, "file, line 33", "the month, day or temperature is missing");
    sprintf(text + n, "1999,2,30,1,0,source,5\n");
    expect_rejected(text, "file, line 33", "does not exist");
    sprintf(text + n, "1999,-1,3,1,0,source,5\n");
    expect_rejected(text, "file, line 33", "does not exist");
    sprintf(text + n, "1999,1,3,1,0,source,warm\n");
    expect_rejected(text, "file, line 33", "the month, day or temperature is missing");
}

/* ---- other ways to write dates and numbers ---- */

static void expect_note(const char *text, const char *expected) {
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_assert_eq(read_text(&record, text, strlen(text), &note, &err), 0, "%s\n%s", text, err.text);
    cr_expect_not_null(strstr(note.text, expected), "%s: %s", expected, note.text);
    wg_weather_record_free(&record);
}

Test(weather_lines, semicolons_and_decimal_commas) {
    static const double low[] = {-1.5, 2}, high[] = {12, 13.25};
    static const char text[] = "# from a spreadsheet\ndate;tmin_C;tmax_C\n2026-01-01;-1,5;12\n2026-01-02;2;13,25\n";
    expect_days(text, 2, low, high);
    expect_note(text, "as its header says, decimal commas, no day missing");
    expect_days("date\ttmin_C\ttmax_C\n2026-01-01\t-1,5\t12\n2026-01-02\t2\t13,25\n", 2, low, high);
    expect_days("date,tmin_C,tmax_C\n2026-01-01,\"-1,5\",12\n2026-01-02,2,\"13,25\"\n", 2, low, high);
    expect_days("date;tmin_C;tmax_C\n2026-01-01;-9999,0;3\n2026-01-02;-1,5;12\n", 1, low, high);
    expect_rejected("date;tmin_C;tmax_C\n2026-01-01;-1,5;12\n2026-01-02;2;13.25\n", "file, line 3",
                    "decimal points and decimal commas");
    expect_rejected("date;tmin_C;tmax_C\n2026-01-01;1.234,5;12\n", "file, line 2", "not a plain number");
    /* would be 1 and 5 degrees */
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,1,5,6,2\n", "file, line 2", "more values than the first line");
    expect_days("date,tmin_C,tmax_C\n2026-01-01,-1.5,12,\n2026-01-02,2,13.25,,\n", 2, low, high);
}

Test(weather_lines, a_station_with_decimal_commas) {
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    static const char text[] = "STATION;LATITUDE;ELEVATION;DATE;TMAX;TMIN\nX1;47,4;130,5;2026-01-01;12,5;3\n";
    cr_assert_eq(read_text(&record, text, strlen(text), &note, &err), 0, "%s", err.text);
    cr_expect(note.has_latitude && note.latitude_deg == 47.4 && note.has_elevation && note.elevation_m == 130.5);
    wg_weather_record_free(&record);
}

Test(weather_lines, dates_with_the_year_at_their_end) {
    static const double low[] = {-1.5, 2}, high[] = {12, 13};
    expect_days("date,tmin_C,tmax_C\n1/12/2026,-1.5,12\n1/13/2026,2,13\n", 2, low, high);
    expect_days("date,tmin_C,tmax_C\n12/1/2026 0:00,-1.5,12\n13/1/2026 0:00,2,13\n", 2, low, high);
    expect_days("date;tmin_C;tmax_C\n01.02.2026;-1,5;12\n02.02.2026;2;13\n", 2, low, high);
    expect_note("date,tmin_C,tmax_C\n1/12/2026,-1.5,12\n1/13/2026,2,13\n", "says, dates month first, no day");
    expect_note("date,tmin_C,tmax_C\n13/1/2026,-1.5,12\n14/1/2026,2,13\n", "says, dates day first, no day");
    expect_rejected("date,tmin_C,tmax_C\n03/04/2026,-1.5,12\n03/05/2026,2,13\n", "file, line 2",
                    "can be 4 March 2026 or 3 April 2026: write 2026-03-04 or 2026-04-03.");
    expect_rejected("date,tmin_C,tmax_C\n01/13/2026,-1.5,12\n14/01/2026,2,13\n", "file, line 3",
                    "the day first, but that of line 2 the month");
    expect_rejected("date,tmin_C,tmax_C\n13/13/2026,-1.5,12\n", "file, line 2", "does not exist");
}
