/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the number alive in each stage at the end of each day: a frame per stage, all on the same scale, quantiles over
 * replicates.
 */
#include "base/stats.h"
#include "figures/figure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GAP 21.0             /* keeps the 0 of a frame clear of the top label of the next */
#define HEADING 34.0         /* height of a frame's heading on a narrow sheet */
#define LOG_SCALE_FROM 300.0 /* judgement: larger numbers get a log scale */

struct group {
    const char *name;
    int n, stage[2];
};
static const struct group groups[] = {{"eggs", 1, {WG_EGG}},         {"larvae", 1, {WG_LARVA}},
                                      {"prepupae", 1, {WG_PREPUPA}}, {"dormant", 1, {WG_DORMANT}},
                                      {"pupae", 1, {WG_PUPA}},       {"flies", 2, {WG_FEMALE, WG_MALE}}};
enum { N_GROUPS = sizeof groups / sizeof *groups };

static void draw_stages(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const double above = is_narrow ? HEADING : 0;
    const double top = wg_figure_draw_text(canvas, figure), bottom = wg_figure_free_to(canvas) - 58;
    const double height = (bottom - top + GAP) / N_GROUPS;
    for (int i = 0; i < figure->n_parts; i++) {
        const double from = top + i * height;
        struct wg_axes axes = wg_figure_axes(canvas, figure, from + above, from + height - GAP, 0, figure->number[0]);
        axes.is_log = figure->number[0] >= LOG_SCALE_FROM;
        wg_axes_dates(canvas, &axes, i == figure->n_parts - 1);
        wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
        wg_figure_bands(canvas, figure, &axes, &figure->part[i], false);
        if (is_narrow)
            wg_figure_heading(canvas, &figure->part[i], axes.left, axes.right, from + HEADING / 2, true);
        else
            wg_figure_label(canvas, &figure->part[i], axes.right + 10, from + height / 2 - 18, true);
    }
}

/* Sums a group's stages into series->value. */
static int read_group(struct wg_result_data *data, const struct group *group, struct wg_result_series *series,
                      struct wg_error *err) {
    int code = wg_result_data_read(data, "count", group->stage[0], series, err);
    if (code < 0 || group->n == 1)
        return code;
    struct wg_result_series other;
    code = wg_result_data_read(data, "count", group->stage[1], &other, err);
    for (int64_t i = 0; code == 0 && i < series->replicates * series->n_days; i++)
        series->value[i] += other.value[i];
    wg_result_series_free(&other);
    return code;
}

/* Returns the median over replicates of each one's peak, as the outcome peak_larvae counts it; NaN: no memory. */
static double median_peak(const struct wg_result_series *series) {
    double *const peak = calloc((size_t)series->replicates, sizeof *peak);
    if (peak == NULL)
        return (double)NAN;
    for (int64_t i = 0; i < series->replicates; i++)
        for (int day = 0; day < series->n_days; day++)
            peak[i] = fmax(peak[i], series->value[i * series->n_days + day]);
    wg_sort(peak, (size_t)series->replicates);
    const double median = wg_quantile_sorted(peak, (size_t)series->replicates, 0.5);
    free(peak);
    return median;
}

static int add_group(struct wg_figure *figure, struct wg_result_data *data, const struct group *group,
                     const struct wg_animal_order *order, struct wg_error *err) {
    struct wg_result_series series;
    int code = read_group(data, group, &series, err);
    int column =
        code == 0 ? wg_bands_add(&figure->table, group->name, "1", series.value, series.replicates, err) : code;
    if (column >= 0)
        code = wg_bands_use_animals(&figure->table, column, group->name, series.value, order, err);
    column = code < 0 ? code : column;
    const double peak = column >= 0 ? median_peak(&series) : 0;
    wg_result_series_free(&series);
    if (column < 0)
        return column;
    if (isnan(peak))
        return wg_no_memory(err, NULL);
    struct wg_figure_part *const part = &figure->part[figure->n_parts++];
    char shown[WG_LABEL_SIZE];
    part->column = column;
    part->colour = wg_stage_colour(group->stage[0]);
    (void)snprintf(part->label, sizeof part->label, "%s", group->name);
    wg_show_number(peak, shown);
    (void)snprintf(part->more, sizeof part->more, "peak %.40s", shown);
    for (int row = 0; row < figure->table.n_rows; row++)
        figure->number[0] = fmax(figure->number[0], figure->table.column[column + WG_Q95].value[row]);
    return 0;
}

