/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of an answer of `run --what-matters`: what matters, what to measure, all numbers, provenance.
 */
#include "pages/pages.h"

#include "answers/sensitivity_text.h"
#include "figures/figures.h"
#include "pages/page_parts.h"
#include "text/sensitivity_words.h"

#include <string.h>

static void put_sentence(const struct wg_sensitivity *matters, const struct wg_page *page, const char *kind,
                         void (*word)(const struct wg_sensitivity *matters, char out[WG_SENTENCE_SIZE])) {
    char text[WG_SENTENCE_SIZE];
    word(matters, text);
    wg_page_paragraph(page, kind, text);
}

/* Writes the figure of that name, if there is one. */
static int put_figure(const struct wg_figures *figures, const char *name, const struct wg_page *page,
                      struct wg_error *err) {
    for (size_t i = 0; i < figures->n; i++)
        if (strcmp(wg_figure_name(wg_figures_get(figures, i)), name) == 0)
            return wg_page_figure(page, wg_figures_get(figures, i), err);
    return 0;
}

static void put_measured_sentences(const struct wg_sensitivity *matters, const struct wg_page *page) {
    put_sentence(matters, page, NULL, wg_sensitivity_measure);
    for (int i = 0; i < matters->n_steps; i++) {
        char text[WG_SENTENCE_SIZE];
        wg_sensitivity_step(matters, i, text);
        wg_page_paragraph(page, "answer", text);
    }
}

static void put_all_measurements(const struct wg_sensitivity *matters, const struct wg_page *page) {
    static const char *const head[] = {"measurement", "removes of the variance", "answer, on average after it",
                                       "its error"};
    wg_page_table_begin(page, "Every measurement that was tried, each alone.", head, 4);
    for (int i = 0; i < matters->n_measurements; i++) {
        const struct wg_measurement_gain *const m = &matters->measurement[i];
        char share[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
        wg_show_estimate(&m->gain.share, share);
        wg_show_answers(matters, m->gain.answer, range);
        const char *const cell[] = {m->measurement->text, share, range, m->measurement->source};
        wg_page_table_row(page, head, cell, 4);
    }
    wg_page_table_end(page);
}

static void put_all_numbers(const struct wg_sensitivity *matters, const struct wg_page *page) {
    static const char *const head[] = {
        "number", "what it is", "90 of 100 animals", "share of its group", "group", "where the default comes from"};
    wg_page_table_begin(
        page,
        "Every number in which the animals differ. Numbers that findings tie together have one group and "
        "one share. MEMORY: from memory, source not checked again.",
        head, 6);
    for (int i = 0; i < matters->n_unknowns; i++) {
        const struct wg_unknown *const u = &matters->unknown[i];
        char share[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE], group[16];
        wg_show_estimate(&matters->shares.share[u->group], share);
        wg_show_unknown(u, range);
        (void)snprintf(group, sizeof group, "%d", u->group + 1);
        const char *const cell[] = {u->parameter->name, u->parameter->text, range, share, group, u->parameter->source};
        wg_page_table_row(page, head, cell, 6);
    }
    wg_page_table_end(page);
}

static void put_sensitivity_provenance(const struct wg_answer_data *data, const struct wg_page *page) {
    wg_report_provenance_begin(&data->in, "The same command with the same scenario and seed gives the same answer.",
                               page);
    wg_report_fact(page, "scenario", data->inputs.scenario_path);
    wg_report_fact(page, "SHA-256 of the scenario", data->inputs.scenario_sha256);
    wg_page_table_end(page);
    wg_page_preformatted(page, "The scenario as it was read", data->inputs.scenario_text);
}

static int put_sensitivity_page(const struct wg_answer_data *data, const struct wg_sensitivity *matters,
                                const struct wg_scenario *scenario, const struct wg_figures *figures,
                                const struct wg_page *page, struct wg_error *err) {
    static const char *const headings[] = {"What matters", "What you could measure", "The setup",
                                           "All numbers",  "Where this comes from",  NULL};
    const bool differ = wg_is_above_luck(&matters->shares.between);
    wg_page_begin(page, data->in.title, headings);
    put_sentence(matters, page, "answer", wg_sensitivity_question);
    wg_report_stored_cautions(&data->warned, page);
    wg_page_section(page, headings[0]);
    int code = put_figure(figures, "shares", page, err);
    if (differ) {
        put_sentence(matters, page, NULL, wg_sensitivity_rest);
        put_sentence(matters, page, NULL, wg_sensitivity_together);
        put_sentence(matters, page, NULL, wg_sensitivity_luck);
    }
    wg_page_section(page, headings[1]);
    if (differ)
        put_measured_sentences(matters, page);
    if (code == 0)
        code = put_figure(figures, "measurements", page, err);
    if (differ)
        put_all_measurements(matters, page);
    if (code == 0)
        code = wg_report_setup(scenario, page, err);
    wg_page_section(page, headings[3]);
    wg_page_paragraph(page, NULL, "To print the numbers, open them first.");
    wg_page_fold_begin(page, "Every number in which the animals differ, with its source");
    put_all_numbers(matters, page);
    wg_page_fold_end(page);
    put_sensitivity_provenance(data, page);
    wg_page_end(page);
    return code < 0 ? code : wg_bytes_failed(page->to, err);
}

int wg_report_sensitivity(const struct wg_answer_data *data, const struct wg_sensitivity *matters,
                          const struct wg_scenario *scenario, const struct wg_page *page, struct wg_error *err) {
    struct wg_figures figures = {0};
    int code = wg_figures_sensitivity(&figures, &data->in, matters, err);
    if (code == 0)
        code = put_sensitivity_page(data, matters, scenario, &figures, page, err);
    wg_figures_free(&figures);
    return code;
}
