/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Renders figures as SVG, PDF and PNG.
 */
#include "figures/picture.h"

#include "figures/figure.h"
#include "figures/svg.h"

int wg_figure_picture(const struct wg_figure *figure, enum wg_picture_format kind, struct wg_bytes *out,
                      struct wg_error *err) {
    const struct wg_picture_facts facts = {figure->title, figure->date};
    const struct wg_sheet slide = WG_SLIDE;
    if (kind == WG_SVG)
        return wg_figure_svg(figure, out, err);
    return wg_canvas_render(kind, &slide, &facts, wg_figure_draw, figure, out, err);
}
