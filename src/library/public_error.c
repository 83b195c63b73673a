/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Translates internal errors and mistakes into public ones, with the same sentences.
 */
#include "library/public.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAME_CODE(name, code, status, text)                                                                            \
    _Static_assert(WINTERGRUB_##name == (code), "one number inside and outside");
#define WINTERGRUB_WG_ERR_USAGE WINTERGRUB_ERR_USAGE
#define WINTERGRUB_WG_ERR_INPUT WINTERGRUB_ERR_INPUT
#define WINTERGRUB_WG_ERR_OVERGROWN WINTERGRUB_ERR_OVERGROWN
#define WINTERGRUB_WG_ERR_FILE WINTERGRUB_ERR_FILE
#define WINTERGRUB_WG_ERR_EXISTS WINTERGRUB_ERR_EXISTS
#define WINTERGRUB_WG_ERR_FORMAT WINTERGRUB_ERR_FORMAT
#define WINTERGRUB_WG_ERR_MEMORY WINTERGRUB_ERR_MEMORY
#define WINTERGRUB_WG_ERR_THREAD WINTERGRUB_ERR_THREAD
#define WINTERGRUB_WG_ERR_INTERNAL WINTERGRUB_ERR_INTERNAL
WG_ERROR_TABLE(SAME_CODE)
_Static_assert((int)WINTERGRUB_STOPPED == WG_STOPPED, "one number inside and outside");
_Static_assert(sizeof((struct wintergrub_error *)0)->text == sizeof((struct wg_error *)0)->text, "nothing is cut");
_Static_assert(sizeof((struct wintergrub_error *)0)->where == sizeof((struct wg_error *)0)->where, "nothing is cut");

const char *wintergrub_version(void) {
    return WINTERGRUB_VERSION;
}

int wintergrub_version_number(void) {
    return WINTERGRUB_VERSION_NUMBER;
}

const char *wintergrub_error_sentence(int code) {
    return wg_error_sentence(code);
}

int wintergrub_exit_status(int code) {
    return wg_error_exit_status(code);
}

int wg_public_error(struct wintergrub_error *out, const struct wg_error *err) {
    if (out == NULL)
        return err->code;
    out->code = err->code;
    memcpy(out->where, err->where, sizeof out->where);
    memcpy(out->text, err->text, sizeof out->text);
    return err->code;
}

int wg_public_fail(struct wintergrub_error *out, int code, const char *where, const char *format, ...) {
    struct wg_error err = {0};
    char text[sizeof err.text];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    (void)wg_fail(&err, code, where, "%s", text);
    return wg_public_error(out, &err);
}

int wg_public_locale_begin(struct wg_public_locale *locale, struct wg_error *err) {
    locale->plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (locale->plain == (locale_t)0)
        return wg_no_memory(err, NULL);
    locale->before = uselocale(locale->plain);
    return 0;
}

void wg_public_locale_end(const struct wg_public_locale *locale) {
    (void)uselocale(locale->before);
    freelocale(locale->plain);
}

/* ---- mistakes ---- */

size_t wintergrub_mistakes_count(const wintergrub_mistakes *mistakes) {
    return mistakes == NULL ? 0 : mistakes->list.n;
}

struct wintergrub_mistake wintergrub_mistakes_get(const wintergrub_mistakes *mistakes, size_t i) {
    if (i >= wintergrub_mistakes_count(mistakes))
        return (struct wintergrub_mistake){0};
    const struct wg_mistake *const mistake = &mistakes->list.items[i];
    return (struct wintergrub_mistake){.line = mistake->line,
                                       .column = mistake->column,
                                       .text = mistake->message,
                                       .base = mistake->file > 0 ? mistakes->list.base[mistake->file - 1].path : NULL};
}

char *wintergrub_mistakes_show(const wintergrub_mistakes *mistakes, size_t i) {
    return i < wintergrub_mistakes_count(mistakes) ? wg_mistake_text(&mistakes->list, i) : NULL;
}

void wintergrub_mistakes_free(wintergrub_mistakes *mistakes) {
    if (mistakes == NULL)
        return;
    wg_mistakes_free(&mistakes->list);
    free(mistakes);
}
