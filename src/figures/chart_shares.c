/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws what matters: bars with intervals of the shares that numbers explain, and what measurements would narrow.
 */
#include "figures/figure.h"
#include "text/sensitivity_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NAMES 40.0 /* x of the names, on the wide sheet */
#define LEFT 440.0
#define RIGHT 980.0 /* values are at the right of it */
#define NARROW_NAMES 14.0
#define NARROW_LEFT 20.0
#define BAR 20.0
#define AXIS 62.0        /* below the frame */
#define NAME_LINES 4     /* of a row, on the wide sheet */
#define NAME_HEIGHT 56.0 /* above a bar, on the narrow sheet: a name of one line and the value */
#define MORE_LINES 44.0  /* two more of a measurement */
#define MOST_SHARES 9

/* table: a row for each bar, columns value, low, high; part[row]: its name (`label`) and value (`more`); number[0], number[1]:
 * ends of the axis; number[2]: 1 if a row is a range without a value; number[3]: 1 if the axis has masses */
enum { VALUE, LOW, HIGH };

static double name_height(const struct wg_figure *figure) {
    return NAME_HEIGHT + (figure->number[2] > 0 ? MORE_LINES : 0);
}

static double at(const struct wg_figure *figure, const struct wg_axes *axes, double value) {
    return axes->left +
           (axes->right - axes->left) * (value - figure->number[0]) / (figure->number[1] - figure->number[0]);
}

static void draw_share_axis(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style tick = {WG_FONT_TICK, false, WG_TEXT_COLOUR},
                               bold = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    const double scale = figure->number[3] > 0 ? 1 : 100, low = scale * figure->number[0];
    const double step = wg_axes_step(scale * figure->number[1] - low, axes->right - axes->left, 90);
    for (double value = ceil(low / step) * step; value <= scale * figure->number[1] * 1.0001; value += step) {
        char text[WG_LABEL_SIZE];
        const double x = at(figure, axes, value / scale);
        wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
        wg_label_tick(value, text);
        wg_canvas_text(canvas, x, axes->bottom + 24, WG_CENTRE, &tick, text);
    }
    wg_canvas_text(canvas, (axes->left + axes->right) / 2, axes->bottom + 50, WG_CENTRE, &bold,
                   figure->number[3] > 0   ? "kg"
                   : figure->number[2] > 0 ? "%"
                                           : "% of the variance between animals");
}

static void draw_share_bar(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                           int row, double y) {
    const struct wg_colour colour = figure->part[row].colour;
    const double from = at(figure, axes, figure->table.column[LOW].value[row]),
                 to = at(figure, axes, figure->table.column[HIGH].value[row]);
    if (figure->number[2] > 0) {
        wg_canvas_box(canvas, from, y - BAR / 2, to, y + BAR / 2, colour);
        return;
    }
    const double x = at(figure, axes, figure->table.column[VALUE].value[row]);
    wg_canvas_box(canvas, axes->left, y - BAR / 2, x, y + BAR / 2, colour);
    wg_canvas_stroke(canvas, from, y, to, y, WG_BLACK, 2.5, WG_SOLID);
    wg_canvas_stroke(canvas, from, y - 7, from, y + 7, WG_BLACK, 2.5, WG_SOLID);
    wg_canvas_stroke(canvas, to, y - 7, to, y + 7, WG_BLACK, 2.5, WG_SOLID);
}

static void draw_wide_row(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes, int row,
                          double y) {
    const struct wg_text_style name = {WG_FONT_MIN_LABEL, true, WG_TEXT_COLOUR},
                               value = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const char *const words = figure->part[row].label;
    const double width = LEFT - NAMES - 24, lines = ceil(wg_canvas_text_width(canvas, &name, words) / (0.92 * width));
    (void)wg_canvas_paragraph(canvas, NAMES, y + 6 - 10 * (fmin(lines, NAME_LINES) - 1), width, NAME_LINES, &name,
                              words);
    draw_share_bar(canvas, figure, axes, row, y);
    (void)wg_canvas_paragraph(canvas, RIGHT + 24, y + 6, wg_canvas_sheet(canvas)->width - RIGHT - 30, 1, &value,
                              figure->part[row].more);
}

