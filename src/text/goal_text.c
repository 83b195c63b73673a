/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Describes a goal in one line.
 */
#include "text/goal_text.h"

#include "base/calendar.h"
#include "text/money.h"
#include "text/quantity.h"

#include <stdio.h>

static void show_harvest(const struct wg_goal *goal, const char *rate, const char *day,
                         char out[WG_GOAL_SENTENCE_SIZE]) {
    char kg[WG_QUANTITY_SHOWN_SIZE], lasting[32] = "";
    wg_quantity_show(WG_MASS, goal->amount, kg);
    if (goal->weeks > 1)
        (void)snprintf(lasting, sizeof lasting, ", for %d weeks", goal->weeks);
    (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "%s%s %s by %s%s", kg, rate,
                   goal->all_crawl_off ? "of crawl-off" : "taken out", day, lasting);
}

void wg_goal_text(const struct wg_goal *goal, const char *currency, char out[WG_GOAL_SENTENCE_SIZE]) {
    char day[24], number[WG_SHOWN_SIZE], money[WG_SHOWN_SIZE];
    wg_day_format_long(goal->by, day);
    wg_show_plain(goal->amount, number);
    wg_show_exact_money(goal->amount, currency, money);
    switch (goal->kind) {
    case WG_GOAL_SURVIVE:
        (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "alive on %s", day);
        return;
    case WG_GOAL_HARVEST:
        show_harvest(goal, " a week", day, out);
        return;
    case WG_GOAL_ADULTS:
        (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "%s adults at once by %s", number, day);
        return;
    case WG_GOAL_EGGS_TRAPPED:
        (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "%s eggs in traps by %s", number, day);
        return;
    case WG_GOAL_TOTAL_HARVEST:
        show_harvest(goal, "", day, out);
        return;
    case WG_GOAL_COST:
        (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "energy for at most %s until %s", money, day);
        return;
    case WG_GOAL_BALANCE:
        (void)snprintf(out, WG_GOAL_SENTENCE_SIZE, "a balance above %s on %s", money, day);
        return;
    case WG_GOAL_N_KINDS:
        break;
    }
    out[0] = '\0';
}
