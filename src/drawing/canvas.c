/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lays out text and splits curves at their gaps, for the pens that draw SVG, PDF and PNG.
 */
#include "drawing/canvas.h"

#include "base/utf8.h"
#include "drawing/label.h"
#include "drawing/pen.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_SPACING 1.3     /* of the font size */
#define POINT_HALF_WIDTH 6.0 /* half the width of an isolated point */
#define MOST_POINTS 900      /* of a curve (judgement: one for each unit of the widest frame) */

struct wg_canvas {
    struct wg_pen *pen;
    const struct wg_sheet *sheet;
    bool has_no_memory; /* scratch memory ran out */
};

/* ---- pages ---- */

int wg_pen_draw(struct wg_pen *pen, const struct wg_sheet *sheet,
                void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_error *err) {
    struct wg_canvas canvas = {pen, sheet, false};
    if (pen == NULL)
        return WG_ERR_MEMORY;
    draw(&canvas, what);
    const int code = pen->finish(pen, err);
    return canvas.has_no_memory ? wg_no_memory(err, NULL) : code;
}

int wg_canvas_render_svg(const struct wg_sheet *sheet, void (*draw)(struct wg_canvas *canvas, const void *what),
                         const void *what, struct wg_bytes *out, struct wg_error *err) {
    return wg_pen_draw(wg_pen_svg(sheet, NULL, out, err), sheet, draw, what, err);
}

int wg_canvas_render_inline(const struct wg_sheet *sheet, struct wg_curves *curves,
                            void (*draw)(struct wg_canvas *canvas, const void *what), const void *what,
                            struct wg_bytes *out, struct wg_error *err) {
    return wg_pen_draw(wg_pen_svg(sheet, curves, out, err), sheet, draw, what, err);
}

const struct wg_sheet *wg_canvas_sheet(const struct wg_canvas *canvas) {
    return canvas->sheet;
}

bool wg_canvas_is_narrow(const struct wg_canvas *canvas) {
    return canvas->sheet->width < WG_SLIDE_W;
}

double *wg_canvas_scratch(struct wg_canvas *canvas, size_t n) {
    double *const scratch = calloc(n, sizeof *scratch);
    canvas->has_no_memory |= scratch == NULL;
    return scratch;
}

/* ---- shapes ---- */

struct wg_dashes wg_pattern_dashes(enum wg_pattern pattern) {
    static const struct wg_dashes dashes[] = {{0, {0}}, {2, {4, 2.2}}, {2, {1, 1.8}}, {4, {5, 2, 1, 2}}, {2, {9, 2.5}}};
    return dashes[pattern];
}

/* Replaces every `step` numbers by their mean. Returns how many there are then. */
static int average_few(int n, const double *values, int step, double *out) {
    int m = 0;
    for (int i = 0; i < n; i += step) {
        const int end = i + step < n ? i + step : n;
        double sum = 0;
        for (int k = i; k < end; k++)
            sum += values[k];
        out[m++] = sum / (end - i);
    }
    return m;
}

/* Draws points without gaps: a line along `high` if `low` is NULL, else the area between. */
static void draw_segment(struct wg_canvas *canvas, int n, const double *x, const double *low, const double *high,
                         struct wg_colour colour, double width, enum wg_pattern pattern) {
    struct wg_pen *const pen = canvas->pen;
    double *few = NULL;
    if (n > MOST_POINTS) {
        const int step = (n + MOST_POINTS - 1) / MOST_POINTS;
        few = wg_canvas_scratch(canvas, 3 * (size_t)n);
        if (few == NULL)
            return;
        if (low != NULL)
            (void)average_few(n, low, step, few + n);
        (void)average_few(n, high, step, few + 2 * (size_t)n);
        low = low != NULL ? few + n : NULL;
        high = few + 2 * (size_t)n;
        n = average_few(n, x, step, few);
        x = few;
    }
    if (low != NULL)
        pen->area(pen, n, x, low, high, colour);
    else
        pen->line(pen, n, x, high, colour, width, pattern);
    free(few);
}

void wg_canvas_line(struct wg_canvas *canvas, int n, const double *x, const double *y, struct wg_colour colour,
                    double width, enum wg_pattern pattern) {
    for (int i = 0, from = 0; i <= n; i++) {
        if (i < n && !isnan(y[i]))
            continue;
        if (i - from > 1)
            draw_segment(canvas, i - from, x + from, NULL, y + from, colour, width, pattern);
        else if (i - from == 1)
            wg_canvas_box(canvas, x[from] - POINT_HALF_WIDTH, y[from] - width / 2, x[from] + POINT_HALF_WIDTH,
                          y[from] + width / 2, colour);
        from = i + 1;
    }
}

void wg_canvas_stroke(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour,
                      double width, enum wg_pattern pattern) {
    const double x[] = {x0, x1}, y[] = {y0, y1};
    wg_canvas_line(canvas, 2, x, y, colour, width, pattern);
}

void wg_canvas_area(struct wg_canvas *canvas, int n, const double *x, const double *low, const double *high,
                    struct wg_colour colour) {
    for (int i = 0, from = 0; i <= n; i++) {
        if (i < n && !isnan(low[i]) && !isnan(high[i]))
            continue;
        if (i - from > 1)
            draw_segment(canvas, i - from, x + from, low + from, high + from, colour, 0, WG_SOLID);
        else if (i - from == 1) /* a point between gaps, or a period of one day, which would otherwise be invisible */
            wg_canvas_box(canvas, x[from] - POINT_HALF_WIDTH, high[from], x[from] + POINT_HALF_WIDTH, low[from],
                          colour);
        from = i + 1;
    }
}

