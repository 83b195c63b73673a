/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws the answer of `size`: for each value tried (x) the share of replicates that met the goal (y), and each goal's
 * curve. The wanted probability is a horizontal line, the number a vertical one in the grey band of its interval.
 *
 * Thick bar: interval of the value alone (Wilson 1927, 95 %). Thin bar: simultaneous interval over all values, goals and
 * sample sizes, on which the answer rests (see wg_sequence_interval()).
 */
#include "base/elementary.h"
#include "data/size_sentences.h"
#include "figures/figure.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* table: a row for each value; columns VALUE, TRIED, ENOUGH (1, 0, NaN: undecided), then PER_GOAL of each goal.
 * number[]: of the answer, NaN: unknown. part[goal].number[]: of its curve. part[goal]; part[WORDS]: what the number is,
 * and its unit as written; part[MARKS]: the labels of the markers. n_days > 0: values are days. */
enum { SURE_YES, SURE_NO, IS_LOG, IS_DIFFERENCE, ABOUT, ABOUT_LOW, ABOUT_HIGH };
enum { CROSSING, SLOPE, TOP, FROM, TO };
enum { VALUE, TRIED, ENOUGH, FIRST };
enum { WANTED, CHANCE, ALONE_LOW, ALONE_HIGH, LOW, HIGH, ON_CURVE, PER_GOAL };
enum { WORDS = WG_FIGURE_MAX_PARTS - 1, MARKS = WORDS - 1 };

#define ALONE_CONFIDENCE 0.95
#define INSET 44.0     /* from the frame's sides to the first and last value */
#define TICK 26.0      /* from the frame to the tick labels below it, and from line to line */
#define LABEL_GAP 84.0 /* between tick labels */
#define DOT 7.0
#define CURVE_DOTS 101
#define MARK_LINE 26.0 /* line spacing of the marker labels above the frame */

static const double *column(const struct wg_figure *figure, int goal, int what) {
    return figure->table.column[FIRST + PER_GOAL * goal + what].value;
}

/* ---- the x axis ---- */

static double axis_coordinate(const struct wg_figure *figure, double value) {
    return figure->number[IS_LOG] > 0 ? log(value) : value;
}

static double value_to_x(const struct wg_figure *figure, const struct wg_axes *axes, double value) {
    const double *const values = figure->table.column[VALUE].value;
    const double from = axis_coordinate(figure, values[0]);
    const double to = axis_coordinate(figure, values[figure->table.n_rows - 1]);
    const double share = to > from ? (axis_coordinate(figure, value) - from) / (to - from) : 0.5;
    return axes->left + INSET + (axes->right - axes->left - 2 * INSET) * share;
}

static struct wg_vary vary_of(const struct wg_figure *figure) {
    struct wg_vary vary = {.is_date = figure->n_days > 0, .is_difference = figure->number[IS_DIFFERENCE] > 0};
    (void)snprintf(vary.unit, sizeof vary.unit, "%.47s", figure->part[WORDS].more);
    return vary;
}

/* Draws a grid line with its value, and below it the value in the other unit. */
static void draw_size_tick(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                           double value) {
    const struct wg_text_style style = {WG_FONT_TICK, false, WG_TEXT_COLOUR};
    const struct wg_vary vary = vary_of(figure);
    const double x = value_to_x(figure, axes, value);
    char text[WG_LABEL_SIZE], unit[48];
    double scale, shift;
    wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
    if (vary.is_date)
        wg_label_date((int32_t)value, 0, text);
    else
        wg_label_tick(value, text);
    wg_canvas_text(canvas, x, axes->bottom + TICK, WG_CENTRE, &style, text);
    if (!wg_vary_other_unit(&vary, unit, &scale, &shift))
        return;
    wg_show_number(scale * value + shift, text);
    wg_canvas_text(canvas, x, axes->bottom + 2 * TICK, WG_CENTRE, &style, text);
}

