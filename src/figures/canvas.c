/*
 * Draws to SVG, PDF and PNG with cairo. The font is DejaVu Sans, embedded in the file, so that it looks the same on any
 * machine.
 */
#include "figures/canvas.h"

#include "base/utf8.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FONT "DejaVu Sans"
#define PDF_SCALE 0.6        /* 768 by 432 points: fits US letter and A4 in landscape */
#define LINE_SPACING 1.3     /* of the font size */
#define POINT_HALF_WIDTH 6.0 /* half the width of an isolated point */

struct wg_canvas {
    cairo_t *cairo;
    const struct wg_sheet *sheet;
    bool has_no_memory; /* scratch memory ran out */
};

const char *wg_picture_extension(enum wg_picture_format kind) {
    static const char *const ending[WG_N_PICTURES] = {"svg", "pdf", "png"};
    return ending[kind];
}

/* ---- pages ---- */

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

static cairo_surface_t *new_page(enum wg_picture_format kind, const struct wg_sheet *sheet,
                                 const struct wg_picture_facts *facts, struct wg_bytes *out) {
    switch (kind) {
    case WG_SVG: {
        cairo_surface_t *const surface =
            cairo_svg_surface_create_for_stream(append_output, out, sheet->width, sheet->height);
        cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PX);
        return surface;
    }
    case WG_PDF:
        return new_pdf(sheet, facts, out);
    case WG_PNG:
    case WG_N_PICTURES:
        break;
    }
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)sheet->width, (int)sheet->height);
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