void wg_canvas_box(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour) {
    canvas->pen->box(canvas->pen, fmin(x0, x1), fmin(y0, y1), fmax(x0, x1), fmax(y0, y1), colour);
}

void wg_canvas_dot(struct wg_canvas *canvas, double x, double y, double radius, struct wg_colour colour) {
    canvas->pen->dot(canvas->pen, x, y, radius, colour);
}

/* ---- text ---- */

/* Replaces what the pens reject: invalid UTF-8 and control characters. */
static void copy_printable(const char *text, char *out, size_t size) {
    (void)snprintf(out, size, "%s", text);
    wg_utf8_trim(out);
    wg_utf8_clean(out);
}

double wg_canvas_text_width(struct wg_canvas *canvas, const struct wg_text_style *style, const char *text) {
    (void)canvas; /* the widths of all pens are equal */
    return wg_letters_width(text, style->size, style->bold);
}

void wg_canvas_text(struct wg_canvas *canvas, double x, double y, enum wg_align align,
                    const struct wg_text_style *style, const char *text) {
    char printable[1024];
    copy_printable(text, printable, sizeof printable);
    if (printable[0] != '\0')
        canvas->pen->text(canvas->pen, x, y, align, style, printable);
}

static size_t next_character(const char *text, size_t at) {
    do
        at += text[at] != '\0';
    while (!wg_utf8_starts(text[at]));
    return at;
}

static double prefix_width(struct wg_canvas *canvas, const struct wg_text_style *style, char *text, size_t n) {
    const char kept = text[n];
    text[n] = '\0';
    const double width = wg_canvas_text_width(canvas, style, text);
    text[n] = kept;
    return width;
}

/* Returns the length in bytes of the longest prefix of whole words that fits; of a single long word, as many characters
 * as fit, at least one. */
static size_t fitting_prefix(struct wg_canvas *canvas, const struct wg_text_style *style, char *text, double width) {
    size_t best = 0;
    for (size_t i = 0;; i++) {
        if (text[i] != ' ' && text[i] != '\0')
            continue;
        if (prefix_width(canvas, style, text, i) > width)
            break;
        best = i;
        if (text[i] == '\0')
            return best;
    }
    if (best > 0)
        return best;
    do {
        const size_t next = next_character(text, best);
        if (best > 0 && prefix_width(canvas, style, text, next) > width)
            break;
        best = next;
    } while (text[best] != '\0');
    return best;
}

struct wg_text_style wg_canvas_fit_text(struct wg_canvas *canvas, struct wg_text_style style, double min_size,
                                        double width, int max_lines, const char *text) {
    char printable[1024];
    copy_printable(text, printable, sizeof printable);
    for (; style.size > min_size; style.size--) {
        char *at = printable;
        for (int i = 0; i < max_lines && *at != '\0'; i++) {
            at += fitting_prefix(canvas, &style, at, width);
            at += strspn(at, " ");
        }
        if (*at == '\0')
            break;
    }
    return style;
}

void wg_canvas_name(struct wg_canvas *canvas, double x, double y, double width, const struct wg_text_style *style,
                    const char *text) {
    char printable[1024], abbreviated[1024 + 4];
    copy_printable(text, printable, sizeof printable);
    const size_t length = strlen(printable);
    size_t head = length / 2;
    while (head > 0 && !wg_utf8_starts(printable[head]))
        head--;
    (void)snprintf(abbreviated, sizeof abbreviated, "%s", printable);
    for (size_t tail = head; head > 0 && wg_canvas_text_width(canvas, style, abbreviated) > width;) {
        if (head >= length - tail)
            do
                head--;
            while (head > 0 && !wg_utf8_starts(printable[head]));
        else
            tail = next_character(printable, tail);
        (void)snprintf(abbreviated, sizeof abbreviated, "%.*s…%s", (int)head, printable, printable + tail);
    }
    wg_canvas_text(canvas, x, y, WG_LEFT, style, abbreviated);
}

double wg_canvas_paragraph(struct wg_canvas *canvas, double x, double y, double width, int max_lines,
                           const struct wg_text_style *style, const char *text) {
    char printable[1024], line[1024 + 4];
    copy_printable(text, printable, sizeof printable);
    char *at = printable;
    for (int i = 0; i < max_lines && *at != '\0'; i++) {
        const bool is_last = i == max_lines - 1;
        const double dots = is_last ? wg_canvas_text_width(canvas, style, "...") : 0;
        size_t n = fitting_prefix(canvas, style, at, width);
        const bool is_cut = is_last && at[n] != '\0';
        if (is_cut)
            n = fitting_prefix(canvas, style, at, width - dots);
        memcpy(line, at, n);
        memcpy(line + n, is_cut ? "..." : "", is_cut ? 4 : 1);
        wg_canvas_text(canvas, x, y, WG_LEFT, style, line);
        y += LINE_SPACING * style->size;
        at += n;
        at += strspn(at, " ");
    }
    return y;
}
