/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Prints the answer of `cheapest`.
 */
#include "cheapest/cheapest_text.h"

#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "report/warning_lists.h"
#include "text/show.h"

#include <math.h>
#include <string.h>

#define MONEY_COLUMNS 10

/* ---- plans ---- */

static bool is_nearest(const struct wg_search_answer *answer, int judged) {
    bool is = false;
    for (int i = 0; i < answer->n_nearest; i++)
        is = is || answer->nearest[i] == judged;
    return is;
}

static void print_plan(const struct wg_cheapest *c, int judged, FILE *to) {
    const struct wg_search_judged *const plan = &c->answer->judged[judged];
    char money[WG_CHEAPEST_TEXT], deeds[WG_CHEAPEST_TEXT], line[2 * WG_CHEAPEST_TEXT];
    wg_cheapest_money(c, plan, true, money);
    wg_cheapest_deeds(c, plan, deeds);
    (void)snprintf(line, sizeof line, "  %.60s: %.399s%s", money, c->words[judged],
                   judged == c->answer->own && is_nearest(c->answer, judged) ? " (your plan now)" : "");
    wg_show_lines(to, 4, line);
    (void)snprintf(line, sizeof line, "    %s", deeds);
    wg_show_lines(to, 4, line);
}

static void print_own(const struct wg_cheapest *c, FILE *to) {
    const struct wg_search_answer *const answer = c->answer;
    if (answer->own < 0 || answer->own == answer->winner || is_nearest(answer, answer->own))
        return;
    (void)fputs("\nYour plan:\n", to);
    print_plan(c, answer->own, to);
}

static void print_nearest(const struct wg_cheapest *c, FILE *to) {
    if (c->answer->n_nearest == 0)
        return;
    (void)fputs("\nThe nearest:\n", to);
    for (int i = 0; i < c->answer->n_nearest; i++)
        print_plan(c, c->answer->nearest[i], to);
}

static void print_equals(const struct wg_cheapest *c, FILE *to) {
    const struct wg_search_answer *const answer = c->answer;
    for (int i = 0; i < answer->n_equals; i++) {
        const struct wg_search_judged *const plan = &answer->judged[answer->equal[i]];
        char money[WG_CHEAPEST_TEXT], more[WG_SHOWN_SIZE] = "", line[2 * WG_CHEAPEST_TEXT];
        wg_cheapest_money(c, plan, false, money);
        if (fabs(plan->more_harvest.mean) >= 0.05) {
            wg_show_rounded_mass(fabs(plan->more_harvest.mean), fabs(plan->more_harvest.mean), 2, more);
            (void)snprintf(more + strlen(more), sizeof more - strlen(more), " %s",
                           plan->more_harvest.mean > 0 ? "more" : "less");
        }
        if (i == 0)
            (void)fputs("\nAs good within luck:\n", to);
        (void)snprintf(line, sizeof line, "  %.60s: %.399s%s%s", money, c->words[answer->equal[i]],
                       more[0] != '\0' ? "; takes out " : "", more);
        wg_show_lines(to, 4, line);
    }
}

/* ---- the line of money ---- */

/* Prints a row; the words of the plan go on below its first line, in their column. */
static void print_money_row(const struct wg_cheapest *c, int judged, FILE *to) {
    const struct wg_search_judged *const plan = &c->answer->judged[judged];
    char money[WG_CHEAPEST_TEXT], share[16], alive[16], kg[WG_SHOWN_SIZE] = "", line[2 * WG_CHEAPEST_TEXT];
    wg_cheapest_money(c, plan, false, money);
    wg_goals_text_chance(plan->all.share, share);
    wg_goals_text_chance(plan->alive.share, alive);
    wg_show_number(plan->harvest.mean, kg);
    (void)snprintf(line, sizeof line, "%2s %*.30s %7s %7s %7.20s kg  %.399s",
                   judged == c->answer->winner ? "->"
                   : judged == c->answer->own  ? "**"
                                               : "",
                   MONEY_COLUMNS - 1, money, share, alive, kg, c->words[judged]);
    wg_show_lines(to, 3 + MONEY_COLUMNS + 29, line);
}

