/**
 * Renders figures as files and as SVG inside a page.
 */
#ifndef WG_FIGURES_SVG_H
#define WG_FIGURES_SVG_H

#include "drawing/canvas.h"

struct wg_figure;

/**
 * Renders a figure with its text; SVG with title, description and, in <metadata>, the numbers as CSV. Returns 0,
 * WG_ERR_MEMORY or WG_ERR_INTERNAL.
 */
int wg_figure_picture(const struct wg_figure *figure, enum wg_picture_format kind, struct wg_bytes *out,
                      struct wg_error *err);
/**
 * Writes one <svg> for a page that holds both shapes, "wide" and "narrow", each long curve once. Its style sets --wide and
 * --narrow, their ratios of width to height. The page has the text, in elements "NAME-title" and "NAME-note".
 */
int wg_figure_inline(const struct wg_figure *figure, struct wg_bytes *out, struct wg_error *err);
/** Writes a file atomically. WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err);

#endif
