/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of an answer of `size`: how much is enough, how certainly, the curve, assumptions, provenance.
 */
#include "pages/pages.h"

#include "data/size_sentences.h"
#include "figures/figures.h"
#include "pages/page_parts.h"
#include "report/forecast_facts.h"
#include "report/goals_report.h"
#include "text/goal_text.h"
#include "text/show.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct size_report {
    const struct wg_answer_data *data;
    const struct wg_answer_size *answer;
    const struct wg_scenario *scenario;
    const struct wg_page *page;
};

/* ---- the answer in three sentences ---- */

static void put_size_question(const struct size_report *s) {
    const struct wg_answer_size *const a = s->answer;
    char shown[2 * WG_VARY_SHOWN_SIZE], wanted[16], text[WG_SENTENCE_SIZE + 320];
    wg_vary_show_both(&a->vary, a->vary.value, shown);
    (void)snprintf(
        text, sizeof text, "%c%.170s: what is the %s number that meets %s? (%.159s, %.159s in the scenario.)",
        toupper((unsigned char)a->vary.subject[0]), a->vary.subject + 1, a->question.largest ? "largest" : "smallest",
        a->question.n_goals > 1 ? "all goals" : "the goal", a->vary.path, shown);
    wg_page_paragraph(s->page, NULL, text);
    for (int g = 0; g < a->question.n_goals; g++) {
        wg_goals_text_chance(a->question.wanted[g], wanted);
        (void)snprintf(text, sizeof text, "Goal %d: %.300s, with a chance of %s.", g + 1, a->goal[g], wanted);
        wg_page_paragraph(s->page, "note", text);
    }
}

/* "At 20 the goal was met in 95 % of 1,200 possible futures (93 to 97 %), at 18 in 88 %." */
static void describe_chances(const struct size_report *s, const struct wg_size_point *point, const char *before,
                             char out[WG_SENTENCE_SIZE]) {
    char shown[2 * WG_VARY_SHOWN_SIZE], share[16], range[24], n[WG_SHOWN_SIZE];
    const int worst = wg_size_hardest_goal(&s->answer->question, point);
    wg_vary_show_both(&s->answer->vary, point->value, shown);
    wg_show_whole(point->n, n);
    wg_goals_text_chance(wg_size_share(point, worst), share);
    wg_goals_text_interval(wg_wilson((size_t)point->hits[worst], (size_t)point->n, WG_GOALS_CONFIDENCE), range);
    (void)snprintf(out, WG_SENTENCE_SIZE, "%s%s goal %d was met in %s of %s possible %s (%s)", before, shown, worst + 1,
                   share, n, wg_forecast_noun_of(&s->scenario->plan, point->n), range);
}

static void put_size_answer(const struct size_report *s) {
    const struct wg_size *const size = &s->answer->size;
    char args[WG_SIZE_TEXT], text[2 * WG_SENTENCE_SIZE + 32], one[WG_SENTENCE_SIZE], other[WG_SENTENCE_SIZE] = "",
                                                                                     n[WG_SHOWN_SIZE];
    const int enough = wg_size_find(size, size->enough), too_little = wg_size_find(size, size->too_little);
    wg_size_text(&s->answer->vary, &s->answer->question, size, args);
    wg_page_paragraph(s->page, "answer", args);
    describe_chances(s, &size->point[enough >= 0 ? enough : size->best], "At ", one);
    if (too_little >= 0 && too_little != (enough >= 0 ? enough : size->best))
        describe_chances(s, &size->point[too_little], ", and at ", other);
    (void)snprintf(text, sizeof text, "%s%s.", one, other);
    wg_page_paragraph(s->page, "answer", text);
    if (*s->data->why != '\0')
        wg_page_paragraph(s->page, NULL, s->data->why);
    wg_show_whole(size->replicates, n);
    (void)snprintf(
        text, sizeof text,
        "With %.4g %% confidence what is sure and all ranges of the table hold together, and so does the interval of "
        "the number. They use %s replicates, each at one value.",
        100 * s->answer->question.confidence, n);
    wg_page_paragraph(s->page, "answer", text);
}

static void put_size_warnings(const struct size_report *s) {
    char shown[2 * WG_VARY_SHOWN_SIZE], line[WG_WARNING_TEXT + 2 * WG_VARY_SHOWN_SIZE + 32];
    wg_vary_show_both(&s->answer->vary, wg_size_recommended(&s->answer->vary, &s->answer->size), shown);
    for (int i = 0; i < s->data->warned.n; i++) {
        (void)snprintf(line, sizeof line, "Warning, at %s: %s", shown, s->data->warned.text[i]);
        wg_page_paragraph(s->page, "warning", line);
    }
    wg_report_stored_cautions(&s->data->warned, s->page);
}