/* Finds the median and the 90 % interval of an outcome; NaN if it never happens. */
static int outcome_quantiles(struct wg_result_data *data, enum wg_outcome_number outcome, double found[3],
                             struct wg_error *err) {
    static const double share[3] = {0.5, 0.05, 0.95};
    double *values;
    const int code = wg_result_data_outcome(data, outcome, &values, err);
    if (code < 0)
        return code;
    wg_sort(values, (size_t)data->in.replicates); /* NaN last */
    size_t n = 0;
    while (n < (size_t)data->in.replicates && !isnan(values[n]))
        n++;
    for (int i = 0; i < 3; i++)
        found[i] = n > 0 ? wg_quantile_sorted(values, n, share[i]) : (double)NAN;
    free(values);
    return 0;
}

/* The same numbers as the forecast's row "Most larvae". */
static int describe_stages(struct wg_figure *figure, struct wg_result_data *data, struct wg_error *err) {
    const char *const noun = wg_label_noun(data->n_days);
    double peak[3], day[3];
    int code = outcome_quantiles(data, WG_OUTCOME_peak_larvae, peak, err);
    if (code == 0)
        code = outcome_quantiles(data, WG_OUTCOME_peak_larvae_day, day, err);
    if (code < 0)
        return code;
    char number[WG_LABEL_SIZE], range[WG_LABEL_SIZE], date[WG_LABEL_SIZE] = "", median[WG_LABEL_SIZE];
    wg_label_median(data->in.replicates, data->n_days, median);
    wg_show_number(peak[0], number);
    wg_show_range(peak[1], peak[2], "", range);
    if (!isnan(day[0]))
        wg_label_date(data->first_day, day[0], date);
    if (peak[0] > 0 && data->in.replicates == 1)
        (void)snprintf(figure->title, sizeof figure->title, "Peak number of larvae: %s, on %s", number, date);
    else if (peak[0] > 0)
        (void)snprintf(figure->title, sizeof figure->title, "Peak number of larvae: %s, about %s (%s in 9 %s in 10)",
                       number, date, range, noun);
    else
        (void)snprintf(figure->title, sizeof figure->title, "Half of the %s never have larvae", noun);
    (void)snprintf(figure->note, sizeof figure->note,
                   "Number alive each day. Dormant: prepupae asleep for the winter. Line: %s.%s%s", median,
                   figure->has_animals
                       ? " Dark band: the middle year of 9 animals in 10, which is what nobody knows about the animal. "
                         "Light band: 9 in 10 of all years, with weather and luck. Right: the median peak."
                   : data->in.replicates > 1
                       ? " Dark band: the middle half of them. Light band: 9 in 10. Right: the median "
                         "peak, above the line because the peaks differ in timing."
                       : "",
                   figure->number[0] >= LOG_SCALE_FROM ? " Logarithmic scale; the lowest line is 0." : "");
    return 0;
}

int wg_chart_stages(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add(figures, data, "stages", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin_dates(&figure->table, data->first_day, 1, data->n_days, err);
    struct wg_animal_order order = {0};
    if (code == 0)
        code = wg_animal_order_read(&order, data, err);
    for (int i = 0; i < N_GROUPS && code == 0; i++)
        code = add_group(figure, data, &groups[i], &order, err);
    figure->has_animals = order.replicate != NULL;
    wg_animal_order_free(&order);
    if (code < 0)
        return code;
    if (figure->number[0] < 1)
        figure->number[0] = 1;
    figure->narrow_height = 920;
    figure->wide_height = 680;
    figure->draw = draw_stages;
    return describe_stages(figure, data, err);
}
