/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Figures of an answer, to be taken away.
 */
#include "browser/page.h"
#include "figures/figure.h"
#include "figures/svg.h"

static int put_one_figure(struct wg_call *call, const struct wg_figure *figure) {
    struct wg_bytes svg = {0}, csv = {0};
    int code = wg_figure_svg(figure, &svg, &call->err);
    wg_table_csv(&figure->table, &csv);
    wg_json_object(call->answer, NULL);
    wg_json_text(call->answer, "name", wg_figure_name(figure));
    wg_json_text(call->answer, "title", wg_figure_title(figure));
    wg_json_text(call->answer, "note", wg_figure_note(figure));
    if (code == 0)
        code = wg_call_put_bytes(call, "svg", &svg);
    if (code == 0)
        code = wg_call_put_bytes(call, "csv", &csv);
    wg_json_close(call->answer);
    wg_bytes_free(&svg);
    wg_bytes_free(&csv);
    return code;
}

int wg_call_put_figures(struct wg_call *call, const struct wg_figures *figures) {
    int code = 0;
    wg_json_list(call->answer, "figures");
    for (size_t i = 0; i < figures->n && code == 0; i++)
        code = put_one_figure(call, wg_figures_get(figures, i));
    wg_json_close(call->answer);
    return code;
}
