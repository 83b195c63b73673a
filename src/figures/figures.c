/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes the figures of a result and lays out their pages.
 */
#include "base/calendar.h"
#include "figures/figure.h"
#include "text/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LEFT 112.0   /* space for labels such as "1 million" */
#define RIGHT 1064.0 /* labels are at the right of it */
#define MARGIN 40.0
#define NARROW_LEFT 104.0
#define NARROW_MARGIN 14.0

/* ---- the list ---- */

struct wg_figure *wg_figures_add_of(struct wg_figures *figures, const struct wg_run_facts *in, const char *title,
                                    int n_days, const char *name, struct wg_error *err) {
    struct wg_figure *const grown = realloc(figures->figure, (figures->n + 1) * sizeof *grown);
    if (grown == NULL) {
        (void)wg_no_memory(err, NULL);
        return NULL;
    }
    figures->figure = grown;
    struct wg_figure *const figure = &grown[figures->n++];
    memset(figure, 0, sizeof *figure);
    (void)snprintf(figure->name, sizeof figure->name, "%s", name);
    char futures[WG_LABEL_SIZE];
    wg_label_futures(in->replicates, n_days, futures);
    (void)snprintf(figure->foot, sizeof figure->foot, "%.150s | %s, seed %llu | %.100s", title, futures,
                   (unsigned long long)in->seed, in->source);
    (void)snprintf(figure->date, sizeof figure->date, "%.31s", in->started);
    figure->step = 1;
    return figure;
}

struct wg_figure *wg_figures_add(struct wg_figures *figures, const struct wg_result_data *data, const char *name,
                                 struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add_of(figures, &data->in, data->in.title, data->n_days, name, err);
    if (figure != NULL) {
        figure->first_day = data->first_day;
        figure->n_days = data->n_days;
    }
    return figure;
}

void wg_figures_drop(struct wg_figures *figures) {
    wg_table_free(&figures->figure[--figures->n].table);
}

void wg_figures_free(struct wg_figures *figures) {
    while (figures->n > 0)
        wg_figures_drop(figures);
    free(figures->figure);
    memset(figures, 0, sizeof *figures);
}

int wg_figures_make(struct wg_figures *figures, struct wg_result_data *data, struct wg_error *err) {
    static int (*const chart[])(struct wg_figures *, struct wg_result_data *, struct wg_error *) = {
        wg_chart_stages,       wg_chart_winter,    wg_chart_stack, wg_chart_generations,
        wg_chart_temperatures, wg_chart_crawl_off, wg_chart_spring};
    int code = 0;
    for (size_t i = 0; i < sizeof chart / sizeof *chart && code == 0; i++)
        code = chart[i](figures, data, err);
    return code;
}

const char *const *wg_figures_series(void) {
    static const char *const name[] = {"count",
                                       "generations_at_once",
                                       "crawl_off_mass",
                                       "adults_emerged",
                                       "spring_flies",
                                       "outdoor_temperature",
                                       "air_temperature",
                                       "ground_temperature",
                                       "bin_temperature",
                                       "heater_energy",
                                       NULL};
    return name;
}

const struct wg_figure *wg_figures_get(const struct wg_figures *figures, size_t i) {
    wg_assert(i < figures->n);
    return &figures->figure[i];
}

const char *wg_figure_name(const struct wg_figure *figure) {
    return figure->name;
}

const char *wg_figure_title(const struct wg_figure *figure) {
    return figure->title;
}

const char *wg_figure_note(const struct wg_figure *figure) {
    return figure->note;
}

/* ---- the common layout ---- */

double wg_figure_draw_text(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const struct wg_text_style large = {WG_FONT_TITLE, true, WG_TEXT_COLOUR};
    const struct wg_sheet *const sheet = wg_canvas_sheet(canvas);
    const double width = sheet->width - 2 * MARGIN;
    if (!sheet->has_words)
        return 16;
    struct wg_text_style title = wg_canvas_fit_text(canvas, large, WG_FONT_MIN_TITLE, width, 1, figure->title);
    if (wg_canvas_text_width(canvas, &title, figure->title) > width)
        title = wg_canvas_fit_text(canvas, large, WG_FONT_LONG_TITLE, width, 2, figure->title);
    const struct wg_text_style note = wg_canvas_fit_text(
        canvas, (struct wg_text_style){WG_FONT_NOTE, false, WG_TEXT_COLOUR}, WG_FONT_FOOT, width, 2, figure->note);
    const struct wg_text_style foot =
        wg_canvas_fit_text(canvas, (struct wg_text_style){WG_FONT_FOOT, false, WG_SMALL_TEXT_COLOUR}, WG_FONT_MIN_FOOT,
                           width, 1, figure->foot);
    double y = wg_canvas_paragraph(canvas, MARGIN, 46, width, 2, &title, figure->title);
    y = wg_canvas_paragraph(canvas, MARGIN, y - 5, width, 2, &note, figure->note);
    (void)wg_canvas_paragraph(canvas, MARGIN, sheet->height - 12, width, 1, &foot, figure->foot);
    return y - 12;
}

