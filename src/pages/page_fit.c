/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of a fit: the animal, the notes that lie off, today, the weeks to come, the season, where it comes from.
 */
#include "pages/pages.h"

#include "figures/html.h"
#include "pages/page_parts.h"
#include "text/warning_sentences.h"
#include <wintergrub/version.h>

/* The first cell of each row is its name. A table without rows is left out. */
static int put_fit_table(const struct wg_fit_output *fitting, enum wg_fit_table_kind kind, const struct wg_page *page,
                         struct wg_error *err) {
    struct wg_fit_table table;
    const int code = wg_fit_table_make(&table, kind, fitting, err);
    for (int i = 0; i < table.n && table.n > 1 && code == 0; i++) {
        const char *const head[] = {"what", table.row[0].cell[1], table.row[0].cell[2]};
        const char *const cell[] = {table.row[i].cell[0], table.row[i].cell[1], table.row[i].cell[2]};
        if (i == 0)
            wg_page_table_begin(page, table.row[0].cell[0], head, 3);
        else
            wg_page_table_row(page, head, cell, 3);
    }
    if (table.n > 1 && code == 0)
        wg_page_table_end(page);
    wg_fit_table_free(&table);
    return code;
}

static void put_log_notes(const struct wg_fit_output *fitting, const struct wg_page *page) {
    int worst[WG_FIT_WORST];
    const int off = wg_fit_worst_notes(fitting, worst), n = fitting->log->n;
    char line[WG_SENTENCE_SIZE];
    if (wg_fit_has_answer(fitting->fit)) {
        (void)snprintf(line, sizeof line, "Notes inside the expected 90 %% range: %d of %d.%s", n - off, n,
                       off > 0 ? " The others, the worst first:" : "");
        wg_page_paragraph(page, NULL, line);
    }
    for (int k = 0; k < off && k < WG_FIT_WORST; k++) {
        wg_fit_show_note(fitting, worst[k], line);
        wg_page_paragraph(page, "note", line);
    }
}

static void put_fit_provenance(const struct wg_fit_output *fitting, const char *command_line,
                               const struct wg_page *page) {
    static const char *const head[] = {"what", "value"};
    char seed[32];
    wg_page_table_begin(page, "The same command with the same files and seed gives the same answer.", head, 2);
    (void)snprintf(seed, sizeof seed, "%llu", (unsigned long long)fitting->scenario->plan.seed);
    wg_report_fact(page, "wintergrub", WG_VERSION);
    wg_report_fact(page, "command", command_line);
    wg_report_fact(page, "scenario", fitting->scenario->path);
    wg_report_fact(page, "log", fitting->log_path);
    wg_report_fact(page, "seed", seed);
    wg_page_table_end(page);
}

static void put_plan_warnings(const struct wg_fit_output *fitting, const struct wg_page *page) {
    char warning[WG_WARNING_TEXT], line[WG_WARNING_TEXT + 48];
    for (int i = 0; i < fitting->warnings->n; i++) {
        wg_warning_text(fitting->warnings, i, warning);
        (void)snprintf(line, sizeof line, "Warning, the plan without the log: %s", warning);
        wg_page_paragraph(page, "warning", line);
    }
}

int wg_report_fit(const struct wg_fit_output *fitting, const char *command_line, const struct wg_page *page,
                  struct wg_error *err) {
    static const struct {
        const char *heading;
        enum wg_fit_table_kind kind;
    } part[WG_FIT_N_TABLES] = {{"In the bins and the ground now", WG_FIT_TABLE_TODAY},
                               {"What to feed", WG_FIT_TABLE_FEED},
                               {"The next four weeks", WG_FIT_TABLE_WEEKS},
                               {"The season", WG_FIT_TABLE_SEASON},
                               {"This colony's animal", WG_FIT_TABLE_ANIMAL}};
    const bool has_answer = wg_fit_has_answer(fitting->fit);
    const char *headings[WG_FIT_N_TABLES + 3] = {NULL};
    char line[WG_SENTENCE_SIZE], title[WG_SENTENCE_SIZE];
    int n = 0, code = 0;
    for (int i = 0; i < WG_FIT_N_TABLES && has_answer; i++)
        headings[n++] = part[i].heading;
    headings[n++] = "The log";
    headings[n] = "Where this comes from";
    (void)snprintf(title, sizeof title, "%.200s: what the log says", wg_scenario_name(fitting->scenario));
    wg_page_begin(page, title, headings);
    wg_fit_show_agreement(fitting, line);
    wg_page_paragraph(page, has_answer ? "answer" : "warning", line);
    put_plan_warnings(fitting, page);
    wg_report_cautions(&fitting->scenario->plan, page);
    for (int i = 0; i < WG_FIT_N_TABLES && has_answer && code == 0; i++) {
        wg_page_section(page, part[i].heading);
        code = put_fit_table(fitting, part[i].kind, page, err);
        wg_fit_spring_words(fitting, line);
        if (part[i].kind == WG_FIT_TABLE_SEASON && line[0] != '\0')
            wg_page_paragraph(page, "note", line);
    }
    wg_page_section(page, headings[n - 1]);
    put_log_notes(fitting, page);
    wg_page_section(page, headings[n]);
    put_fit_provenance(fitting, command_line, page);
    wg_page_end(page);
    return code == 0 ? wg_bytes_failed(page->to, err) : code;
}
