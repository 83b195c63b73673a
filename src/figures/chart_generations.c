/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the generations: a ridge for each, past the egg stage, mean over replicates; and below the effective number of
 * concurrent generations, exp(-sum p ln p) (Hill 1973, Ecology 54:427, order 1), by replicate: 2 for two equally large
 * generations, less if one is rare. The effective number of the mean would be larger, because replicates differ in
 * timing.
 */
#include "base/stats.h"
#include "figures/figure.h"
#include "plan/plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MIN_PEAK 0.5      /* judgement: generations whose mean never reaches half an individual are omitted */
#define LOWER_HEIGHT 96.0 /* height of the frame of concurrent generations */
#define GAP 34.0
#define NARROW_GAP 58.0  /* with the title of the frame below */
#define PEAK_WIDTH 118.0 /* of the numbers at the right of a narrow frame */
#define RISE 1.7         /* a ridge's height in ridge spacings: ridges overlap on purpose */
#define MIN_RIDGE 30.0   /* minimum height of a ridge, if many are close */
#define NAME_GAP 21.0    /* between two names: on a slide of many ridges only every second or third has one */
#define FLAT 0.004       /* of the peak: a third of a unit or less */
#define RIDGE_GAP 25.0   /* between two ridges of a page, which grows with their number */

/* table: columns 0..n_parts-1 the generations, then five of the concurrent generations; number[0]: their maximum,
 * number[1]: the mean over the last year, of the title */

static void draw_ridge(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int i,
                       double base, double height) {
    const int n = figure->table.n_rows;
    const double *const value = figure->table.column[i].value;
    const double peak = value[wg_table_peak(&figure->table, i)];
    double *const scratch = wg_canvas_scratch(canvas, 3 * (size_t)n);
    if (scratch == NULL)
        return;
    double *const x = scratch, *const low = scratch + n, *const high = low + n;
    wg_axes_xs(axes, n, 1, x);
    for (int row = 0; row < n; row++) {
        low[row] = base;
        high[row] = base - height * value[row] / peak;
    }
    wg_canvas_stroke(canvas, axes->left, base, axes->right, base, WG_STRONG_GRID, 1, WG_SOLID);
    wg_canvas_area(canvas, n, x, low, high, wg_with_alpha(figure->part[i].colour, 0.85));
    for (int row = 0; row < n; row++)
        if (value[row] < FLAT * peak)
            high[row] = (double)NAN; /* only the base line */
    wg_canvas_line(canvas, n, x, high, WG_TEXT_COLOUR, 1.6, WG_SOLID);
    free(scratch);
}

static void draw_ridges(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style name = {WG_FONT_TICK, true, WG_TEXT_COLOUR},
                               number = {WG_FONT_TICK, false, WG_TEXT_COLOUR};
    const double height = axes->bottom - axes->top, wanted_height = RISE * height / (figure->n_parts + RISE - 1);
    const double ridge = fmax(wanted_height, MIN_RIDGE);
    const double apart = figure->n_parts > 1 ? (height - ridge) / (figure->n_parts - 1) : height;
    const int named = (int)ceil(NAME_GAP / apart); /* every n-th ridge has a name */
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    char peak[96];
    wg_axes_dates(canvas, axes, false);
    for (int i = 0; i < figure->n_parts; i++) {
        const double base = axes->top + ridge + apart * i;
        draw_ridge(canvas, figure, axes, i, base, ridge);
        if (i % named != 0)
            continue;
        wg_canvas_text(canvas, axes->left - 9, base, WG_RIGHT, &name, figure->part[i].label);
        (void)snprintf(peak, sizeof peak, is_narrow ? "%.80s" : "peak %.80s", figure->part[i].more);
        wg_canvas_text(canvas, axes->right + 12, base, WG_LEFT, &number, peak);
    }
}

