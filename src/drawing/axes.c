/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Maps days and values to positions and draws axes. Ticks are 1, 2 or 5 times a power of ten; months have names.
 */
#include "drawing/axes.h"

#include "base/calendar.h"
#include "drawing/label.h"

#include <math.h>
#include <stdio.h>

#define LIGHT_KG 0.0995 /* as in text/show.c */
#define BELOW_ONE 0.6   /* of a decade: the height from 0 to 1 */
#define MIN_APART 27.0  /* between ticks; text is 19 high */
#define SMALL_APART 20.0
#define MIN_LINES_APART 9.0
#define MONTH_APART 62.0 /* space for "Sep" */
#define DATE_APART 110.0 /* space for "12 May" */
#define MAX_LABELS 32
#define MAX_STEPS 6 /* from bottom to top: more are clutter */

/* The width of a day on the page. */
static double day_width(const struct wg_axes *axes) {
    const int days = axes->has_width ? axes->n_days : axes->n_days - 1;
    return (axes->right - axes->left) / (days > 0 ? days : 1);
}

double wg_axes_x(const struct wg_axes *axes, double day) {
    const double share = axes->has_width ? day / axes->n_days : axes->n_days > 1 ? day / (axes->n_days - 1) : 0.5;
    return axes->left + (axes->right - axes->left) * share;
}

static double log_position(double value) {
    return value < 1 ? BELOW_ONE * value : BELOW_ONE + log10(value);
}

double wg_axes_y(const struct wg_axes *axes, double value) {
    const double share =
        axes->is_log ? log_position(value) / log_position(axes->high) : (value - axes->low) / (axes->high - axes->low);
    return axes->bottom - (axes->bottom - axes->top) * share;
}

void wg_axes_ys(const struct wg_axes *axes, int n, const double *values, double *out) {
    for (int i = 0; i < n; i++)
        out[i] = wg_axes_y(axes, values[i]);
}

void wg_axes_xs(const struct wg_axes *axes, int n, int step, double *out) {
    for (int i = 0; i < n; i++)
        out[i] = wg_axes_x(axes, i * step);
}

/* ---- dates ---- */

