/**
 * Adds to cairo's SVG a title, a description and the numbers.
 */
#ifndef WG_FIGURES_SVG_H
#define WG_FIGURES_SVG_H

#include "text/bytes.h"

struct wg_figure;

enum wg_svg_use {
    WG_SVG_FILE, /* a file, with title, description and, in <metadata>, the numbers as CSV */
    /* Inline in an HTML page, class "wide" or "narrow": no declarations, unique ids. The page has the text, in elements
     * "NAME-title" and "NAME-note". */
    WG_SVG_WIDE,
    WG_SVG_NARROW
};
/** Completes an SVG. Returns 0, WG_ERR_MEMORY, or WG_ERR_INTERNAL if `drawn` is not SVG. */
int wg_svg_wrap(const struct wg_bytes *drawn, const struct wg_figure *figure, enum wg_svg_use use, struct wg_bytes *out,
                struct wg_error *err);

/** Renders a figure as inline SVG, WG_SVG_WIDE or WG_SVG_NARROW. */
int wg_figure_inline(const struct wg_figure *figure, bool is_narrow, struct wg_bytes *out, struct wg_error *err);
/** Writes a file atomically. WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err);

#endif
