/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws PDF and PNG with cairo, in DejaVu Sans, which PDF embeds.
 */
#include "drawing/pen.h"
#include "drawing/picture.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <stdlib.h>

#define PDF_SCALE 0.6 /* 768 by 432 points: fits US letter and A4 in landscape */

struct cairo_pen {
    struct wg_pen pen;
    enum wg_picture_format kind;
    cairo_surface_t *surface;
    cairo_t *cairo;
    struct wg_bytes *out;
};

static cairo_t *cairo_of(struct wg_pen *pen) {
    return ((struct cairo_pen *)pen)->cairo;
}

static cairo_status_t append_output(void *self, const unsigned char *data, unsigned size) {
    struct wg_bytes *const bytes = self;
    wg_bytes_add(bytes, data, size);
    return bytes->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

static cairo_surface_t *new_pdf(const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                                struct wg_bytes *out) {
    cairo_surface_t *const surface =
        cairo_pdf_surface_create_for_stream(append_output, out, PDF_SCALE * sheet->width, PDF_SCALE * sheet->height);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, facts->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "wintergrub");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   *facts->date != '\0' ? facts->date : "1970-01-01T00:00:00Z");
    return surface;
}

/* Turns off hinting, so that text has the same width in all formats. */
static void set_font_options(cairo_t *cairo) {
    cairo_font_options_t *const options = cairo_font_options_create();
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cairo, options);
    cairo_font_options_destroy(options);
}

/* ---- shapes ---- */

static void set_colour(cairo_t *cairo, struct wg_colour colour) {
    cairo_set_source_rgba(cairo, colour.red, colour.green, colour.blue, colour.alpha);
    cairo_new_path(cairo); /* text leaves a current point */
}

static void draw_cairo_line(struct wg_pen *pen, int n, const double *x, const double *y, struct wg_colour colour,
                            double width, enum wg_pattern pattern) {
    cairo_t *const cairo = cairo_of(pen);
    struct wg_dashes dashes = wg_pattern_dashes(pattern);
    for (int i = 0; i < dashes.n; i++)
        dashes.length[i] *= width;
    set_colour(cairo, colour);
    cairo_set_dash(cairo, dashes.length, dashes.n, 0);
    cairo_set_line_width(cairo, width);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    for (int i = 0; i < n; i++)
        cairo_line_to(cairo, x[i], y[i]);
    cairo_stroke(cairo);
}

static void draw_cairo_area(struct wg_pen *pen, int n, const double *x, const double *low, const double *high,
                            struct wg_colour colour) {
    cairo_t *const cairo = cairo_of(pen);
    set_colour(cairo, colour);
    for (int i = 0; i < n; i++)
        cairo_line_to(cairo, x[i], high[i]);
    for (int i = n - 1; i >= 0; i--)
        cairo_line_to(cairo, x[i], low[i]);
    cairo_close_path(cairo);
    cairo_fill(cairo);
}

static void draw_cairo_box(struct wg_pen *pen, double x0, double y0, double x1, double y1, struct wg_colour colour) {
    cairo_t *const cairo = cairo_of(pen);
    set_colour(cairo, colour);
    cairo_rectangle(cairo, x0, y0, x1 - x0, y1 - y0);
    cairo_fill(cairo);
}

static void draw_cairo_dot(struct wg_pen *pen, double x, double y, double radius, struct wg_colour colour) {
    static const double full_circle = 6.283185307179586;
    cairo_t *const cairo = cairo_of(pen);
    set_colour(cairo, colour);
    cairo_arc(cairo, x, y, radius, 0, full_circle);
    cairo_fill(cairo);
}

static void draw_cairo_text(struct wg_pen *pen, double x, double y, enum wg_align align,
                            const struct wg_text_style *style, const char *text) {
    cairo_t *const cairo = cairo_of(pen);
    cairo_text_extents_t extents = {0};
    cairo_select_font_face(cairo, WG_FONT, CAIRO_FONT_SLANT_NORMAL,
                           style->bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo, style->size);
    cairo_text_extents(cairo, text, &extents);
    set_colour(cairo, style->colour);
    cairo_move_to(cairo, x - extents.x_advance * (align == WG_LEFT ? 0 : align == WG_RIGHT ? 1 : 0.5), y);
    cairo_show_text(cairo, text);
}

/* ---- the pen ---- */

static int finish_cairo(struct wg_pen *pen, struct wg_error *err) {
    struct cairo_pen *const self = (struct cairo_pen *)pen;
    const bool out_of_room = self->out->failed;
    cairo_status_t status = cairo_status(self->cairo);
    cairo_destroy(self->cairo);
    if (status == CAIRO_STATUS_SUCCESS && self->kind == WG_PNG)
        status = cairo_surface_write_to_png_stream(self->surface, append_output, self->out);
    cairo_surface_finish(self->surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(self->surface);
    cairo_surface_destroy(self->surface);
    const bool has_no_memory = status == CAIRO_STATUS_NO_MEMORY || out_of_room || self->out->failed;
    free(self);
    if (has_no_memory)
        return wg_no_memory(err, NULL);
    if (status != CAIRO_STATUS_SUCCESS)
        return wg_fail(err, WG_ERR_INTERNAL, NULL, "A picture could not be drawn: %s.", cairo_status_to_string(status));
    return 0;
}

/* Creates a pen; NULL and *err without memory. */
static struct wg_pen *new_pen(enum wg_picture_format kind, const struct wg_sheet *sheet,
                              const struct wg_picture_facts *facts, struct wg_bytes *out, struct wg_error *err) {
    struct cairo_pen *const self = calloc(1, sizeof *self);
    if (self == NULL) {
        (void)wg_no_memory(err, NULL);
        return NULL;
    }
    self->pen = (struct wg_pen){draw_cairo_line, draw_cairo_area, draw_cairo_box,
                                draw_cairo_dot,  draw_cairo_text, finish_cairo};
    self->kind = kind;
    self->out = out;
    self->surface = kind == WG_PDF
                        ? new_pdf(sheet, facts, out)
                        : cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)sheet->width, (int)sheet->height);
    self->cairo = cairo_create(self->surface);
    if (kind == WG_PDF)
        cairo_scale(self->cairo, PDF_SCALE, PDF_SCALE);
    set_font_options(self->cairo);
    draw_cairo_box(&self->pen, 0, 0, sheet->width, sheet->height, WG_WHITE);
    return &self->pen;
}

int wg_canvas_render(enum wg_picture_format kind, const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                     void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_bytes *out,
                     struct wg_error *err) {
    return wg_pen_draw(new_pen(kind, sheet, facts, out, err), sheet, draw, what, err);
}
