/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the crawl-off by week: the median over replicates as a bar, the 50 % and 90 % intervals as lines. Weeks count
 * from the first day; if there are too many, a bar covers several.
 */
#include "figures/figure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAX_BARS 106 /* judgement: thinner bars are illegible */

/* Bars, their medians, and the two intervals: all bars of a kind before the next, which keeps the SVG small. */
enum bar_part { BAR_BODY, BAR_MEDIAN, BAR_ALL, BAR_MIDDLE, N_BAR_PARTS };

static void draw_bar(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int row,
                     enum bar_part part) {
    const int remaining = figure->n_days - row * figure->step;
    const double days = remaining < figure->step ? remaining : figure->step;
    const double x0 = wg_axes_x(axes, row * figure->step), x1 = wg_axes_x(axes, row * figure->step + days);
    const double half = (x1 - x0) / 2, low = x0 + 0.1 * half, high = x1 - 0.1 * half;
    double y[WG_N_BANDS];
    for (int band = 0; band < WG_N_BANDS; band++)
        y[band] = wg_axes_y(axes, wg_bands_of(&figure->table, 0, (enum wg_band)band)[row]);
    if (y[WG_Q95] >= axes->bottom || 2 * days < figure->step)
        return; /* no crawl-off, or a stub of a bar that would look like little crawl-off */
    if (part == BAR_BODY)
        wg_canvas_box(canvas, low, y[WG_Q50], high, axes->bottom, wg_stage_colour(WG_LARVA));
    else if (part == BAR_MEDIAN)
        wg_canvas_stroke(canvas, low, y[WG_Q50], high, y[WG_Q50], WG_BLACK, 2.5, WG_SOLID);
    else if (part == BAR_ALL)
        wg_canvas_stroke(canvas, x0 + half, y[WG_Q05], x0 + half, y[WG_Q95], WG_BLACK, 1.5, WG_SOLID);
    else
        wg_canvas_box(canvas, x0 + 0.8 * half, y[WG_Q75], x0 + 1.2 * half, y[WG_Q25], WG_BLACK);
}

static void draw_crawl_off(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_draw_text(canvas, figure) + 30, bottom = wg_figure_free_to(canvas) - 58;
    struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, figure->number[0]);
    axes.right = wg_canvas_sheet(canvas)->width - (wg_canvas_is_narrow(canvas) ? 76 : 100);
    axes.has_width = true;
    wg_axes_dates(canvas, &axes, true);
    wg_axes_masses(canvas, &axes);
    for (int part = 0; part < N_BAR_PARTS; part++)
        for (int row = 0; row < figure->table.n_rows; row++)
            draw_bar(canvas, figure, &axes, row, (enum bar_part)part);
}

/* ---- numbers ---- */

/* Returns sums over `step` days, [replicate][row]; NULL: no memory. */
static double *sum_weeks(const struct wg_result_series *series, int step, int n_rows) {
    double *const sums = calloc((size_t)series->replicates * (size_t)n_rows + 1, sizeof *sums);
    if (sums == NULL)
        return NULL;
    for (int64_t i = 0; i < series->replicates; i++)
        for (int day = 0; day < series->n_days; day++)
            sums[i * n_rows + day / step] += series->value[i * series->n_days + day];
    return sums;
}

static int add_bars(struct wg_figure *figure, struct wg_result_data *data, struct wg_error *err) {
    struct wg_result_series series;
    struct wg_animal_order order = {0};
    int code = wg_result_data_read(data, "crawl_off_mass", -1, &series, err);
    if (code == 0)
        code = wg_animal_order_read(&order, data, err);
    if (code == 0) {
        double *const sums = sum_weeks(&series, figure->step, figure->table.n_rows);
        const int first = sums != NULL ? wg_bands_add(&figure->table, "crawl-off", "kg", sums, series.replicates, err)
                                       : wg_no_memory(err, NULL);
        code = first < 0 ? first : wg_bands_use_animals(&figure->table, first, "crawl-off", sums, &order, err);
        free(sums);
    }
    figure->has_animals = order.replicate != NULL;
    wg_animal_order_free(&order);
    wg_result_series_free(&series);
    return code;
}

static void describe_crawl_off(struct wg_figure *figure, const struct wg_result_data *data) {
    const char *const noun = wg_label_noun(data->n_days);
    const int peak = wg_table_peak(&figure->table, WG_Q50), weeks = figure->step / 7;
    const int remaining = data->n_days % figure->step;
    char date[WG_LABEL_SIZE], median_mass[WG_LABEL_SIZE], range[WG_LABEL_SIZE], median[WG_LABEL_SIZE],
        span[40] = "week", last_bar[64] = "";
    wg_label_median(data->in.replicates, data->n_days, median);
    if (2 * remaining >= figure->step)
        (void)snprintf(last_bar, sizeof last_bar, " The last bar covers %d days.", remaining);
    else if (remaining == 1)
        (void)snprintf(last_bar, sizeof last_bar, " The last day has no bar.");
    else if (remaining > 0)
        (void)snprintf(last_bar, sizeof last_bar, " The last %d days have no bar.", remaining);
    if (weeks > 1)
        (void)snprintf(span, sizeof span, "%d weeks", weeks);
    wg_label_date(data->first_day, peak * figure->step, date);
    wg_show_mass(figure->table.column[WG_Q50].value[peak], median_mass);
    wg_show_mass_range(figure->table.column[WG_Q05].value[peak], figure->table.column[WG_Q95].value[peak], range);
    if (figure->table.column[WG_Q50].value[peak] > 0 && data->in.replicates == 1)
        (void)snprintf(figure->title, sizeof figure->title, "Crawl-off peaks in the %s from %s: %s", span, date,
                       median_mass);
    else if (figure->table.column[WG_Q50].value[peak] > 0)
        (void)snprintf(figure->title, sizeof figure->title,
                       "Crawl-off peaks in the %s from %s: median %s, %s in 9 %s in 10", span, date, median_mass, range,
                       noun);
    else
        (void)snprintf(figure->title, sizeof figure->title, "No %s has any crawl-off in half of the %s", span, noun);
    (void)snprintf(figure->note, sizeof figure->note,
                   "Fresh weight of prepupae that leave the bins, by %s, over all %s: one whose colony has died counts "
                   "as nothing, and the work week by week leaves it out. Bar: %s.%s%s",
                   span, noun, median,
                   figure->has_animals
                       ? " Thick line: the middle year of 9 animals in 10, which is what nobody "
                         "knows about the animal. Thin line: 9 in 10 of all years, with weather and luck."
                   : data->in.replicates > 1 ? " Thick line: the middle half of them. Thin line: 9 in 10."
                                             : "",
                   last_bar);
}

int wg_chart_crawl_off(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add(figures, data, "crawl-off", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    const int n_weeks = (data->n_days + 6) / 7;
    figure->step = 7 * ((n_weeks + MAX_BARS - 1) / MAX_BARS);
    const int n_rows = (data->n_days + figure->step - 1) / figure->step;
    int code = wg_table_begin_dates(&figure->table, data->first_day, figure->step, n_rows, err);
    if (code == 0)
        code = add_bars(figure, data, err);
    if (code < 0)
        return code;
    (void)snprintf(figure->table.rows_are, sizeof figure->table.rows_are, "from");
    double largest = 0;
    for (int row = 0; row < n_rows; row++)
        largest = fmax(largest, figure->table.column[WG_Q95].value[row]);
    figure->number[0] = wg_axes_round_up(largest);
    describe_crawl_off(figure, data);
    figure->narrow_height = 560;
    figure->draw = draw_crawl_off;
    return 0;
}
