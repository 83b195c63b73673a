/*
 * How does one drawing become three files? cairo draws to SVG, PDF and pixels
 * with the same calls. Letters are DejaVu Sans, whose shapes go into the file, so
 * that it looks the same on a machine that has other fonts.
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
#define PDF_SCALE 0.6    /* 768 by 432 points: fits letter and A4 lying down */
#define LINE_SPACING 1.3 /* of the size of the letters */
#define LONE 6.0         /* half as wide as a point alone is drawn */

struct wg_canvas {
    cairo_t *cairo;
    const struct wg_sheet *sheet;
    bool has_no_memory; /* for what was to be drawn */
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
    cairo_surface_t *const page =
        cairo_pdf_surface_create_for_stream(append_output, out, PDF_SCALE * sheet->width, PDF_SCALE * sheet->height);
    cairo_pdf_surface_set_metadata(page, CAIRO_PDF_METADATA_TITLE, facts->title);
    cairo_pdf_surface_set_metadata(page, CAIRO_PDF_METADATA_CREATOR, "wintergrub");
    cairo_pdf_surface_set_metadata(page, CAIRO_PDF_METADATA_CREATE_DATE,
                                   *facts->date != '\0' ? facts->date : "1970-01-01T00:00:00Z");
    return page;
}

static cairo_surface_t *new_page(enum wg_picture_format kind, const struct wg_sheet *sheet,
                                 const struct wg_picture_facts *facts, struct wg_bytes *out) {
    switch (kind) {
    case WG_SVG: {
        cairo_surface_t *const page =
            cairo_svg_surface_create_for_stream(append_output, out, sheet->width, sheet->height);
        cairo_svg_surface_set_document_unit(page, CAIRO_SVG_UNIT_PX);
        return page;
    }
    case WG_PDF:
        return new_pdf(sheet, facts, out);
    case WG_PNG:
    case WG_N_PICTURES:
        break;
    }
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)sheet->width, (int)sheet->height);
}

/* Letters as they are drawn, not fitted to pixels: the same widths in all three. */
static void set_letters(cairo_t *cairo) {
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
    cairo_surface_t *const page = new_page(kind, sheet, facts, out);
    struct wg_canvas canvas = {cairo_create(page), sheet, false};
    if (kind == WG_PDF)
        cairo_scale(canvas.cairo, PDF_SCALE, PDF_SCALE);
    set_letters(canvas.cairo);
    wg_canvas_box(&canvas, 0, 0, sheet->width, sheet->height, WG_WHITE);
    draw(&canvas, what);
    cairo_status_t status = cairo_status(canvas.cairo);
    cairo_destroy(canvas.cairo);
    if (status == CAIRO_STATUS_SUCCESS && kind == WG_PNG)
        status = cairo_surface_write_to_png_stream(page, append_output, out);
    cairo_surface_finish(page);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(page);
    cairo_surface_destroy(page);
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
    double *const room = calloc(n, sizeof *room);
    canvas->has_no_memory |= room == NULL;
    return room;
}

/* ---- ink ---- */

static void set_colour(struct wg_canvas *canvas, struct wg_colour colour) {
    cairo_set_source_rgba(canvas->cairo, colour.red, colour.green, colour.blue, colour.alpha);
}

static void set_pattern(struct wg_canvas *canvas, enum wg_pattern pattern, double width) {
    static const struct {
        int n;
        double length[4]; /* in widths of the line */
    } dashes[] = {{0, {0}}, {2, {4, 2.2}}, {2, {1, 1.8}}, {4, {5, 2, 1, 2}}, {2, {9, 2.5}}};
    double length[4];
    for (int i = 0; i < dashes[pattern].n; i++)
        length[i] = width * dashes[pattern].length[i];
    cairo_set_dash(canvas->cairo, length, dashes[pattern].n, 0);
    cairo_set_line_width(canvas->cairo, width);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
}

/* A point between gaps, or a period of one day: without this it would leave no ink. */
static void draw_lone_point(struct wg_canvas *canvas, double x, double low, double high) {
    cairo_rectangle(canvas->cairo, x - LONE, high, 2 * LONE, low - high);
}

static bool is_missing_point(int n, const double *y, int i) {
    return i < 0 || i >= n || isnan(y[i]);
}