/* Selects the ticks per decade: all digits, 1-2-5 or 1, the densest without overlap. */
static int tick_density(const struct wg_figure *figure, const struct wg_axes *axes) {
    static const double closest[] = {10.0 / 9, 2, 10}; /* ratio of the closest two */
    const double *const values = figure->table.column[VALUE].value;
    const double per_ratio = (axes->right - axes->left - 2 * INSET) / log(values[figure->table.n_rows - 1] / values[0]);
    int i = 0;
    while (i < 2 && per_ratio * log(closest[i]) < LABEL_GAP)
        i++;
    return i;
}

static bool is_shown(int density, int digit) {
    return density == 0 || digit == 1 || (density == 1 && (digit == 2 || digit == 5));
}

static void draw_size_axis(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const double *const values = figure->table.column[VALUE].value;
    const double from = values[0], to = values[figure->table.n_rows - 1];
    if (!(to > from)) {
        draw_size_tick(canvas, figure, axes, from);
    } else if (figure->number[IS_LOG] > 0) {
        const int density = tick_density(figure, axes);
        for (double power = pow(10, floor(log10(from))); power <= to; power *= 10)
            for (int digit = 1; digit <= 9; digit++)
                if (is_shown(density, digit) && digit * power >= from * 0.999 && digit * power <= to * 1.001)
                    draw_size_tick(canvas, figure, axes, digit * power);
    } else {
        const double label_gap = figure->n_days > 0 ? 2 * LABEL_GAP : LABEL_GAP;
        double step = wg_axes_step(to - from, axes->right - axes->left - 2 * INSET, label_gap);
        step = figure->n_days > 0 ? fmax(1, ceil(step)) : step;
        for (double i = ceil(from / step - 1e-9); i * step <= to + 1e-9 * step; i++)
            draw_size_tick(canvas, figure, axes, i * step);
    }
}

/* Draws the units beside the tick labels, and the axis title below. */
static void draw_axis_title(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style bold = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    const struct wg_vary vary = vary_of(figure);
    const char *const written = vary.unit + strspn(vary.unit, " ");
    char unit[48], text[WG_TABLE_NAME];
    double scale, shift;
    const bool is_narrow = wg_canvas_is_narrow(canvas), has_other = wg_vary_other_unit(&vary, unit, &scale, &shift);
    const double x = is_narrow ? axes->left - 9 : axes->right + 9;
    const enum wg_align align = is_narrow ? WG_RIGHT : WG_LEFT;
    wg_canvas_text(canvas, x, axes->bottom + TICK, align, &bold, written);
    if (has_other)
        wg_canvas_text(canvas, x, axes->bottom + 2 * TICK, align, &bold, unit);
    (void)snprintf(text, sizeof text, "%.79s", figure->part[WORDS].label);
    wg_canvas_text(canvas, (axes->left + axes->right) / 2, axes->bottom + (has_other ? 3 : 2) * TICK + 4, WG_CENTRE,
                   &bold, text);
}

/* ---- the answer ---- */

/* Draws a vertical line at a value, with a label above it on the requested side, as far as the sheet allows. */
static void draw_marker(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                        double value, const char *text, bool to_right, double y, double width) {
    const struct wg_text_style style = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    const double x = value_to_x(figure, axes, value), text_width = wg_canvas_text_width(canvas, &style, text);
    const double max_x = wg_canvas_sheet(canvas)->width - 10 - text_width;
    const double from = fmax(axes->left, fmin(to_right ? x + 8 : x - 8 - text_width, max_x));
    wg_canvas_stroke(canvas, x, y - 14, x, axes->bottom, WG_BLACK, width, width > 2 ? WG_SOLID : WG_DASHED);
    if (from < x + 4 && from + text_width > x - 4) /* the label overlaps its line */
        wg_canvas_box(canvas, from - 4, y - 20, from + text_width + 4, y + 6, WG_WHITE);
    wg_canvas_text(canvas, from, y, WG_LEFT, &style, text);
}

