/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Writes the page of a comparison: which setup is better than the first, by how much, how certainly, and at what cost.
 */
#include "pages/pages.h"

#include "answers/comparison.h"
#include "base/calendar.h"
#include "drawing/label.h"
#include "figures/figures.h"
#include "pages/page_parts.h"
#include "report/forecast_parts.h"
#include "text/outcome_label.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* "+1.2", "-3 days", "0 kWh": with a sign, chances in percentage points, weights in kg and lb. */
static void show_change(enum wg_value_kind kind, double value, char out[WG_SHOWN_SIZE]) {
    const double size = kind == WG_VALUE_SHARE ? 100 * fabs(value) : fabs(value);
    char shown[WG_SHOWN_SIZE];
    if (kind == WG_VALUE_MASS)
        wg_show_mass(size, shown);
    else
        wg_show_number(size, shown);
    const bool is_nothing = strcmp(shown, "0") == 0;
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%.70s%.20s",
                   is_nothing  ? ""
                   : value < 0 ? "\u2212"
                   : value > 0 ? "+"
                               : "",
                   shown, wg_value_unit(kind));
}

/* Better in "97 %", or with ties "10, worse in 5, no difference in 45 of 60". */
static void show_chance_better(const struct wg_difference *difference, char out[5 * WG_SHOWN_SIZE]) {
    char percent[WG_SHOWN_SIZE], better[WG_SHOWN_SIZE], worse[WG_SHOWN_SIZE], ties[WG_SHOWN_SIZE], all[WG_SHOWN_SIZE];
    wg_show_percent(difference->chance, wg_show_percent_decimals(difference->chance), percent);
    wg_show_whole(difference->better, better);
    wg_show_whole(difference->worse, worse);
    wg_show_whole(difference->ties, ties);
    wg_show_whole(difference->better + difference->worse + difference->ties, all);
    if (difference->ties > 0)
        (void)snprintf(out, 5 * WG_SHOWN_SIZE, "%s, worse in %s, no difference in %s of %s", better, worse, ties, all);
    else
        (void)snprintf(out, 5 * WG_SHOWN_SIZE, "%s %%", percent);
}

static const char *const difference_head[] = {"outcome", "mean difference", "95 % interval", "better than A in",
                                              "of 100 plausible animals"};
/* The last column is left out for the middle animal. */
enum { N_COLUMNS = sizeof difference_head / sizeof *difference_head };

/* "better in 98, the same in 2, worse in 0" */
static void show_animals(const struct wg_animals_won *animals, char out[WG_SHOWN_SIZE]) {
    int64_t of_100[3];
    wg_comparison_animals(animals, of_100);
    if (animals->better + animals->same + animals->worse <= animals->without)
        (void)snprintf(out, WG_SHOWN_SIZE, "-");
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "better in %lld, the same in %lld, worse in %lld", (long long)of_100[0],
                       (long long)of_100[1], (long long)of_100[2]);
}

static void put_difference_row(const struct wg_page *page, enum wg_outcome_number outcome,
                               const struct wg_difference *difference, int n_columns) {
    const struct wg_outcome_label *const label = wg_outcome_label(outcome);
    char mean[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], between[2 * WG_SHOWN_SIZE + 8],
        chance[5 * WG_SHOWN_SIZE] = "-", text[64], n[WG_SHOWN_SIZE], animals[WG_SHOWN_SIZE];
    if (difference->n == 0)
        return;
    wg_show_whole(difference->n, n);
    show_change(label->kind, difference->mean, mean);
    show_change(label->kind, difference->interval.low, low);
    show_change(label->kind, difference->interval.high, high);
    if (isnan(difference->interval.low))
        (void)snprintf(between, sizeof between, difference->n > 1 ? "the same in all %s" : "-", n);
    else if (strcmp(low, high) == 0)
        (void)snprintf(between, sizeof between, "about %s", low);
    else
        (void)snprintf(between, sizeof between, "%s to %s", low, high);
    if (!isnan(difference->chance))
        show_chance_better(difference, chance);
    (void)snprintf(text, sizeof text, "chance to be %s", label->phrase);
    show_animals(&difference->animals, animals);
    const char *const cell[] = {label->kind == WG_VALUE_SHARE ? text : wg_diary_outcomes()[outcome].text, mean, between,
                                chance, animals};
    wg_page_table_row(page, difference_head, cell, n_columns);
}

