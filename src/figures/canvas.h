/**
 * Ink on a sheet: one routine draws it as SVG, PDF and PNG, in a wide and in a narrow shape.
 *
 * Everything the project knows of cairo is in canvas.c. Failures are sticky and
 * come out of wg_canvas_render().
 */
#ifndef WG_FIGURES_CANVAS_H
#define WG_FIGURES_CANVAS_H

#include "figures/colours.h"
#include "text/bytes.h"

/** What is drawn on. Letters have the same size in units on all sheets; the narrow one is drawn larger. */
struct wg_sheet {
    double width, height;
    bool has_words; /* title, note and foot are drawn too; 0 where the page around says them */
};
#define WG_SLIDE_W 1280.0
#define WG_SLIDE_H 720.0
#define WG_PAGE_H 620.0  /* as wide as the slide; its words stand in the page */
#define WG_PHONE_W 560.0 /* ticks of 19 units are 12 pixels high on a screen 360 wide */

enum wg_picture_format { WG_SVG, WG_PDF, WG_PNG, WG_N_PICTURES };
/** "svg", "pdf", "png" */
const char *wg_picture_extension(enum wg_picture_format kind);

struct wg_canvas;

/** What a picture says of itself. PDF only: SVG gets its words in svg.c. */
struct wg_picture_facts {
    const char *title;
    const char *date; /* ISO 8601, of the result, so that the bytes repeat; "" for none */
};
/** Draws a sheet into *out. 0, WG_ERR_MEMORY or WG_ERR_INTERNAL. */
int wg_canvas_render(enum wg_picture_format kind, const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                     void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_bytes *out,
                     struct wg_error *err);

const struct wg_sheet *wg_canvas_sheet(const struct wg_canvas *canvas);
/** Names then stand above or below a frame: at its side there is no room. */
bool wg_canvas_is_narrow(const struct wg_canvas *canvas);
/** Room for n numbers to draw with; free() it. NULL where there is none, which wg_canvas_render() tells. */
double *wg_canvas_scratch(struct wg_canvas *canvas, size_t n);

enum wg_pattern { WG_SOLID, WG_DASHED, WG_DOTTED, WG_DASH_DOT, WG_LONG_DASHED };

/** A line through n points; where y is NaN it is broken. A point alone is a short dash, of an area a bar. */
void wg_canvas_line(struct wg_canvas *canvas, int n, const double *x, const double *y, struct wg_colour colour,
                    double width, enum wg_pattern pattern);
/** Straight, from one point to another. */
void wg_canvas_stroke(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour,
                      double width, enum wg_pattern pattern);
/** The area between two lines over the same x; broken at NaN. */
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
/** Letters on the baseline y. */
void wg_canvas_text(struct wg_canvas *canvas, double x, double y, enum wg_align align,
                    const struct wg_text_style *lettering, const char *text);
double wg_canvas_text_width(struct wg_canvas *canvas, const struct wg_text_style *lettering, const char *text);
/** The lettering, smaller down to `least` if the text does not fit into `most` lines of that width otherwise. */
struct wg_text_style wg_canvas_fit_text(struct wg_canvas *canvas, struct wg_text_style lettering, double least,
                                        double width, int most, const char *text);
/** A name on one line; where it is wider than `width` its middle is left out, since names often differ at their ends. */
void wg_canvas_name(struct wg_canvas *canvas, double x, double y, double width, const struct wg_text_style *lettering,
                    const char *text);
/** Broken at spaces so that no line is wider than `width`; what does not fit into `most` lines ends in "...". Gives the baseline below. */
double wg_canvas_paragraph(struct wg_canvas *canvas, double x, double y, double width, int most,
                           const struct wg_text_style *lettering, const char *text);

#endif
