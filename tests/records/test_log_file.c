/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the log reader: values in any unit, sums since the previous entry, mistakes with their positions.
 */
#include "records/log_file.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static bool has_two_places, has_no_actions;

/* Adds collecting and traps for the whole period, so that a log may have such entries. */
static void add_work(struct wg_plan *plan) {
    plan_add(plan, (struct wg_action){.kind = WG_ACTION_COLLECT, .from = plan->first_day, .to = plan->last_day});
    plan_add(plan, (struct wg_action){
                       .kind = WG_ACTION_LAY_IN_TRAPS, .from = plan->first_day, .to = plan->last_day, .bin = -1});
}

static int read_log(struct wg_keeper_log *log, const char *text, struct wg_mistakes *problems) {
    struct wg_plan plan;
    char path[64];
    struct wg_error err = {0};
    plan_laboratory(&plan, 27, 60); /* from 2026-01-01, one bin named tray */
    if (!has_no_actions)
        add_work(&plan);
    if (has_two_places)
        plan_add_place(&plan, WG_OUTDOORS);
    snprintf(path, sizeof path, "/tmp/wg-log-%ld.csv", (long)getpid());
    FILE *const file = fopen(path, "w");
    cr_assert_not_null(file);
    fputs(text, file);
    fclose(file);
    const int code = wg_keeper_log_read(log, path, &plan, problems, &err);
    remove(path);
    wg_plan_free(&plan);
    return code;
}

Test(log_file, entries_in_any_order_and_unit) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_assert_eq(read_log(&log,
                          "\xEF\xBB\xBFWhat;DATE;value;Where;Days\r\n"
                          "# a comment\r\n"
                          "crawl-off;2026-01-20;2 lb;\r\n"
                          "\r\n"
                          "crawl-off;2026-01-10;500 g\r\n"
                          "\"adults\";2026-01-15;\"yes\"\r\n"
                          "bin temperature;2026-01-15;86 degF;tray\r\n"
                          "eggs trapped;2026-01-12;12000;;3 days\r\n",
                          &problems),
                 0, "%s", problems.n > 0 ? problems.items[0].message : "");
    cr_assert_eq(log.n, 4);
    const int32_t first = wg_day_from_date((struct wg_date){2026, 1, 1});
    cr_expect_eq(log.opening[WG_LOG_CRAWL_OFF].day, first + 9,
                 "no entry says when the first total began, so it only starts the count");
    cr_expect_eq(log.opening[WG_LOG_CRAWL_OFF].line, 5);
    cr_expect_eq(log.opening[WG_LOG_EGGS_TRAPPED].line, 0);
    cr_expect_eq(log.note[3].kind, WG_LOG_CRAWL_OFF);
    cr_expect_float_eq(log.note[3].value, 2 * 0.45359237, 1e-9);
    cr_expect_eq(log.note[3].since, first + 10);
    cr_expect_eq(log.note[1].since, log.note[1].day);
    cr_expect_float_eq(log.note[2].value, 30, 1e-9);
    cr_expect_eq(log.note[0].value, 12000);
    cr_expect_eq(log.note[0].since, first + 9);
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
}

static void expect_mistake(const char *text, int line, int column, const char *part) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_expect_eq(read_log(&log, text, &problems), WG_ERR_INPUT, "%s", text);
    cr_assert_geq(problems.n, 1);
    cr_expect_eq(problems.items[0].line, line, "%s", text);
    cr_expect_eq(problems.items[0].column, column, "%s: %d", text, problems.items[0].column);
    cr_expect_not_null(strstr(problems.items[0].message, part), "%s", problems.items[0].message);
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
}

#define HEAD "date,what,value\n"

