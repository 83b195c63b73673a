/**
 * What went wrong, where, and what to tell the keeper.
 *
 * Every function of the library that can fail returns 0 on success, a negative
 * code of this table on failure, or a positive outcome that its own header
 * names. The text of an error is written where the error is born, by wg_fail():
 * set one breakpoint there to catch them all. The library never prints and
 * never exits; the command line turns a code into an exit status.
 */
#ifndef WG_BASE_ERROR_H
#define WG_BASE_ERROR_H

/* name, code, exit status of the command, one plain sentence */
#define WG_ERROR_TABLE(X)                                                                                              \
    X(WG_ERR_USAGE, -1, 2, "the command was not understood")                                                           \
    X(WG_ERR_INPUT, -2, 3, "the input has a mistake")                                                                  \
    X(WG_ERR_OVERGROWN, -3, 3, "the colony outgrew what can be counted")                                               \
    X(WG_ERR_FILE, -4, 4, "a file could not be read or written")                                                       \
    X(WG_ERR_EXISTS, -5, 4, "the file is already there")                                                               \
    X(WG_ERR_FORMAT, -6, 3, "the file is not what it should be")                                                       \
    X(WG_ERR_MEMORY, -7, 5, "there is not enough memory")                                                              \
    X(WG_ERR_THREAD, -8, 5, "a worker thread could not be started")                                                    \
    X(WG_ERR_INTERNAL, -9, 5, "this is a mistake in wintergrub itself")

enum wg_error_code {
#define WG_ERROR_ENUM(name, code, status, text) name = code,
    WG_ERROR_TABLE(WG_ERROR_ENUM)
#undef WG_ERROR_ENUM
};

/* Positive outcomes shared by several functions. */
#define WG_STOPPED 1 /* asked to stop (Ctrl-C) and stopped cleanly */

/** One error. Zero-initialise it; `code` 0 means "none". Owns nothing. */
struct wg_error {
    int code;
    char where[160]; /* "file:line:column", a path, a key; may be empty */
    char text[640];  /* one or more plain sentences, no trailing newline */
};

/**
 * Records an error and returns `code`, so that `return wg_fail(err, ...)` works.
 * `err` may be NULL (then only the code is returned); an error already recorded
 * is kept: the first cause is the one worth reading. `where` may be NULL.
 * `code` must be negative (wg_assert). What does not fit is cut at a whole UTF-8
 * character.
 */
int wg_fail(struct wg_error *err, int code, const char *where, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Records that memory ran out, in one sentence for all places. `where` may be NULL. Returns WG_ERR_MEMORY. */
int wg_no_memory(struct wg_error *err, const char *where);
#ifdef __clang_analyzer__ /* sees one source at a time and would think that this may return 0 */
#define wg_fail(err, code, ...) ((void)wg_fail(err, code, __VA_ARGS__), (code))
#endif

/**
 * The plain sentence of a code; "no error" for 0 and positives; never NULL. A
 * negative code outside the table is taken for WG_ERR_INTERNAL.
 */
const char *wg_error_sentence(int code);

/** The exit status the command line gives for a code (0 for 0 and positives; outside the table as above). */
int wg_error_exit_status(int code);

/**
 * Impossible state: on in every build. It ends the process, because going on
 * with a broken colony would print a wrong forecast.
 */
#define wg_assert(condition) ((condition) ? (void)0 : wg_assert_failed(#condition, __FILE__, __LINE__))
/**
 * Called in the thread that met the impossible state; never returns. The library's own prints one line on standard error
 * and aborts. A program that wants another end (the command line: one sentence, exit status 5) defines a function of
 * this name itself, which then stands in for the library's: there is no handler to set, and no variable to keep one in.
 */
_Noreturn void wg_assert_failed(const char *condition, const char *file, int line);

#endif
