/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the stages as stacked areas: the mean over replicates, and below it one replicate, to show how much a single
 * course differs from the smooth mean.
 */
#include "base/stats.h"
#include "figures/figure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GAP 52.0
#define NAME_GAP 26.0

/* table: columns 0..6 the mean of each stage, 7..13 one replicate; number[0]: axis maximum, number[1]: the replicate,
 * number[2]: 1 for a single replicate, which gets the only frame */

/*
 * Draws the layers, the uppermost first, each down to the axis, so that the next covers what is below it: one curve for
 * each layer. Stores the centre of each layer on the last day in `middle`.
 */
static void draw_layers(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int first,
                        double *middle) {
    const int n = figure->table.n_rows;
    double *const x = wg_canvas_scratch(canvas, (WG_N_STAGES + 2) * (size_t)n);
    if (x == NULL)
        return;
    double *const bottom = x + n; /* then the tops of the layers */
    wg_axes_xs(axes, n, 1, x);
    for (int i = 0; i < n; i++)
        bottom[i] = axes->bottom;
    for (int stage = 0; stage < WG_N_STAGES; stage++) {
        const double *const value = figure->table.column[first + stage].value;
        double *const low = bottom + (size_t)stage * (size_t)n, *const high = low + n;
        for (int i = 0; i < n; i++)
            high[i] = low[i] - (axes->bottom - wg_axes_y(axes, value[i]));
        middle[stage] = (low[n - 1] + high[n - 1]) / 2;
    }
    for (int stage = WG_N_STAGES - 1; stage >= 0; stage--) {
        const double *const high = bottom + (size_t)(stage + 1) * (size_t)n;
        wg_canvas_area(canvas, n, x, bottom, high, wg_stage_colour(stage));
        wg_canvas_line(canvas, n, x, high, WG_BLACK, 0.8, WG_SOLID);
    }
    free(x);
}

/* Draws the names at the right in the order of the layers, each with a leader line. */
static void draw_stage_names(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                             const double *middle) {
    double y[WG_N_STAGES];
    for (int i = 0; i < WG_N_STAGES; i++)
        y[i] = middle[i] - 0.01 * i; /* layers without height keep their order */
    wg_axes_spread(WG_N_STAGES, y, NAME_GAP, axes->top - 30, axes->bottom + 8);
    for (int i = 0; i < WG_N_STAGES; i++) {
        wg_canvas_stroke(canvas, axes->right + 1, middle[i], axes->right + 18, y[i], WG_STRONG_GRID, 1, WG_SOLID);
        wg_figure_label(canvas, &figure->part[i], axes->right + 15, y[i], true);
    }
}

static void draw_frame(struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom, int first,
                       const char *heading) {
    const struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, figure->number[0]);
    const struct wg_text_style style = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    double middle[WG_N_STAGES] = {0};
    wg_axes_dates(canvas, &axes, first > 0);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
    draw_layers(canvas, figure, &axes, first, middle);
    wg_canvas_text(canvas, axes.left, top - 9, WG_LEFT, &style, heading);
    if (!wg_canvas_is_narrow(canvas))
        draw_stage_names(canvas, figure, &axes, middle);
}

static void draw_stack(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const int key_rows = (WG_N_STAGES + 1) / 2;
    const double end = wg_figure_free_to(canvas) - (is_narrow ? key_rows * WG_KEY_LINE + 10 : 0);
    const double top = wg_figure_draw_text(canvas, figure) + 36, bottom = end - 58;
    const bool is_single = figure->number[2] > 0;
    const double height = is_single ? bottom - top : (bottom - top - GAP) / 2;
    char heading[64];
    if (!is_single)
        draw_frame(canvas, figure, top, top + height, 0, "mean of all");
    (void)snprintf(heading, sizeof heading, "one example: replicate %.0f", figure->number[1]);
    draw_frame(canvas, figure, bottom - height, bottom, WG_N_STAGES, is_single ? "" : heading);
    if (is_narrow)
        wg_figure_key(canvas, figure, 2, end + WG_KEY_LINE / 2, true);
}

/* Finds the first of the replicates whose crawl-off is nearest to the median. */
static int find_typical(struct wg_result_data *data, int64_t peak_total, int64_t *out, struct wg_error *err) {
    double *crawl_off, *sorted = calloc((size_t)data->in.replicates, sizeof *sorted);
    if (sorted == NULL)
        return wg_no_memory(err, NULL);
    const int code = wg_result_data_outcome(data, WG_OUTCOME_total_crawl_off_mass, &crawl_off, err);
    if (code == 0) {
        memcpy(sorted, crawl_off, (size_t)data->in.replicates * sizeof *sorted);
        wg_sort(sorted, (size_t)data->in.replicates);
        const double median = wg_quantile_sorted(sorted, (size_t)data->in.replicates, 0.5);
        *out = 0;
        for (int64_t i = 1; i < peak_total; i++)
            if (fabs(crawl_off[i] - median) < fabs(crawl_off[*out] - median))
                *out = i;
        free(crawl_off);
    }
    free(sorted);
    return code;
}

