/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Finds the ends of the values tried. Numbers are in rising order; dates are put in the order of the plan's period.
 */
#include "cheapest/ends.h"

#include "base/calendar.h"

#include <math.h>
#include <string.h>

#define A_YEAR 365

/* ---- dates ---- */

/* Reads a date, or a day of the year, as a day of the period from 0: below 0 or beyond the period, where it lies outside. */
static bool day_of_period(const struct wg_plan *plan, const struct wg_level *level, int *day, bool *goes_round) {
    const int n_days = (int)(plan->last_day - plan->first_day) + 1;
    int32_t date;
    *goes_round = strlen(level->text) == 5 && level->text[2] == '-' && !isnan(level->value);
    if (*goes_round) {
        *day = ((int)level->value - wg_season_index(plan->first_day) + A_YEAR) % A_YEAR;
        if (*day >= n_days)
            *day -= A_YEAR;
        return true;
    }
    if (wg_day_parse(level->text, &date) != 0)
        return false;
    *day = (int)(date - plan->first_day);
    return true;
}

/* The days of the levels of an opening, in rising order. */
struct tried_days {
    int n, day[WG_MAX_LEVELS];
    bool go_round;
};

static void list_days(const struct wg_plan *plan, const struct wg_levels *levels, struct tried_days *days) {
    *days = (struct tried_days){.n = 0};
    for (int i = 0; i < levels->n && days->n < WG_MAX_LEVELS; i++) {
        int day, at = days->n;
        if (!day_of_period(plan, &levels->level[i], &day, &days->go_round))
            continue;
        for (; at > 0 && days->day[at - 1] > day; at--)
            days->day[at] = days->day[at - 1];
        days->day[at] = day;
        days->n++;
    }
}

/* True if the way from the last day on to the first is no longer than a step between two others. */
static bool are_all_round(const struct tried_days *days) {
    int widest = 0;
    for (int i = 1; i < days->n; i++)
        widest = days->day[i] - days->day[i - 1] > widest ? days->day[i] - days->day[i - 1] : widest;
    return days->go_round && days->n > 2 && days->day[0] + A_YEAR - days->day[days->n - 1] <= widest;
}

/* Returns -1 at the first of the days, 1 at the last, 0 between them; 0, too, where the period has no days beyond. */
static int end_of_days(const struct wg_plan *plan, const struct tried_days *days, int day) {
    if (days->n < 2 || are_all_round(days))
        return 0;
    if (day == days->day[0])
        return day > 0 ? -1 : 0;
    return day == days->day[days->n - 1] && day < (int)(plan->last_day - plan->first_day) ? 1 : 0;
}

/* ---- seasons ---- */

static bool is_all_year(struct wg_season season) {
    return (season.to + 1) % A_YEAR == season.from;
}

/* True if a use sets the first or last day of a season of the plan that lasts all year. */
static bool is_of_whole_year(const struct wg_plan *plan, const struct wg_opening_use *use) {
    const bool is_end = strcmp(use->key.name, "from") == 0 || strcmp(use->key.name, "to") == 0;
    bool is = false;
    for (int p = 0; p < plan->n_places && is_end; p++) {
        is = is || (use->owner == WG_GROUP_LAMPS && is_all_year(plan->places[p].shelter.lamp_season));
        is = is || (use->owner == WG_GROUP_HEATER && is_all_year(plan->places[p].heater.season));
    }
    for (int b = 0; b < plan->n_bins && is_end; b++)
        is = is || (use->owner == WG_GROUP_MAT && is_all_year(plan->bins[b].spec.mat.season));
    return is;
}

static bool makes_whole_year(const struct wg_plan *plan, const struct wg_opening *opening) {
    bool makes = false;
    for (int k = 0; k < opening->n_uses; k++)
        makes = makes || is_of_whole_year(plan, &opening->use[k]);
    return makes;
}

/* ---- any value ---- */

bool wg_cheapest_end(const struct wg_cheapest *c, const struct wg_search_judged *judged, int number,
                     struct wg_tried_end *end) {
    const struct wg_opening *const opening = &c->base->openings.opening[number];
    const struct wg_level *const level = &opening->levels.level[judged->level[number]];
    const struct wg_plan *const plan = &c->base->plan;
    int day, at = judged->end[number];
    bool goes_round;
    const bool is_date = day_of_period(plan, level, &day, &goes_round);
    const int winner = c->answer->winner;
    const bool is_winner = winner >= 0 && judged == &c->answer->judged[winner] && c->winner_plan != NULL;
    if (!opening->levels.is_ordered || isnan(level->value))
        return false;
    if (is_date) {
        struct tried_days days;
        list_days(plan, &opening->levels, &days);
        at = end_of_days(plan, &days, day);
    }
    if (is_date && is_winner && makes_whole_year(c->winner_plan, opening))
        at = 0;
    *end = (struct wg_tried_end){.which = is_date  ? (at < 0 ? "earliest" : "latest")
                                          : at < 0 ? "lowest"
                                                   : "highest",
                                 .beyond = is_date  ? (at < 0 ? "earlier" : "later")
                                           : at < 0 ? "lower"
                                                    : "higher",
                                 .noun = is_date ? "date" : "value"};
    return at != 0;
}
