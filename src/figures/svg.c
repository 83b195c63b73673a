/*
 * Makes SVG accessible and machine-readable: title and description (SVG 2, section 5.8; WAI-ARIA role img), and the table
 * as CSV in <metadata>.
 */
#include "figures/svg.h"

#include "figures/figure.h"

#include <string.h>

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

/* Writes the tag <svg ...>: cairo's in a file; in a page one without a size, which the page sets. */
static void put_opening(const char *tag, size_t size, const struct wg_figure *figure, enum wg_svg_use use,
                        struct wg_bytes *out) {
    if (use == WG_SVG_FILE)
        wg_bytes_add(out, tag, size - 1); /* without the > */
    else if (use == WG_SVG_WIDE)
        wg_bytes_printf(out, "<svg class=\"wide\" viewBox=\"0 0 %.0f %.0f\"", WG_SLIDE_W, WG_PAGE_H);
    else
        wg_bytes_printf(out, "<svg class=\"narrow\" viewBox=\"0 0 %.0f %.0f\"", WG_PHONE_W, figure->narrow_height);
    wg_bytes_printf(out, " role=\"img\" aria-labelledby=\"%s-title\" aria-describedby=\"%s-%s\">\n", figure->name,
                    figure->name, use == WG_SVG_FILE ? "desc" : "note");
}

/*
 * Copies the drawing without cairo's running number of surfaces, so that the same drawing has the same bytes. In a page it
 * prefixes ids with the figure's name, to make them unique, and rounds coordinates to two decimals, which saves a quarter
 * of the page.
 */
static void put_drawing(const char *drawing, const struct wg_figure *figure, enum wg_svg_use use,
                        struct wg_bytes *out) {
    static const char surface_id[] = "id=\"surface";
    static const struct {
        const char *from, *to; /* in a page; the figure's name follows */
    } replacements[] = {{"xlink:href=\"#", "href=\"#"}, {"id=\"", "id=\""}, {"url(#", "url(#"}};
    while (*drawing != '\0') {
        size_t n = 0;
        if (strncmp(drawing, surface_id, sizeof surface_id - 1) == 0) {
            n = sizeof surface_id - 1 + strspn(drawing + sizeof surface_id - 1, "0123456789");
            wg_bytes_printf(out, "id=\"%s-drawing%s", figure->name, use == WG_SVG_NARROW ? "-narrow" : "");
        }
        for (size_t i = 0; use != WG_SVG_FILE && i < 3 && n == 0; i++)
            if (strncmp(drawing, replacements[i].from, strlen(replacements[i].from)) == 0) {
                n = strlen(replacements[i].from);
                wg_bytes_printf(out, "%s%s-%s", replacements[i].to, figure->name,
                                use == WG_SVG_NARROW ? "narrow-" : "");
            }
        if (n == 0 && use != WG_SVG_FILE && *drawing == '.') {
            n = 1 + strspn(drawing + 1, "0123456789");
            wg_bytes_add(out, drawing, n < 3 ? n : 3);
        }
        if (n == 0) {
            n = 1 + strcspn(drawing + 1, "xiu.");
            wg_bytes_add(out, drawing, n);
        }
        drawing += n;
    }
}

int wg_svg_wrap(const struct wg_bytes *drawn, const struct wg_figure *figure, enum wg_svg_use use, struct wg_bytes *out,
                struct wg_error *err) {
    const char *const tag = drawn->data != NULL ? strstr(drawn->data, "<svg ") : NULL;
    const char *const end = tag != NULL ? strchr(tag, '>') : NULL;
    if (end == NULL)
        return wg_fail(err, WG_ERR_INTERNAL, NULL, "cairo did not produce SVG.");
    if (use == WG_SVG_FILE)
        wg_bytes_add(out, drawn->data, (size_t)(tag - drawn->data));
    put_opening(tag, (size_t)(end + 1 - tag), figure, use, out);
    if (use == WG_SVG_FILE) {
        put_svg_description(figure, out);
        put_svg_numbers(figure, out);
    }
    put_drawing(end + 1, figure, use, out);
    return wg_bytes_failed(out, err);
}
