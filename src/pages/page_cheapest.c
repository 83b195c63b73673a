/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of an answer of `cheapest`: the plan, the keeper's own beside it, what money buys, what is in doubt, the plan
 * as a file, provenance.
 */
#include "pages/pages.h"

#include "pages/page_parts.h"
#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "text/warning_sentences.h"

#include <stdio.h>
#include <string.h>

struct cheapest_page {
    const struct wg_cheapest *c;
    const struct wg_run_facts *in;
    const struct wg_page *page;
};

/* "$117 a year: 45 °F; lamps 12 hours" and what it does */
static void put_plan_deeds(const struct cheapest_page *p, int judged, const char *kind, const char *before) {
    char money[WG_CHEAPEST_TEXT], deeds[WG_CHEAPEST_TEXT], text[3 * WG_CHEAPEST_TEXT];
    const struct wg_search_judged *const plan = &p->c->answer->judged[judged];
    wg_cheapest_money(p->c, plan, true, money);
    wg_cheapest_deeds(p->c, plan, deeds);
    (void)snprintf(text, sizeof text, "%s%s: %.399s.", before, money, p->c->words[judged]);
    wg_page_paragraph(p->page, kind, text);
    (void)snprintf(text, sizeof text, "It %s.", deeds);
    wg_page_paragraph(p->page, kind, text);
}

static void put_cheapest_answer(const struct cheapest_page *p) {
    const struct wg_search_answer *const answer = p->c->answer;
    char text[WG_CHEAPEST_TEXT];
    wg_page_section(p->page, "The answer");
    wg_cheapest_headline(p->c, text);
    wg_page_paragraph(p->page, "answer", text);
    if (answer->winner >= 0)
        put_plan_deeds(p, answer->winner, "answer", "");
    for (int i = 0; i < answer->n_nearest; i++)
        put_plan_deeds(p, answer->nearest[i], NULL, "Near: ");
    if (answer->own >= 0 && answer->own != answer->winner)
        put_plan_deeds(p, answer->own, NULL, "Your plan now, ");
    if (*p->c->why != '\0')
        wg_page_paragraph(p->page, NULL, p->c->why);
}

static void put_page_warnings(const struct cheapest_page *p) {
    char line[WG_WARNING_TEXT];
    for (int i = 0; p->c->warnings != NULL && i < p->c->warnings->n; i++) {
        wg_warning_text(p->c->warnings, i, line);
        wg_page_paragraph(p->page, "warning", line);
    }
    wg_report_cautions(p->c->winner_plan != NULL ? p->c->winner_plan : &p->c->base->plan, p->page);
}

/* ---- all judged plans ---- */

static void put_judged_row(const struct cheapest_page *p, const char *const *head, int judged) {
    const struct wg_search_answer *const answer = p->c->answer;
    const struct wg_search_judged *const plan = &answer->judged[judged];
    char money[WG_CHEAPEST_TEXT], odds[WG_CHEAPEST_TEXT], alive[16], kg[WG_SHOWN_SIZE], left[WG_SHOWN_SIZE];
    wg_cheapest_money(p->c, plan, false, money);
    wg_cheapest_odds(&plan->all, odds);
    wg_goals_text_chance(plan->alive.share, alive);
    wg_show_mass(plan->harvest.mean, kg);
    wg_show_rounded(plan->left.q50, 2, left);
    const char *const cell[] = {p->c->words[judged],
                                money,
                                odds,
                                alive,
                                kg,
                                left,
                                judged == answer->winner && judged == answer->own ? "yours: keep it"
                                : judged == answer->winner                        ? "the cheapest"
                                : judged == answer->own                           ? "yours"
                                : plan->is_equal                                  ? "as good within luck"
                                                                                  : ""};
    wg_page_table_row(p->page, head, cell, 7);
}

static void put_judged_plans(const struct cheapest_page *p) {
    static const char *const head[] = {"plan", "money", "does what was asked", "alive", "taken out", "left at the end",
                                       "which"};
    wg_page_table_begin(
        p->page, "Every plan that was judged on fresh years, the cheapest first. Left at the end: the middle year.",
        head, 7);
    const struct wg_search_answer *const answer = p->c->answer;
    bool done[WG_SEARCH_MAX_JUDGED] = {false};
    for (int k = 0; k < answer->n_judged; k++) {
        int next = -1;
        for (int i = 0; i < answer->n_judged; i++)
            if (!done[i] && (next < 0 || answer->judged[i].money.mean < answer->judged[next].money.mean))
                next = i;
        done[next] = true;
        if (answer->judged[next].n > 0)
            put_judged_row(p, head, next);
    }
    wg_page_table_end(p->page);
}

/* ---- doubts ---- */

static void put_page_doubts(const struct cheapest_page *p) {
    const struct wg_search_answer *const answer = p->c->answer;
    char doubt[WG_CHEAPEST_TEXT], text[2 * WG_CHEAPEST_TEXT];
    wg_page_section(p->page, "If we are wrong about the fly");
    wg_page_paragraph(
        p->page, NULL,
        "Some numbers of the animal are nobody's measurement. Each of them was put to both ends of its range.");
    for (int i = 0; i < answer->n_judged; i++) {
        wg_cheapest_doubt(p->c, &answer->judged[i], doubt);
        if (doubt[0] == '\0')
            continue;
        (void)snprintf(text, sizeof text, "%s%.399s: %s.",
                       i == answer->winner ? "The cheapest, "
                       : i == answer->own  ? "Yours, "
                                           : "",
                       p->c->words[i], doubt);
        wg_page_paragraph(p->page, NULL, text);
    }
    for (int i = 0; wg_cheapest_remark(p->c, i, text); i++)
        wg_page_paragraph(p->page, "note", text);
}

int wg_report_cheapest(const struct wg_cheapest *cheapest, const struct wg_run_facts *in,
                       const struct wg_figures *figures, const struct wg_page *page, struct wg_error *err) {
    static const char *const headings[] = {"The answer", "What money buys",       "If we are wrong about the fly",
                                           "The plan",   "Where this comes from", NULL};
    const struct cheapest_page p = {cheapest, in, page};
    char text[WG_CHEAPEST_TEXT];
    wg_page_begin(page, in->title, headings);
    wg_cheapest_goals(cheapest, text);
    wg_page_paragraph(page, NULL, text);
    put_cheapest_answer(&p);
    put_page_warnings(&p);
    wg_page_section(page, "What money buys");
    const int code = wg_page_figure(page, wg_figures_get(figures, 0), err);
    put_judged_plans(&p);
    put_page_doubts(&p);
    wg_page_section(page, "The plan");
    if (cheapest->yaml != NULL)
        wg_page_preformatted(page, NULL, cheapest->yaml);
    else
        wg_page_paragraph(page, NULL, "No plan tried does what was asked, so there is none to follow.");
    wg_report_provenance_begin(in, "The same command with the same scenario and seed gives the same answer.", page);
    wg_report_fact(page, "scenario", cheapest->base->path);
    wg_page_table_end(page);
    wg_page_preformatted(page, "The scenario as it was searched", cheapest->base->text);
    wg_page_end(page);
    return code < 0 ? code : wg_bytes_failed(page->to, err);
}
