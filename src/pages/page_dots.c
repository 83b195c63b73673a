/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Draws dots as small pictures of their own, in the colour of the text, so that they suit light, dark and paper.
 */
#include "pages/page_parts.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PITCH 16 /* between dots, px */
#define RADIUS 6
#define ROW 20
#define GROUP 10
#define GAP 8 /* after each ten */

static void begin_picture(const struct wg_page *page, int width, int height, const char *label) {
    wg_bytes_printf(page->to,
                    "<div class=\"dots\"><svg role=\"img\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" "
                    "aria-label=\"",
                    width, height, width, height);
    wg_bytes_escape(page->to, label);
    wg_bytes_put(page->to, "\">");
}

static void end_picture(const struct wg_page *page, const char *caption) {
    wg_bytes_put(page->to, "</svg><p class=\"note\">");
    wg_bytes_escape(page->to, caption);
    wg_bytes_put(page->to, "</p></div>\n");
}

/* ---- a share ---- */

static void put_dots(const struct wg_page *page, int from, int to, const char *style) {
    wg_bytes_printf(page->to, "<g %s>", style);
    for (int i = from; i < to; i++)
        wg_bytes_printf(page->to, "<circle cx=\"%d\" cy=\"%d\" r=\"%d\"/>",
                        i % ROW * PITCH + PITCH / 2 + (i % ROW >= GROUP ? GAP : 0), i / ROW * PITCH + PITCH / 2,
                        RADIUS);
    wg_bytes_put(page->to, "</g>");
}

void wg_report_dots(const struct wg_dots *dots, const char *some, const char *others, const char *noun,
                    const struct wg_page *page) {
    char label[WG_SHOWN_SIZE], caption[256];
    const int rows = (dots->all + ROW - 1) / ROW;
    (void)snprintf(label, sizeof label, "%d filled dots, %d rings", dots->some, dots->all - dots->some);
    begin_picture(page, ROW * PITCH + GAP, rows * PITCH, label);
    put_dots(page, 0, dots->some, "fill=\"currentColor\"");
    put_dots(page, dots->some, dots->all, "fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\"");
    (void)snprintf(caption, sizeof caption, "Each dot is one %s of %d. Filled: %s, %d. Rings: %s, %d.", noun, dots->all,
                   some, dots->some, others, dots->all - dots->some);
    end_picture(page, caption);
}

/* ---- a quantity ---- */

#define MOST_COLUMNS 20
#define TICK 5 /* columns */
#define AXIS 40
#define MARGIN 24

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sets the quantiles at 1/40, 3/40 ... 39/40, each a value that occurred. Returns 0 or WG_ERR_MEMORY. */
static int find_quantiles(const double *value, int64_t n, double out[WG_QUANTILE_DOTS]) {
    double *const sorted = malloc((size_t)n * sizeof *sorted);
    if (sorted == NULL)
        return WG_ERR_MEMORY;
    memcpy(sorted, value, (size_t)n * sizeof *sorted);
    qsort(sorted, (size_t)n, sizeof *sorted, by_size);
    for (int i = 0; i < WG_QUANTILE_DOTS; i++)
        out[i] = sorted[(2 * i + 1) * n / (2 * WG_QUANTILE_DOTS)];
    free(sorted);
    return 0;
}

/* Returns the narrowest column, 1, 2 or 5 times a power of ten, of which few enough reach beyond the largest value. */
static double column_width(double largest) {
    const double power = pow(10, floor(log10(largest / MOST_COLUMNS)));
    const double steps[] = {1, 2, 5};
    for (int i = 0; i < 3; i++)
        if (largest < steps[i] * power * MOST_COLUMNS)
            return steps[i] * power;
    return 10 * power;
}

static int dot_column(double value, double width) {
    return (int)floor(value / width * (1 + 1e-12));
}

struct dot_plot {
    double width; /* of a column, kg */
    int columns, height[MOST_COLUMNS + 1], tallest;
};