int wg_canvas_render(enum wg_picture_format kind, const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                     void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_bytes *out,
                     struct wg_error *err) {
    cairo_surface_t *const surface = new_page(kind, sheet, facts, out);
    struct wg_canvas canvas = {cairo_create(surface), sheet, false};
    if (kind == WG_PDF)
        cairo_scale(canvas.cairo, PDF_SCALE, PDF_SCALE);
    set_font_options(canvas.cairo);
    wg_canvas_box(&canvas, 0, 0, sheet->width, sheet->height, WG_WHITE);
    draw(&canvas, what);
    cairo_status_t status = cairo_status(canvas.cairo);
    cairo_destroy(canvas.cairo);
    if (status == CAIRO_STATUS_SUCCESS && kind == WG_PNG)
        status = cairo_surface_write_to_png_stream(surface, append_output, out);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (status == CAIRO_STATUS_NO_MEMORY || out->failed || canvas.has_no_memory)
        return wg_no_memory(err, NULL);
    if (status != CAIRO_STATUS_SUCCESS)
        return wg_fail(err, WG_ERR_INTERNAL, NULL, "A picture could not be drawn: %s.", cairo_status_to_string(status));
    return 0;
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

static void set_colour(struct wg_canvas *canvas, struct wg_colour colour) {
    cairo_set_source_rgba(canvas->cairo, colour.red, colour.green, colour.blue, colour.alpha);
}

static void set_pattern(struct wg_canvas *canvas, enum wg_pattern pattern, double width) {
    static const struct {
        int n;
        double length[4]; /* in line widths */
    } dashes[] = {{0, {0}}, {2, {4, 2.2}}, {2, {1, 1.8}}, {4, {5, 2, 1, 2}}, {2, {9, 2.5}}};
    double length[4];
    for (int i = 0; i < dashes[pattern].n; i++)
        length[i] = width * dashes[pattern].length[i];
    cairo_set_dash(canvas->cairo, length, dashes[pattern].n, 0);
    cairo_set_line_width(canvas->cairo, width);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
}

/* Draws a point between gaps, or a period of one day, which would otherwise be invisible. */
static void draw_lone_point(struct wg_canvas *canvas, double x, double low, double high) {
    cairo_rectangle(canvas->cairo, x - POINT_HALF_WIDTH, high, 2 * POINT_HALF_WIDTH, low - high);
}

static bool is_missing_point(int n, const double *y, int i) {
    return i < 0 || i >= n || isnan(y[i]);
}

void wg_canvas_line(struct wg_canvas *canvas, int n, const double *x, const double *y, struct wg_colour colour,
                    double width, enum wg_pattern pattern) {
    bool is_pen_down = false;
    cairo_new_path(canvas->cairo); /* text leaves a current point */
    for (int i = 0; i < n; i++) {
        if (isnan(y[i])) {
            is_pen_down = false;
        } else if (is_pen_down) {
            cairo_line_to(canvas->cairo, x[i], y[i]);
        } else {
            cairo_move_to(canvas->cairo, x[i], y[i]);
            is_pen_down = true;
        }
    }
    set_colour(canvas, colour);
    set_pattern(canvas, pattern, width);
    cairo_stroke(canvas->cairo);
    for (int i = 0; i < n; i++)
        if (!is_missing_point(n, y, i) && is_missing_point(n, y, i - 1) && is_missing_point(n, y, i + 1)) {
            draw_lone_point(canvas, x[i], y[i] + width / 2, y[i] - width / 2);
            cairo_fill(canvas->cairo);
        }
}

void wg_canvas_stroke(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour,
                      double width, enum wg_pattern pattern) {
    const double x[] = {x0, x1}, y[] = {y0, y1};
    wg_canvas_line(canvas, 2, x, y, colour, width, pattern);
}

/* Fills points from..to-1, none NaN. */
static void fill_segment(struct wg_canvas *canvas, int from, int to, const double *x, const double *low,
                         const double *high) {
    cairo_new_path(canvas->cairo); /* text leaves a current point */
    for (int i = from; i < to; i++)
        cairo_line_to(canvas->cairo, x[i], high[i]);
    for (int i = to - 1; i >= from; i--)
        cairo_line_to(canvas->cairo, x[i], low[i]);
    cairo_close_path(canvas->cairo);
    if (to - from == 1)
        draw_lone_point(canvas, x[from], low[from], high[from]);
    cairo_fill(canvas->cairo);
}

void wg_canvas_area(struct wg_canvas *canvas, int n, const double *x, const double *low, const double *high,
                    struct wg_colour colour) {
    set_colour(canvas, colour);
    int from = 0;
    for (int i = 0; i <= n; i++) {
        if (i < n && !isnan(low[i]) && !isnan(high[i]))
            continue;
        if (i > from)
            fill_segment(canvas, from, i, x, low, high);
        from = i + 1;
    }
}

void wg_canvas_box(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour) {
    set_colour(canvas, colour);
    cairo_rectangle(canvas->cairo, x0, y0, x1 - x0, y1 - y0);
    cairo_fill(canvas->cairo);
}

void wg_canvas_dot(struct wg_canvas *canvas, double x, double y, double radius, struct wg_colour colour) {
    static const double full_circle = 6.283185307179586;
    set_colour(canvas, colour);
    cairo_new_path(canvas->cairo);
    cairo_arc(canvas->cairo, x, y, radius, 0, full_circle);
    cairo_fill(canvas->cairo);
}

/* ---- text ---- */

static void select_font(struct wg_canvas *canvas, const struct wg_text_style *style) {
    cairo_select_font_face(canvas->cairo, FONT, CAIRO_FONT_SLANT_NORMAL,
                           style->bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(canvas->cairo, style->size);
}

double wg_canvas_text_width(struct wg_canvas *canvas, const struct wg_text_style *style, const char *text) {
    cairo_text_extents_t extents = {0};
    select_font(canvas, style);
    cairo_text_extents(canvas->cairo, text, &extents);
    return extents.x_advance;
}

/* Replaces what cairo rejects: invalid UTF-8 and control characters. */
static void copy_printable(const char *text, char *out, size_t size) {
    (void)snprintf(out, size, "%s", text);
    wg_utf8_trim(out);
    wg_utf8_clean(out);
}

void wg_canvas_text(struct wg_canvas *canvas, double x, double y, enum wg_align align,
                    const struct wg_text_style *style, const char *text) {
    char printable[1024];
    copy_printable(text, printable, sizeof printable);
    const double width = align == WG_LEFT ? 0 : wg_canvas_text_width(canvas, style, printable);
    select_font(canvas, style);
    set_colour(canvas, style->colour);
    cairo_move_to(canvas->cairo, align == WG_LEFT ? x : align == WG_RIGHT ? x - width : x - width / 2, y);
    cairo_show_text(canvas->cairo, printable);
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