static void draw_narrow_row(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                            int row, double y) {
    const struct wg_text_style name = {WG_FONT_MIN_LABEL, true, WG_TEXT_COLOUR},
                               value = {WG_FONT_MIN_LABEL, false, WG_TEXT_COLOUR};
    const double width = WG_PHONE_W - 2 * NARROW_NAMES;
    const double below = wg_canvas_paragraph(canvas, NARROW_NAMES, y - BAR / 2 - name_height(figure) + 10, width, 3,
                                             &name, figure->part[row].label);
    (void)wg_canvas_paragraph(canvas, NARROW_NAMES, below, width, 1, &value, figure->part[row].more);
    draw_share_bar(canvas, figure, axes, row, y);
}

static void draw_shares(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const int n = figure->table.n_rows;
    struct wg_axes axes = wg_figure_axes(canvas, figure, wg_figure_draw_text(canvas, figure) + 10,
                                         wg_figure_free_to(canvas) - AXIS, 0, 1);
    axes.left = is_narrow ? NARROW_LEFT : LEFT;
    axes.right = is_narrow ? WG_PHONE_W - 24 : RIGHT;
    const double step = (axes.bottom - axes.top) / n;
    draw_share_axis(canvas, figure, &axes);
    for (int row = 0; row < n; row++)
        if (is_narrow)
            draw_narrow_row(canvas, figure, &axes, row, axes.top + (row + 1) * step - BAR);
        else
            draw_wide_row(canvas, figure, &axes, row, axes.top + (row + 0.5) * step);
}

/* ---- numbers ---- */

