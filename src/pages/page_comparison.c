/*
 * Writes the page of a comparison: which setup is better than the first, by how much, how certainly, and at what cost.
 */
#include "pages/page_comparison.h"

#include "answers/comparison_facts.h"
#include "base/calendar.h"
#include "drawing/label.h"
#include "figures/figures.h"
#include "pages/page_parts.h"
#include "report/odds_text.h"
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
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%.70s%.20s",
                   value < 0   ? "-"
                   : value > 0 ? "+"
                               : "",
                   shown, wg_value_unit(kind));
}

/* Better in "97 %", or with ties "10, worse in 5, no difference in 45". */
static void show_chance_better(const struct wg_difference *difference, char out[4 * WG_SHOWN_SIZE]) {
    char percent[WG_SHOWN_SIZE], better[WG_SHOWN_SIZE], worse[WG_SHOWN_SIZE], ties[WG_SHOWN_SIZE];
    wg_show_percent(difference->chance, wg_show_percent_decimals(difference->chance), percent);
    wg_show_whole(difference->better, better);
    wg_show_whole(difference->worse, worse);
    wg_show_whole(difference->ties, ties);
    if (difference->ties > 0)
        (void)snprintf(out, 4 * WG_SHOWN_SIZE, "%s, worse in %s, no difference in %s", better, worse, ties);
    else
        (void)snprintf(out, 4 * WG_SHOWN_SIZE, "%s %%", percent);
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

static void put_difference_row(struct wg_bytes *page, enum wg_outcome_number outcome,
                               const struct wg_difference *difference, int n_columns) {
    const struct wg_outcome_label *const label = wg_outcome_label(outcome);
    char mean[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], between[2 * WG_SHOWN_SIZE + 8],
        chance[4 * WG_SHOWN_SIZE] = "-", text[64], n[WG_SHOWN_SIZE], animals[WG_SHOWN_SIZE];
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
                          const struct wg_split_value *cells, struct wg_bytes *page, struct wg_error *err) {
    const enum wg_outcome_number outcome = wg_compared_outcome(compared);
    struct wg_difference difference;
    double *values;
    int code = wg_comparison_data_outcome(data, outcome, &values, err);
    if (code < 0)
        return code;
    code = wg_compared_difference(&difference, values, values + setup * data->in.replicates, cells, data->in.replicates,
                                  compared, err);
    free(values);
    if (code == 0)
        put_difference_row(page, outcome, &difference, has_animals(cells) ? N_COLUMNS : N_COLUMNS - 1);
    return code;
}

/* Writes the difference from A of every compared outcome of a setup. */
static int put_setup_differences(struct wg_comparison_data *data, int setup, struct wg_bytes *page,
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

static void put_setup_warnings(const struct wg_comparison_data *data, int setup, struct wg_bytes *page) {
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
static int put_spring_cutoff(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err) {
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
static int put_unpriced(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err) {
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

static int split_survival(struct wg_comparison_data *data, int setup, const double *survived,
                          struct wg_variance_split *split, struct wg_error *err) {
    const int64_t n = data->in.replicates;
    struct wg_split_value *cells;
    int code = wg_comparison_data_cells(data, setup, &cells, err);
    const bool is_shared = cells != NULL;
    if (code == 0 && !is_shared) {
        cells = calloc((size_t)n, sizeof *cells);
        code = cells == NULL ? wg_no_memory(err, NULL) : 0;
    }
    for (int64_t k = 0; k < n && code == 0; k++) {
        if (!is_shared)
            cells[k] = (struct wg_split_value){.weight = 1, .animal = -1, .winter = k};
        cells[k].value = survived[k];
    }
    if (code == 0)
        code = wg_variance_split(split, cells, n, WG_SPLIT_SHARE, WG_COMPARE_CONFIDENCE, err);
    free(cells);
    return code;
}

/* "B, TITLE: alive at the end in 95 of 100 (between 93 and 97). ..." */
static void describe_setup(const struct wg_comparison_data *data, int setup, const struct wg_variance_split *split,
                           char out[WG_SENTENCE_SIZE]) {
    char share[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], n[WG_SHOWN_SIZE], band[WG_SHOWN_SIZE];
    wg_show_share(split->mean, share);
    wg_show_share(split->interval.low, low);
    wg_show_share(split->interval.high, high);
    wg_show_whole(split->n, n);
    int used = snprintf(out, WG_SENTENCE_SIZE,
                        "%c, %.200s: alive at the end in %s of 100 (between %s and %s; 95 %% interval, from %s).",
                        'A' + setup, wg_comparison_data_name(data, setup), share, low, high, n);
    wg_odds_show_band(&split->animals, "", band);
    if (split->animals.is_known)
        used += snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, " What nobody knows about the animal: %s.", band);
    wg_odds_show_band(&split->winters, "", band);
    if (split->winters.is_known)
        (void)snprintf(out + used, WG_SENTENCE_SIZE - (size_t)used, " From winter to winter: %s.", band);
}

static int put_setup_survival(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err) {
    double *survived;
    int code = wg_comparison_data_outcome(data, WG_OUTCOME_survived, &survived, err);
    for (int i = 0; i < data->n && code == 0; i++) {
        struct wg_variance_split split;
        char text[WG_SENTENCE_SIZE];
        code = split_survival(data, i, survived + i * data->in.replicates, &split, err);
        if (code < 0)
            break;
        describe_setup(data, i, &split, text);
        wg_page_paragraph(page, "answer", text);
        put_setup_warnings(data, i, page);
    }
    free(survived);
    return code;
}

static void put_compare_provenance(const struct wg_comparison_data *data, struct wg_bytes *page) {
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

static int put_comparison_page(struct wg_comparison_data *data, const struct wg_figures *figures, struct wg_bytes *page,
                               struct wg_error *err) {
    static const char *const headings[] = {"The answer", "Compared with the first", "Where this comes from", NULL};
    char text[WG_SENTENCE_SIZE], period[WG_LABEL_SIZE], futures[WG_LABEL_SIZE];
    wg_page_begin(page, "Setups compared over the same weather", headings);
    wg_label_dates(data->first_day, 0, data->n_days - 1, period);
    wg_label_futures(data->in.replicates, data->n_days, futures);
    (void)snprintf(text, sizeof text, "Which of %d setups is worth it? Each was simulated over the same %s, %s.",
                   data->n, futures, period);
    wg_page_paragraph(page, NULL, text);
    wg_page_section(page, "The answer");
    int code = put_setup_survival(data, page, err);
    wg_report_stored_cautions(&data->warned, page);
    if (code == 0)
        code = put_unpriced(data, page, err);
    if (code == 0)
        code = wg_page_figure(page, wg_figures_get(figures, 0), err);
    wg_page_section(page, "Compared with the first");
    wg_page_paragraph(page, "note", "Each difference is taken year by year, in the same weather.");
    if (code == 0)
        code = put_spring_cutoff(data, page, err);
    for (int i = 1; i < data->n && code == 0; i++)
        code = put_setup_differences(data, i, page, err);
    put_compare_provenance(data, page);
    wg_page_end(page);
    return code < 0 ? code : wg_bytes_failed(page, err);
}

int wg_report_comparison(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err) {
    struct wg_figures figures = {0};
    int code = wg_figures_compare(&figures, data, err);
    if (code == 0)
        code = put_comparison_page(data, &figures, page, err);
    wg_figures_free(&figures);
    return code;
}