static void print_money_line(const struct wg_cheapest *c, FILE *to) {
    const struct wg_search_answer *const answer = c->answer;
    bool has_own = false;
    if (answer->n_line < 2)
        return;
    (void)fprintf(to,
                  "\nWhat money buys (-> the cheapest that does it, ** your plan now):\n"
                  "   %*s %7s %7s %10s  plan\n",
                  MONEY_COLUMNS - 1, "money", "does it", "alive", "taken out");
    for (int i = 0; i < answer->n_line; i++) {
        print_money_row(c, answer->line[i], to);
        has_own = has_own || answer->line[i] == answer->own;
    }
    if (!has_own && answer->own >= 0)
        print_money_row(c, answer->own, to);
}

/* ---- doubts and remarks ---- */

static void print_doubt(const struct wg_cheapest *c, int judged, const char *name, FILE *to) {
    char doubt[WG_CHEAPEST_TEXT], line[WG_CHEAPEST_TEXT + WG_PLAN_WORDS + 80];
    if (judged < 0)
        return;
    wg_cheapest_doubt(c, &c->answer->judged[judged], doubt);
    if (doubt[0] == '\0')
        return;
    (void)snprintf(line, sizeof line, "  %.420s: %s.", name, doubt);
    wg_show_lines(to, 4, line);
}

static void print_doubts(const struct wg_cheapest *c, FILE *to) {
    const struct wg_search_answer *const answer = c->answer;
    const int first = answer->winner >= 0 ? answer->winner : answer->n_nearest > 0 ? answer->nearest[0] : -1;
    bool has_any = false;
    for (int i = 0; i < answer->n_judged; i++)
        has_any = has_any || answer->judged[i].n_variants > 0;
    if (!has_any)
        return;
    wg_show_lines(to, 2,
                  "\nDoes it hold if we are wrong about the fly? Each doubtful number at both ends of its range:");
    print_doubt(c, first, "this plan", to);
    if (answer->own != first)
        print_doubt(c, answer->own, "your plan", to);
    for (int i = 0; i < answer->n_judged; i++)
        if (i != first && i != answer->own)
            print_doubt(c, i, c->words[i], to);
}

static void print_remarks(const struct wg_cheapest *c, FILE *to) {
    char text[WG_CHEAPEST_TEXT];
    for (int i = 0; wg_cheapest_remark(c, i, text); i++) {
        if (i == 0)
            (void)fputc('\n', to);
        wg_show_lines(to, 2, text);
    }
}

static void print_last_lines(const struct wg_cheapest *c, FILE *to) {
    char text[WG_CHEAPEST_TEXT], looking[WG_SHOWN_SIZE], fresh[WG_SHOWN_SIZE];
    const bool has_years = c->answer->looking_years > 0;
    wg_show_whole(c->answer->looking_years + c->answer->choosing_years, looking);
    wg_show_whole(c->answer->fresh_years + c->answer->variant_years, fresh);
    (void)snprintf(
        text, sizeof text,
        "Searched and chosen in %s simulated %s; every number above comes from %s others that had no part in it.",
        looking, wg_forecast_noun(&c->base->plan), fresh);
    if (has_years)
        wg_show_lines(to, 2, text);
    if (c->warnings != NULL)
        wg_notes_print_warnings(c->warnings, "the cheapest plan", to);
    const struct wg_plan *const plan = c->winner_plan != NULL ? c->winner_plan : &c->base->plan;
    wg_notes_print_cautions(&plan, 1, to);
}

int wg_cheapest_print(const struct wg_cheapest *c, FILE *to, struct wg_error *err) {
    char text[WG_CHEAPEST_TEXT];
    (void)err;
    wg_show_lines(to, 2, wg_scenario_name(c->base));
    wg_cheapest_goals(c, text);
    wg_show_lines(to, 2, text);
    wg_cheapest_headline(c, text);
    (void)fputc('\n', to);
    wg_show_lines(to, 2, text);
    if (c->answer->winner >= 0)
        print_plan(c, c->answer->winner, to);
    if (c->answer->winner >= 0 && c->yaml_path == NULL)
        wg_show_lines(to, 4, "    (--write FILE.yaml keeps this plan as a scenario)");
    print_nearest(c, to);
    print_own(c, to);
    if (*c->why != '\0')
        wg_show_lines(to, 4, c->why);
    print_equals(c, to);
    print_money_line(c, to);
    print_doubts(c, to);
    print_remarks(c, to);
    print_last_lines(c, to);
    return 0;
}
