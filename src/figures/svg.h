/**
 * What cairo's SVG lacks: words for those who do not see, and the numbers drawn.
 */
#ifndef WG_FIGURES_SVG_H
#define WG_FIGURES_SVG_H

#include "text/bytes.h"

struct wg_figure;

enum wg_svg_use {
    WG_SVG_FILE, /* a file of its own, with its words and, in <metadata>, its numbers as CSV */
    /* Within an HTML page, class "wide" or "narrow": no declarations, names of its parts that no other drawing has. The
     * page says its words, in elements "NAME-title" and "NAME-note". */
    WG_SVG_WIDE,
    WG_SVG_NARROW
};
/** 0, WG_ERR_MEMORY, or WG_ERR_INTERNAL if `drawn` is no SVG. */
int wg_svg_wrap(const struct wg_bytes *drawn, const struct wg_figure *figure, enum wg_svg_use use, struct wg_bytes *out,
                struct wg_error *err);

/** A figure as SVG to stand within an HTML page, WG_SVG_WIDE or WG_SVG_NARROW. */
int wg_figure_inline(const struct wg_figure *figure, bool is_narrow, struct wg_bytes *out, struct wg_error *err);
/** Writes a file that appears whole or not at all. WG_ERR_EXISTS unless `force`, WG_ERR_FILE. */
int wg_save_bytes(const struct wg_bytes *bytes, const char *path, int force, struct wg_error *err);

#endif
