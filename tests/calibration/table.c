/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Reads tab-separated tables. */
#include "calibration/table.h"

#include <stdlib.h>
#include <string.h>

_Noreturn void table_fault(const struct table *table, const char *what, const char *text) {
    (void)fprintf(stderr, "%s:%d: %s: %s\n", table->path, table->line, what, text);
    exit(3);
}

static bool next_line(struct table *table, char *line) {
    while (fgets(line, MAX_LINE, table->file) != NULL) {
        table->line++;
        if (strchr(line, '\n') == NULL)
            table_fault(table, "the line is too long", line);
        line[strcspn(line, "\n")] = '\0';
        if (line[0] != '#' && line[0] != '\0')
            return true;
    }
    return false;
}

/* Cuts at tabs, keeping empty cells. */
static int cut(struct table *table, char *line, char **cell) {
    int n = 0;
    for (char *at = line; at != NULL; n++) {
        if (n == MAX_COLUMNS)
            table_fault(table, "too many columns", line);
        cell[n] = at;
        at = strchr(at, '\t');
        if (at != NULL)
            *at++ = '\0';
    }
    return n;
}

void table_open(struct table *table, const char *path) {
    *table = (struct table){.path = path, .file = fopen(path, "r")};
    if (table->file == NULL)
        table_fault(table, "cannot be read", path);
    if (!next_line(table, table->head))
        table_fault(table, "has no rows", path);
    table->n = cut(table, table->head, table->name);
}

bool table_next(struct table *table) {
    if (!next_line(table, table->row))
        return false;
    if (cut(table, table->row, table->cell) != table->n)
        table_fault(table, "the row and the head differ in their number of columns", table->row);
    return true;
}

void table_close(struct table *table) {
    (void)fclose(table->file);
}

const char *table_cell(const struct table *table, const char *column) {
    for (int i = 0; i < table->n; i++)
        if (strcmp(table->name[i], column) == 0)
            return table->cell[i];
    table_fault(table, "there is no column", column);
}

void table_copy(const struct table *table, const char *column, char *to, size_t size) {
    const char *const text = table_cell(table, column);
    if (strlen(text) >= size)
        table_fault(table, "the text is too long", text);
    (void)strcpy(to, text);
}

double table_number(const struct table *table, const char *text) {
    char *end;
    const double value = strtod(text, &end);
    if (end == text || *end != '\0')
        table_fault(table, "this is no number", text);
    return value;
}