/* Finds the cells in which setup A and another are compared; NULL: their replicates are independent. */
static int read_pair_cells(struct wg_comparison_data *data, int setup, struct wg_split_value **cells,
                           struct wg_error *err) {
    struct wg_split_value *other = NULL;
    int code = wg_comparison_data_cells(data, 0, cells, err);
    if (code == 0)
        code = wg_comparison_data_cells(data, setup, &other, err);
    if (code == 0 && *cells != NULL)
        wg_cells_pair(*cells, other, data->in.replicates);
    free(other);
    return code;
}

/* One replicate tells: a setup has plausible animals in all or in none. */
static bool has_animals(const struct wg_split_value *cells) {
    return cells != NULL && cells->animal >= 0;
}

static int put_difference(struct wg_comparison_data *data, int setup, enum wg_compared compared,
                          const struct wg_split_value *cells, const struct wg_page *page, struct wg_error *err) {
    const enum wg_outcome_number outcome = wg_compared_outcome(compared);
    struct wg_difference difference;
    double *values;
    int code = wg_comparison_data_outcome(data, outcome, &values, err);
    if (code < 0)
        return code;
    code = wg_compared_difference(&difference, values, values + setup * data->in.replicates, cells, data->in.replicates,
                                  compared, WG_COMPARE_CONFIDENCE, err);
    free(values);
    if (code == 0)
        put_difference_row(page, outcome, &difference, has_animals(cells) ? N_COLUMNS : N_COLUMNS - 1);
    return code;
}

/* Writes the difference from A of every compared outcome of a setup. */
static int put_setup_differences(struct wg_comparison_data *data, int setup, const struct wg_page *page,
                                 struct wg_error *err) {
    char caption[256];
    struct wg_split_value *cells;
    int code = read_pair_cells(data, setup, &cells, err);
    (void)snprintf(caption, sizeof caption, "%c %.160s, against A", 'A' + setup, wg_comparison_data_name(data, setup));
    wg_page_table_begin(page, caption, difference_head, has_animals(cells) ? N_COLUMNS : N_COLUMNS - 1);
    for (int c = 0; c < WG_N_COMPARED && code == 0; c++)
        code = put_difference(data, setup, (enum wg_compared)c, cells, page, err);
    wg_page_table_end(page);
    free(cells);
    return code;
}

static void put_setup_warnings(const struct wg_comparison_data *data, int setup, const struct wg_page *page) {
    const struct wg_stored_warnings *const warned = &data->warned;
    char line[WG_WARNING_TEXT + 32];
    for (int i = 0; i < warned->n && warned->setup != NULL; i++) {
        if (warned->setup[i][0] != 'A' + setup)
            continue;
        (void)snprintf(line, sizeof line, "Warning, %c: %s", 'A' + setup, warned->text[i]);
        wg_page_paragraph(page, "warning", line);
    }
}

/* Notes that the period ends before the spring does; the month of the spring flies tells the hemisphere. */
static int put_spring_cutoff(struct wg_comparison_data *data, const struct wg_page *page, struct wg_error *err) {
    const int32_t last_day = data->first_day + data->n_days - 1;
    char text[WG_SENTENCE_SIZE], date[WG_LABEL_SIZE];
    double *half_out;
    const int code = wg_comparison_data_outcome(data, WG_OUTCOME_spring_emergence_50, &half_out, err);
    if (code < 0)
        return code;
    int64_t i = 0;
    while (i < data->n * data->in.replicates && isnan(half_out[i]))
        i++;
    if (i < data->n * data->in.replicates) {
        const int month = wg_date_from_day(data->first_day + (int32_t)half_out[i]).month;
        wg_label_date(data->first_day, data->n_days - 1, date);
        (void)snprintf(text, sizeof text, "Spring flies are counted until %s, where the period ends.", date);
        if (wg_spring_within(data->first_day, last_day, month >= 8 || month == 1).seen == WG_SPRING_CUT)
            wg_page_paragraph(page, "note", text);
    }
    free(half_out);
    return 0;
}

/* Notes the setups without a cost, for which a price or power is missing. */
static int put_unpriced(struct wg_comparison_data *data, const struct wg_page *page, struct wg_error *err) {
    char text[WG_SENTENCE_SIZE];
    double *cost;
    const int code = wg_comparison_data_outcome(data, WG_OUTCOME_total_heater_cost, &cost, err);
    if (code < 0)
        return code;
    for (int setup = 0; setup < data->n; setup++) {
        bool is_known = true;
        for (int64_t k = 0; k < data->in.replicates; k++)
            is_known = is_known && !isnan(cost[setup * data->in.replicates + k]);
        (void)snprintf(text, sizeof text,
                       "%c: the cost is not known, because the scenario gives no price, or no power, for something "
                       "that draws power.",
                       'A' + setup);
        if (!is_known)
            wg_page_paragraph(page, "note", text);
    }
    free(cost);
    return 0;
}

