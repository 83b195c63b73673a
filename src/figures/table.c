/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Holds the numbers of a figure and writes them as CSV (RFC 4180) and HTML.
 */
#include "figures/table.h"

#include "base/calendar.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int wg_table_begin(struct wg_table *table, const char *rows_are, int n_rows, struct wg_error *err) {
    memset(table, 0, sizeof *table);
    (void)snprintf(table->rows_are, sizeof table->rows_are, "%s", rows_are);
    table->row = calloc((size_t)n_rows + 1, sizeof *table->row);
    table->n_rows = n_rows;
    return table->row != NULL ? 0 : wg_no_memory(err, NULL);
}

int wg_table_begin_dates(struct wg_table *table, int32_t first_day, int step, int n_rows, struct wg_error *err) {
    const int code = wg_table_begin(table, "date", n_rows, err);
    for (int i = 0; i < n_rows && code == 0; i++)
        wg_day_format(first_day + i * step, table->row[i]);
    return code;
}

int wg_table_add(struct wg_table *table, const char *name, const char *unit, struct wg_error *err) {
    wg_assert(table->n_columns < WG_TABLE_MAX_COLUMNS);
    const int number = table->n_columns;
    table->column[number].value = calloc((size_t)table->n_rows + 1, sizeof *table->column[number].value);
    if (table->column[number].value == NULL)
        return wg_no_memory(err, NULL);
    (void)snprintf(table->column[number].name, WG_TABLE_NAME, "%s", name);
    (void)snprintf(table->column[number].unit, sizeof table->column[number].unit, "%s", unit);
    return table->n_columns++;
}

void wg_table_free(struct wg_table *table) {
    for (int i = 0; i < table->n_columns; i++)
        free(table->column[i].value);
    free(table->row);
    memset(table, 0, sizeof *table);
}

/* ---- writing ---- */

void wg_csv_cell(struct wg_bytes *out, const char *text) {
    if (strpbrk(text, ",\"\r\n") == NULL) {
        wg_bytes_put(out, text);
        return;
    }
    wg_bytes_put(out, "\"");
    for (; *text != '\0'; text++)
        wg_bytes_add(out, *text == '"' ? "\"\"" : text, *text == '"' ? 2 : 1);
    wg_bytes_put(out, "\"");
}

static void head_of(const struct wg_table *table, int column, char out[WG_TABLE_NAME + 24]) {
    const char *const unit = table->column[column].unit;
    const bool has_unit = unit[0] != '\0' && strcmp(unit, "1") != 0;
    (void)snprintf(out, WG_TABLE_NAME + 24, has_unit ? "%s [%s]" : "%s", table->column[column].name, unit);
}

void wg_csv_number(struct wg_bytes *out, double value) {
    char text[32] = "";
    for (int digits = 6; digits <= 17 && !isnan(value); digits++) {
        (void)snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value)
            break;
    }
    wg_bytes_put(out, text);
}

void wg_table_csv(const struct wg_table *table, struct wg_bytes *out) {
    char head[WG_TABLE_NAME + 24];
    wg_csv_cell(out, table->rows_are);
    for (int c = 0; c < table->n_columns; c++) {
        wg_bytes_put(out, ",");
        head_of(table, c, head);
        wg_csv_cell(out, head);
    }
    for (int r = 0; r < table->n_rows; r++) {
        wg_bytes_put(out, "\n");
        wg_csv_cell(out, table->row[r]);
        for (int c = 0; c < table->n_columns; c++) {
            wg_bytes_put(out, ",");
            wg_csv_number(out, table->column[c].value[r]);
        }
    }
    wg_bytes_put(out, "\n");
}

static void put_html_row(const struct wg_table *table, int row, struct wg_bytes *out) {
    wg_bytes_put(out, "<tr><th scope=\"row\">");
    wg_bytes_escape(out, table->row[row]);
    wg_bytes_put(out, "</th>");
    for (int c = 0; c < table->n_columns; c++) {
        const double value = table->column[c].value[row];
        if (isnan(value))
            wg_bytes_put(out, "<td>-</td>");
        else
            wg_bytes_printf(out, fabs(value) >= 1000 && fabs(value) < 1e15 ? "<td>%.0f</td>" : "<td>%.4g</td>", value);
    }
    wg_bytes_put(out, "</tr>\n");
}

void wg_table_html(const struct wg_table *table, int step, const char *caption, struct wg_bytes *out) {
    char head[WG_TABLE_NAME + 24];
    wg_bytes_put(out, "<table><caption>");
    wg_bytes_escape(out, caption);
    wg_bytes_put(out, "</caption>\n<thead><tr><th scope=\"col\">");
    wg_bytes_escape(out, table->rows_are);
    wg_bytes_put(out, "</th>");
    for (int c = 0; c < table->n_columns; c++) {
        head_of(table, c, head);
        wg_bytes_put(out, "<th scope=\"col\">");
        wg_bytes_escape(out, head);
        wg_bytes_put(out, "</th>");
    }
    wg_bytes_put(out, "</tr></thead>\n<tbody>\n");
    for (int r = 0; r < table->n_rows; r += step)
        put_html_row(table, r, out);
    wg_bytes_put(out, "</tbody></table>\n");
}