/* Draws the title's number over the year that it is the mean of. */
static void draw_mean_overlap(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style style = {WG_FONT_TICK, false, WG_TEXT_COLOUR};
    const double y = wg_axes_y(axes, figure->number[1]);
    char text[32];
    if (isnan(figure->number[1]))
        return;
    wg_canvas_stroke(canvas, wg_axes_x(axes, fmax(0, figure->n_days - 365)), y, axes->right, y, WG_VERMILION, 3,
                     WG_DASHED);
    (void)snprintf(text, sizeof text, "mean %.1f", figure->number[1]);
    wg_canvas_text(canvas, axes->right + 12, fmax(y + 7, axes->top + 62), WG_LEFT, &style, text);
}

static void draw_concurrent(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style name = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    const struct wg_figure_part part = {.colour = WG_BLUE, .column = figure->n_parts};
    wg_axes_dates(canvas, axes, true);
    wg_axes_values(canvas, axes, &(struct wg_axis_scale){"", 1, 0}, NULL);
    wg_figure_bands(canvas, figure, axes, &part, false);
    draw_mean_overlap(canvas, figure, axes);
    if (wg_canvas_is_narrow(canvas)) {
        wg_canvas_text(canvas, axes->left, axes->top - 12, WG_LEFT, &name, "generations at once");
        return;
    }
    wg_canvas_text(canvas, axes->right + 12, axes->top + 12, WG_LEFT, &name, "generations");
    wg_canvas_text(canvas, axes->right + 12, axes->top + 36, WG_LEFT, &name, "at once");
}

static void draw_generations(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const double top = wg_figure_draw_text(canvas, figure), bottom = wg_figure_free_to(canvas) - 58;
    const double gap = wg_canvas_is_narrow(canvas) ? NARROW_GAP : GAP;
    struct wg_axes ridges = wg_figure_axes(canvas, figure, top, bottom - LOWER_HEIGHT - gap, 0, 1);
    struct wg_axes below = wg_figure_axes(canvas, figure, bottom - LOWER_HEIGHT, bottom, 1, figure->number[0]);
    if (wg_canvas_is_narrow(canvas))
        ridges.right = below.right = WG_PHONE_W - PEAK_WIDTH;
    draw_ridges(canvas, figure, &ridges);
    draw_concurrent(canvas, figure, &below);
}

/* ---- numbers ---- */

static double mean_living(const struct wg_result_data *data, const double *mean, int day, int generation) {
    double n = 0;
    for (int stage = WG_EGG + 1; stage < WG_N_STAGES; stage++)
        n += mean[((int64_t)day * WG_N_STAGES + stage) * data->n_generations + generation];
    return n;
}

static double generation_peak(const struct wg_result_data *data, const double *mean, int generation) {
    double peak = 0;
    for (int day = 0; day < data->n_days; day++)
        peak = fmax(peak, mean_living(data, mean, day, generation));
    return peak;
}

static int add_generation(struct wg_figure *figure, const struct wg_result_data *data, const double *mean,
                          int generation, struct wg_error *err) {
    char name[WG_TABLE_NAME], shown[WG_LABEL_SIZE];
    (void)snprintf(name, sizeof name, "generation %d mean", generation);
    const int column = wg_table_add(&figure->table, name, "1", err);
    if (column < 0)
        return column;
    for (int day = 0; day < data->n_days; day++)
        figure->table.column[column].value[day] = mean_living(data, mean, day, generation);
    struct wg_figure_part *const part = &figure->part[figure->n_parts++];
    part->colour = wg_generation_colour(generation);
    (void)snprintf(part->label, sizeof part->label, generation == 0 ? "starter" : "%d", generation);
    wg_show_number(generation_peak(data, mean, generation), shown);
    (void)snprintf(part->more, sizeof part->more, "%.40s", shown);
    return 0;
}

static int add_concurrent(struct wg_figure *figure, struct wg_result_data *data, struct wg_error *err) {
    struct wg_result_series series;
    int code = wg_result_data_read(data, "generations_at_once", -1, &series, err);
    for (int64_t i = 0; code == 0 && i < series.replicates * series.n_days; i++)
        if (series.value[i] == 0)
            series.value[i] = (double)NAN; /* no animals alive */
    if (code == 0)
        code = wg_bands_add(&figure->table, "generations at once", "1", series.value, series.replicates, err);
    wg_result_series_free(&series);
    for (int row = 0; code >= 0 && row < figure->table.n_rows; row++)
        figure->number[0] = fmax(figure->number[0], figure->table.column[code + WG_Q95].value[row]);
    return code;
}

