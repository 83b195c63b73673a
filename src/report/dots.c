/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Shows a share as dots.
 */
#include "report/dots.h"

#include "report/terminal_chart.h"

#include <math.h>
#include <unistd.h>

#define ROW 50
#define GROUP 10

struct wg_dots wg_dots_of(double share, int64_t n) {
    struct wg_dots dots = {.all = n < 100 ? (int)n : 100};
    dots.some = (int)floor(share * dots.all + 0.5);
    if (dots.some == dots.all && share < 1) {
        dots.some--;
        dots.side = 1;
    } else if (dots.some == 0 && share > 0) {
        dots.some++;
        dots.side = -1;
    }
    return dots;
}

void wg_dots_words(const struct wg_dots *dots, char out[WG_SHOWN_SIZE]) {
    (void)snprintf(out, WG_SHOWN_SIZE, "%s%d of %d",
                   dots->side > 0   ? "more than "
                   : dots->side < 0 ? "fewer than "
                                    : "",
                   dots->some, dots->all);
}

/* A file or pipe gets UTF-8, as titles do. */
static bool is_utf8_for(FILE *to) {
    return isatty(fileno(to)) == 0 || wg_chart_is_utf8();
}

void wg_dots_print(const struct wg_dots *dots, const char *some, const char *others, FILE *to) {
    const char *const dot[] = {is_utf8_for(to) ? "\xE2\x97\x8F" : "o", is_utf8_for(to) ? "\xE2\x97\x8B" : "."};
    const char *const what[] = {some, others};
    const int n[] = {dots->some, dots->all - dots->some};
    for (int first = 0, row = 0; first < dots->all || row < 2; first += ROW, row++) {
        (void)fputc(' ', to);
        int columns = 0;
        for (int i = first; i < first + ROW && i < dots->all; i++) {
            columns += 1 + (i % GROUP == 0);
            (void)fprintf(to, "%s%s", i % GROUP == 0 ? " " : "", dot[i >= dots->some]);
        }
        if (row < 2)
            (void)fprintf(to, "%*s%s %s: %d", ROW + ROW / GROUP + 2 - columns, "", dot[row], what[row], n[row]);
        (void)fputc('\n', to);
    }
}
