/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words the actions of a plan.
 */
#include "text/action_text.h"

#include "base/calendar.h"
#include "text/quantity.h"
#include "text/show.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct quantity_words {
    char text[WG_QUANTITY_SHOWN_SIZE];
};

static struct quantity_words word_quantity(enum wg_dimension dimension, double value) {
    struct quantity_words s;
    wg_quantity_show(dimension, value, s.text);
    return s;
}

void wg_season_day_text(int day, char out[24]) {
    const int32_t new_year =
        wg_day_from_date((struct wg_date){2001, 1, 1}); /* a common year has the 365 days of a season */
    wg_day_format_long(new_year + day, out);
    out[strlen(out) - 5] = '\0'; /* without " 2001" */
}

const char *wg_lid_text(enum wg_lid lid) {
    return lid == WG_LID_OPEN ? "open" : lid == WG_LID_SCREEN ? "under a screen" : "under a lid";
}

bool wg_action_is_standing(const struct wg_action *action) {
    return action->kind == WG_ACTION_COLLECT || action->kind == WG_ACTION_LAY_IN_TRAPS;
}

/* "once, when flies are about, 1 March 2027 to 31 May 2027" */
static void word_waiting(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_WHEN_SIZE]) {
    char from[24], to[24], when[WG_WHEN_TEXT];
    wg_day_format_long(action->from, from);
    wg_day_format_long(action->to, to);
    wg_when_text(&action->when, when);
    if (action->from == action->to)
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "on %s, if %s", from, when);
    else if (action->from == plan->first_day && action->to == plan->last_day)
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "once, when %s", when);
    else
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "once, when %s, %s to %s", when, from, to);
}

void wg_action_when(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_WHEN_SIZE]) {
    if (action->when.kind != WG_WHEN_ALWAYS) {
        word_waiting(plan, action, out);
        return;
    }
    char from[24], to[24], every[32] = "";
    wg_day_format_long(action->from, from);
    wg_day_format_long(action->to, to);
    if (action->from == action->to) {
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "on %s", from);
        return;
    }
    const bool standing = wg_action_is_standing(action);
    if (action->cue != WG_CUE_NONE)
        (void)snprintf(every, sizeof every, "%s", wg_cue_name(action->cue));
    else if (!standing && action->every == 1)
        (void)snprintf(every, sizeof every, "every day");
    else if (!standing)
        (void)snprintf(every, sizeof every, "every %d days", (int)action->every);
    if (action->from == plan->first_day && action->to == plan->last_day)
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "%s", standing ? "throughout" : every);
    else
        (void)snprintf(out, WG_ACTION_WHEN_SIZE, "%s%s%s to %s", every, standing ? "" : ", ", from, to);
}

/* ---- by kind ---- */

static void word_start(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]) {
    static const char *const names[] = {"eggs", "larvae", "prepupae"};
    char age[40] = "", amount[WG_SHOWN_SIZE + WG_QUANTITY_SHOWN_SIZE];
    if (action->as.start.what == WG_MOVABLE_LARVAE)
        (void)snprintf(age, sizeof age, " of %.20s", word_quantity(WG_DAYS, action->as.start.age_days).text);
    if (action->as.start.count >= 0)
        wg_show_whole(action->as.start.count, amount);
    else
        (void)snprintf(amount, sizeof amount, "%s of", word_quantity(WG_MASS, action->as.start.mass_kg).text);
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s %s%s into \"%s\"", amount, names[action->as.start.what], age,
                   plan->bins[action->bin].name);
}

/* "heater on in "shed", outside its season, until the season next ends on 31 March" */
static void word_switch(const char *what, const char *where, const struct wg_action *action, struct wg_season season,
                        char out[WG_ACTION_TEXT_SIZE]) {
    char end[24];
    wg_season_day_text(season.to, end);
    if (!(action->as.set.value > 0))
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s off in \"%s\"", what, where);
    else if (wg_season_contains(season, action->from))
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s on in \"%s\", in its season", what, where);
    else
        (void)snprintf(out, WG_ACTION_TEXT_SIZE,
                       "%s on in \"%s\", outside its season, until the season next ends on %s", what, where, end);
}

/* Returns the first day of a season from `day` on; past the last day of the plan if there is none. */
static int32_t next_day_of_season(const struct wg_plan *plan, struct wg_season season, int32_t day) {
    while (day <= plan->last_day && !wg_season_contains(season, day))
        day++;
    return day;
}

