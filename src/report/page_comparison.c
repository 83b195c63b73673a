/*
 * Writes the page of a comparison: which setup is better than the first, by how much, how certainly, and at what cost.
 */
#include "report/page_comparison.h"

#include "analysis/intervals.h"
#include "base/calendar.h"
#include "figures/figures.h"
#include "figures/label.h"
#include "report/forecast_facts.h"
#include "report/page_parts.h"
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

static const char *const difference_head[] = {"outcome", "mean difference", "95 % interval", "better than A in"};

static void put_difference_row(struct wg_bytes *page, enum wg_outcome_number outcome,
                               const struct wg_difference *difference) {
    const struct wg_outcome_label *const label = wg_outcome_label(outcome);
    char mean[WG_SHOWN_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE], between[2 * WG_SHOWN_SIZE + 8],
        chance[4 * WG_SHOWN_SIZE] = "-", text[64], n[WG_SHOWN_SIZE];
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
    const char *const cell[] = {label->kind == WG_VALUE_SHARE ? text : wg_diary_outcomes()[outcome].text, mean, between,
                                chance};
    wg_page_table_row(page, difference_head, cell, 4);
}

/* Writes the difference from A of every compared outcome of a setup. */
static int put_setup_differences(struct wg_comparison_data *data, int setup, struct wg_bytes *page,
                                 struct wg_error *err) {
    char caption[256];
    (void)snprintf(caption, sizeof caption, "%c %.160s, against A", 'A' + setup, wg_comparison_data_name(data, setup));
    wg_page_table_begin(page, caption, difference_head, 4);
    for (int c = 0; c < WG_N_COMPARED; c++) {
        const enum wg_outcome_number outcome = wg_compared_outcome((enum wg_compared)c);
        double *values;
        const int code = wg_comparison_data_outcome(data, outcome, &values, err);
        if (code < 0)
            return code;
        struct wg_difference difference =
            wg_difference(values, values + setup * data->in.replicates, data->in.replicates,
                          wg_compared_better((enum wg_compared)c), wg_diary_outcomes()[outcome].missing);
        free(values);
        if (c == WG_COMPARED_survived)
            difference.interval = wg_share_difference_interval(difference.worse, difference.better, data->in.replicates,
                                                               WG_COMPARE_CONFIDENCE);
        put_difference_row(page, outcome, &difference);
    }
    wg_page_table_end(page);
    return 0;
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

/* "B, TITLE: alive at the end in 95 %, ..." */
static int put_setup_survival(struct wg_comparison_data *data, struct wg_bytes *page, struct wg_error *err) {
    double *survived;
    const int code = wg_comparison_data_outcome(data, WG_OUTCOME_survived, &survived, err);
    for (int i = 0; i < data->n && code == 0; i++) {
        size_t hits = 0;
        for (int64_t k = 0; k < data->in.replicates; k++)
            hits += survived[i * data->in.replicates + k] > 0;
        const struct wg_interval interval = wg_wilson(hits, (size_t)data->in.replicates, WG_COMPARE_CONFIDENCE);
        char text[WG_SENTENCE_SIZE], low[WG_SHOWN_SIZE], high[WG_SHOWN_SIZE];
        wg_show_share(interval.low, low);
        wg_show_share(interval.high, high);
        (void)snprintf(text, sizeof text,
                       "%c, %.200s: alive at the end in %zu of %lld, a chance of %s to %s %% (95 %% interval).",
                       'A' + i, wg_comparison_data_name(data, i), hits, (long long)data->in.replicates, low, high);
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
