/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Collects the mistakes of a file and formats them for output.
 */
#ifndef WG_TEXT_MISTAKES_H
#define WG_TEXT_MISTAKES_H

#include "base/error.h"

#include <stdarg.h>
#include <stddef.h>

/** One mistake in a file. Owned by the list. */
struct wg_mistake {
    int file;         /* 0, or the number of one of the files on which it is based */
    int line, column; /* from 1; 0: the file as a whole */
    char *message;    /* what is wrong and what is expected, one or two sentences */
};
/** A file on which another is based; owned by the list. */
struct wg_mistakes_base {
    char *path, *source;
};
#define WG_MAX_BASES 4

/** All mistakes of one file and of those on which it is based, sorted by file and position. */
struct wg_mistakes {
    char *path;
    char *source;                               /* the file's text, for the caret lines; owned, NULL if unread */
    struct wg_mistakes_base base[WG_MAX_BASES]; /* those with path NULL do not exist */
    size_t n, capacity;
    struct wg_mistake *items;
};
void wg_mistakes_free(struct wg_mistakes *mistakes);
/**
 * Formats one mistake, malloc'ed (NULL: not enough memory), with a newline at its end:
 *   file:line:column: error: message
 *   the source line
 *   a caret
 * Replaces control characters of the file by '?', so that none reaches a terminal.
 */
char *wg_mistake_text(const struct wg_mistakes *mistakes, size_t i);

/** The maximum listed; one more says that there are others. */
#define WG_MAX_MISTAKES 30

/** Adds a mistake (line and column 0: the file as a whole). Returns 0 or WG_ERR_MEMORY. */
int wg_mistakes_add(struct wg_mistakes *mistakes, int line, int column, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
int wg_mistakes_add_list(struct wg_mistakes *mistakes, int line, int column, const char *format, va_list args);

/** Sorts by position; the sort is stable. */
void wg_mistakes_sort(struct wg_mistakes *mistakes);

#endif
