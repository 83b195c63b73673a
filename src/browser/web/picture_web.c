/*
 * A page draws its figures as SVG; its JavaScript makes pictures of them.
 */
#include "drawing/picture.h"

int wg_canvas_render(enum wg_picture_format kind, const struct wg_sheet *sheet, const struct wg_picture_facts *facts,
                     void (*draw)(struct wg_canvas *canvas, const void *what), const void *what, struct wg_bytes *out,
                     struct wg_error *err) {
    (void)kind;
    (void)sheet;
    (void)facts;
    (void)draw;
    (void)what;
    (void)out;
    return wg_fail(err, WG_ERR_INTERNAL, NULL, "A page draws figures as SVG only.");
}
