/**
 * The numbers of a figure: what is drawn is read from here, and what is written
 * beside the drawing is the same.
 */
#ifndef WG_FIGURES_TABLE_H
#define WG_FIGURES_TABLE_H

#include "text/bytes.h"

#include <stdint.h>

#define WG_TABLE_MAX_COLUMNS 56
#define WG_TABLE_NAME 128

/** Rows by name (a date, a setup), columns of numbers. NaN: no value. Zero-initialise; free with wg_table_free(). */
struct wg_table {
    char rows_are[40]; /* head of the first column: "date" */
    int n_rows, n_columns;
    char (*row)[WG_TABLE_NAME];
    struct {
        char name[WG_TABLE_NAME], unit[16];
        double *value; /* [row] */
    } column[WG_TABLE_MAX_COLUMNS];
};
/** 0 or WG_ERR_MEMORY. */
int wg_table_begin(struct wg_table *table, const char *rows_are, int n_rows, struct wg_error *err);
/** The same with rows named by dates, each `step` days after the one before. */
int wg_table_begin_dates(struct wg_table *table, int32_t first_day, int step, int n_rows, struct wg_error *err);
/** Adds a column, its values zero; its number, or WG_ERR_MEMORY. The name is cut to fit. */
int wg_table_add(struct wg_table *table, const char *name, const char *unit, struct wg_error *err);
void wg_table_free(struct wg_table *table);

/** CSV (RFC 4180, but lines end in \n): numbers in the shortest form that reads back as the same double, NaN empty. */
void wg_table_csv(const struct wg_table *table, struct wg_bytes *out);
/** As an HTML table, every `step`-th row, four figures. */
void wg_table_html(const struct wg_table *table, int step, const char *caption, struct wg_bytes *out);

#endif
