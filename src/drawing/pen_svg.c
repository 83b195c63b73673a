/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws SVG as small as it can be: integers, groups of equal style, and curves without the points that are not seen.
 */
#include "drawing/label.h"
#include "drawing/pen.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TOLERANCE 3.0     /* tenths of a unit: a quarter of a pixel at the usual size */
#define SAME 1e-6         /* of the height and width of two curves */
#define LEAST_SHARED 12   /* points: a shorter curve is not worth a reference */
#define FITTED_WIDTH 80.0 /* units: longer text keeps its width in any font; shorter text never touches other text */
#define WIDE_PIXELS 0.8   /* of the screen in a unit of a wide page (judgement: 1,024 pixels) */
#define NARROW_PIXELS 0.7 /* of a narrow one: a phone of 390 */

/* A curve in a frame from 0 to 1, and its frame on the sheet. */
struct wg_shared_curve {
    int n, id;
    double x0, y0, width, height;
    double *value; /* x, high, and low of an area */
};

struct svg_pen {
    struct wg_pen pen;
    struct wg_bytes *out;
    struct wg_curves *curves;
    char group[256]; /* the attributes of the open <g>, "" for none */
    bool is_path_open;
    double stroke_scale;
};

static long to_units(double value) {
    return lround(value * WG_SVG_SCALE);
}

static void close_path(struct svg_pen *self) {
    if (self->is_path_open)
        wg_bytes_put(self->out, "\"/>\n");
    self->is_path_open = false;
}

/* Opens a group with these attributes unless it is open. */
static void open_style(struct svg_pen *self, const char *attributes) {
    if (strcmp(self->group, attributes) == 0)
        return;
    close_path(self);
    if (self->group[0] != '\0')
        wg_bytes_put(self->out, "</g>\n");
    wg_bytes_printf(self->out, "<g %s>\n", attributes);
    (void)snprintf(self->group, sizeof self->group, "%s", attributes);
}

/* Opens a path, or continues the one that is open. */
static void open_path(struct svg_pen *self) {
    if (!self->is_path_open)
        wg_bytes_put(self->out, "<path d=\"");
    self->is_path_open = true;
}

/* Writes an attribute's colour, and its opacity if it is not 1. */
static int write_colour(char *out, size_t size, const char *attribute, struct wg_colour c) {
    char opacity[48] = "";
    if (c.alpha < 1)
        (void)snprintf(opacity, sizeof opacity, " %s-opacity=\"%.3g\"", attribute, c.alpha);
    return snprintf(out, size, "%s=\"#%02lx%02lx%02lx\"%s", attribute, (unsigned long)lround(255 * c.red),
                    (unsigned long)lround(255 * c.green), (unsigned long)lround(255 * c.blue), opacity);
}

static void open_fill(struct svg_pen *self, struct wg_colour colour) {
    char attributes[128];
    (void)write_colour(attributes, sizeof attributes, "fill", colour);
    open_style(self, attributes);
}

static void open_stroke(struct svg_pen *self, struct wg_colour colour, double width, enum wg_pattern pattern) {
    const struct wg_dashes dashes = wg_pattern_dashes(pattern);
    const double shown = width * self->stroke_scale;
    char attributes[256];
    int used = write_colour(attributes, sizeof attributes, "stroke", colour);
    used += snprintf(attributes + used, sizeof attributes - (size_t)used, " stroke-width=\"%.3g\"", shown);
    for (int i = 0; i < dashes.n; i++)
        used += snprintf(attributes + used, sizeof attributes - (size_t)used, "%s%.3g",
                         i == 0 ? " stroke-dasharray=\"" : " ", dashes.length[i] * shown);
    if (dashes.n > 0)
        (void)snprintf(attributes + used, sizeof attributes - (size_t)used, "\"");
    open_style(self, attributes);
}

/* ---- curves ---- */

/* Where a relative path stands, in units of the SVG. */
struct point_of_path {
    long x, y;
    bool is_first; /* no number since the last letter */
};