/* The number, or else what is surely enough and what is not; labels on a line each, so that they never overlap. */
static void draw_markers(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const double *const number = figure->number;
    const double enough = number[SURE_YES], too_little = number[SURE_NO];
    const bool is_up = isnan(too_little) || isnan(enough) || enough > too_little;
    const struct wg_figure_part *const marks = &figure->part[MARKS];
    if (!isnan(number[ABOUT])) {
        draw_marker(canvas, figure, axes, number[ABOUT], marks->label, is_up, axes->top - 14, 3);
        return;
    }
    if (!isnan(too_little))
        draw_marker(canvas, figure, axes, too_little, marks->brief, !is_up, axes->top - 14, 1.5);
    if (!isnan(enough))
        draw_marker(canvas, figure, axes, enough, marks->label, is_up, axes->top - 14 - MARK_LINE, 3);
}

/* Draws the band of the number's interval, or else between what is surely not enough and what is. */
static void draw_answer_band(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const bool is_known = !isnan(figure->number[ABOUT]);
    const double from = figure->number[is_known ? ABOUT_LOW : SURE_YES],
                 to = figure->number[is_known ? ABOUT_HIGH : SURE_NO];
    if (isnan(from) || isnan(to))
        return;
    const double a = value_to_x(figure, axes, from), b = value_to_x(figure, axes, to);
    wg_canvas_box(canvas, fmin(a, b), axes->top, fmax(a, b), axes->bottom, WG_RGB(226, 226, 226));
}

/* ---- the curve ---- */

/* True for a value beyond the answer, in the direction of the search. */
static bool is_beyond(const struct wg_figure *figure, int row) {
    const double enough = figure->number[SURE_YES], too_little = figure->number[SURE_NO];
    const double value = figure->table.column[VALUE].value[row];
    return isnan(too_little) || enough > too_little ? value > enough : value < enough;
}

static void draw_tried_point(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                             int goal, int row, double x) {
    const struct wg_colour colour = figure->part[goal].colour;
    const double enough = figure->table.column[ENOUGH].value[row];
    const struct wg_colour undecided_colour = is_beyond(figure, row) ? wg_tint(colour, 0.4) : WG_STRONG_GRID;
    double y[PER_GOAL];
    for (int what = CHANCE; what < PER_GOAL; what++)
        y[what] = wg_axes_y(axes, column(figure, goal, what)[row]);
    wg_canvas_stroke(canvas, x, y[LOW], x, y[HIGH], WG_TEXT_COLOUR, 1.5, WG_SOLID);
    wg_canvas_stroke(canvas, x - 6, y[LOW], x + 6, y[LOW], WG_TEXT_COLOUR, 1.5, WG_SOLID);
    wg_canvas_stroke(canvas, x - 6, y[HIGH], x + 6, y[HIGH], WG_TEXT_COLOUR, 1.5, WG_SOLID);
    wg_canvas_stroke(canvas, x, y[ALONE_LOW], x, y[ALONE_HIGH], colour, 7, WG_SOLID);
    wg_canvas_dot(canvas, x, y[CHANCE], DOT + 1.5, WG_BLACK);
    wg_canvas_dot(canvas, x, y[CHANCE], DOT - 1, isnan(enough) ? undecided_colour : enough > 0 ? colour : WG_WHITE);
}

/* Draws the goal's curve over the values it is fitted to. */
static void draw_goal_curve(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                            int goal) {
    const struct wg_figure_part *const part = &figure->part[goal];
    const struct wg_size_curve curve = {
        .crossing = part->number[CROSSING], .slope = part->number[SLOPE], .top = part->number[TOP]};
    const double wanted = column(figure, goal, WANTED)[0];
    const double from = axis_coordinate(figure, part->number[FROM]), to = axis_coordinate(figure, part->number[TO]);
    double x[CURVE_DOTS], y[CURVE_DOTS];
    if (isnan(curve.crossing) || !(to > from))
        return;
    for (int i = 0; i < CURVE_DOTS; i++) {
        const double at = from + (to - from) * i / (CURVE_DOTS - 1);
        x[i] = value_to_x(figure, axes, figure->number[IS_LOG] > 0 ? exp(at) : at);
        y[i] = wg_axes_y(axes, wg_size_curve_chance(&curve, wanted, at));
    }
    wg_canvas_line(canvas, CURVE_DOTS, x, y, part->colour, 2.5, part->pattern);
}

