/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Renders figures as SVG, PDF and PNG.
 */
#ifndef WG_FIGURES_PICTURE_H
#define WG_FIGURES_PICTURE_H

#include "drawing/picture.h"

struct wg_figure;

/** Renders a figure with its text. Returns 0, WG_ERR_MEMORY or WG_ERR_INTERNAL. */
int wg_figure_picture(const struct wg_figure *figure, enum wg_picture_format kind, struct wg_bytes *out,
                      struct wg_error *err);

#endif