Test(log_file, mistakes_have_a_position) {
    expect_mistake("", 0, 1, "has no entries");
    expect_mistake("day,seen\n", 1, 1, "name the columns");
    expect_mistake(HEAD "2026-01-05,crawlof,1 kg\n", 2, 12, "Did you mean \"crawl-off\"?");
    expect_mistake(HEAD "2026-02-30,adults,yes\n", 2, 1, "is not a date");
    expect_mistake(HEAD "2027-01-05,adults,yes\n", 2, 1, "outside the scenario's period");
    expect_mistake(HEAD "2026-01-05,adults,maybe\n", 2, 19, "neither yes nor no");
    expect_mistake(HEAD "2026-01-05,crawl-off,3\n", 2, 22, "needs a unit");
    expect_mistake(HEAD "2026-01-05,crawl-off,-3 kg\n", 2, 22, "is negative");
    expect_mistake(HEAD "2026-01-05,crawl-off\n", 2, 1, "too few columns");
    expect_mistake(HEAD "2026-01-05,crawl-off,3 kg\n2026-01-05,crawl-off,4 kg\n", 3, 1, "on the same day");
    expect_mistake("date,what,value,days\n2026-01-05,adults,yes,2\n", 2, 23, "Only weights, eggs and jars");
    expect_mistake("date,what,value,days\n2026-01-05,crawl-off,2 lb,9 days\n", 2, 27, "before the scenario's period");
    expect_mistake("date,what,value,days\n2026-01-05,crawl-off,2 lb,9 lb\n", 2, 27, "is not a time");
    expect_mistake("date,what,value,days\n2026-01-05,crawl-off,2 lb,0\n", 2, 27, "is not a number of days");
    expect_mistake("date,what,value,days\n2026-01-09,crawl-off,2 lb,2\n2026-01-12,crawl-off,2 lb,4\n", 3, 1, "line 2");
    expect_mistake(HEAD "2026-01-05,crawl-off,2 lb\n", 2, 1, "only opens its count");
    expect_mistake("date,what,value,where\n2026-01-05,bin temperature,80 degF,tub\n", 2, 36, "needs a bin");
    expect_mistake("date,what,value,where\n2026-01-05,crawl-off,2 lb,tub\n", 2, 27, "no bin or place \"tub\"");
}

#define JAR "date,what,value,where,days\n"

Test(log_file, jar_in_the_cold) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_assert_eq(read_log(&log, JAR "2026-01-10,jar in the cold,37 of 100,36 degF,28 days\n", &problems), 0, "%s",
                 problems.n > 0 ? problems.items[0].message : "");
    cr_assert_eq(log.n, 1);
    cr_expect_eq(log.note[0].started, 100);
    cr_expect_float_eq(log.note[0].value, 0.37, 1e-15);
    cr_expect_float_eq(log.note[0].temp_c, 20.0 / 9, 1e-12);
    cr_expect_eq(log.note[0].day - log.note[0].since, 27, "it may begin before the period");
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
    expect_mistake(JAR "2026-01-10,jar in the cold,37 %,2 degC,28 days\n", 2, 28, "37 of 100");
    expect_mistake(JAR "2026-01-10,jar in the cold,101 of 100,2 degC,28 days\n", 2, 28, "37 of 100");
    expect_mistake(JAR "2026-01-10,jar in the cold,37 of 100,,28 days\n", 2, 38, "needs its temperature");
    expect_mistake(JAR "2026-01-10,jar in the cold,37 of 100,2,28 days\n", 2, 38, "needs a unit");
    expect_mistake(JAR "2026-01-10,jar in the cold,37 of 100,25 degC,28 days\n", 2, 38, "between -20 and 12 degC");
    expect_mistake(JAR "2026-01-10,jar in the cold,37 of 100,2 degC\n", 2, 1, "needs its days");
}

/* The plan neither takes anything out nor sets traps: no replicate could agree, and all draws would weigh the same. */
Test(log_file, entries_that_the_plan_cannot_produce) {
    has_no_actions = true;
    expect_mistake("date,what,value,days\n2026-01-12,taken,1.2 lb,7\n", 2, 1, "takes nothing out on these days");
    expect_mistake("date,what,value,days\n2026-01-12,eggs trapped,12000,7\n", 2, 1, "sets no traps on these days");
    has_no_actions = false;
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_expect_eq(read_log(&log, "date,what,value,days\n2026-01-12,taken,1.2 lb,7\n", &problems), 0);
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
}

