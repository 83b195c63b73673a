/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The numbers of a figure, for its drawing and for its CSV and HTML tables.
 */
#ifndef WG_FIGURES_TABLE_H
#define WG_FIGURES_TABLE_H

#include "text/bytes.h"

#include <stdint.h>

#define WG_TABLE_MAX_COLUMNS 56
#define WG_TABLE_NAME 128

/** Named rows (dates, setups), columns of numbers. NaN: no value. Zero-initialise it; free with wg_table_free(). */
struct wg_table {
    char rows_are[40]; /* header of the first column: "date" */
    int n_rows, n_columns;
    char (*row)[WG_TABLE_NAME];
    struct wg_table_column {
        char name[WG_TABLE_NAME], unit[16];
        double *value; /* [row] */
    } column[WG_TABLE_MAX_COLUMNS];
};
/** Creates the rows. Returns 0 or WG_ERR_MEMORY. */
int wg_table_begin(struct wg_table *table, const char *rows_are, int n_rows, struct wg_error *err);
/** The same with rows named by dates, `step` days apart. */
int wg_table_begin_dates(struct wg_table *table, int32_t first_day, int step, int n_rows, struct wg_error *err);
/** Adds a column of zeros. Returns its number, or WG_ERR_MEMORY. Truncates the name to fit. */
int wg_table_add(struct wg_table *table, const char *name, const char *unit, struct wg_error *err);
void wg_table_free(struct wg_table *table);

/** Writes CSV (RFC 4180, but lines end in \n): the shortest form that converts back to the same double, NaN empty. */
void wg_table_csv(const struct wg_table *table, struct wg_bytes *out);
/** Writes a cell of CSV: a text, quoted where it must be, or the shortest form of a number. */
void wg_csv_cell(struct wg_bytes *out, const char *text);
void wg_csv_number(struct wg_bytes *out, double value);
/** Writes an HTML table of every `step`-th row, to four significant figures. */
void wg_table_html(const struct wg_table *table, int step, const char *caption, struct wg_bytes *out);

#endif