static const char *short_month_name(int month) {
    static const char *const name[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                       "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return name[month - 1];
}

static void put_word(struct wg_canvas *canvas, const struct wg_axes *axes, double x, int line, const char *word) {
    const struct wg_text_style lettering = {WG_FONT_TICK, line == 1, WG_TEXT_COLOUR};
    wg_canvas_text(canvas, x, axes->bottom + 26 + 23 * line, WG_CENTRE, &lettering, word);
}

static double day_x(const struct wg_axes *axes, struct wg_date date) {
    return wg_axes_x(axes, wg_day_from_date(date) - axes->first_day);
}

/* Returns the months from one name to the next, so that names do not touch. */
static int months_apart(const struct wg_axes *axes) {
    static const int apart[] = {1, 2, 3, 6, 12, 24, 60, 120, 240};
    const double month = 30.44 * day_width(axes);
    int i = 0;
    while (i < 8 && apart[i] * month < MONTH_APART)
        i++;
    return apart[i];
}

/* Draws a name centred in its month if every month has one, else below its first day. */
static void put_month(struct wg_canvas *canvas, const struct wg_axes *axes, struct wg_date first, int apart) {
    const int32_t last_day = axes->first_day + axes->n_days - 1;
    const int32_t from = wg_day_from_date(first), to = from + wg_month_length(first.year, first.month) - 1;
    char year[16];
    (void)snprintf(year, sizeof year, "%d", first.year);
    if (apart >= 12) {
        put_word(canvas, axes, day_x(axes, first), 0, year);
        return;
    }
    const double a = wg_axes_x(axes, (from > axes->first_day ? from : axes->first_day) - axes->first_day);
    const double b = wg_axes_x(axes, (to < last_day ? to : last_day) - axes->first_day);
    const double x = apart == 1 ? (a + b) / 2 : a;
    if (apart > 1 ? from >= axes->first_day : b - a > 28)
        put_word(canvas, axes, x, 0, short_month_name(first.month));
}

/* Draws each year below its first name. */
static void put_years(struct wg_canvas *canvas, const struct wg_axes *axes) {
    const int from = wg_date_from_day(axes->first_day).year;
    const int to = wg_date_from_day(axes->first_day + axes->n_days - 1).year;
    double free_from = -HUGE_VAL;
    char text[16];
    for (int year = from; year <= to; year++) {
        const struct wg_date first = {year, 1, 1};
        const double x = (year == from ? wg_axes_x(axes, 0) : day_x(axes, first)) + 24;
        (void)snprintf(text, sizeof text, "%d", year);
        if (x < free_from || x > axes->right + 10)
            continue;
        put_word(canvas, axes, x, 1, text);
        free_from = x + 60;
    }
}

static void draw_day_ticks(struct wg_canvas *canvas, const struct wg_axes *axes, bool named) {
    const double day = day_width(axes);
    const int apart = day * 1 >= DATE_APART ? 1 : day * 7 >= DATE_APART ? 7 : 14;
    for (int d = 0; d < axes->n_days; d += apart) {
        const struct wg_date date = wg_date_from_day(axes->first_day + d);
        char text[16];
        (void)snprintf(text, sizeof text, "%d %s", date.day, short_month_name(date.month));
        const double x = wg_axes_x(axes, d);
        wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
        if (named)
            put_word(canvas, axes, x, 0, text);
    }
    if (named)
        put_years(canvas, axes);
}

/* Draws the line of each `apart`-th month, or its name. */
static void draw_months(struct wg_canvas *canvas, const struct wg_axes *axes, int apart, bool is_name) {
    const int32_t last_day = axes->first_day + axes->n_days - 1;
    const struct wg_date begin = wg_date_from_day(axes->first_day);
    for (int month = begin.month - 1;; month++) {
        const struct wg_date first = {begin.year + month / 12, month % 12 + 1, 1};
        if (first.year > 9999 || wg_day_from_date(first) > last_day)
            break;
        if ((first.year * 12 + first.month - 1) % apart != 0)
            continue;
        const double x = day_x(axes, first);
        if (!is_name && x >= axes->left)
            wg_canvas_stroke(canvas, x, axes->top, x, axes->bottom, WG_GRID, 1, WG_SOLID);
        if (is_name && (x >= axes->left - 1 || apart == 1))
            put_month(canvas, axes, first, apart);
    }
}

void wg_axes_dates(struct wg_canvas *canvas, const struct wg_axes *axes, bool named) {
    if (axes->n_days <= 70) {
        draw_day_ticks(canvas, axes, named);
        return;
    }
    const int apart = months_apart(axes);
    draw_months(canvas, axes, apart, false);
    if (named)
        draw_months(canvas, axes, apart, true);
    if (named && apart < 12)
        put_years(canvas, axes);
}

/* ---- values ---- */

double wg_axes_step(double span, double length, double apart) {
    const double min_step = span * apart / length;
    const double power = pow(10, floor(log10(min_step)));
    const double share = min_step / power;
    return power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
}

static double nice_step(double span, double height) {
    return wg_axes_step(span, height, fmax(MIN_APART, height / MAX_STEPS));
}

double wg_axes_round_up(double max) {
    if (!(max > 0) || isinf(max))
        return 1;
    const double step = nice_step(max, 5 * MIN_APART);
    return step * ceil(max / step * 0.999);
}

static void draw_value_tick(struct wg_canvas *canvas, const struct wg_axes *axes, bool is_left, double y, double size,
                            const char *text) {
    const double width = (is_left ? axes->left : wg_canvas_sheet(canvas)->width - axes->right) - 11;
    const struct wg_text_style lettering =
        wg_canvas_fit_text(canvas, (struct wg_text_style){size, false, WG_TEXT_COLOUR}, 10, width, 1, text);
    wg_canvas_text(canvas, is_left ? axes->left - 9 : axes->right + 9, y + 7, is_left ? WG_RIGHT : WG_LEFT, &lettering,
                   text);
}

/* Lines before numbers: the SVG is smaller if its style changes rarely. */
static void draw_linear_ticks(struct wg_canvas *canvas, const struct wg_axes *axes, bool is_left,
                              const struct wg_axis_scale *side) {
    const double a = side->scale * axes->low + side->shift, b = side->scale * axes->high + side->shift;
    const double step = nice_step(b - a, axes->bottom - axes->top), first = ceil(a / step - 1e-9);
    for (double i = first; i * step <= b + 1e-9 * step; i++) {
        const double y = wg_axes_y(axes, (i * step - side->shift) / side->scale);
        if (is_left)
            wg_canvas_stroke(canvas, axes->left, y, axes->right, y, i == 0 ? WG_STRONG_GRID : WG_GRID, 1, WG_SOLID);
        else
            wg_canvas_stroke(canvas, axes->right, y, axes->right + 5, y, WG_STRONG_GRID, 1, WG_SOLID);
    }
    for (double i = first; i * step <= b + 1e-9 * step; i++) {
        char text[WG_LABEL_SIZE];
        wg_label_tick(i * step, text);
        draw_value_tick(canvas, axes, is_left, wg_axes_y(axes, (i * step - side->shift) / side->scale), WG_FONT_TICK,
                        text);
    }
}

/* Draws a line at each power of ten and numbers them all, or every second in smaller digits, or every third. */
static void draw_log_ticks(struct wg_canvas *canvas, const struct wg_axes *axes) {
    const double decade = (axes->bottom - axes->top) / log_position(axes->high);
    const int apart = decade >= MIN_APART ? 1 : 2 * decade >= SMALL_APART ? 2 : (int)ceil(SMALL_APART / decade);
    const double size = apart * decade >= MIN_APART ? WG_FONT_TICK : WG_FONT_SMALL_TICK;
    const int highest = (int)floor(log10(axes->high) + 1e-9);
    char text[WG_LABEL_SIZE];
    wg_canvas_stroke(canvas, axes->left, axes->bottom, axes->right, axes->bottom, WG_STRONG_GRID, 1, WG_SOLID);
    for (int power = 0; power <= highest; power++) {
        const double y = wg_axes_y(axes, pow(10, power));
        if (decade >= MIN_LINES_APART || power % apart == 0)
            wg_canvas_stroke(canvas, axes->left, y, axes->right, y, WG_GRID, 1, WG_SOLID);
    }
    draw_value_tick(canvas, axes, true, axes->bottom, size, "0");
    for (int power = 0; power <= highest; power += apart) {
        const double y = wg_axes_y(axes, pow(10, power));
        if (axes->bottom - y < SMALL_APART * 0.9)
            continue;
        wg_label_tick(pow(10, power), text);
        draw_value_tick(canvas, axes, true, y, size, text);
    }
}

static void put_unit(struct wg_canvas *canvas, double x, double y, enum wg_align align, const char *unit) {
    const struct wg_text_style lettering = {WG_FONT_TICK, true, WG_TEXT_COLOUR};
    wg_canvas_text(canvas, x, y, align, &lettering, unit);
}

void wg_axes_values(struct wg_canvas *canvas, const struct wg_axes *axes, const struct wg_axis_scale *left,
                    const struct wg_axis_scale *right) {
    if (axes->is_log)
        draw_log_ticks(canvas, axes);
    else
        draw_linear_ticks(canvas, axes, true, left);
    put_unit(canvas, axes->left - 9, axes->top - 17, WG_RIGHT, left->unit);
    if (right == NULL)
        return;
    draw_linear_ticks(canvas, axes, false, right);
    put_unit(canvas, axes->right + 9, axes->top - 17, WG_LEFT, right->unit);
}

void wg_axes_masses(struct wg_canvas *canvas, const struct wg_axes *axes) {
    const struct wg_axis_scale kg = {"kg", 1, 0}, lb = {"lb", 1 / WG_KG_PER_LB, 0};
    const struct wg_axis_scale g = {"g", 1000, 0}, oz = {"oz", 16 / WG_KG_PER_LB, 0};
    const bool is_light = axes->high < LIGHT_KG;
    wg_axes_values(canvas, axes, is_light ? &g : &kg, is_light ? &oz : &lb);
}

/* ---- labels ---- */

/*
 * Finds the nearest positions that keep their order and are `gap` apart: y - gap * rank must not decrease, which is
 * isotonic regression by pooling adjacent violators (Ayer et al. 1955, Ann. Math. Stat. 26:641).
 */
void wg_axes_spread(int n, double *y, double gap, double low, double high) {
    int order[MAX_LABELS], size[MAX_LABELS], pools = 0;
    double mean[MAX_LABELS];
    wg_assert(n <= MAX_LABELS);
    for (int i = 0; i < n; i++) {
        int at = i;
        for (; at > 0 && y[order[at - 1]] > y[i]; at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
    for (int rank = 0; rank < n; rank++) {
        mean[pools] = y[order[rank]] - gap * rank;
        size[pools++] = 1;
        for (; pools > 1 && mean[pools - 2] > mean[pools - 1]; pools--) {
            const int both = size[pools - 2] + size[pools - 1];
            mean[pools - 2] = (mean[pools - 2] * size[pools - 2] + mean[pools - 1] * size[pools - 1]) / both;
            size[pools - 2] = both;
        }
    }
    for (int pool = 0, rank = 0; pool < pools; pool++)
        for (int i = 0; i < size[pool]; i++, rank++)
            y[order[rank]] = gap * rank + fmax(low, fmin(mean[pool], high - gap * (n - 1)));
}