static struct dot_plot stack_dots(const double value[WG_QUANTILE_DOTS]) {
    struct dot_plot plot = {.width = column_width(value[WG_QUANTILE_DOTS - 1])};
    for (int i = 0; i < WG_QUANTILE_DOTS; i++) {
        const int column = dot_column(value[i], plot.width);
        plot.height[column]++;
        plot.tallest = plot.height[column] > plot.tallest ? plot.height[column] : plot.tallest;
    }
    plot.columns = (dot_column(value[WG_QUANTILE_DOTS - 1], plot.width) / TICK + 1) * TICK;
    return plot;
}

static void put_axis(const struct dot_plot *plot, const struct wg_page *page) {
    const int base = plot->tallest * PITCH;
    wg_bytes_printf(page->to, "<path d=\"M%d %dh%d\" stroke=\"currentColor\"/>", MARGIN, base, plot->columns * PITCH);
    wg_bytes_put(page->to, "<g fill=\"currentColor\" font-size=\"12\" text-anchor=\"middle\">");
    for (int c = 0; c <= plot->columns; c += TICK) {
        char kg[WG_SHOWN_SIZE], lb[WG_SHOWN_SIZE];
        wg_show_plain(c * plot->width, kg);
        wg_show_rounded(c * plot->width / WG_KG_PER_LB, 2, lb);
        wg_bytes_printf(
            page->to,
            "<path d=\"M%d %dv4\" stroke=\"currentColor\"/><text x=\"%d\" y=\"%d\">%s%s</text><text x=\"%d\" "
            "y=\"%d\">%s%s</text>",
            MARGIN + c * PITCH, base, MARGIN + c * PITCH, base + 17, kg, c == 0 ? " kg" : "", MARGIN + c * PITCH,
            base + 33, lb, c == 0 ? " lb" : "");
    }
    wg_bytes_put(page->to, "</g>");
}

static void put_stacks(const struct dot_plot *plot, const struct wg_page *page) {
    wg_bytes_put(page->to, "<g fill=\"currentColor\">");
    for (int c = 0; c <= MOST_COLUMNS; c++)
        for (int i = 0; i < plot->height[c]; i++)
            wg_bytes_printf(page->to, "<circle cx=\"%d\" cy=\"%d\" r=\"%d\"/>", MARGIN + c * PITCH + PITCH / 2,
                            (plot->tallest - i) * PITCH - PITCH / 2, RADIUS);
    wg_bytes_put(page->to, "</g>");
}

/* Counts the dots left of the first tick that has any; "In 4 of these 20 years less than 5 kg (11 lb) is taken out." */
static void word_count(const struct dot_plot *plot, const char *verb, const char *noun, char out[256]) {
    char mass[WG_SHOWN_SIZE];
    int count = 0, tick = 0;
    while (count == 0) {
        for (int c = tick; c < tick + TICK && c <= MOST_COLUMNS; c++)
            count += plot->height[c];
        tick += TICK;
    }
    wg_show_rounded_mass(tick * plot->width, tick * plot->width, 2, mass);
    (void)snprintf(out, 256, "Each dot is one of %d equally likely %ss. In %d of these %d %ss less than %s %s.",
                   WG_QUANTILE_DOTS, noun, count, WG_QUANTILE_DOTS, noun, mass, verb);
}

int wg_report_quantile_dots(const double *kg, int64_t n, const char *verb, const char *noun,
                            const struct wg_page *page) {
    double value[WG_QUANTILE_DOTS];
    char caption[256];
    if (n < WG_QUANTILE_DOTS)
        return 0;
    const int code = find_quantiles(kg, n, value);
    if (code < 0 || !(value[WG_QUANTILE_DOTS - 1] > 0))
        return code;
    const struct dot_plot plot = stack_dots(value);
    word_count(&plot, verb, noun, caption);
    begin_picture(page, plot.columns * PITCH + 2 * MARGIN, plot.tallest * PITCH + AXIS, caption);
    put_stacks(&plot, page);
    put_axis(&plot, page);
    end_picture(page, caption);
    return 0;
}
