/**
 * Collecting the mistakes of a file.
 */
#ifndef WG_TEXT_MISTAKES_H
#define WG_TEXT_MISTAKES_H

#include "base/error.h"

#include <stdarg.h>
#include <stddef.h>

/** One mistake in a file. Owned by the list. */
struct wg_mistake {
    int line, column; /* from 1; 0: the file as a whole */
    char *message;    /* what is wrong and what is expected, one or two sentences */
};
/** All mistakes of one file, in order of place. */
struct wg_mistakes {
    char *path;
    char *source; /* the file's text, for the caret lines; owned, NULL if it was not read */
    size_t n, capacity;
    struct wg_mistake *items;
};
void wg_mistakes_free(struct wg_mistakes *problems);
/**
 * One problem as people read it, malloc'ed (NULL: not enough memory), with a newline at its end:
 *   file:line:column: error: message
 *   the source line
 *   a caret
 * Control characters of the file are shown as '?' and never reach a terminal.
 */
char *wg_mistake_text(const struct wg_mistakes *problems, size_t i);

/** After so many the rest is not listed: nobody reads on. One more says so. */
#define WG_MAX_MISTAKES 30

/** Adds one (line and column 0: the file as a whole). 0 or WG_ERR_MEMORY. */
int wg_mistakes_add(struct wg_mistakes *problems, int line, int column, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
int wg_mistakes_add_list(struct wg_mistakes *problems, int line, int column, const char *format, va_list args);

/** In order of place; mistakes at one place stay in the order in which they were found. */
void wg_mistakes_sort(struct wg_mistakes *problems);

#endif