static void put_step(struct svg_pen *self, struct point_of_path *at, long x, long y) {
    const long dx = x - at->x, dy = y - at->y;
    wg_bytes_printf(self->out, dx < 0 || at->is_first ? "%ld" : " %ld", dx);
    wg_bytes_printf(self->out, dy < 0 ? "%ld" : " %ld", dy);
    *at = (struct point_of_path){x, y, false};
}

/*
 * Writes a line from the point before, from index `from` in direction `step`, without the points that a straight line
 * passes within TOLERANCE: the swing filter, which keeps the cone of slopes that do (x is monotonic).
 */
static void put_simplified(struct svg_pen *self, struct point_of_path *at, int n, const double *x, const double *y,
                           int from, int step) {
    long last_x = at->x, last_y = at->y;
    double lowest = -HUGE_VAL, highest = HUGE_VAL;
    for (int k = 0, i = from; k < n; k++, i += step) {
        const long px = to_units(x[i]), py = to_units(y[i]);
        const double run = fabs((double)(px - at->x)), rise = (double)(py - at->y);
        const bool fits = run > 0 ? rise / run >= lowest && rise / run <= highest : k == 0 && py == at->y;
        if (!fits && (last_x != at->x || last_y != at->y)) {
            put_step(self, at, last_x, last_y);
            lowest = -HUGE_VAL;
            highest = HUGE_VAL;
        }
        const double width = fabs((double)(px - at->x)), height = (double)(py - at->y);
        if (width > 0) {
            lowest = fmax(lowest, (height - TOLERANCE) / width);
            highest = fmin(highest, (height + TOLERANCE) / width);
        } else if (py != at->y) { /* straight up or down: the next point fits no cone */
            lowest = HUGE_VAL;
            highest = -HUGE_VAL;
        }
        last_x = px;
        last_y = py;
    }
    if (last_x != at->x || last_y != at->y)
        put_step(self, at, last_x, last_y);
}

/* Writes the data of a path: a line along `high`, or back along `low`, closed. */
static void put_curve(struct svg_pen *self, int n, const double *x, const double *low, const double *high) {
    struct point_of_path at = {to_units(x[0]), to_units(high[0]), true};
    wg_bytes_printf(self->out, "M%ld %ldl", at.x, at.y);
    put_simplified(self, &at, n - 1, x, high, 1, 1);
    if (low != NULL) {
        put_step(self, &at, to_units(x[n - 1]), to_units(low[n - 1]));
        put_simplified(self, &at, n - 1, x, low, n - 2, -1);
        wg_bytes_put(self->out, "z");
    }
    if (at.is_first)
        wg_bytes_put(self->out, "0 0");
}

static void find_bounds(int n, const double *a, const double *b, double *low, double *range) {
    double least = HUGE_VAL, most = -HUGE_VAL;
    for (int i = 0; i < n; i++) {
        least = fmin(least, b != NULL ? fmin(a[i], b[i]) : a[i]);
        most = fmax(most, b != NULL ? fmax(a[i], b[i]) : a[i]);
    }
    *low = least;
    *range = most - least;
}

/* Normalises a curve. False: no memory. */
static bool normalise(struct wg_shared_curve *curve, int n, const double *x, const double *low, const double *high) {
    const size_t size = (size_t)n;
    *curve = (struct wg_shared_curve){.n = low != NULL ? 3 * n : 2 * n};
    find_bounds(n, x, NULL, &curve->x0, &curve->width);
    find_bounds(n, high, low, &curve->y0, &curve->height);
    curve->value = calloc(3 * size, sizeof *curve->value);
    for (int i = 0; curve->value != NULL && i < n; i++) {
        curve->value[i] = curve->width > 0 ? (x[i] - curve->x0) / curve->width : 0;
        curve->value[n + i] = curve->height > 0 ? (high[i] - curve->y0) / curve->height : 0;
        if (low != NULL)
            curve->value[2 * n + i] = curve->height > 0 ? (low[i] - curve->y0) / curve->height : 0;
    }
    return curve->value != NULL;
}

