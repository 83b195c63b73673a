/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * What draws a canvas: cairo's PDF and PNG (pen_cairo.c), or SVG (pen_svg.c).
 */
#ifndef WG_DRAWING_PEN_H
#define WG_DRAWING_PEN_H

#include "drawing/canvas.h"

/** The functions of a pen; the first member of its own structure. Positions are units of the sheet, without gaps. */
struct wg_pen {
    void (*line)(struct wg_pen *pen, int n, const double *x, const double *y, struct wg_colour colour, double width,
                 enum wg_pattern pattern);
    void (*area)(struct wg_pen *pen, int n, const double *x, const double *low, const double *high,
                 struct wg_colour colour);
    void (*box)(struct wg_pen *pen, double x0, double y0, double x1, double y1, struct wg_colour colour);
    void (*dot)(struct wg_pen *pen, double x, double y, double radius, struct wg_colour colour);
    /** `text` is printable UTF-8. */
    void (*text)(struct wg_pen *pen, double x, double y, enum wg_align align, const struct wg_text_style *style,
                 const char *text);
    /** Ends the drawing and frees the pen. Returns 0 or a negative error. */
    int (*finish)(struct wg_pen *pen, struct wg_error *err);
};

/** The lengths of dashes and gaps of a pattern, in line widths. */
struct wg_dashes {
    int n;
    double length[4];
};
struct wg_dashes wg_pattern_dashes(enum wg_pattern pattern);

/** The font of all figures, and of a machine that lacks it. */
#define WG_FONT "DejaVu Sans"
#define WG_FONT_STACK "DejaVu Sans,Verdana,sans-serif"

/** Creates a pen for SVG; NULL and *err without memory. `out` receives the elements without <svg>. */
struct wg_pen *wg_pen_svg(const struct wg_sheet *sheet, struct wg_curves *curves, struct wg_bytes *out,
                          struct wg_error *err);
/** Draws with a pen (NULL: WG_ERR_MEMORY, already reported) and ends it. Returns 0 or a negative error. */
int wg_pen_draw(struct wg_pen *pen, const struct wg_sheet *sheet,
                void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_error *err);

#endif