/* ---- the answer ---- */

/* Green says that something lives: a verdict over colonies that mostly die gets the colour of warnings. */
#define MOSTLY_ALIVE 0.5

static void put_verdict_words(const struct wg_verdict_facts *facts, const struct wg_page *page, struct wg_error *err) {
    const struct wg_choice *const choice = facts->choice;
    struct wg_bytes words = {0};
    wg_verdict_words(facts, &words);
    if (wg_bytes_failed(&words, err) == 0)
        wg_page_paragraph(page,
                          choice->setup[choice->by_survival[0]].survival.mean >= MOSTLY_ALIVE ? "answer" : "warning",
                          words.data);
    page->to->failed = page->to->failed || words.failed;
    wg_bytes_free(&words);
}

/* Writes "12 (10 to 15)" from "12" and the screen's "10-15". */
static void join_cell(const char *value, const char *range, char out[2 * WG_SHOWN_SIZE]) {
    const char *const dash = strchr(range, '-');
    if (range[0] == '\0' || strcmp(value, range) == 0)
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%s", value);
    else if (dash != NULL)
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%s (%.*s to %s)", value, (int)(dash - range), range, dash + 1);
    else
        (void)snprintf(out, 2 * WG_SHOWN_SIZE, "%s (%.80s)", value, range);
}

/* The averages of the screen's table, each with its range. */
static void put_table(const struct wg_verdict_facts *facts, const struct wg_page *page) {
    struct wg_comparison_column column[WG_COMPARISON_MAX_COLUMNS];
    const int n = wg_comparison_columns(facts, column);
    const char *head[WG_COMPARISON_MAX_COLUMNS + 1] = {"setup"}, *cell[WG_COMPARISON_MAX_COLUMNS + 1];
    char legend[WG_SENTENCE_SIZE];
    for (int c = 0; c < n; c++)
        head[c + 1] = column[c].words;
    wg_comparison_legend(facts, false, legend);
    wg_page_table_begin(page, legend, head, n + 1);
    for (int i = 0; i < facts->choice->n; i++) {
        char name[WG_SENTENCE_SIZE], text[WG_COMPARISON_MAX_COLUMNS][2 * WG_SHOWN_SIZE];
        (void)snprintf(name, sizeof name, "%c  %.400s", 'A' + i, facts->name[i]);
        cell[0] = name;
        for (int c = 0; c < n; c++) {
            char value[WG_SHOWN_SIZE], range[WG_SHOWN_SIZE];
            column[c].cell(facts, i, value);
            column[c].range(facts, i, range);
            join_cell(value, range, text[c]);
            cell[c + 1] = text[c];
        }
        wg_page_table_row(page, head, cell, n + 1);
    }
    wg_page_table_end(page);
}

/* Why its colonies die and what to beware of, setup by setup. */
static void put_warnings(const struct wg_comparison_data *data, const struct wg_page *page) {
    for (int i = 0; i < data->n; i++) {
        if (data->why[i] != NULL && data->why[i][0] != '\0')
            wg_page_paragraph(page, NULL, data->why[i]);
        put_setup_warnings(data, i, page);
    }
    wg_report_stored_cautions(&data->warned, page);
}

/* "What nobody knows about the animal: 61 to 100. ..." of each setup that is simulated over plausible animals. */
static void put_bands(const struct wg_verdict_facts *facts, const struct wg_page *page) {
    static const char *const head[] = {"alive, of 100", "over plausible animals", "over winters"};
    bool any = false;
    for (int i = 0; i < facts->choice->n; i++) {
        const struct wg_variance_split *const alive = &facts->choice->setup[i].survival;
        any = any || alive->animals.is_known || alive->winters.is_known;
    }
    if (!any)
        return;
    wg_page_table_begin(
        page, "How much the animal, which nobody knows, and the winter change: 9 in 10 lie in the range.", head, 3);
    for (int i = 0; i < facts->choice->n; i++) {
        char name[WG_SENTENCE_SIZE], animals[WG_SHOWN_SIZE], winters[WG_SHOWN_SIZE];
        const struct wg_variance_split *const alive = &facts->choice->setup[i].survival;
        (void)snprintf(name, sizeof name, "%c  %.400s", 'A' + i, facts->name[i]);
        wg_odds_show_band(&alive->animals, "", animals);
        wg_odds_show_band(&alive->winters, "", winters);
        const char *const cell[] = {name, animals, winters};
        wg_page_table_row(page, head, cell, 3);
    }
    wg_page_table_end(page);
}

