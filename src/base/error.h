/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Error codes, messages and exit statuses.
 *
 * Every library function that can fail returns 0 on success, a negative code of this table on failure, or a positive
 * outcome that its own header names. wg_fail() writes the message where the error occurs: one breakpoint there catches
 * them all. The library never prints and never exits; the command line turns a code into an exit status.
 */
#ifndef WG_BASE_ERROR_H
#define WG_BASE_ERROR_H

/* name, code, exit status, sentence */
#define WG_ERROR_TABLE(X)                                                                                              \
    X(WG_ERR_USAGE, -1, 2, "the command was not understood")                                                           \
    X(WG_ERR_INPUT, -2, 3, "the input has a mistake")                                                                  \
    X(WG_ERR_OVERGROWN, -3, 3, "the colony grew too large to count")                                                   \
    X(WG_ERR_FILE, -4, 4, "a file could not be read or written")                                                       \
    X(WG_ERR_EXISTS, -5, 4, "the file is already there")                                                               \
    X(WG_ERR_FORMAT, -6, 3, "the file has the wrong format")                                                           \
    X(WG_ERR_MEMORY, -7, 5, "there is not enough memory")                                                              \
    X(WG_ERR_THREAD, -8, 5, "a worker thread could not be started")                                                    \
    X(WG_ERR_INTERNAL, -9, 5, "this is a bug in wintergrub")

enum wg_error_code {
#define WG_ERROR_ENUM(name, code, status, text) name = code,
    WG_ERROR_TABLE(WG_ERROR_ENUM)
#undef WG_ERROR_ENUM
};

/* Positive outcomes shared by several functions. */
#define WG_STOPPED 1 /* asked to stop (Ctrl-C) and stopped cleanly */

/** One error. Zero-initialise it; `code` 0 means none. Owns no memory. */
struct wg_error {
    int code;
    char where[160]; /* "file:line:column", a path, a key; may be empty */
    char text[640];  /* one or more plain sentences, no trailing newline */
};

/**
 * Records an error and returns `code`, so that `return wg_fail(err, ...)` works.
 * `err` may be NULL; an error already recorded is kept, because the first cause matters. `where` may be NULL.
 * `code` must be negative (wg_assert). Truncates at a whole UTF-8 character.
 */
int wg_fail(struct wg_error *err, int code, const char *where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Records that memory ran out, with the same sentence everywhere. `where` may be NULL. Returns WG_ERR_MEMORY. */
int wg_no_memory(struct wg_error *err, const char *where);
#ifdef __clang_analyzer__ /* it sees one source at a time and would assume that this may return 0 */
#define wg_fail(err, code, ...) ((void)wg_fail(err, code, __VA_ARGS__), (code))
#endif

/**
 * Returns the sentence of a code; "no error" for 0 and positive codes; never NULL. A negative code outside the table
 * counts as WG_ERR_INTERNAL.
 */
const char *wg_error_sentence(int code);

/** Returns the exit status for a code: 0 for 0 and positive codes; outside the table as above. */
int wg_error_exit_status(int code);

/**
 * Checks an invariant, in every build. Ends the process on failure, because a broken colony would give a wrong forecast.
 */
#define wg_assert(condition) ((condition) ? (void)0 : wg_assert_failed(#condition, __FILE__, __LINE__))
/**
 * Called in the thread whose assertion failed; never returns. The library's version prints one line on standard error
 * and aborts. A program that needs another ending (the command line: one sentence, exit status 5) defines its own
 * function of this name, which replaces the library's. So no global handler is needed.
 */
_Noreturn void wg_assert_failed(const char *condition, const char *file, int line);

#endif