/* Adds the generations that are not negligible. */
static int add_generations(struct wg_figure *figure, struct wg_result_data *data, const double *mean,
                           struct wg_error *err) {
    int code = 0;
    for (int g = 0; g < data->n_generations && code >= 0; g++)
        if (generation_peak(data, mean, g) >= MIN_PEAK)
            code = add_generation(figure, data, mean, g, err);
    return code < 0 ? code : add_concurrent(figure, data, err);
}

/* Finds the median over replicates of the mean over the last year of the lower frame; NaN: no animals alive. */
static int find_overlap(struct wg_result_data *data, double *out, struct wg_error *err) {
    double *overlap;
    const int code = wg_result_data_outcome(data, WG_OUTCOME_overlap, &overlap, err);
    if (code < 0)
        return code;
    wg_sort(overlap, (size_t)data->in.replicates); /* NaN last */
    size_t with = 0;
    while (with < (size_t)data->in.replicates && !isnan(overlap[with]))
        with++;
    *out = with > 0 ? wg_quantile_sorted(overlap, with, 0.5) : (double)NAN;
    free(overlap);
    return 0;
}

#define HARDLY_OVERLAP 1.2 /* judgement: the rarer of two generations is then below 5 % */

static int describe_generations(struct wg_figure *figure, struct wg_result_data *data, struct wg_error *err) {
    double overlap;
    const int code = find_overlap(data, &overlap, err);
    if (code < 0)
        return code;
    const bool is_single = data->in.replicates == 1;
    char number[WG_LABEL_SIZE], of[WG_LABEL_SIZE + 16] = "One replicate", median[WG_LABEL_SIZE];
    wg_show_whole(data->in.replicates, number);
    wg_label_median(data->in.replicates, data->n_days, median);
    if (!is_single)
        (void)snprintf(of, sizeof of, "Mean of all %.40s", number);
    if (isnan(overlap))
        (void)snprintf(figure->title, sizeof figure->title, "In the last year no animals live past the egg stage");
    else
        (void)snprintf(figure->title, sizeof figure->title, "Generations %s: %.1f at a time, on average%s",
                       overlap < HARDLY_OVERLAP ? "hardly overlap" : "overlap", overlap,
                       data->n_days > 365 ? " over the last year" : "");
    (void)snprintf(
        figure->note, sizeof figure->note,
        "%.60s, without eggs; each ridge is scaled to its peak, given at its right. Below: generations alive "
        "at once, rare ones weighted less (1: all are of one generation). Line: %s; dashed: the title's mean.%s%s",
        of, median, is_single ? "" : " Dark band: the middle half. Light band: 9 in 10.",
        data->n_generations >= WG_GENERATION_NUMBERS ? " After 63, numbers start at 0 again." : "");
    figure->number[0] = fmax(2, ceil(figure->number[0]));
    figure->number[1] = overlap;
    return 0;
}

int wg_chart_generations(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    double *mean = NULL;
    int code = wg_result_data_generations(data, &mean, err);
    if (code < 0)
        return code;
    struct wg_figure *const figure = wg_figures_add(figures, data, "generations", err);
    code = figure == NULL ? WG_ERR_MEMORY : wg_table_begin_dates(&figure->table, data->first_day, 1, data->n_days, err);
    if (code == 0)
        code = add_generations(figure, data, mean, err);
    free(mean);
    if (code < 0)
        return code;
    if (figure->n_parts == 0) {
        wg_figures_drop(figures);
        return 0;
    }
    figure->narrow_height = fmax(700, 300 + RIDGE_GAP * figure->n_parts);
    figure->wide_height = fmax(WG_PAGE_H, 250 + RIDGE_GAP * figure->n_parts);
    figure->draw = draw_generations;
    return describe_generations(figure, data, err);
}
