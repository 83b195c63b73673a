/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks weather files: the six layouts, units, gaps, and rejected files.
 *
 * tests/data/weather/ holds tiny files with invented values in the layouts of GHCN-Daily (Menne et al. 2012), the NCEI
 * daily summaries and EPW. All hold the same four days, except EPW, which holds one.
 */
#include "records/weather_file.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *read_file(const char *name, size_t *size) {
    char path[512];
    snprintf(path, sizeof path, WG_SOURCE_DIR "/%s", name);
    FILE *const file = fopen(path, "rb");
    cr_assert_not_null(file, "%s", path);
    char *const text = malloc(1 << 20);
    *size = fread(text, 1, 1 << 20, file);
    fclose(file);
    return text;
}

static int parse(struct wg_weather_record *record, const char *text, enum wg_weather_record_unit unit,
                 struct wg_weather_record_note *note, struct wg_error *err) {
    *err = (struct wg_error){0};
    return wg_weather_record_parse(record, "file", text, strlen(text), unit, note, err);
}

static void expect_rejected(const char *text, const char *expected) {
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_expect_eq(parse(&record, text, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), WG_ERR_INPUT, "%s", expected);
    char all[1024];
    snprintf(all, sizeof all, "%s: %s", err.where, err.text);
    cr_expect_not_null(strstr(all, expected), "%s\n%s", expected, all);
    wg_weather_record_free(&record);
}

Test(weather_file, every_layout_gives_the_same_four_days) {
    static const struct {
        const char *name, *layout;
    } files[] = {{"ghcn_access_example.csv", "GHCN-Daily table"},
                 {"ghcn_by_year_example.csv", "GHCN-Daily list"},
                 {"ghcn_example.dly", "GHCN-Daily .dly"},
                 {"ncei_api_metric_example.csv", "NCEI daily summaries"}};
    static const double low[4] = {-1.1, 2.8, 4.2,
                                  5.6}; /* the third is missing in the file: half way between its neighbours */
    static const double high[4] = {6.7, 12.2, 15.0, 10.0};
    for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
        char name[128];
        size_t size;
        snprintf(name, sizeof name, "tests/data/weather/%s", files[f].name);
        char *const text = read_file(name, &size);
        struct wg_weather_record record;
        struct wg_weather_record_note note;
        struct wg_error err = {0};
        cr_assert_eq(
            wg_weather_record_parse(&record, files[f].name, text, size, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0,
            "%s: %s", files[f].name, err.text);
        cr_expect_eq(record.first_day, wg_day_from_date((struct wg_date){2023, 1, 1}));
        cr_assert_eq(record.n_days, 4, "%s: %d", files[f].name, (int)record.n_days);
        for (int i = 0; i < 4; i++) {
            cr_expect_float_eq(record.low_c[i], low[i], 1e-9, "%s day %d: %g", files[f].name, i, record.low_c[i]);
            cr_expect_float_eq(record.high_c[i], high[i], 1e-9, "%s day %d: %g", files[f].name, i, record.high_c[i]);
        }
        cr_expect_not_null(strstr(note.text, files[f].layout), "%s", note.text);
        cr_expect_not_null(strstr(note.text, "1 missing day filled in"), "%s", note.text);
        wg_weather_record_free(&record);
        free(text);
    }
}