void wg_canvas_line(struct wg_canvas *canvas, int n, const double *x, const double *y, struct wg_colour colour,
                    double width, enum wg_pattern pattern) {
    bool down = false;
    cairo_new_path(canvas->cairo); /* letters leave a point behind */
    for (int i = 0; i < n; i++) {
        if (isnan(y[i])) {
            down = false;
        } else if (down) {
            cairo_line_to(canvas->cairo, x[i], y[i]);
        } else {
            cairo_move_to(canvas->cairo, x[i], y[i]);
            down = true;
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

/* Points from..to-1, none NaN. */
static void fill_piece(struct wg_canvas *canvas, int from, int to, const double *x, const double *low,
                       const double *high) {
    cairo_new_path(canvas->cairo); /* letters leave a point behind */
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
            fill_piece(canvas, from, i, x, low, high);
        from = i + 1;
    }
}

void wg_canvas_box(struct wg_canvas *canvas, double x0, double y0, double x1, double y1, struct wg_colour colour) {
    set_colour(canvas, colour);
    cairo_rectangle(canvas->cairo, x0, y0, x1 - x0, y1 - y0);
    cairo_fill(canvas->cairo);
}

void wg_canvas_dot(struct wg_canvas *canvas, double x, double y, double radius, struct wg_colour colour) {
    static const double whole_turn = 6.283185307179586;
    set_colour(canvas, colour);
    cairo_new_path(canvas->cairo);
    cairo_arc(canvas->cairo, x, y, radius, 0, whole_turn);
    cairo_fill(canvas->cairo);
}

/* ---- letters ---- */

static void select_font(struct wg_canvas *canvas, const struct wg_text_style *lettering) {
    cairo_select_font_face(canvas->cairo, FONT, CAIRO_FONT_SLANT_NORMAL,
                           lettering->bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(canvas->cairo, lettering->size);
}

double wg_canvas_text_width(struct wg_canvas *canvas, const struct wg_text_style *lettering, const char *text) {
    cairo_text_extents_t extents = {0};
    select_font(canvas, lettering);
    cairo_text_extents(canvas->cairo, text, &extents);
    return extents.x_advance;
}

/* Without what cairo would refuse: bytes that are not UTF-8, control characters. */
static void copy_printable(const char *text, char *out, size_t size) {
    (void)snprintf(out, size, "%s", text);
    wg_utf8_trim(out);
    wg_utf8_clean(out);
}

void wg_canvas_text(struct wg_canvas *canvas, double x, double y, enum wg_align align,
                    const struct wg_text_style *lettering, const char *text) {
    char letters[1024];
    copy_printable(text, letters, sizeof letters);
    const double width = align == WG_LEFT ? 0 : wg_canvas_text_width(canvas, lettering, letters);
    select_font(canvas, lettering);
    set_colour(canvas, lettering->colour);
    cairo_move_to(canvas->cairo, align == WG_LEFT ? x : align == WG_RIGHT ? x - width : x - width / 2, y);
    cairo_show_text(canvas->cairo, letters);
}

static size_t next_character(const char *text, size_t at) {
    do
        at += text[at] != '\0';
    while (!wg_utf8_starts(text[at]));
    return at;
}

static double width_of_first(struct wg_canvas *canvas, const struct wg_text_style *lettering, char *text, size_t n) {
    const char kept = text[n];
    text[n] = '\0';
    const double width = wg_canvas_text_width(canvas, lettering, text);
    text[n] = kept;
    return width;
}

/* The bytes of the longest beginning of `text`, whole words, that fits; of a word wider than all, as many characters as
 * fit, at least one. */
static size_t fitting_prefix(struct wg_canvas *canvas, const struct wg_text_style *lettering, char *text,
                             double width) {
    size_t best = 0;
    for (size_t i = 0;; i++) {
        if (text[i] != ' ' && text[i] != '\0')
            continue;
        if (width_of_first(canvas, lettering, text, i) > width)
            break;
        best = i;
        if (text[i] == '\0')
            return best;
    }
    if (best > 0)
        return best;
    do {
        const size_t next = next_character(text, best);
        if (best > 0 && width_of_first(canvas, lettering, text, next) > width)
            break;
        best = next;
    } while (text[best] != '\0');
    return best;
}

struct wg_text_style wg_canvas_fit_text(struct wg_canvas *canvas, struct wg_text_style lettering, double least,
                                        double width, int most, const char *text) {
    char letters[1024];
    copy_printable(text, letters, sizeof letters);
    for (; lettering.size > least; lettering.size--) {
        char *at = letters;
        for (int i = 0; i < most && *at != '\0'; i++) {
            at += fitting_prefix(canvas, &lettering, at, width);
            at += strspn(at, " ");
        }
        if (*at == '\0')
            break;
    }
    return lettering;
}

void wg_canvas_name(struct wg_canvas *canvas, double x, double y, double width, const struct wg_text_style *lettering,
                    const char *text) {
    char letters[1024], cut[1024 + 4];
    copy_printable(text, letters, sizeof letters);
    const size_t length = strlen(letters);
    size_t head = length / 2;
    while (head > 0 && !wg_utf8_starts(letters[head]))
        head--;
    (void)snprintf(cut, sizeof cut, "%s", letters);
    for (size_t tail = head; head > 0 && wg_canvas_text_width(canvas, lettering, cut) > width;) {
        if (head >= length - tail)
            do
                head--;
            while (head > 0 && !wg_utf8_starts(letters[head]));
        else
            tail = next_character(letters, tail);
        (void)snprintf(cut, sizeof cut, "%.*s…%s", (int)head, letters, letters + tail);
    }
    wg_canvas_text(canvas, x, y, WG_LEFT, lettering, cut);
}

double wg_canvas_paragraph(struct wg_canvas *canvas, double x, double y, double width, int most,
                           const struct wg_text_style *lettering, const char *text) {
    char letters[1024], line[1024 + 4];
    copy_printable(text, letters, sizeof letters);
    char *at = letters;
    for (int i = 0; i < most && *at != '\0'; i++) {
        const bool is_last = i == most - 1;
        const double dots = is_last ? wg_canvas_text_width(canvas, lettering, "...") : 0;
        size_t n = fitting_prefix(canvas, lettering, at, width);
        const bool is_cut = is_last && at[n] != '\0';
        if (is_cut)
            n = fitting_prefix(canvas, lettering, at, width - dots);
        memcpy(line, at, n);
        memcpy(line + n, is_cut ? "..." : "", is_cut ? 4 : 1);
        wg_canvas_text(canvas, x, y, WG_LEFT, lettering, line);
        y += LINE_SPACING * lettering->size;
        at += n;
        at += strspn(at, " ");
    }
    return y;
}
