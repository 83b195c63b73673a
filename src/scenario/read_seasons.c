/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads days of the year (05-01) where dates stand, and repeats the actions they time in every year of the period.
 */
#include "scenario/read.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* Repeated actions are compared in pairs; a scenario of 256 KiB without seasons has about half as many. */
#define MAX_ACTIONS 20000

static bool is_year_day(const char *text) {
    static const char form[] = "dd-dd";
    for (size_t i = 0; i < sizeof form; i++)
        if (form[i] == 'd' ? !isdigit((unsigned char)text[i]) : text[i] != form[i])
            return false;
    return true;
}

bool wg_read_is_year_day(const struct wg_yaml_node *node) {
    return node != NULL && node->kind == WG_YAML_TEXT && is_year_day(node->text);
}

/* 02-29 is 28 February in common years. */
static int32_t day_in_year(struct wg_year_day day, int year) {
    const int length = wg_month_length(year, day.month);
    return wg_day_from_date((struct wg_date){year, day.month, day.day < length ? day.day : length});
}

bool wg_read_year_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, struct wg_year_day *day) {
    char date[16];
    int32_t found;
    (void)snprintf(date, sizeof date, "2024-%.5s", node->text); /* a leap year, so that 02-29 passes */
    if (wg_day_parse(date, &found) < 0) {
        wg_read_mistake(reader, node, "There is no such day of the year as %.5s: write month-day, for example 11-15.",
                        node->text);
        return false;
    }
    const struct wg_date in_2024 = wg_date_from_day(found);
    *day = (struct wg_year_day){in_2024.month, in_2024.day};
    return true;
}

bool wg_read_first_year_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *node, int32_t *day) {
    const struct wg_plan *const plan = reader->plan;
    struct wg_year_day wanted;
    if (!wg_read_year_day(reader, node, &wanted))
        return false;
    if (!reader->period_known)
        return true;
    const int year = wg_date_from_day(plan->first_day).year;
    *day = day_in_year(wanted, year);
    if (*day < plan->first_day)
        *day = day_in_year(wanted, year + 1);
    if (*day >= plan->first_day && *day <= plan->last_day)
        return true;
    char from[11], to[11];
    wg_day_format(plan->first_day, from);
    wg_day_format(plan->last_day, to);
    wg_read_mistake(reader, node, "The period has no %.5s: it runs from %s to %s.", node->text, from, to);
    return false;
}

/* The season that begins in a year, cut to the period. Returns false if they do not overlap. */
static bool cut_to_period(const struct wg_plan *plan, const struct wg_yearly *yearly, int year, int32_t *from,
                          int32_t *to) {
    const bool over_new_year = yearly->from.month * 100 + yearly->from.day > yearly->to.month * 100 + yearly->to.day;
    const int32_t begins = day_in_year(yearly->from, year);
    const int32_t ends = day_in_year(yearly->to, year + over_new_year);
    *from = begins > plan->first_day ? begins : plan->first_day;
    *to = ends < plan->last_day ? ends : plan->last_day;
    return *from <= *to;
}

static int first_season(const struct wg_plan *plan) {
    return wg_date_from_day(plan->first_day).year - 1;
}

static int last_season(const struct wg_plan *plan) {
    return wg_date_from_day(plan->last_day).year;
}

bool wg_read_yearly(struct wg_scenario_reader *reader, const struct wg_yaml_node *from, const struct wg_yaml_node *to,
                    struct wg_action *action) {
    if (from == NULL || to == NULL) {
        wg_read_mistake_key(reader, from != NULL ? from : to,
                            "A season needs both ends. Write for example from: 05-01, to: 09-30, each year, or a date "
                            "with its year.");
        return false;
    }
    if (!wg_read_is_year_day(from) || !wg_read_is_year_day(to)) {
        wg_read_mistake(reader, wg_read_is_year_day(from) ? from : to,
                        "One end of this season has a year and the other has none. Write both as 05-01, for each year, "
                        "or both with their year.");
        return false;
    }
    struct wg_yearly yearly = {.is_given = true};
    const bool from_read = wg_read_year_day(reader, from, &yearly.from);
    if (!wg_read_year_day(reader, to, &yearly.to) || !from_read)
        return false;
    reader->yearly = yearly;
    if (!reader->period_known)
        return true;
    for (int year = first_season(reader->plan); year <= last_season(reader->plan); year++)
        if (cut_to_period(reader->plan, &yearly, year, &action->from, &action->to))
            return true;
    char first[11], last[11];
    wg_day_format(reader->plan->first_day, first);
    wg_day_format(reader->plan->last_day, last);
    wg_read_mistake(reader, from, "No day of this season is in the period, which runs from %s to %s.", first, last);
    return false;
}

void wg_read_repeat_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct wg_action action) {
    const struct wg_yearly yearly = reader->yearly;
    for (int year = first_season(reader->plan); year <= last_season(reader->plan); year++) {
        if (!cut_to_period(reader->plan, &yearly, year, &action.from, &action.to))
            continue;
        if (reader->plan->n_actions >= MAX_ACTIONS) {
            if (!reader->too_many_actions)
                wg_read_mistake(
                    reader, at,
                    "With a season in every year of the period, this plan has more than %d actions. Shorten "
                    "the period, or write fewer lines.",
                    MAX_ACTIONS);
            reader->too_many_actions = true;
            return;
        }
        wg_read_append_action(reader, at, action);
    }
}
