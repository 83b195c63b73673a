/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Draws sheets as PDF and PNG.
 */
#ifndef WG_DRAWING_PICTURE_H
#define WG_DRAWING_PICTURE_H

#include "drawing/canvas.h"

/** SVG, and what cairo draws. */
enum wg_picture_format { WG_SVG, WG_PDF, WG_PNG, WG_N_PICTURES };
/** Metadata of a picture. PDF only. */
struct wg_picture_facts {
    const char *title;
    const char *date; /* ISO 8601, of the result, so that bytes are reproducible; "" for none */
};
/** Draws a sheet as PDF or PNG into *out. Returns 0, WG_ERR_MEMORY or WG_ERR_INTERNAL. */
int wg_canvas_render(enum wg_picture_format kind, const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                     void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_bytes *out,
                     struct wg_error *err);

#endif