static bool are_equal_curves(const struct wg_shared_curve *a, const struct wg_shared_curve *b) {
    bool equal = a->n == b->n && (a->width > 0) == (b->width > 0) && (a->height > 0) == (b->height > 0);
    for (int i = 0; equal && i < a->n; i++)
        equal = fabs(a->value[i] - b->value[i]) < SAME;
    return equal;
}

/* Finds the curve in the first drawing; both have the same order. NULL: it is not there. */
static const struct wg_shared_curve *find_curve(struct wg_curves *curves, const struct wg_shared_curve *wanted) {
    for (int i = curves->next; i < curves->n; i++)
        if (are_equal_curves(&curves->curve[i], wanted)) {
            curves->next = i + 1;
            return &curves->curve[i];
        }
    return NULL;
}

/* Adds a curve of the first drawing; takes its values. False: no memory. */
static bool remember_curve(struct wg_curves *curves, struct wg_shared_curve *curve) {
    struct wg_shared_curve *const grown = realloc(curves->curve, ((size_t)curves->n + 1) * sizeof *grown);
    if (grown == NULL)
        return false;
    curves->curve = grown;
    curve->id = curves->n;
    grown[curves->n++] = *curve;
    return true;
}

static void refer_to_curve(struct svg_pen *self, const struct wg_shared_curve *first,
                           const struct wg_shared_curve *here) {
    const double scale_x = first->width > 0 ? here->width / first->width : 1,
                 scale_y = first->height > 0 ? here->height / first->height : 1;
    wg_bytes_printf(self->out, "<use href=\"#%s-c%d\" transform=\"matrix(%.5g 0 0 %.5g %ld %ld)\"/>\n",
                    self->curves->prefix, first->id, scale_x, scale_y, to_units(here->x0 - scale_x * first->x0),
                    to_units(here->y0 - scale_y * first->y0));
}

/*
 * Writes a path for the curve, or a reference to the one of the first drawing, in the open group. The attribute of a line
 * holds where it is referred to, which a page's style sheet does not reach.
 */
static void put_path(struct svg_pen *self, int n, const double *x, const double *low, const double *high) {
    struct wg_curves *const curves = n >= LEAST_SHARED ? self->curves : NULL;
    struct wg_shared_curve curve = {0};
    const struct wg_shared_curve *first = NULL;
    bool is_kept = false;
    close_path(self);
    if (curves != NULL && !normalise(&curve, n, x, low, high))
        self->out->failed = true;
    else if (curves != NULL && curves->is_complete)
        first = find_curve(curves, &curve);
    else if (curves != NULL)
        self->out->failed |= !(is_kept = remember_curve(curves, &curve));
    if (first != NULL) {
        refer_to_curve(self, first, &curve);
    } else {
        if (is_kept)
            wg_bytes_printf(self->out, "<path id=\"%s-c%d\"%s d=\"", curves->prefix, curve.id,
                            low == NULL ? " vector-effect=\"non-scaling-stroke\"" : "");
        else
            wg_bytes_put(self->out, "<path d=\"");
        put_curve(self, n, x, low, high);
        wg_bytes_put(self->out, "\"/>\n");
    }
    if (!is_kept)
        free(curve.value);
}

void wg_curves_free(struct wg_curves *curves) {
    for (int i = 0; i < curves->n; i++)
        free(curves->curve[i].value);
    free(curves->curve);
    *curves = (struct wg_curves){0};
}

/* ---- shapes and text ---- */

/* Continues the open path with one straight line. */
static void put_straight(struct svg_pen *self, long x0, long y0, long x1, long y1) {
    wg_bytes_printf(self->out, "M%ld %ld", x0, y0);
    if (x0 == x1)
        wg_bytes_printf(self->out, "v%ld", y1 - y0);
    else if (y0 == y1)
        wg_bytes_printf(self->out, "h%ld", x1 - x0);
    else
        wg_bytes_printf(self->out, "l%ld %ld", x1 - x0, y1 - y0);
}

static void draw_svg_line(struct wg_pen *pen, int n, const double *x, const double *y, struct wg_colour colour,
                          double width, enum wg_pattern pattern) {
    struct svg_pen *const self = (struct svg_pen *)pen;
    open_stroke(self, colour, width, pattern);
    if (n > 2) {
        put_path(self, n, x, NULL, y);
        return;
    }
    open_path(self);
    put_straight(self, to_units(x[0]), to_units(y[0]), to_units(x[1]), to_units(y[1]));
}

