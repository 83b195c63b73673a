/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Renders figures as SVG, alone and inside a page.
 */
#ifndef WG_FIGURES_SVG_H
#define WG_FIGURES_SVG_H

#include "drawing/canvas.h"

struct wg_figure;

/** Renders a figure with its text as an SVG file, with title, description and, in <metadata>, the numbers as CSV. */
int wg_figure_svg(const struct wg_figure *figure, struct wg_bytes *out, struct wg_error *err);
/** The sheet of a figure that stands alone. */
#define WG_SLIDE ((struct wg_sheet){WG_SLIDE_W, WG_SLIDE_H, true})
/** Draws a figure; `figure` is a struct wg_figure. */
void wg_figure_draw(struct wg_canvas *canvas, const void *figure);
/**
 * Writes a picture of each shape for a page, "wide" and "narrow", each long curve once; the page shows one of them and has
 * the text, in elements "PREFIXNAME-title" and "PREFIXNAME-note".
 */
int wg_figure_inline(const struct wg_figure *figure, const char *prefix, struct wg_bytes *out, struct wg_error *err);

#endif