/* ---- provenance ---- */

static void put_compare_provenance(const struct wg_comparison_data *data, const struct wg_page *page) {
    char text[160];
    wg_report_provenance_begin(&data->in, "All setups share one seed, and so the same weather and mishaps.", page);
    for (int i = 0; i < data->n; i++) {
        (void)snprintf(text, sizeof text, "SHA-256 of %c", 'A' + i);
        wg_report_fact(page, text, data->scenario_sha256[i]);
    }
    wg_page_table_end(page);
    for (int i = 0; i < data->n; i++) {
        (void)snprintf(text, sizeof text, "Scenario %c as it was read: %.100s", 'A' + i, data->scenario_path[i]);
        wg_page_preformatted(page, text, data->scenario_text[i]);
    }
}

#define FEW_SETUPS 4 /* the differences of more are folded */

static void put_what_is_compared(const struct wg_comparison_data *data, const struct wg_page *page) {
    char text[2 * WG_SENTENCE_SIZE], period[WG_LABEL_SIZE], futures[WG_LABEL_SIZE];
    const struct wg_varied *const varied = &data->varied;
    wg_label_dates(data->first_day, 0, data->n_days - 1, period);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    if (varied->n > 0)
        (void)snprintf(text, sizeof text, "%.128s, varied: %.176s%s%.176s.", varied->title, varied->subject[0],
                       varied->n > 1 ? "; " : "", varied->subject[1]);
    if (varied->n > 0)
        wg_page_paragraph(page, NULL, text);
    (void)snprintf(text, sizeof text, "%d setups, each over the same %s, %s.", data->n, futures, period);
    wg_page_paragraph(page, "note", text);
}

static int put_answer(struct wg_comparison_data *data, const struct wg_verdict_facts *facts,
                      const struct wg_figures *figures, const struct wg_page *page, struct wg_error *err) {
    int code = 0;
    const size_t first = data->varied.odds.n > 0 ? 1 : 0; /* a grid of `size` is the answer */
    wg_page_section(page, "The answer");
    if (first > 0)
        code = wg_page_figure(page, wg_figures_get(figures, 0), err);
    put_verdict_words(facts, page, err);
    for (size_t i = first; i < figures->n && code == 0; i++)
        code = wg_page_figure(page, wg_figures_get(figures, i), err);
    put_table(facts, page);
    if (code == 0)
        code = put_unpriced(data, page, err);
    put_warnings(data, page);
    return code;
}

static int put_comparison_page(struct wg_comparison_data *data, const struct wg_verdict_facts *facts,
                               const struct wg_figures *figures, const struct wg_page *page, struct wg_error *err) {
    static const char *const headings[] = {"The answer", "Compared with the first", "Where this comes from", NULL};
    wg_page_begin(page,
                  data->varied.odds.n > 0 ? "How much is enough: two numbers" : "Setups compared over the same weather",
                  headings);
    put_what_is_compared(data, page);
    int code = put_answer(data, facts, figures, page, err);
    wg_page_section(page, "Compared with the first");
    wg_page_paragraph(page, "note", "Each difference is taken year by year, in the same weather.");
    put_bands(facts, page);
    if (code == 0)
        code = put_spring_cutoff(data, page, err);
    const bool is_folded = data->n > FEW_SETUPS;
    if (is_folded)
        wg_bytes_put(page->to, "<details>\n<summary>Each setup against A</summary>\n");
    for (int i = 1; i < data->n && code == 0; i++)
        code = put_setup_differences(data, i, page, err);
    if (is_folded)
        wg_bytes_put(page->to, "</details>\n");
    put_compare_provenance(data, page);
    wg_page_end(page);
    return code < 0 ? code : wg_bytes_failed(page->to, err);
}

int wg_report_comparison(struct wg_comparison_data *data, const struct wg_page *page, struct wg_error *err) {
    struct wg_figures figures = {0};
    struct wg_choice choice = {0};
    int code = wg_comparison_data_choice(data, &choice, err);
    const struct wg_verdict_facts facts = wg_comparison_data_facts(data, &choice);
    if (code == 0)
        code = wg_comparison_figures(&figures, data, &choice, err);
    if (code == 0)
        code = put_comparison_page(data, &facts, &figures, page, err);
    wg_figures_free(&figures);
    wg_choice_free(&choice);
    return code;
}