static void draw_svg_area(struct wg_pen *pen, int n, const double *x, const double *low, const double *high,
                          struct wg_colour colour) {
    struct svg_pen *const self = (struct svg_pen *)pen;
    open_fill(self, colour);
    put_path(self, n, x, low, high);
}

static void draw_svg_box(struct wg_pen *pen, double x0, double y0, double x1, double y1, struct wg_colour colour) {
    struct svg_pen *const self = (struct svg_pen *)pen;
    const long x = to_units(x0), y = to_units(y0), width = to_units(x1) - x, height = to_units(y1) - y;
    open_fill(self, colour);
    if (colour.alpha < 1)
        close_path(self); /* where two overlap, both are seen */
    open_path(self);
    wg_bytes_printf(self->out, "M%ld %ldh%ldv%ldh%ldz", x, y, width, height, -width);
}

static void draw_svg_dot(struct wg_pen *pen, double x, double y, double radius, struct wg_colour colour) {
    struct svg_pen *const self = (struct svg_pen *)pen;
    open_fill(self, colour);
    close_path(self);
    wg_bytes_printf(self->out, "<circle cx=\"%ld\" cy=\"%ld\" r=\"%ld\"/>\n", to_units(x), to_units(y),
                    to_units(radius));
}

static void draw_svg_text(struct wg_pen *pen, double x, double y, enum wg_align align,
                          const struct wg_text_style *style, const char *text) {
    static const char *const anchor[] = {"", " text-anchor=\"middle\"", " text-anchor=\"end\""};
    struct svg_pen *const self = (struct svg_pen *)pen;
    const double width = wg_letters_width(text, style->size, style->bold);
    char colour[128], attributes[256];
    (void)write_colour(colour, sizeof colour, "fill", style->colour);
    (void)snprintf(attributes, sizeof attributes, "%s font-size=\"%ld\"%s%s", colour, to_units(style->size),
                   style->bold ? " font-weight=\"bold\"" : "", anchor[align]);
    open_style(self, attributes);
    wg_bytes_printf(self->out, "<text x=\"%ld\" y=\"%ld\"", to_units(x), to_units(y));
    if (width >= FITTED_WIDTH)
        wg_bytes_printf(self->out, " textLength=\"%ld\" lengthAdjust=\"spacingAndGlyphs\"", to_units(width));
    wg_bytes_put(self->out, ">");
    wg_bytes_escape(self->out, text);
    wg_bytes_put(self->out, "</text>\n");
}

/* ---- the pen ---- */

static int finish_svg(struct wg_pen *pen, struct wg_error *err) {
    struct svg_pen *const self = (struct svg_pen *)pen;
    struct wg_bytes *const out = self->out;
    close_path(self);
    if (self->group[0] != '\0')
        wg_bytes_put(out, "</g>\n");
    if (self->curves != NULL)
        self->curves->is_complete = true;
    free(self);
    return wg_bytes_failed(out, err);
}

struct wg_pen *wg_pen_svg(const struct wg_sheet *sheet, struct wg_curves *curves, struct wg_bytes *out,
                          struct wg_error *err) {
    struct svg_pen *const self = calloc(1, sizeof *self);
    if (self == NULL) {
        (void)wg_no_memory(err, NULL);
        return NULL;
    }
    self->pen = (struct wg_pen){draw_svg_line, draw_svg_area, draw_svg_box, draw_svg_dot, draw_svg_text, finish_svg};
    self->out = out;
    self->curves = curves;
    self->stroke_scale = curves == NULL ? WG_SVG_SCALE : sheet->width < WG_SLIDE_W ? NARROW_PIXELS : WIDE_PIXELS;
    if (curves == NULL)
        draw_svg_box(&self->pen, 0, 0, sheet->width, sheet->height, WG_WHITE);
    else
        curves->next = 0;
    return &self->pen;
}
