/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of a result.
 */
#include "pages/pages.h"

#include "figures/figures.h"
#include "pages/page_parts.h"
#include "report/forecast_parts.h"
#include "report/goals_report.h"
#include "text/money.h"
#include "text/outcome_label.h"
#include "text/show.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct result_report {
    const struct wg_forecast *forecast;
    const struct wg_result_data *data;
    const struct wg_figures *figures;
    struct wg_odds odds;
};

static void put_forecast_question(const struct result_report *report, const struct wg_page *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    const bool is_one_day = plan->first_day == plan->last_day;
    char from[24], to[24], all[WG_SHOWN_SIZE], weather[WG_SENTENCE_SIZE], text[WG_SENTENCE_SIZE + 64];
    wg_day_format_long(plan->first_day, from);
    wg_day_format_long(plan->last_day, to);
    wg_show_whole(report->forecast->summary->n, all);
    (void)snprintf(text, sizeof text, "What comes of this plan %s%s%s%s? The program simulated it over %s possible %s.",
                   is_one_day ? "on " : "from ", from, is_one_day ? "" : " to ", is_one_day ? "" : to, all,
                   wg_forecast_noun_of(plan, report->forecast->summary->n));
    wg_page_paragraph(page, NULL, text);
    wg_forecast_weather(report->forecast->scenario, weather);
    (void)snprintf(text, sizeof text, "Weather: %s.", weather);
    wg_page_paragraph(page, "note", text);
}

/* Writes the odds of the goals in the words of the forecast. */
static void put_goal_odds(const struct result_report *report, const struct wg_page *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    char *text = NULL;
    size_t size = 0;
    if (plan->n_goals == 0)
        return;
    FILE *const to = open_memstream(&text, &size);
    const int code = to == NULL
                         ? WG_ERR_MEMORY
                         : wg_goals_text_print(report->forecast->odds,
                                               wg_forecast_noun_of(plan, report->forecast->summary->n), to, NULL);
    if (to != NULL && fclose(to) == 0 && code == 0)
        wg_page_preformatted(page, NULL, text);
    else
        page->to->failed =
            true; /* out of memory: a page without its goals would look like one of a plan without goals */
    free(text);
}

static void put_reasons(const struct result_report *report, const struct wg_page *page) {
    const struct wg_result_words *const words = &report->data->words;
    if (words->why != NULL && words->why[0] != '\0')
        wg_page_paragraph(page, NULL, words->why);
    if (words->checked != NULL && words->checked[0] != '\0')
        wg_page_paragraph(page, NULL, words->checked);
}

/* Draws the years behind the first two sentences of the answer. */
static void put_answer_dots(const struct result_report *report, int sentence, const struct wg_page *page) {
    const struct wg_summary *const summary = report->forecast->summary;
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    const enum wg_outcome_number harvest = wg_outcome_harvest(plan);
    const char *const noun = wg_forecast_noun_of(plan, 1);
    const struct wg_dots dots = wg_odds_dots(&report->odds);
    if (sentence == 0)
        wg_report_dots(&dots, "alive at the end", "died out", noun, page);
    if (sentence == 1 && wg_report_quantile_dots(summary->outcome + harvest * summary->capacity, summary->n,
                                                 wg_outcome_harvest_verb(harvest), noun, page) < 0)
        page->to->failed = true;
}

