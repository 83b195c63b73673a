/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A drawing surface: the same calls draw SVG, PDF and PNG, in a wide and a narrow shape.
 *
 * Layouts use a table of letter widths, never the fonts of the machine, so that pages have the same bytes everywhere.
 * Errors are sticky; the functions that render return them.
 */
#ifndef WG_DRAWING_CANVAS_H
#define WG_DRAWING_CANVAS_H

#include "drawing/colours.h"
#include "text/bytes.h"

/** A sheet. Fonts have the same size in units on all sheets; pages display the narrow one larger. */
struct wg_sheet {
    double width, height;
    bool has_words; /* draw title, note and foot too; false if the page around has them */
};
#define WG_SLIDE_W 1280.0
#define WG_SLIDE_H 720.0
#define WG_PAGE_H 620.0  /* as wide as the slide; the page has the text */
#define WG_PHONE_W 560.0 /* tick labels of 19 units are 12 pixels high on a screen 360 pixels wide */

struct wg_canvas;

/** Draws a sheet as SVG elements, without <svg>, into *out. Returns 0 or WG_ERR_MEMORY. */
int wg_canvas_render_svg(const struct wg_sheet *sheet, void (*draw)(struct wg_canvas *canvas, const void *what),
                         const void *what, struct wg_bytes *out, struct wg_error *err);

/**
 * The long curves of the first of several drawings. If a later drawing has the same curve in a frame of another size, it
 * refers to the first with a transformation, so that a page holds each curve once. Zero-initialise; free after use.
 */
struct wg_curves {
    const char *prefix; /* of the ids */
    bool is_complete;   /* false while the first drawing adds its curves */
    int n, next;        /* curves, and the one to be matched next */
    struct wg_shared_curve *curve;
};
void wg_curves_free(struct wg_curves *curves);
/** Draws a sheet of a page as SVG elements. Strokes are in pixels of the screen: the page sets vector-effect. */
int wg_canvas_render_inline(const struct wg_sheet *sheet, struct wg_curves *curves,
                            void (*draw)(struct wg_canvas *canvas, const void *what), const void *what,
                            struct wg_bytes *out, struct wg_error *err);
/** Units of the SVG elements in a unit of the sheet. */
#define WG_SVG_SCALE 10

const struct wg_sheet *wg_canvas_sheet(const struct wg_canvas *canvas);
/** True for the narrow sheet, whose sides have no space for names. */
bool wg_canvas_is_narrow(const struct wg_canvas *canvas);
/** Allocates scratch for n numbers; free() it. NULL: no memory, which is reported at the end. */
double *wg_canvas_scratch(struct wg_canvas *canvas, size_t n);

enum wg_pattern { WG_SOLID, WG_DASHED, WG_DOTTED, WG_DASH_DOT, WG_LONG_DASHED };

/**
 * Draws a line through n points, with gaps at NaN. An isolated point becomes a short dash. More than a thousand points
 * are drawn as the means of every few.
 */
void wg_canvas_line(struct wg_canvas *canvas, int n, const double *x, const double *y, struct wg_colour colour,
                    double width, enum wg_pattern pattern);
/** Draws a straight line. */
void wg_canvas_stroke(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour,
                      double width, enum wg_pattern pattern);
/** Fills the area between two lines over the same x, with gaps at NaN. An isolated point becomes a bar. */
void wg_canvas_area(struct wg_canvas *canvas, int n, const double *x, const double *low, const double *high,
                    struct wg_colour colour);
void wg_canvas_box(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour);
void wg_canvas_dot(struct wg_canvas *canvas, double x, double y, double radius, struct wg_colour colour);

enum wg_align { WG_LEFT, WG_CENTRE, WG_RIGHT };
struct wg_text_style {
    double size;
    bool bold;
    struct wg_colour colour;
};
/** Draws text on the baseline y. */
void wg_canvas_text(struct wg_canvas *canvas, double x, double y, enum wg_align align,
                    const struct wg_text_style *style, const char *text);
double wg_canvas_text_width(struct wg_canvas *canvas, const struct wg_text_style *style, const char *text);
/** Returns the style with its size reduced, down to `min_size`, until the text fits into `max_lines` lines of that width. */
struct wg_text_style wg_canvas_fit_text(struct wg_canvas *canvas, struct wg_text_style style, double min_size,
                                        double width, int max_lines, const char *text);
/** Draws a name on one line; if it is wider than `width`, abbreviates its middle, because names often differ at the end. */
void wg_canvas_name(struct wg_canvas *canvas, double x, double y, double width, const struct wg_text_style *style,
                    const char *text);
/** Draws text wrapped to `width`, truncated with "..." after `max_lines` lines. Returns the next baseline. */
double wg_canvas_paragraph(struct wg_canvas *canvas, double x, double y, double width, int max_lines,
                           const struct wg_text_style *style, const char *text);

#endif
