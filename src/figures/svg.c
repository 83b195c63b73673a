/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes SVG accessible and machine-readable: title and description (SVG 2, section 5.8; WAI-ARIA role img), and the table
 * as CSV in <metadata>.
 */
#include "figures/svg.h"

#include "drawing/pen.h"
#include "figures/figure.h"

#include <stdio.h>

static void put_svg_description(const struct wg_figure *figure, struct wg_bytes *out) {
    wg_bytes_printf(out, "<title id=\"%s-title\">", figure->name);
    wg_bytes_escape(out, figure->title);
    wg_bytes_printf(out, "</title>\n<desc id=\"%s-desc\">", figure->name);
    wg_bytes_escape(out, figure->note);
    wg_bytes_put(out, " ");
    wg_bytes_escape(out, figure->foot);
    wg_bytes_put(out, "</desc>\n");
}

static void put_svg_numbers(const struct wg_figure *figure, struct wg_bytes *out) {
    struct wg_bytes csv = {0};
    wg_table_csv(&figure->table, &csv);
    wg_bytes_put(out, "<metadata id=\"numbers\">\n");
    if (csv.failed)
        out->failed = true;
    else
        wg_bytes_escape(out, csv.data);
    wg_bytes_put(out, "</metadata>\n");
    wg_bytes_free(&csv);
}

void wg_figure_draw(struct wg_canvas *canvas, const void *figure) {
    ((const struct wg_figure *)figure)->draw(canvas, figure);
}

/* Units of the SVG. */
static long units_of(double length) {
    return (long)(WG_SVG_SCALE * length);
}

/* ---- a file ---- */

int wg_figure_svg(const struct wg_figure *figure, struct wg_bytes *out, struct wg_error *err) {
    const struct wg_sheet sheet = WG_SLIDE;
    wg_bytes_printf(out,
                    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
                    "width=\"%.0f\" height=\"%.0f\" viewBox=\"0 0 %ld %ld\" role=\"img\" "
                    "aria-labelledby=\"%s-title\" aria-describedby=\"%s-desc\">\n",
                    sheet.width, sheet.height, units_of(sheet.width), units_of(sheet.height), figure->name,
                    figure->name);
    put_svg_description(figure, out);
    put_svg_numbers(figure, out);
    wg_bytes_put(out, "<g fill=\"none\" stroke-linejoin=\"round\" font-family=\"" WG_FONT_STACK "\">\n");
    const int code = wg_canvas_render_svg(&sheet, wg_figure_draw, figure, out, err);
    wg_bytes_put(out, "</g>\n</svg>\n");
    return code < 0 ? code : wg_bytes_failed(out, err);
}

/* ---- in a page ---- */

static int put_shape(const struct wg_figure *figure, const char *kind, const struct wg_sheet *sheet,
                     struct wg_curves *curves, struct wg_bytes *out, struct wg_error *err) {
    wg_bytes_printf(out,
                    "<svg class=\"%s\" viewBox=\"0 0 %ld %ld\" role=\"img\" aria-labelledby=\"%s-title\" "
                    "aria-describedby=\"%s-note\">\n",
                    kind, units_of(sheet->width), units_of(sheet->height), curves->prefix, curves->prefix);
    const int code = wg_canvas_render_inline(sheet, curves, wg_figure_draw, figure, out, err);
    wg_bytes_put(out, "</svg>\n");
    return code;
}

int wg_figure_inline(const struct wg_figure *figure, const char *prefix, struct wg_bytes *out, struct wg_error *err) {
    const double height = figure->wide_height > 0 ? figure->wide_height : WG_PAGE_H;
    const struct wg_sheet wide = {WG_SLIDE_W, height, false}, narrow = {WG_PHONE_W, figure->narrow_height, false};
    char name[sizeof figure->name + 32];
    (void)snprintf(name, sizeof name, "%.31s%s", prefix, figure->name);
    struct wg_curves curves = {.prefix = name};
    int code = put_shape(figure, "wide", &wide, &curves, out, err);
    if (code == 0)
        code = put_shape(figure, "narrow", &narrow, &curves, out, err);
    wg_curves_free(&curves);
    return code < 0 ? code : wg_bytes_failed(out, err);
}
