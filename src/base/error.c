/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Records errors.
 *
 * Expands the table of src/base/error.h into sentences and exit statuses, so a new error is one line in one place.
 */
#include "base/error.h"

#include "base/utf8.h"

#include <stdarg.h>
#include <stdio.h>

struct error_row {
    int code;
    int exit_status;
    const char *sentence;
};

static const struct error_row error_rows[] = {
#define ERROR_ROW(name, code, status, text) {code, status, text},
    WG_ERROR_TABLE(ERROR_ROW)
#undef ERROR_ROW
};

/* A negative code outside the table is a bug of ours. */
static const struct error_row *error_row_of(int code) {
    const struct error_row *internal = NULL;
    for (size_t i = 0; i < sizeof error_rows / sizeof *error_rows; i++) {
        if (error_rows[i].code == code)
            return &error_rows[i];
        if (error_rows[i].code == WG_ERR_INTERNAL)
            internal = &error_rows[i];
    }
    return internal;
}

#undef wg_fail
int wg_fail(struct wg_error *err, int code, const char *where, const char *format, ...) {
    wg_assert(code < 0);
    if (err == NULL || err->code != 0)
        return code;
    err->code = code;
    (void)snprintf(err->where, sizeof err->where, "%s", where == NULL ? "" : where);
    wg_utf8_trim(err->where);
    va_list args;
    va_start(args, format);
    (void)vsnprintf(err->text, sizeof err->text, format, args);
    va_end(args);
    wg_utf8_trim(err->text);
    return code;
}

int wg_no_memory(struct wg_error *err, const char *where) {
    return wg_fail(
        err, WG_ERR_MEMORY, where,
        "There is not enough memory. Fewer replicates, fewer places and bins or a shorter period need less.");
}

const char *wg_error_sentence(int code) {
    return code >= 0 ? "no error" : error_row_of(code)->sentence;
}

int wg_error_exit_status(int code) {
    return code >= 0 ? 0 : error_row_of(code)->exit_status;
}