Test(weather_file, quality_flags_and_site) {
    size_t size;
    char *text = read_file("tests/data/weather/ghcn_by_year_example.csv", &size);
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err = {0};
    cr_assert_eq(wg_weather_record_parse(&record, "f", text, size, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0,
                 "%s", err.text);
    cr_expect_not_null(strstr(note.text, "1 values left out for their quality flag"), "%s", note.text);
    cr_expect_not(note.has_latitude);
    wg_weather_record_free(&record);
    free(text);
    text = read_file("tests/data/weather/ghcn_access_example.csv", &size);
    cr_assert_eq(wg_weather_record_parse(&record, "f", text, size, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0,
                 "%s", err.text);
    cr_expect(note.has_latitude && note.has_elevation);
    cr_expect_float_eq(note.latitude_deg, 32.5, 1e-12);
    cr_expect_float_eq(note.elevation_m, 24, 1e-12);
    wg_weather_record_free(&record);
    free(text);
}

Test(weather_file, epw_hours_give_low_and_high) {
    size_t size;
    char *const text = read_file("tests/data/weather/example.epw", &size);
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err = {0};
    cr_assert_eq(
        wg_weather_record_parse(&record, "example.epw", text, size, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0,
        "%s", err.text);
    cr_assert_eq(record.n_days, 1);
    cr_expect_float_eq(record.low_c[0], 4.0, 1e-12);
    cr_expect_float_eq(record.high_c[0], 10.0, 1e-12);
    cr_expect_float_eq(note.latitude_deg, 32.5, 1e-12);
    cr_expect_float_eq(note.elevation_m, 24, 1e-12);
    wg_weather_record_free(&record);
    free(text);
}

/* Daily record of Seattle, 2012 to 2015 (NOAA, US Government data): four years, one of them a leap year. */
Test(weather_file, reads_a_real_record) {
    size_t size;
    char *const text = read_file("scenarios/weather/seattle_daily.csv", &size);
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err = {0};
    cr_assert_eq(
        wg_weather_record_parse(&record, "seattle_daily.csv", text, size, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err),
        0, "%s", err.text);
    cr_expect_eq(record.n_days, 3 * 365 + 366);
    cr_expect_eq(record.first_day, wg_day_from_date((struct wg_date){2012, 1, 1}));
    double mean = 0;
    for (int i = 0; i < record.n_days; i++)
        mean += (record.low_c[i] + record.high_c[i]) / 2 / record.n_days;
    cr_expect(mean > 10 && mean < 14, "%g", mean); /* 11.7 degC is the station's 1981-2010 normal (MEMORY) */
    cr_expect_not_null(strstr(note.text, "no day missing"), "%s", note.text);
    /* A unit in the scenario must not contradict the file. */
    cr_expect_eq(
        wg_weather_record_parse(&(struct wg_weather_record){0}, "f", text, size, WG_WEATHER_RECORD_DEGF, &note, &err),
        WG_ERR_INPUT);
    wg_weather_record_free(&record);
    free(text);
}

Test(weather_file, units_are_named_or_guessed) {
    static const struct {
        const char *header, *row1, *row2;
        enum wg_weather_record_unit said;
        double low_c;
        const char *note;
    } cases[] = {
        {"date,tmin_C,tmax_C", "3.5,12.1", "4.0,13", WG_WEATHER_RECORD_UNIT_GUESSED, 3.5, "as its header says"},
        {"date,low_F,high_F", "41,60", "42,63", WG_WEATHER_RECORD_UNIT_GUESSED, 5, "in degF as its header says"},
        {"Date,TMIN (degF),TMAX (degF)", "41,60", "42,63", WG_WEATHER_RECORD_UNIT_GUESSED, 5, "degF"},
        {"date,low,high", "41,60", "42,63", WG_WEATHER_RECORD_DEGF, 5, "as the scenario says"},
        {"date,low,high", "50,75", "51,70", WG_WEATHER_RECORD_UNIT_GUESSED, 10, "in degF guessed from"},
        {"date,low,high", "5.0,12.5", "4,13", WG_WEATHER_RECORD_UNIT_GUESSED, 5, "in degC guessed from"},
        {"date,low,high", "17,39", "16,40", WG_WEATHER_RECORD_UNIT_GUESSED, 17,
         "in degC guessed from"}, /* dry, whole degrees */
        {"date,low,high", "50,89", "50,92", WG_WEATHER_RECORD_UNIT_GUESSED, 10,
         "in degF guessed from"}, /* dry, in degF */
        {"date,low,high", "50,125", "40,130", WG_WEATHER_RECORD_UNIT_GUESSED, 5, "in tenths of degC guessed from"},
        /* NCEI's order form gives the same columns in tenths (the station's file), degF or degC */
        {"date,tmin,tmax,tmin_attributes", "50,125", "40,130", WG_WEATHER_RECORD_UNIT_GUESSED, 5,
         "in tenths of degC by its layout"},
        {"date,tmin,tmax,tmin_attributes", "50,75", "51,70", WG_WEATHER_RECORD_UNIT_GUESSED, 10,
         "in degF guessed from"},
        {"date,tmin,tmax,tmin_attributes", "41,60", "42,58", WG_WEATHER_RECORD_DEGF, 5, "in degF as the scenario says"},
        {"date,tmin,tmax,tmin_attributes", "5.0,12.5", "4.4,13.3", WG_WEATHER_RECORD_UNIT_GUESSED, 5,
         "in degC guessed from"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[256];
        snprintf(text, sizeof text, "# a comment\n\n%s\n2026-01-01,%s\n2026-01-02,%s\n", cases[i].header, cases[i].row1,
                 cases[i].row2);
        struct wg_weather_record record;
        struct wg_weather_record_note note;
        struct wg_error err;
        cr_assert_eq(parse(&record, text, cases[i].said, &note, &err), 0, "%s: %s", text, err.text);
        cr_expect_float_eq(record.low_c[0], cases[i].low_c, 1e-9, "%s: %g", text, record.low_c[0]);
        cr_expect_not_null(strstr(note.text, cases[i].note), "%s: %s", text, note.text);
        wg_weather_record_free(&record);
    }
}

Test(weather_file, gaps_of_three_days_are_filled_of_four_rejected) {
    static const char three[] = "date,tmin_C,tmax_C\n2026-01-01,0,10\n2026-01-05,4,18\n2026-01-06,4,18\n";
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_assert_eq(parse(&record, three, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0, "%s", err.text);
    for (int i = 0; i < 5; i++) {
        cr_expect_float_eq(record.low_c[i], i, 1e-12);
        cr_expect_float_eq(record.high_c[i], 10 + 2 * i, 1e-12);
    }
    wg_weather_record_free(&record);
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,0,10\n2026-01-06,4,18\n2026-01-07,4,18\n",
                    "2026-01-02 to 2026-01-05");
}

Test(weather_file, filled_values_do_not_cross_measured_ones) {
    static const char text[] = "date,tmin_C,tmax_C\n2026-01-01,0,5\n2026-01-02,20,\n2026-01-03,,1\n2026-01-04,10,15\n";
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_assert_eq(parse(&record, text, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0, "%s", err.text);
    cr_expect_float_eq(record.high_c[1], 20, 1e-12); /* half way from 5 to 1 is 3, below the low of the day */
    cr_expect_float_eq(record.low_c[2], 1, 1e-12);   /* half way from 20 to 10 is 15, above the high of the day */
    wg_weather_record_free(&record);
}

Test(weather_file, incomplete_days_at_the_ends_are_dropped) {
    static const char text[] = "date,tmin_C,tmax_C\n2026-01-01,,10\n2026-01-02,1,10\n2026-01-03,2,12\n2026-01-04,3,\n";
    struct wg_weather_record record;
    struct wg_weather_record_note note;
    struct wg_error err;
    cr_assert_eq(parse(&record, text, WG_WEATHER_RECORD_UNIT_GUESSED, &note, &err), 0, "%s", err.text);
    cr_expect_eq(record.n_days, 2);
    cr_expect_eq(record.first_day, wg_day_from_date((struct wg_date){2026, 1, 2}));
    wg_weather_record_free(&record);
}

Test(weather_file, invalid_files_are_rejected_with_a_position) {
    expect_rejected("", "empty");
    expect_rejected("# only a comment\n", "empty");
    expect_rejected("hello\n", "none of the known layouts");
    expect_rejected("date,tmin_C,tmax_C\n", "no daily highs and lows");
    expect_rejected("date,tmin_C,tmax_C\n1/2/2026,1,2\n", "line 2");
    expect_rejected("date,tmin_C,tmax_C\n2026-02-30,1,2\n", "does not exist");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,warm,2\n", "not a plain number");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,1,2\n2026-01-01,1,3\n",
                    "On 2026-01-01 there are two different values");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,9,2\n2026-01-02,9,2\n", "are swapped");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,1,2\n2026-01-02,1,2\n2026-01-03,9,2\n",
                    "On 2026-01-03 the low is above the high");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,50,75\n", "above 60 degC");
    expect_rejected("date,tmin_F,tmax_F\n2026-01-01,30,45\n2026-01-02,-99,50\n2026-01-03,31,44\n", "On 2026-01-02");
    expect_rejected("date,tmin_C,tmax_C\n2026-01-01,1,\n2026-01-02,,2\n", "No day in the file has both");
    expect_rejected("date,tmin_C,tmax_C\n1500-01-01,1,2\n2026-01-01,1,2\n", "four hundred years");
    expect_rejected("STATION,DATE,TMAX,TMIN\nA,2026-01-01,2,1\nB,2026-01-01,2,1\n", "second weather station");
    expect_rejected("STATION,DATE,TMAX,TMIN\nGHCND:XX000000001,2026-01-01,2,1\nGHCND:XX000000002,2026-01-02,2,1\n",
                    "second weather station");
    expect_rejected("XX000000001,20230101,TMAX,67,,,W,2400\nnonsense\n", "differs in layout from the first");
    expect_rejected("LOCATION,a,b,c,d,e,32,-92,-6,24\n", "header");
}