/* Whether the keeper has switched a device on, outside its season, before or with an action, and no season has begun since. */
static bool is_on_before_season(const struct wg_plan *plan, const struct wg_action *action, struct wg_season season) {
    const enum wg_setting_key on_off = action->as.set.key == WG_SET_SET_POINT ? WG_SET_HEATER : WG_SET_MAT;
    bool is_on = false;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const other = &plan->actions[i];
        if (other->kind == WG_ACTION_SET && other->as.set.key == on_off && other->place == action->place &&
            other->bin == action->bin && other->from <= action->from)
            is_on = other->as.set.value > 0 && next_day_of_season(plan, season, other->from) > action->from;
    }
    return is_on;
}

/* "set point 80 degF in "shed", outside the season of its heater: acts from 1 November 2027 on" */
static void word_set_point(const struct wg_plan *plan, const struct wg_action *action, const char *where,
                           char out[WG_ACTION_TEXT_SIZE]) {
    const bool is_mat = action->as.set.key == WG_SET_MAT_SET_POINT;
    const struct wg_season season =
        is_mat ? plan->bins[action->bin].spec.mat.season : plan->places[action->place].heater.season;
    const int32_t acts = next_day_of_season(plan, season, action->from);
    char day[24];
    const int n = snprintf(out, WG_ACTION_TEXT_SIZE, "set point %s in \"%s\"",
                           word_quantity(WG_TEMPERATURE, action->as.set.value).text, where);
    if (acts == action->from || action->from != action->to || is_on_before_season(plan, action, season))
        return;
    wg_day_format_long(acts <= plan->last_day ? acts : plan->last_day, day);
    (void)snprintf(out + n, (size_t)(WG_ACTION_TEXT_SIZE - n),
                   acts <= plan->last_day ? ", outside the season of its %s: acts from %s on"
                                          : ", outside the season of its %s: does nothing until the plan ends on %s",
                   is_mat ? "mat" : "heater", day);
}

/* A keeper puts foam around a bin; the model has the U value of its walls. */
static void word_walls(const struct wg_action *action, const char *where, const char *except,
                       char out[WG_ACTION_TEXT_SIZE]) {
    if (action->as.set.foam_given && action->as.set.foam_m > 0)
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "put %s of foam around \"%s\"%s",
                       word_quantity(WG_LENGTH, action->as.set.foam_m).text, where, except);
    else if (action->as.set.foam_given)
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "take the foam off \"%s\"%s", where, except);
    else
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "walls of \"%s\" %s%s", where,
                       word_quantity(WG_U_VALUE, action->as.set.value).text, except);
}

static void word_setting(const struct wg_plan *plan, const struct wg_action *action, const char *where,
                         char out[WG_ACTION_TEXT_SIZE]) {
    const struct wg_bin_spec *const bin = action->bin >= 0 ? &plan->bins[action->bin].spec : NULL;
    const bool summer = bin != NULL && bin->summer_switch;
    static const char except_summer[] = ", except in its summer";
    switch (action->as.set.key) {
    case WG_SET_HEATER:
        word_switch("heater", where, action, plan->places[action->place].heater.season, out);
        break;
    case WG_SET_MAT:
        word_switch("mat", where, action, bin->mat.season, out);
        break;
    case WG_SET_SET_POINT:
    case WG_SET_MAT_SET_POINT:
        word_set_point(plan, action, where, out);
        break;
    case WG_SET_BIN_U:
        word_walls(action, where, summer && bin->summer_u_w_m2k >= 0 ? except_summer : "", out);
        break;
    case WG_SET_BIN_LID:
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "\"%s\" %s%s", where, wg_lid_text(action->as.set.lid),
                       summer && bin->summer_lid >= 0 ? except_summer : "");
        break;
    }
}

static void word_move(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]) {
    static const char *const names[] = {"eggs", "larvae", "prepupae and pupae"};
    const bool ground = action->as.move.what == WG_MOVABLE_PREPUPAE;
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s of the %s from \"%s\" to \"%s\"",
                   word_quantity(WG_SHARE, action->as.move.share).text, names[action->as.move.what],
                   ground ? plan->places[action->place].name : plan->bins[action->bin].name,
                   ground ? plan->places[action->as.move.to_place].name : plan->bins[action->as.move.to_bin].name);
}

/* Names a bin, or its place if that has no other. */
static const char *bin_or_place(const struct wg_plan *plan, int bin) {
    int n = 0;
    for (int b = 0; b < plan->n_bins; b++)
        n += plan->bins[b].place == plan->bins[bin].place;
    return n == 1 ? plan->places[plan->bins[bin].place].name : plan->bins[bin].name;
}

/* Counts the parts of a move of everything that take prepupae. */
static int parts_of_ground(const struct wg_plan *plan, const struct wg_action *action) {
    int n = 0;
    for (int i = 0; i < plan->n_actions; i++)
        n += wg_action_is_same_job(action, &plan->actions[i]) && plan->actions[i].as.move.what == WG_MOVABLE_PREPUPAE;
    return n;
}