/* 12,000 eggs must not silently become 12. */
Test(log_file, comma_as_thousands_separator) {
    expect_mistake(HEAD "2026-01-05,eggs trapped,12,000\n", 2, 28, "Write numbers without commas");
    expect_mistake("date,what,value,where\n2026-01-05,eggs trapped,12,000\n", 2, 28, "Write numbers without commas");
    expect_mistake(HEAD "2026-01-05,adults,yes,near the trap\n", 2, 23, "has no column");
}

Test(log_file, total_with_the_name_of_a_bin) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_expect_eq(
        read_log(&log, "date,what,value,where\n2026-01-05,crawl-off,2 lb,tray,,\n2026-01-06,adults,Yes,\n", &problems),
        0, "%s", problems.n > 0 ? problems.items[0].message : "");
    cr_expect_eq(log.n, 1);
    cr_expect_eq(log.opening[WG_LOG_CRAWL_OFF].line, 2);
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
    has_two_places = true;
    expect_mistake("date,what,value,where\n2026-01-05,crawl-off,2 lb,tray\n", 2, 27, "total over all bins and places");
    expect_mistake("date,what,value,where\n2026-01-05,eggs trapped,200,second\n", 2, 29,
                   "total over all bins and places");
    has_two_places = false;
}

static void expect_entries(const char *text, int n, double value, const char *notation) {
    struct wg_keeper_log log;
    struct wg_mistakes problems;
    cr_assert_eq(read_log(&log, text, &problems), 0, "%s: %s", text, problems.n > 0 ? problems.items[0].message : "");
    cr_assert_eq(log.n, n, "%s", text);
    cr_expect_float_eq(log.note[0].value, value, 1e-9, "%s", text);
    cr_expect_eq(log.note[0].day, wg_day_from_date((struct wg_date){2026, 1, 5}), "%s", text);
    cr_expect_str_eq(log.notation, notation, "%s", text);
    wg_mistakes_free(&problems);
    wg_keeper_log_free(&log);
}

#define SEMICOLONS "date;what;value;where;days\n"

Test(log_file, decimal_commas) {
    expect_entries(SEMICOLONS "2026-01-05;crawl-off;1,2 kg;;3 days\n2026-01-07;crawl-off;1,250 kg\n", 2, 1.2,
                   "decimal commas");
    expect_entries(SEMICOLONS
                   "2026-01-05;jar in the cold;37 of 100;-2,5 degC;28\n2026-01-06;bin temperature;27,5 degC;tray\n",
                   2, 0.37, "decimal commas");
    expect_mistake(SEMICOLONS "2026-01-05;crawl-off;1,200 kg;;3 days\n", 2, 1,
                   "\"1,200 kg\" can have a decimal comma or be thousands");
    expect_mistake(SEMICOLONS "2026-01-05;crawl-off;1.2 kg;;3 days\n2026-01-08;crawl-off;1,2 kg\n", 3, 1,
                   "a decimal comma, and in line 2 a decimal point");
    expect_mistake(SEMICOLONS "2026-01-05;crawl-off;1,2 kg;;3 days\n2026-01-08;eggs trapped;12,000;;3\n", 3, 25,
                   "write \"12,000\" without a comma");
}

Test(log_file, dates_with_the_year_at_their_end) {
    expect_entries(HEAD "01/05/2026,adults,yes\n01/15/2026,adults,yes\n", 2, 1, "dates month first");
    expect_entries(HEAD "5/1/2026,adults,yes\n15/1/2026,adults,yes\n", 2, 1, "dates day first");
    expect_entries(HEAD "05.01.2026,adults,yes\n2026-01-07,adults,yes\n", 2, 1, "");
    expect_entries(SEMICOLONS "15/1/2026;adults;yes\n5/1/2026;crawl-off;1,5 kg;;2\n", 2, 1.5,
                   "dates day first, decimal commas");
    expect_mistake(HEAD "01/05/2026,adults,yes\n", 2, 1, "write 2026-01-05 or 2026-05-01");
    expect_mistake(HEAD "01/15/2026,adults,yes\n15/01/2026,adults,yes\n", 3, 1,
                   "day first, but that of line 2 the month");
}
