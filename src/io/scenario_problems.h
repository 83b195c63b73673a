/* layer: io, private */
/**
 * Collecting the mistakes of a file.
 */
#ifndef WG_IO_SCENARIO_PROBLEMS_H
#define WG_IO_SCENARIO_PROBLEMS_H

#include <stdarg.h>
#include <stddef.h>
#include <wintergrub/scenario.h>

/** After so many the rest is not listed: nobody reads on. One more says so. */
#define WG_PROBLEMS_MOST 30

/** Adds one (line and column 0: the file as a whole). 0 or WG_ERR_MEMORY. */
int wg_problems_add(struct wg_problems *problems, int line, int column, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
int wg_problems_add_list(struct wg_problems *problems, int line, int column, const char *format, va_list args);

/** Bytes of the UTF-8 character at p, which is before `end`; 1 for a byte that is none. */
size_t wg_utf8_size(const char *p, const char *end);

/** In order of place; mistakes at one place stay in the order in which they were found. */
void wg_problems_sort(struct wg_problems *problems);

#endif
