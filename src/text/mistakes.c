/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Collects mistakes and formats them: position, message, source line, caret.
 */
#include "text/mistakes.h"

#include "base/utf8.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MESSAGE_SIZE 1024
/* Longer source lines are truncated: a terminal is 80 to 120 columns wide. */
#define SHOWN_COLUMNS 100

void wg_mistakes_free(struct wg_mistakes *mistakes) {
    for (size_t i = 0; i < mistakes->n; i++)
        free(mistakes->items[i].message);
    for (size_t i = 0; i < WG_MAX_BASES; i++) {
        free(mistakes->base[i].path);
        free(mistakes->base[i].source);
    }
    free(mistakes->items);
    free(mistakes->path);
    free(mistakes->source);
    *mistakes = (struct wg_mistakes){0};
}

static int reserve_mistake(struct wg_mistakes *mistakes) {
    if (mistakes->n < mistakes->capacity)
        return 0;
    const size_t capacity = mistakes->capacity == 0 ? 8 : 2 * mistakes->capacity;
    struct wg_mistake *const items = realloc(mistakes->items, capacity * sizeof *items);
    if (items == NULL)
        return WG_ERR_MEMORY;
    mistakes->items = items;
    mistakes->capacity = capacity;
    return 0;
}

int wg_mistakes_add_list(struct wg_mistakes *mistakes, int line, int column, const char *format, va_list args) {
    if (mistakes->n > WG_MAX_MISTAKES)
        return 0;
    char message[MESSAGE_SIZE] = "There are more mistakes than are listed here. Correct these first.";
    if (mistakes->n < WG_MAX_MISTAKES)
        (void)vsnprintf(message, sizeof message, format, args);
    else
        line = column = 0;
    wg_utf8_trim(message);
    const struct wg_mistake *const before = mistakes->n > 0 ? &mistakes->items[mistakes->n - 1] : NULL;
    if (before != NULL && before->line == line && before->column == column && strcmp(before->message, message) == 0)
        return 0; /* what is done in several bins is wrong once */
    if (reserve_mistake(mistakes) < 0)
        return WG_ERR_MEMORY;
    char *const kept = strdup(message);
    if (kept == NULL)
        return WG_ERR_MEMORY;
    mistakes->items[mistakes->n++] = (struct wg_mistake){.line = line, .column = column, .message = kept};
    return 0;
}

int wg_mistakes_add(struct wg_mistakes *mistakes, int line, int column, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const int code = wg_mistakes_add_list(mistakes, line, column, format, args);
    va_end(args);
    return code;
}

/* Mistakes of the file as a whole come last. */
static bool is_before(const struct wg_mistake *a, const struct wg_mistake *b) {
    if (a->file != b->file)
        return a->file < b->file;
    if (a->line != b->line)
        return a->line != 0 && (b->line == 0 || a->line < b->line);
    return a->column < b->column;
}

/* Insertion sort: stable, and the list is short and nearly sorted. */
void wg_mistakes_sort(struct wg_mistakes *mistakes) {
    for (size_t i = 1; i < mistakes->n; i++) {
        const struct wg_mistake item = mistakes->items[i];
        size_t at = i;
        for (; at > 0 && is_before(&item, &mistakes->items[at - 1]); at--)
            mistakes->items[at] = mistakes->items[at - 1];
        mistakes->items[at] = item;
    }
}

/* ---- formatting ---- */

static void put_clean(FILE *out, const char *text, const char *end) {
    char shown[4];
    while (text < end) {
        const size_t n = wg_utf8_show(&text, end, shown);
        (void)fwrite(shown, 1, n, out);
    }
}

static const char *line_start(const char *source, int line) {
    for (int i = 1; i < line; i++) {
        source = strchr(source, '\n');
        if (source == NULL)
            return NULL;
        source++;
    }
    return source;
}

/* Writes the source line, truncated around the column, and the caret below. */
static void put_source(FILE *out, const char *source, int line, int column) {
    const char *p = line_start(source, line);
    if (p == NULL)
        return;
    const char *end = strchr(p, '\n');
    if (end == NULL)
        end = p + strlen(p);
    if (end > p && end[-1] == '\r')
        end--;
    if (line == 1) /* a byte order mark has no width */
        p += wg_utf8_mark(p, (size_t)(end - p));
    const int first = column > SHOWN_COLUMNS * 3 / 4 ? column - SHOWN_COLUMNS / 2 : 1;
    (void)fputs(first > 1 ? "\n  ..." : "\n  ", out);
    for (int at = 1; p < end && at < first + SHOWN_COLUMNS; at++) {
        char shown[4];
        const size_t n = wg_utf8_show(&p, end, shown);
        if (at >= first)
            (void)fwrite(shown, 1, n, out);
    }
    (void)fprintf(out, "%s\n  %*s^", p < end ? "..." : "", (first > 1 ? 3 : 0) + column - first, "");
}

char *wg_mistake_text(const struct wg_mistakes *mistakes, size_t i) {
    const struct wg_mistake *const mistake = &mistakes->items[i];
    char *text = NULL;
    size_t size = 0;
    FILE *const out = open_memstream(&text, &size);
    if (out == NULL)
        return NULL;
    const struct wg_mistakes_base own = {.path = mistakes->path, .source = mistakes->source},
                                  *const file = mistake->file > 0 ? &mistakes->base[mistake->file - 1] : &own;
    const char *const path = file->path == NULL ? "scenario" : file->path;
    put_clean(out, path, path + strlen(path));
    if (mistake->line > 0)
        (void)fprintf(out, ":%d:%d", mistake->line, mistake->column);
    (void)fputs(": error: ", out);
    put_clean(out, mistake->message, mistake->message + strlen(mistake->message));
    if (mistake->line > 0 && file->source != NULL)
        put_source(out, file->source, mistake->line, mistake->column);
    (void)fputc('\n', out);
    if (fclose(out) != 0) {
        free(text);
        return NULL;
    }
    return text;
}