static int add_chart(struct wg_figures *figures, const struct wg_run_facts *in, bool has_ranges, int n,
                     const char *unit, struct wg_figure **out, struct wg_error *err) {
    static const char *const column[] = {"value", "low", "high"};
    struct wg_figure *const figure = *out =
        wg_figures_add_of(figures, in, in->title, 0, has_ranges ? "measurements" : "shares", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin(&figure->table, has_ranges ? "measurement" : "number", n, err);
    for (int c = 0; c < 3 && code >= 0; c++)
        code = wg_table_add(&figure->table, column[c], unit, err);
    figure->n_parts = n;
    figure->number[2] = has_ranges;
    figure->narrow_height = AXIS + 30 + (name_height(figure) + 2 * BAR) * n;
    figure->draw = draw_shares;
    return code < 0 ? code : 0;
}

static void fill_row(struct wg_figure *figure, int row, const char *name, const char *shown, struct wg_colour colour,
                     double value, struct wg_interval range) {
    (void)snprintf(figure->table.row[row], sizeof figure->table.row[row], "%.120s", name);
    (void)snprintf(figure->part[row].label, sizeof figure->part[row].label, "%.159s", name);
    (void)snprintf(figure->part[row].more, sizeof figure->part[row].more, "%.79s", shown);
    figure->part[row].colour = colour;
    figure->table.column[VALUE].value[row] = value;
    figure->table.column[LOW].value[row] = range.low;
    figure->table.column[HIGH].value[row] = range.high;
}

static struct wg_interval clamped(struct wg_interval range) {
    return (struct wg_interval){fmin(fmax(range.low, 0), 1), fmin(fmax(range.high, 0), 1)};
}

/* "heat_chronic, larva_tm and 15 more" */
static void name_group(const struct wg_sensitivity *matters, int first, int n, char out[WG_SHOWN_SIZE]) {
    const struct wg_unknown *const u = &matters->unknown[first];
    if (n == 1)
        (void)snprintf(out, WG_SHOWN_SIZE, "%.60s, %s", u->parameter->name, u->trend > 0 ? "up" : "down");
    else
        (void)snprintf(out, WG_SHOWN_SIZE, "%.40s and %d more, tied by findings", u->parameter->name, n - 1);
}

static int chart_of_shares(struct wg_figures *figures, const struct wg_run_facts *in,
                           const struct wg_sensitivity *matters, struct wg_error *err) {
    const int above = wg_count_above_luck(matters);
    const int groups = above > 0 ? matters->unknown[above - 1].group + 1 : 0;
    const int n = groups < MOST_SHARES ? groups : MOST_SHARES;
    char name[WG_SHOWN_SIZE], shown[WG_SHOWN_SIZE], studied[WG_SHOWN_SIZE];
    struct wg_figure *figure;
    double most = 0;
    int row = 0;
    const int code = add_chart(figures, in, false, n + 1, "1", &figure, err);
    if (code < 0)
        return code;
    for (int i = 0; row < n; row++) {
        const int group = matters->unknown[i].group, first = i;
        const struct wg_estimate *const share = &matters->shares.share[group];
        while (i < matters->n_unknowns && matters->unknown[i].group == group)
            i++;
        name_group(matters, first, i - first, name);
        wg_show_estimate(share, shown);
        fill_row(figure, row, name, shown, WG_SKY, fmin(share->value, 1), clamped(share->range));
        most = fmax(most, fmin(share->range.high, 1));
    }
    const struct wg_interval together = clamped(matters->shares.together.range);
    const double left = 1 - fmin(fmax(matters->shares.together.value, 0), 1);
    (void)snprintf(shown, sizeof shown, "%.0f %% (%.0f to %.0f %%)", 100 * left, 100 * (1 - together.high),
                   100 * (1 - together.low));
    fill_row(figure, n, "no single number: many together, and small effects", shown, WG_GRID, left,
             (struct wg_interval){1 - together.high, 1 - together.low});
    figure->number[1] = fmin(1, wg_axes_round_up(fmax(most, 1 - together.low)));
    wg_show_studied(matters, studied);
    (void)snprintf(figure->title, sizeof figure->title, "What matters for %s", studied);
    (void)snprintf(
        figure->note, sizeof figure->note,
        "Share of the variance between %d plausible animals that a number explains, luck taken out; line: 95 %% "
        "interval. Up: more of it, more of the answer.",
        matters->n_animals);
    return 0;
}

static int chart_of_measurements(struct wg_figures *figures, const struct wg_run_facts *in,
                                 const struct wg_sensitivity *matters, struct wg_error *err) {
    const int n = matters->n_steps + 1;
    const bool is_chance = wg_is_chance(matters);
    char shown[WG_SHOWN_SIZE], name[WG_TABLE_NAME + 64];
    struct wg_figure *figure;
    const int code = add_chart(figures, in, true, n, is_chance ? "1" : "kg", &figure, err);
    if (code < 0)
        return code;
    double low = matters->before.answer.low, high = matters->before.answer.high;
    for (int row = 0; row < n; row++) {
        const struct wg_measurement_step *const step = &matters->step[row > 0 ? row - 1 : 0];
        const struct wg_gain *const gain = row > 0 ? &step->gain : &matters->before;
        wg_show_answers(matters, gain->answer, shown);
        (void)snprintf(name, sizeof name, "%s%s", row > 1 ? "and: " : "",
                       row > 0 ? matters->measurement[step->measurement].measurement->text : "nothing measured");
        fill_row(figure, row, name, shown, row > 0 ? WG_SKY : WG_STRONG_GRID, gain->sd, gain->answer);
        low = fmin(low, gain->answer.low);
        high = fmax(high, gain->answer.high);
    }
    (void)snprintf(figure->table.column[VALUE].name, sizeof figure->table.column[VALUE].name, "standard deviation");
    figure->number[0] = is_chance ? floor(10 * low) / 10 : 0;
    figure->number[1] = is_chance ? ceil(10 * high) / 10 : wg_axes_round_up(high);
    figure->number[3] = !is_chance;
    (void)snprintf(figure->title, sizeof figure->title, "What measurements would narrow, on average");
    (void)snprintf(
        figure->note, sizeof figure->note,
        "The answer for 90 of 100 animals: as it is, after the measurement that narrows it most, and after more.");
    return 0;
}

int wg_figures_sensitivity(struct wg_figures *figures, const struct wg_run_facts *in,
                           const struct wg_sensitivity *matters, struct wg_error *err) {
    if (!wg_is_above_luck(&matters->shares.between))
        return 0;
    const int code = chart_of_shares(figures, in, matters, err);
    return code == 0 && matters->n_steps > 0 ? chart_of_measurements(figures, in, matters, err) : code;
}
