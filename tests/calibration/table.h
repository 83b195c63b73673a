/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Reads a table of tab-separated text: comments begin with #, the first other line names the columns.
 */
#ifndef WG_TESTS_CALIBRATION_TABLE_H
#define WG_TESTS_CALIBRATION_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { MAX_COLUMNS = 160, MAX_LINE = 4000 };

struct table {
    const char *path;
    FILE *file;
    int line, n;
    char head[MAX_LINE], row[MAX_LINE];
    char *name[MAX_COLUMNS], *cell[MAX_COLUMNS];
};

/** Exits with a message if the file cannot be read. */
void table_open(struct table *table, const char *path);
/** Reads the next row; false at the end. */
bool table_next(struct table *table);
void table_close(struct table *table);
/** The cell of a column in this row. */
const char *table_cell(const struct table *table, const char *column);
void table_copy(const struct table *table, const char *column, char *to, size_t size);
double table_number(const struct table *table, const char *text);
/** Names the file, the line and the fault, and exits. */
_Noreturn void table_fault(const struct table *table, const char *what, const char *text);

#endif