/* ---- the table ---- */

static void put_tried_value(const struct size_report *s, const char *const *head, const struct wg_size_point *point) {
    char text[2 + 2 * WG_MAX_GOALS][2 * WG_VARY_SHOWN_SIZE], share[16], range[24];
    const char *cell[3 + WG_MAX_GOALS];
    const int n_goals = s->answer->question.n_goals;
    wg_vary_show_both(&s->answer->vary, point->value, text[0]);
    wg_show_whole(point->n, text[1]);
    for (int g = 0; g < n_goals; g++) {
        wg_goals_text_chance(wg_size_share(point, g), share);
        wg_goals_text_interval(wg_size_interval(&s->answer->question, point, g), range);
        (void)snprintf(text[2 + g], sizeof text[0], "%s (%s)", share, range);
    }
    for (int i = 0; i < 2 + n_goals; i++)
        cell[i] = text[i];
    cell[2 + n_goals] = wg_size_enough_word(&s->answer->question, &s->answer->size, point);
    wg_page_table_row(s->page, head, cell, 3 + n_goals);
}

static void put_tried_values(const struct size_report *s) {
    static const char *const goal[WG_MAX_GOALS] = {"goal 1", "goal 2", "goal 3", "goal 4",
                                                   "goal 5", "goal 6", "goal 7", "goal 8"};
    const char *head[3 + WG_MAX_GOALS] = {"value", "replicates"};
    const int n_goals = s->answer->question.n_goals;
    for (int g = 0; g < n_goals; g++)
        head[2 + g] = goal[g];
    head[2 + n_goals] = "enough";
    wg_page_table_begin(s->page,
                        "Every value tried. The ranges hold for all of them together. Beyond: on the far side of one "
                        "that is surely enough.",
                        head, 3 + n_goals);
    for (int i = 0; i < s->answer->size.n_points; i++)
        put_tried_value(s, head, &s->answer->size.point[i]);
    wg_page_table_end(s->page);
}

/* ---- assumptions and provenance ---- */

static void put_assumptions(const struct size_report *s) {
    static const char *const head[] = {"number", "what it is", "value", "unit", "where the default comes from"};
    wg_page_section(s->page, "What we assume about the flies");
    wg_page_table_begin(s->page, "MEMORY: from memory, source not checked again.", head, 5);
    for (const struct wg_parameter *p = wg_species_parameters(); p->name != NULL; p++) {
        char value[32];
        (void)snprintf(value, sizeof value, "%.6g", wg_species_get(&s->scenario->plan.species, p));
        const char *const cell[] = {p->name, p->text, value, strcmp(p->unit, "1") == 0 ? "" : p->unit, p->source};
        wg_page_table_row(s->page, NULL, cell, 5);
    }
    wg_page_table_end(s->page);
}

static void put_answer_provenance(const struct size_report *s) {
    wg_report_provenance_begin(&s->data->in, "The same command with the same scenario and seed gives the same answer.",
                               s->page);
    wg_report_fact(s->page, "scenario", s->data->inputs.scenario_path);
    wg_report_fact(s->page, "SHA-256 of the scenario", s->data->inputs.scenario_sha256);
    wg_page_table_end(s->page);
    wg_page_preformatted(s->page, "The scenario as it was read", s->data->inputs.scenario_text);
}

/* ---- the page ---- */

static int put_page(const struct size_report *s, const struct wg_figures *figures, struct wg_error *err) {
    static const char *const headings[] = {
        "The answer", "Chance against value", "The setup", "What we assume about the flies", "Where this comes from",
        NULL};
    wg_page_begin(s->page, s->data->in.title, headings);
    put_size_question(s);
    wg_page_section(s->page, "The answer");
    put_size_answer(s);
    put_size_warnings(s);
    wg_page_section(s->page, "Chance against value");
    int code = wg_page_figure(s->page, wg_figures_get(figures, 0), err);
    put_tried_values(s);
    if (code == 0)
        code = wg_report_setup(s->scenario, s->page, err);
    put_assumptions(s);
    put_answer_provenance(s);
    wg_page_end(s->page);
    return code < 0 ? code : wg_bytes_failed(s->page->to, err);
}

int wg_report_size(const struct wg_answer_data *data, const struct wg_answer_size *answer,
                   const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err) {
    struct wg_figures figures = {0};
    int code = wg_figures_size(&figures, &data->in, answer, err);
    if (code == 0)
        code = put_page(&(struct size_report){data, answer, scenario, page}, &figures, err);
    wg_figures_free(&figures);
    return code;
}
