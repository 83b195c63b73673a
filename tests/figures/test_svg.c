/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the SVG of a page against the curve that was drawn: what its points and references say, read back with strtol().
 *
 * References: the relative lineto and the matrix of a transform are those of SVG 2, sections 9.3 and 8.
 */
#include "drawing/canvas.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TestSuite(svg);

#define N 366
#define TOLERANCE 0.45 /* units: that of pen_svg.c, 0.3, and the rounding of two points to tenths */

struct drawn {
    struct wg_sheet sheet;
    double x[N], y[N];
};

/* A year of hills, jumps and flat days in the frame of a sheet. */
static void fill_frame(struct drawn *drawn, double left, double width, double top, double height) {
    for (int i = 0; i < N; i++) {
        const double value = i < 60 ? 0 : i < 200 ? 0.5 + 0.5 * sin(i / 9.0) : i % 50 == 0 ? 1 : exp(-(i - 200) / 40.0);
        drawn->x[i] = left + width * i / (N - 1);
        drawn->y[i] = top + height * (1 - value);
    }
}

static void draw_curve(struct wg_canvas *canvas, const void *what) {
    const struct drawn *const drawn = what;
    const struct wg_text_style style = {19, false, WG_BLACK};
    wg_canvas_line(canvas, N, drawn->x, drawn->y, WG_BLUE, 2, WG_SOLID);
    wg_canvas_text(canvas, 100, 100, WG_RIGHT, &style, "as <long> & wide as it is drawn");
}

static struct wg_bytes svg_of(const struct drawn *drawn, struct wg_curves *curves) {
    struct wg_bytes bytes = {0};
    struct wg_error err = {0};
    cr_assert_eq(wg_canvas_render_inline(&drawn->sheet, curves, draw_curve, drawn, &bytes, &err), 0);
    return bytes;
}

/* Returns the largest distance of the drawn points from the path "M x yl dx dy ...", after x' = a x + e, y' = d y + f. */
static double farthest(const char *path, const struct drawn *drawn, double a, double d, double e, double f,
                       int *n_points) {
    char *at;
    double worst = 0;
    long x = strtol(path + 1, &at, 10), y = strtol(at, &at, 10);
    int i = 0;
    for (at++, *n_points = 1; *at != '"'; ++*n_points) {
        const long to_x = x + strtol(at, &at, 10), to_y = y + strtol(at, &at, 10);
        const double x0 = (a * x + e) / WG_SVG_SCALE, x1 = (a * to_x + e) / WG_SVG_SCALE;
        for (; i < N && drawn->x[i] <= x1 + 0.06; i++) {
            const double share = (drawn->x[i] - x0) / (x1 - x0),
                         y_there = (d * (y + share * (to_y - y)) + f) / WG_SVG_SCALE;
            worst = fmax(worst, fabs(y_there - drawn->y[i]) / hypot(1, d * (to_y - y) / WG_SVG_SCALE / (x1 - x0)));
        }
        x = to_x;
        y = to_y;
    }
    cr_expect_eq(i, N, "the path ends at point %d", i);
    return worst;
}

Test(svg, curves_have_few_points_and_are_written_once) {
    static struct drawn wide = {.sheet = {1280, 620, false}}, narrow = {.sheet = {560, 800, false}};
    struct wg_curves curves = {.prefix = "c"};
    int n_points = 0;
    fill_frame(&wide, 112, 950, 30, 500);
    fill_frame(&narrow, 104, 442, 50, 660);
    struct wg_bytes first = svg_of(&wide, &curves), second = svg_of(&narrow, &curves);
    const char *const path = strstr(first.data, "<path id=\"c-c0\" vector-effect=\"non-scaling-stroke\" d=\"");
    cr_assert_not_null(path);
    cr_expect_lt(farthest(strchr(path, 'M'), &wide, 1, 1, 0, 0, &n_points), TOLERANCE);
    cr_expect_lt(n_points, N / 2);
    const char *const use = strstr(second.data, "<use href=\"#c-c0\" transform=\"matrix(");
    cr_assert_not_null(use, "%s", second.data);
    cr_expect_null(strstr(second.data, "<path"));
    char *end;
    const double a = strtod(strchr(use, '(') + 1, &end), b = strtod(end, &end), c = strtod(end, &end),
                 d = strtod(end, &end), e = strtod(end, &end), f = strtod(end, &end);
    cr_expect(b == 0 && c == 0);
    cr_expect_lt(farthest(strchr(path, 'M'), &narrow, a, d, e, f, &n_points), TOLERANCE * fmax(1, d) + 0.06);
    wg_bytes_free(&first);
    wg_bytes_free(&second);
    wg_curves_free(&curves);
}

Test(svg, another_curve_is_not_a_reference) {
    static struct drawn wide = {.sheet = {1280, 620, false}}, narrow = {.sheet = {560, 800, false}};
    struct wg_curves curves = {.prefix = "c"};
    fill_frame(&wide, 112, 950, 30, 500);
    fill_frame(&narrow, 104, 442, 50, 660);
    narrow.y[100] -= 1;
    struct wg_bytes first = svg_of(&wide, &curves), second = svg_of(&narrow, &curves);
    cr_expect_null(strstr(second.data, "<use"));
    cr_expect_not_null(strstr(second.data, "<path d=\"M"));
    cr_expect_not_null(strstr(second.data, ">as &#60;long&#62; &#38; wide as it is drawn</text>"));
    cr_expect_not_null(strstr(second.data, "text-anchor=\"end\""));
    wg_bytes_free(&first);
    wg_bytes_free(&second);
    wg_curves_free(&curves);
}