static void draw_goal_points(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes,
                             int goal) {
    const double shift = 9.0 * (goal - (figure->n_parts - 1) / 2.0); /* draws the goals of a value side by side */
    for (int row = 0; row < figure->table.n_rows; row++)
        draw_tried_point(canvas, figure, axes, goal, row,
                         value_to_x(figure, axes, figure->table.column[VALUE].value[row]) + shift);
}

/* ---- the wanted probability ---- */

static void draw_wanted_chance(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    for (int goal = 0; goal < figure->n_parts; goal++) {
        const double y = wg_axes_y(axes, column(figure, goal, WANTED)[0]);
        const struct wg_colour colour = figure->n_parts > 1 ? figure->part[goal].colour : WG_VERMILION;
        wg_canvas_stroke(canvas, axes->left, y, axes->right, y, colour, 4, WG_DASHED);
    }
}

static void draw_goal_names(struct wg_canvas *canvas, const struct wg_figure *figure, const struct wg_axes *axes) {
    const struct wg_text_style style = {WG_FONT_LABEL, true, WG_TEXT_COLOUR};
    double y[WG_MAX_GOALS];
    for (int goal = 0; goal < figure->n_parts; goal++)
        y[goal] = wg_axes_y(axes, column(figure, goal, WANTED)[0]) + 0.01 * goal;
    wg_axes_spread(figure->n_parts, y, figure->n_parts > 1 ? 52 : 30, axes->top, axes->bottom);
    for (int goal = 0; goal < figure->n_parts; goal++)
        if (figure->n_parts > 1)
            wg_figure_label(canvas, &figure->part[goal], axes->right + 16, y[goal], false);
        else
            wg_canvas_text(canvas, axes->right + 14, y[goal] + 7, WG_LEFT, &style, figure->part[goal].label);
}

static void draw_size_chart(struct wg_canvas *canvas, const struct wg_figure *figure) {
    const bool is_narrow = wg_canvas_is_narrow(canvas);
    const struct wg_vary vary = vary_of(figure);
    char unit[48];
    double scale, shift;
    const double below = (wg_vary_other_unit(&vary, unit, &scale, &shift) ? 3 : 2) * TICK + 14;
    const double names = is_narrow ? WG_KEY_LINE * figure->n_parts + 12 : 0;
    const double top = wg_figure_draw_text(canvas, figure) + 34 + MARK_LINE,
                 bottom = wg_figure_free_to(canvas) - below - names;
    const struct wg_axes axes = wg_figure_axes(canvas, figure, top, bottom, 0, 1);
    draw_answer_band(canvas, figure, &axes);
    wg_axes_values(canvas, &axes, &(struct wg_axis_scale){"%", 100, 0}, NULL);
    draw_size_axis(canvas, figure, &axes);
    draw_axis_title(canvas, figure, &axes);
    draw_wanted_chance(canvas, figure, &axes);
    draw_markers(canvas, figure, &axes);
    for (int goal = 0; goal < figure->n_parts; goal++)
        draw_goal_curve(canvas, figure, &axes, goal);
    for (int goal = 0; goal < figure->n_parts; goal++)
        draw_goal_points(canvas, figure, &axes, goal);
    if (is_narrow)
        wg_figure_key(canvas, figure, 1, bottom + below + 14, false);
    else
        draw_goal_names(canvas, figure, &axes);
}

/* ---- numbers ---- */