static int add_stage(struct wg_figure *figure, struct wg_result_data *data, int stage, struct wg_error *err) {
    struct wg_result_series series;
    int code = wg_result_data_read(data, "count", stage, &series, err);
    if (code == 0 && stage == 0) {
        int64_t typical = 0;
        code = find_typical(data, series.replicates, &typical, err);
        figure->number[1] = (double)typical;
    }
    for (int row = 0; row < data->n_days && code == 0; row++) {
        struct wg_sum sum = {0};
        for (int64_t i = 0; i < series.replicates; i++)
            wg_sum_add(&sum, series.value[i * data->n_days + row]);
        figure->table.column[stage].value[row] = wg_sum_total(&sum) / (double)series.replicates;
        figure->table.column[WG_N_STAGES + stage].value[row] =
            series.value[(int64_t)figure->number[1] * data->n_days + row];
    }
    wg_result_series_free(&series);
    return code;
}

static const char *const plural[WG_N_STAGES] = {"eggs", "larvae", "prepupae", "dormant", "pupae", "females", "males"};

static int add_stage_columns(struct wg_figure *figure, struct wg_error *err) {
    char name[WG_TABLE_NAME];
    for (int i = 0; i < 2 * WG_N_STAGES; i++) {
        const int stage = i % WG_N_STAGES;
        (void)snprintf(name, sizeof name, "%s %s", wg_stage_name((enum wg_stage)stage),
                       i < WG_N_STAGES ? "mean" : "one replicate");
        const int code = wg_table_add(&figure->table, name, "1", err);
        if (code < 0)
            return code;
        struct wg_figure_part *const part = &figure->part[stage];
        part->colour = wg_stage_colour(stage);
        (void)snprintf(part->label, sizeof part->label, "%s", plural[stage]);
    }
    figure->n_parts = WG_N_STAGES;
    return 0;
}

static double total_on(const struct wg_figure *figure, int first, int row) {
    double total = 0;
    for (int stage = 0; stage < WG_N_STAGES; stage++)
        total += figure->table.column[first + stage].value[row];
    return total;
}

static int stack_peak_row(const struct wg_figure *figure, int first) {
    int peak = 0;
    for (int row = 1; row < figure->table.n_rows; row++)
        if (total_on(figure, first, row) > total_on(figure, first, peak))
            peak = row;
    return peak;
}

static void describe_stack(struct wg_figure *figure, const struct wg_result_data *data) {
    const int peak = stack_peak_row(figure, 0), own = stack_peak_row(figure, WG_N_STAGES);
    const double peak_total = total_on(figure, 0, peak), own_most = total_on(figure, WG_N_STAGES, own);
    const char *const noun = wg_label_noun(data->n_days);
    char date[WG_LABEL_SIZE], number[WG_LABEL_SIZE], own_date[WG_LABEL_SIZE], below[128] = "";
    wg_label_date(data->first_day, peak, date);
    wg_label_date(data->first_day, own, own_date);
    wg_show_number(peak_total, number);
    figure->number[2] = data->in.replicates == 1;
    if (data->in.replicates == 1) {
        (void)snprintf(figure->title, sizeof figure->title, "The colony is largest on %s: %s, all stages together",
                       date, number);
    } else {
        (void)snprintf(figure->title, sizeof figure->title,
                       "The colony (all stages) is largest about %s on average, on %s in the %.*s below", date,
                       own_date, (int)strlen(noun) - 1, noun);
        wg_show_whole(data->in.replicates, number);
        (void)snprintf(below, sizeof below, " Below: of all %.40s, the one whose crawl-off is nearest to the median.",
                       number);
    }
    (void)snprintf(figure->note, sizeof figure->note,
                   "Number alive each day, stages stacked. Dormant: dormant prepupae.%s", below);
    figure->number[0] = wg_axes_round_up(fmax(peak_total, own_most));
}

int wg_chart_stack(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add(figures, data, "stack", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin_dates(&figure->table, data->first_day, 1, data->n_days, err);
    if (code == 0)
        code = add_stage_columns(figure, err);
    for (int stage = 0; stage < WG_N_STAGES && code == 0; stage++)
        code = add_stage(figure, data, stage, err);
    if (code < 0)
        return code;
    describe_stack(figure, data);
    figure->narrow_height = 780;
    figure->draw = draw_stack;
    return 0;
}