double wg_figure_free_to(const struct wg_canvas *canvas) {
    const struct wg_sheet *const sheet = wg_canvas_sheet(canvas);
    return sheet->height - (sheet->has_words ? 38 : 0);
}

struct wg_axes wg_figure_axes(const struct wg_canvas *canvas, const struct wg_figure *figure, double top, double bottom,
                              double low, double high) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    return (struct wg_axes){.left = is_narrow ? NARROW_LEFT : LEFT,
                            .right = is_narrow ? WG_PHONE_W - NARROW_MARGIN : RIGHT,
                            .top = top,
                            .bottom = bottom,
                            .low = low,
                            .high = high,
                            .first_day = figure->first_day,
                            .n_days = figure->n_days};
}

/* A part alone in its frame gets two bands in its full colour; parts that share a frame get one transparent band. */
void wg_figure_bands(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                     const struct wg_figure_part *part, bool is_shared) {
    const int n_rows = figure->table.n_rows;
    const size_t n = (size_t)n_rows;
    double *const x = wg_canvas_scratch(canvas, 6 * n);
    if (x == NULL)
        return;
    wg_axes_xs(axes, n_rows, figure->step, x);
    for (int band = 0; band < WG_N_BANDS; band++)
        wg_axes_ys(axes, n_rows, wg_bands_of(&figure->table, part->column, (enum wg_band)band),
                   x + (size_t)(1 + band) * n);
    const double *const y = x + n;
    if (is_shared) {
        wg_canvas_area(canvas, n_rows, x, y + WG_Q05 * n, y + WG_Q95 * n, wg_with_alpha(part->colour, 0.25));
        wg_canvas_line(canvas, n_rows, x, y + WG_Q50 * n, part->colour, 3.5, part->pattern);
    } else {
        wg_canvas_area(canvas, n_rows, x, y + WG_Q05 * n, y + WG_Q95 * n, wg_tint(part->colour, 0.4));
        wg_canvas_area(canvas, n_rows, x, y + WG_Q25 * n, y + WG_Q75 * n, part->colour);
        wg_canvas_line(canvas, n_rows, x, y + WG_Q50 * n, WG_BLACK, 2.5, WG_SOLID);
    }
    free(x);
}

void wg_figure_median(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                      const struct wg_figure_part *part) {
    const int n = figure->table.n_rows;
    double *const x = wg_canvas_scratch(canvas, 2 * (size_t)n);
    if (x == NULL)
        return;
    wg_axes_xs(axes, n, figure->step, x);
    wg_axes_ys(axes, n, wg_bands_of(&figure->table, part->column, WG_Q50), x + n);
    wg_canvas_line(canvas, n, x, x + n, part->colour, 3.5, part->pattern);
    free(x);
}

/* Widths, with the gap to the name: a patch, and a line long enough for one period of its pattern. */
#define PATCH 34.0
#define SAMPLE 46.0
#define SAMPLE_WIDTH 3.5 /* as the line in the frame */

static void draw_sample(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y,
                        bool is_patch) {
    if (is_patch) {
        wg_canvas_box(canvas, x + 4, y - 9, x + 26, y + 9, WG_TEXT_COLOUR);
        wg_canvas_box(canvas, x + 5, y - 8, x + 25, y + 8, part->colour);
    } else {
        wg_canvas_stroke(canvas, x, y, x + SAMPLE - 6, y, part->colour, SAMPLE_WIDTH, part->pattern);
    }
}