/* Adds a row of the table of money: half of the years are below, 9 in 10 lie between. */
static void put_money_row(const struct result_report *report, enum wg_outcome_number outcome, const char *const *head,
                          const struct wg_page *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    struct wg_spread spread;
    char middle[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
    if (!wg_outcome_is_shown(outcome, plan))
        return;
    if (wg_summary_spread(report->forecast->summary, outcome, &spread) < 0) {
        page->to->failed = true;
        return;
    }
    const int digits = wg_range_digits(spread.q05, spread.q95);
    wg_show_money(spread.q50, spread.q50, digits, plan->currency, middle);
    wg_show_money(spread.q05, spread.q95, digits, plan->currency, range);
    const char *const cell[] = {wg_outcome_label(outcome)->label, middle, range};
    wg_page_table_row(page, head, cell, 3);
}

static void put_accounts(const struct result_report *report, const struct wg_page *page) {
    static const char *const head[] = {"income and costs", "half are below", "9 in 10 lie between"};
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    struct wg_balance balance;
    struct wg_error err = {0};
    char text[WG_MONEY_TEXT];
    if (!wg_plan_keeps_accounts(plan))
        return;
    if (wg_balance_find(&balance, plan, report->forecast->summary, &err) < 0) {
        page->to->failed = true;
        return;
    }
    wg_money_headline(&balance, plan, text);
    (void)strcat(text, ".");
    wg_page_paragraph(page, "answer", text);
    wg_page_table_begin(page, "Money over the period", head, 3);
    for (int account = 0; account < WG_N_ACCOUNTS; account++)
        put_money_row(report, wg_account_outcome((enum wg_account)account), head, page);
    put_money_row(report, WG_OUTCOME_balance, head, page);
    wg_page_table_end(page);
    if (wg_money_unpriced(plan, text))
        wg_page_paragraph(page, "note", text);
}

static void put_move_notes(const struct result_report *report, const struct wg_page *page) {
    char text[WG_SENTENCE_SIZE];
    for (int i = 0; i < report->forecast->work->n_moves; i++) {
        wg_move_text(report->forecast->work, i, text);
        wg_page_paragraph(page, "note", text);
    }
}

/* Gives the weight of a grub beside that of one that had enough to eat, so that crowding shows. */
static void put_grub_weight(const struct result_report *report, const struct wg_page *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    struct wg_spread spread;
    char range[WG_SHOWN_SIZE], text[WG_SENTENCE_SIZE];
    if (wg_summary_spread(report->forecast->summary, WG_OUTCOME_mean_grub_mass, &spread) < 0) {
        page->to->failed = true;
        return;
    }
    if (spread.happened == 0)
        return;
    wg_show_rounded_range(spread.q05, spread.q95, 2, " mg", range);
    (void)snprintf(
        text, sizeof text,
        "A grub that crawls off weighs %.60s on average, in 9 of 10 %s; one that had enough to eat, about %.0f mg.",
        range, wg_forecast_noun(plan), 1000 * plan->species.final_mass_g);
    wg_page_paragraph(page, "note", text);
}

static void put_reserve(const struct result_report *report, const struct wg_page *page) {
    const struct wg_plan *const plan = &report->forecast->scenario->plan;
    struct wg_reserve reserve;
    struct wg_error err = {0};
    char text[WG_RESERVE_TEXT];
    if (!wg_plan_has_neighbour(plan))
        return;
    if (wg_reserve_find(&reserve, plan, report->forecast->summary, &err) < 0) {
        page->to->failed = true;
        return;
    }
    wg_reserve_words(&reserve, plan, text);
    wg_page_paragraph(page, "answer", text);
}

static void put_forecast_answer(const struct result_report *report, const struct wg_page *page) {
    char text[WG_SENTENCE_SIZE];
    wg_page_section(page, "The answer");
    for (int i = 0; i < 3; i++) {
        if (wg_report_answer(report->forecast, &report->odds, i, text) < 0)
            page->to->failed = true; /* wg_bytes_failed() reports it */
        wg_page_paragraph(page, "answer", text);
        put_answer_dots(report, i, page);
        wg_report_answer_note(report->forecast, &report->odds, i, text);
        if (text[0] != '\0')
            wg_page_paragraph(page, "note", text);
    }
    put_reserve(report, page);
    put_move_notes(report, page);
    put_grub_weight(report, page);
    put_accounts(report, page);
    put_reasons(report, page);
    put_goal_odds(report, page);
    const struct wg_warnings *const warnings = report->forecast->warnings;
    for (int i = 0; i < warnings->n; i++) {
        char warning[WG_WARNING_TEXT], line[WG_WARNING_TEXT + 16];
        wg_warning_text(warnings, i, warning);
        (void)snprintf(line, sizeof line, "Warning: %s", warning);
        wg_page_paragraph(page, "warning", line);
    }
    wg_report_cautions(&report->forecast->scenario->plan, page);
}

static int put_figures(const struct result_report *report, const struct wg_page *page, struct wg_error *err) {
    int code = 0;
    wg_page_section(page, "Figures");
    for (size_t i = 0; i < report->figures->n && code == 0; i++)
        code = wg_page_figure(page, wg_figures_get(report->figures, i), err);
    return code;
}

static void put_result_provenance(const struct wg_result_data *data, const struct wg_page *page) {
    char number[32];
    wg_report_provenance_begin(&data->in, "The result file is enough to reproduce these numbers: wintergrub rerun.",
                               page);
    (void)snprintf(number, sizeof number, "%lld", (long long)data->in.replicates);
    wg_report_fact(page, "replicates", number);
    wg_report_fact(page, "scenario", data->inputs.scenario_path);
    wg_report_fact(page, "SHA-256 of the scenario", data->inputs.scenario_sha256);
    wg_report_fact(page, "SHA-256 of the weather record", data->inputs.record_sha256);
    wg_page_table_end(page);
    wg_page_paragraph(
        page, "note",
        "Chances are counts of years with a dot for each, because people judge counts better than "
        "percentages (Gigerenzer & Hoffrage 1995, Psychological Review 102:684; Galesic, Garcia-Retamero & "
        "Gigerenzer 2009, Health Psychology 28:210). Twenty equally likely years stand for a weight "
        "because people decide better with such dots than with a band (Kay et al. 2016, CHI; Fernandes et "
        "al. 2018, CHI).");
    wg_page_preformatted(page, "The scenario as it was read", data->inputs.scenario_text);
}

static void put_folded_assumptions(const struct result_report *report, const struct wg_page *page) {
    const bool plausible = report->forecast->scenario->plan.animals == WG_ANIMALS_PLAUSIBLE;
    char summary[64], text[WG_SENTENCE_SIZE];
    (void)snprintf(summary, sizeof summary, "All %d numbers, each with its source", report->data->n_parameters);
    (void)snprintf(text, sizeof text,
                   "%s Each has a source; those marked judgement nobody has measured. To print them, open them first.",
                   plausible ? "Each animal of this forecast has its own numbers (the result file lists them). The "
                               "numbers below are those of the middle animal."
                             : "The flies of this forecast follow the numbers below.");
    wg_page_paragraph(page, NULL, text);
    wg_page_fold_begin(page, summary);
    wg_report_assumptions(report->data, &report->forecast->scenario->plan, page);
    wg_page_fold_end(page);
}

static int put_result_page(const struct result_report *report, const struct wg_page *page, struct wg_error *err) {
    static const char *const headings[] = {"The answer",
                                           "Figures",
                                           "The work, week by week",
                                           "The setup",
                                           "What we assume about the flies",
                                           "Where this comes from",
                                           NULL};
    wg_page_begin(page, report->data->in.title, headings);
    put_forecast_question(report, page);
    put_forecast_answer(report, page);
    int code = put_figures(report, page, err);
    if (code < 0)
        return code;
    wg_page_section(page, "The work, week by week");
    code = wg_report_work(report->forecast->work, report->data->in.title, page, err);
    if (code == 0)
        code = wg_report_setup(report->forecast->scenario, page, err);
    if (code < 0)
        return code;
    wg_page_section(page, "What we assume about the flies");
    put_folded_assumptions(report, page);
    put_result_provenance(report->data, page);
    wg_page_end(page);
    return wg_bytes_failed(page->to, err);
}

/* ---- the lives ---- */

int wg_report_lives_init(struct wg_report_lives *lives, const struct wg_plan *plan, int64_t replicates,
                         struct wg_error *err) {
    *lives = (struct wg_report_lives){.watch = {.plan = plan}};
    wg_goal_tally_init(&lives->odds, plan);
    const int code = wg_summary_init(&lives->summary, plan, replicates, err);
    return code == 0 ? wg_work_init(&lives->work, plan, replicates, err) : code;
}

void wg_report_lives_observers(struct wg_report_lives *lives, struct wg_observer out[WG_REPORT_OBSERVERS]) {
    out[0] = wg_summary_observer(&lives->summary);
    out[1] = wg_warning_observer(&lives->watch);
    out[2] = wg_work_observer(&lives->work);
    out[3] = wg_goal_tally_observer(&lives->odds);
}

void wg_report_lives_free(struct wg_report_lives *lives) {
    wg_work_free(&lives->work);
    wg_goal_tally_free(&lives->odds);
    wg_summary_free(&lives->summary);
}

/* ---- the whole ---- */

int wg_report_result(struct wg_result_data *data, const struct wg_scenario *scenario,
                     const struct wg_report_lives *lives, const struct wg_page *page, struct wg_error *err) {
    struct wg_figures figures = {0};
    struct wg_warnings warnings;
    wg_warnings_find(&warnings, &lives->watch, &lives->work);
    const struct wg_forecast forecast = {.scenario = scenario,
                                         .summary = &lives->summary,
                                         .warnings = &warnings,
                                         .work = &lives->work,
                                         .odds = &lives->odds,
                                         .result_path = data->in.path};
    struct result_report report = {&forecast, data, &figures, {0}};
    int code = wg_figures_make(&figures, data, err);
    if (code == 0)
        code = wg_odds_find(&report.odds, &scenario->plan, &lives->summary, err);
    if (code == 0)
        code = put_result_page(&report, page, err);
    wg_figures_free(&figures);
    return code;
}