static int add_size_columns(struct wg_figure *figure, int n_goals, struct wg_error *err) {
    static const char *const name[PER_GOAL] = {"chance wanted",           "chance",
                                               "low, this value alone",   "high, this value alone",
                                               "low, all values at once", "high, all values at once",
                                               "chance on the curve"};
    static const char *const first[FIRST] = {"value", "replicates", "enough"};
    int code = 0;
    for (int i = 0; i < FIRST && code >= 0; i++)
        code = wg_table_add(&figure->table, first[i], "", err);
    for (int i = 0; i < PER_GOAL * n_goals && code >= 0; i++) {
        char text[WG_TABLE_NAME];
        if (n_goals > 1)
            (void)snprintf(text, sizeof text, "goal %d: %s", i / PER_GOAL + 1, name[i % PER_GOAL]);
        else
            (void)snprintf(text, sizeof text, "%s", name[i]);
        code = wg_table_add(&figure->table, text, "1", err);
    }
    return code < 0 ? code : 0;
}

static void fill_size_table(struct wg_figure *figure, const struct wg_answer_size *answer) {
    const struct wg_size_question *const q = &answer->question;
    for (int i = 0; i < answer->size.n_points; i++) {
        const struct wg_size_point *const point = &answer->size.point[i];
        wg_vary_show_both(&answer->vary, point->value, figure->table.row[i]);
        figure->table.column[VALUE].value[i] = point->value;
        figure->table.column[TRIED].value[i] = (double)point->n;
        figure->table.column[ENOUGH].value[i] = point->verdict == WG_UNDECIDED ? (double)NAN : point->verdict == WG_YES;
        for (int g = 0; g < q->n_goals; g++) {
            const struct wg_interval alone = wg_wilson((size_t)point->hits[g], (size_t)point->n, ALONE_CONFIDENCE);
            const struct wg_interval at_once = wg_size_interval(q, point, g);
            const struct wg_size_curve *const curve = &answer->size.curve[g];
            const double x = q->geometric ? log(point->value) : point->value;
            const double values[PER_GOAL] = {q->wanted[g],
                                             wg_size_share(point, g),
                                             alone.low,
                                             alone.high,
                                             at_once.low,
                                             at_once.high,
                                             isnan(curve->crossing) ? (double)NAN
                                                                    : wg_size_curve_chance(curve, q->wanted[g], x)};
            for (int what = 0; what < PER_GOAL; what++)
                figure->table.column[FIRST + PER_GOAL * g + what].value[i] = values[what];
        }
    }
}

static void name_goals(struct wg_figure *figure, const struct wg_answer_size *answer) {
    static const enum wg_pattern pattern[WG_MAX_GOALS] = {WG_SOLID, WG_DOTTED, WG_DASH_DOT, WG_LONG_DASHED};
    const struct wg_colour colour[WG_MAX_GOALS] = {WG_BLUE,   WG_VERMILION, WG_GREEN,         WG_PURPLE,
                                                   WG_ORANGE, WG_SKY,       WG_RGB(0, 0, 90), WG_STRONG_GRID};
    figure->n_parts = answer->question.n_goals;
    for (int g = 0; g < figure->n_parts; g++) {
        struct wg_figure_part *const part = &figure->part[g];
        part->colour = colour[g];
        part->pattern = pattern[g % 4];
        if (figure->n_parts > 1)
            (void)snprintf(part->label, sizeof part->label, "goal %d", g + 1);
        (void)snprintf(figure->n_parts > 1 ? part->more : part->label, sizeof part->more, "wanted: %.3g %%",
                       100 * answer->question.wanted[g]);
    }
    (void)snprintf(figure->part[WORDS].label, sizeof figure->part[WORDS].label, "%.159s", answer->vary.subject);
    figure->part[WORDS].label[0] = (char)toupper((unsigned char)answer->vary.subject[0]);
    (void)snprintf(figure->part[WORDS].more, sizeof figure->part[WORDS].more, "%.47s", answer->vary.unit);
}