void wg_action_job_text(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]) {
    char share[WG_QUANTITY_SHOWN_SIZE + 8] = "";
    const char *from = plan->places[wg_action_place(plan, action)].name, *to;
    if (action->bin >= 0 && parts_of_ground(plan, action) == 0)
        from = bin_or_place(plan, action->bin);
    if (action->as.move.to_bin >= 0)
        to = bin_or_place(plan, action->as.move.to_bin);
    else
        to = plan->places[action->as.move.to_place].name;
    if (action->as.move.share < 1)
        (void)snprintf(share, sizeof share, "%s of ", word_quantity(WG_SHARE, action->as.move.share).text);
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%severything from \"%s\" to \"%s\"", share, from, to);
}

static void word_pull(const struct wg_plan *plan, const struct wg_action *action, const char *where,
                      char out[WG_ACTION_TEXT_SIZE]) {
    if (action->as.pull.put_in >= 0)
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "pull the traps in \"%s\", eggs into \"%s\"", where,
                       plan->bins[action->as.pull.put_in].name);
    else
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "pull the traps in \"%s\", eggs carried off", where);
}

static void word_scoop(const struct wg_action *action, const char *where, char out[WG_ACTION_TEXT_SIZE]) {
    char leave[WG_QUANTITY_SHOWN_SIZE + 24] = "";
    if (action->as.scoop.leave > 0)
        (void)snprintf(leave, sizeof leave, ", leave at least %s",
                       word_quantity(WG_SHARE, action->as.scoop.leave).text);
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "scoop %s of larvae from \"%s\"%s",
                   action->as.scoop.mass_kg >= 0 ? word_quantity(WG_MASS, action->as.scoop.mass_kg).text
                                                 : word_quantity(WG_SHARE, action->as.scoop.share).text,
                   where, leave);
}

static void word_feeding(const struct wg_plan *plan, const struct wg_action *action, const char *where,
                         char out[WG_ACTION_TEXT_SIZE]) {
    const char *const name = wg_plan_feed(plan, action->as.feed.type)->name;
    const double kg = action->as.feed.wet_kg;
    if (!action->as.feed.as_eaten)
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s of %s into \"%s\"", word_quantity(WG_MASS, kg).text, name, where);
    else if (isfinite(kg))
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s into \"%s\" as eaten, at most %s", name, where,
                       word_quantity(WG_MASS, kg).text);
    else
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "%s into \"%s\" as eaten", name, where);
}

static void word_collect(const struct wg_action *action, const char *where, char out[WG_ACTION_TEXT_SIZE]) {
    char back[WG_QUANTITY_SHOWN_SIZE + 24] = "";
    if (action->as.collect.give_back > 0)
        (void)snprintf(back, sizeof back, ", give back %s of it",
                       word_quantity(WG_SHARE, action->as.collect.give_back).text);
    (void)snprintf(out, WG_ACTION_TEXT_SIZE, "collect %s of the crawl-off from \"%s\"%s",
                   word_quantity(WG_SHARE, action->as.collect.share).text, where, back);
}

void wg_action_text(const struct wg_plan *plan, const struct wg_action *action, char out[WG_ACTION_TEXT_SIZE]) {
    const char *const where = action->bin >= 0     ? plan->bins[action->bin].name
                              : action->place >= 0 ? plan->places[action->place].name
                                                   : "";
    switch (action->kind) {
    case WG_ACTION_SET:
        word_setting(plan, action, where, out);
        return;
    case WG_ACTION_CLEAR:
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "clear %s of the residue in \"%s\"",
                       word_quantity(WG_SHARE, action->as.clear.share).text, where);
        return;
    case WG_ACTION_MOVE:
        word_move(plan, action, out);
        return;
    case WG_ACTION_SCOOP:
        word_scoop(action, where, out);
        return;
    case WG_ACTION_PULL_TRAPS:
        word_pull(plan, action, where, out);
        return;
    case WG_ACTION_START:
        word_start(plan, action, out);
        return;
    case WG_ACTION_FEED:
        word_feeding(plan, action, where, out);
        return;
    case WG_ACTION_COLLECT:
        word_collect(action, where, out);
        return;
    case WG_ACTION_LAY_IN_TRAPS:
        (void)snprintf(out, WG_ACTION_TEXT_SIZE, "traps in \"%s\" take %s of the eggs", where,
                       word_quantity(WG_SHARE, action->as.traps.share).text);
        return;
    case WG_N_ACTIONS:
        break;
    }
    wg_assert(action->kind < WG_N_ACTIONS);
}