/* Draws a name in a font size that fits beside its sample. */
static void draw_key_name(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y,
                          double width) {
    const struct wg_text_style large = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    const struct wg_text_style name = wg_canvas_fit_text(canvas, large, WG_FONT_MIN_LABEL, width, 1, part->label);
    const bool fits = part->brief[0] == '\0' || wg_canvas_text_width(canvas, &name, part->label) <= width;
    wg_canvas_name(canvas, x, y, width, &name, fits ? part->label : part->brief);
}

void wg_figure_label(struct wg_canvas *canvas, const struct wg_figure_part *part, double x, double y, bool is_patch) {
    const struct wg_text_style more = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const double from = x + (is_patch ? PATCH : SAMPLE), width = wg_canvas_sheet(canvas)->width - 8 - from;
    draw_sample(canvas, part, x, y, is_patch);
    draw_key_name(canvas, part, from, y + 7, width);
    if (part->more[0] != '\0')
        (void)wg_canvas_paragraph(canvas, from, y + 29, width, 1, &more, part->more);
}

void wg_figure_heading(struct wg_canvas *canvas, const struct wg_figure_part *part, double x0, double x1, double y,
                       bool is_patch) {
    const struct wg_text_style more = {WG_FONT_TICK, false, WG_TEXT_COLOUR};
    const double from = x0 + (is_patch ? PATCH : SAMPLE);
    const double taken = part->more[0] != '\0' ? 12 + wg_canvas_text_width(canvas, &more, part->more) : 0;
    draw_sample(canvas, part, x0, y, is_patch);
    draw_key_name(canvas, part, from, y + 7, x1 - from - taken);
    wg_canvas_text(canvas, x1, y + 7, WG_RIGHT, &more, part->more);
}

void wg_figure_key(struct wg_canvas *canvas, const struct wg_figure *figure, int n_columns, double y, bool is_patch) {
    const double width = (WG_PHONE_W - 2 * NARROW_MARGIN) / n_columns;
    for (int i = 0; i < figure->n_parts; i++) {
        const int row = i / n_columns;
        const double x = NARROW_MARGIN + width * (i % n_columns);
        wg_figure_heading(canvas, &figure->part[i], x, x + width, y + WG_KEY_LINE * row, is_patch);
    }
}

/* ---- temperatures ---- */

void wg_figure_temperature_axes(struct wg_canvas *canvas, const struct wg_axes *axes) {
    const struct wg_axis_scale celsius = {"°C", 1, 0}, fahrenheit = {"°F", wg_units_convert(1, "degC", "degF", false),
                                                                     wg_units_convert(0, "degC", "degF", true)};
    wg_axes_values(canvas, axes, &celsius, &fahrenheit);
}

static void draw_cold_line(struct wg_canvas *canvas, const struct wg_axes *axes, double celsius, const char *name,
                           bool at_right, double from_line) {
    const struct wg_text_style style = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const double y = wg_axes_y(axes, celsius);
    char text[WG_LABEL_SIZE + 32];
    if (celsius < axes->low || celsius > axes->high)
        return;
    wg_canvas_stroke(canvas, axes->left, y, axes->right, y, WG_TEXT_COLOUR, 2, WG_DASHED);
    if (wg_canvas_is_narrow(canvas)) /* where a long name would cover lines */
        (void)snprintf(text, sizeof text, "%s %.0f °C", name, celsius);
    else
        (void)snprintf(text, sizeof text, "%s %.0f °C (%.0f °F)", name, celsius,
                       wg_units_convert(celsius, "degC", "degF", true));
    const double width = wg_canvas_text_width(canvas, &style, text);
    const double x = at_right ? axes->right - 8 - width : axes->left + 8;
    wg_canvas_box(canvas, x - 3, y + from_line - 14, x + width + 3, y + from_line + 4, wg_with_alpha(WG_WHITE, 0.7));
    wg_canvas_text(canvas, x, y + from_line, WG_LEFT, &style, text);
}

void wg_figure_cold_lines(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_figure *figure) {
    const double *const median = wg_bands_of(&figure->table, figure->part[figure->n_parts - 1].column, WG_Q50);
    const bool at_right = median[figure->table.n_rows - 1] > median[0]; /* where lines are warmer, names are free */
    draw_cold_line(canvas, axes, WG_TOO_COLD_TO_GROW, "growth stops:", at_right, 18);
    draw_cold_line(canvas, axes, 0, "freezing:", at_right, -5);
}