static void number_curves(struct wg_figure *figure, const struct wg_answer_size *answer) {
    const struct wg_size *const size = &answer->size;
    figure->number[SURE_YES] = size->enough;
    figure->number[SURE_NO] = size->too_little;
    figure->number[IS_LOG] = answer->question.geometric;
    figure->number[IS_DIFFERENCE] = answer->vary.is_difference;
    figure->number[ABOUT] = isnan(size->number.about) ? size->number.about : wg_size_recommended(&answer->vary, size);
    figure->number[ABOUT_LOW] = size->number.low;
    figure->number[ABOUT_HIGH] = size->number.high;
    for (int g = 0; g < answer->question.n_goals; g++) {
        const struct wg_size_curve *const curve = &size->curve[g];
        const double values[] = {curve->crossing, curve->slope, curve->top, curve->from, curve->to};
        for (int i = 0; i <= TO; i++)
            figure->part[g].number[i] = values[i];
    }
}

static void label_markers(struct wg_figure *figure, const struct wg_answer_size *answer) {
    struct wg_figure_part *const marks = &figure->part[MARKS];
    char enough[2 * WG_VARY_SHOWN_SIZE], too_little[2 * WG_VARY_SHOWN_SIZE], about[2 * WG_VARY_SHOWN_SIZE] = "";
    wg_size_show_bound(&answer->vary, answer->size.enough, !answer->question.largest, enough);
    wg_size_show_bound(&answer->vary, answer->size.too_little, answer->question.largest, too_little);
    if (!isnan(figure->number[ABOUT]))
        wg_vary_show_both(&answer->vary, figure->number[ABOUT], about);
    if (isnan(figure->number[ABOUT]))
        (void)snprintf(marks->label, sizeof marks->label, "%.140s is enough", enough);
    else
        (void)snprintf(marks->label, sizeof marks->label, "about %.140s", about);
    (void)snprintf(marks->brief, sizeof marks->brief, "%.140s is not", too_little);
}

static void describe_size(struct wg_figure *figure, const struct wg_answer_size *answer) {
    char words[WG_SIZE_TEXT], goals[WG_SENTENCES_SIZE / 2] = "";
    wg_size_headline(&answer->vary, &answer->question, &answer->size, words);
    (void)snprintf(figure->title, sizeof figure->title, "%.500s", words);
    for (int g = 0; g < answer->question.n_goals; g++) {
        const size_t used = strlen(goals);
        char number[16] = "";
        if (answer->question.n_goals > 1)
            (void)snprintf(number, sizeof number, "%s(%d) ", g > 0 ? "; " : "", g + 1);
        (void)snprintf(goals + used, sizeof goals - used, "%s%s", number, answer->goal[g]);
    }
    (void)snprintf(
        figure->note, sizeof figure->note,
        "Chance of: %s. Dot full: surely enough, pale: beyond that, hollow: surely not, grey: undecided. Thick bar: "
        "95 %% interval of this value alone; thin bar: of all values together.",
        goals);
}

int wg_figures_size(struct wg_figures *figures, const struct wg_run_facts *in, const struct wg_answer_size *answer,
                    struct wg_error *err) {
    struct wg_figure *const figure = wg_figures_add_of(figures, in, in->title, 0, "size", err);
    if (figure == NULL)
        return WG_ERR_MEMORY;
    int code = wg_table_begin(&figure->table, "value tried", answer->size.n_points, err);
    if (code == 0)
        code = add_size_columns(figure, answer->question.n_goals, err);
    if (code < 0)
        return code;
    figure->n_days = answer->vary.is_date; /* its rows are not days of the period */
    name_goals(figure, answer);
    number_curves(figure, answer);
    label_markers(figure, answer);
    fill_size_table(figure, answer);
    describe_size(figure, answer);
    figure->narrow_height = 620 + WG_KEY_LINE * figure->n_parts;
    figure->draw = draw_size_chart;
    return 0;
}
