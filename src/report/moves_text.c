/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Words what the keeper's moves carried.
 */
#include "report/forecast_parts.h"

#include "text/show.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Returns whether an action is one of the moves of an entry. */
static bool belongs_to(const struct wg_action *action, const struct wg_work_move *move) {
    return action->kind == WG_ACTION_MOVE && action->from <= move->to &&
           (action->when.kind == WG_WHEN_ALWAYS ? action->from : action->to) >= move->from;
}

/* Finds the condition that all moves of an entry wait for; returns false if they differ. */
static bool find_condition(const struct wg_plan *plan, const struct wg_work_move *move, char out[WG_WHEN_TEXT]) {
    char when[WG_WHEN_TEXT];
    out[0] = '\0';
    for (int i = 0; i < plan->n_actions; i++) {
        if (!belongs_to(&plan->actions[i], move))
            continue;
        wg_when_text(&plan->actions[i].when, when);
        if (plan->actions[i].when.kind == WG_WHEN_ALWAYS || (out[0] != '\0' && strcmp(when, out) != 0))
            return false;
        (void)snprintf(out, WG_WHEN_TEXT, "%s", when);
    }
    return true;
}

/* "on 10 Jan 2027", "once, when ours died out (1 Mar 2027 to 19 Jun 2027)" */
static void word_days(const struct wg_work *work, const struct wg_work_move *move, char out[WG_SENTENCE_SIZE]) {
    char when[WG_WHEN_TEXT], from[WG_SHOWN_SIZE], to[WG_SHOWN_SIZE];
    const bool is_seen = move->first <= move->last, has_one = find_condition(work->plan, move, when);
    wg_show_date(is_seen ? move->first : move->from, 0, "", from);
    wg_show_date(is_seen ? move->last : move->to, 0, "", to);
    if (!has_one && move->from == move->to)
        (void)snprintf(out, WG_SENTENCE_SIZE, "on %.40s", from);
    else if (!has_one)
        (void)snprintf(out, WG_SENTENCE_SIZE, "by all moves from %.40s to %.40s", from, to);
    else if (strcmp(from, to) == 0)
        (void)snprintf(out, WG_SENTENCE_SIZE, "once, when %s (%.40s)", when, from);
    else
        (void)snprintf(out, WG_SENTENCE_SIZE, "once, when %s (%.40s to %.40s)", when, from, to);
}

bool wg_move_waits_for(const struct wg_work *work, int move, char out[WG_WHEN_TEXT]) {
    return find_condition(work->plan, &work->move[move], out);
}

void wg_move_text(const struct wg_work *work, int move, char out[WG_SENTENCE_SIZE]) {
    static const char *const names[WG_N_STAGES] = {[WG_EGG] = "eggs",
                                                   [WG_LARVA] = "larvae",
                                                   [WG_PREPUPA] = "prepupae",
                                                   [WG_DORMANT] = "dormant prepupae",
                                                   [WG_PUPA] = "pupae"};
    char days[WG_SENTENCE_SIZE], middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    int64_t of;
    const int64_t none = wg_work_moved_nothing(work, move, &of);
    word_days(work, &work->move[move], days);
    int used = snprintf(out, WG_SENTENCE_SIZE, "Moved %.240s: ", days);
    int n = 0;
    for (int stage = 0; stage <= WG_PUPA; stage++) {
        const struct wg_work_spread moved = wg_work_moved(work, move, (enum wg_stage)stage);
        const int digits = wg_spread_digits(moved.q05, moved.q50, moved.q95);
        if (round(moved.q95) < 1)
            continue;
        wg_show_animals(moved.q50, moved.q50, digits, middle);
        wg_show_animals(moved.q05, moved.q95, digits, range);
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "%s%.30s %s (%.60s)", n++ > 0 ? ", " : "", middle,
                         names[stage], range);
    }
    if (none == of)
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "nothing in any of these %s",
                         wg_forecast_noun(work->plan));
    else if (n == 0)
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "something in %lld of %lld %s",
                         (long long)(of - none), (long long)of, wg_forecast_noun_of(work->plan, of));
    else if (none > 0)
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, "; nothing in %lld of %lld %s", (long long)none,
                         (long long)of, wg_forecast_noun_of(work->plan, of));
    if (work->has_more_moves && move + 1 == work->n_moves)
        (void)snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, ". Later moves are left out.");
}
