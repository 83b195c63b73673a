/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * Builds one JSON document from the outside in, keys in the order of the calls. A failure is remembered until
 * wg_json_print(), so that callers need not check in between.
 */
#ifndef WG_JSON_JSON_H
#define WG_JSON_JSON_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

struct wg_json;

/** Returns a document with its outermost object open; NULL without memory, which all other functions accept. */
struct wg_json *wg_json_new(void);

/* In an object `key` names the value; in a list it is NULL. Texts are copied. */

void wg_json_object(struct wg_json *json, const char *key);
void wg_json_list(struct wg_json *json, const char *key);
/** Closes the innermost open object or list. */
void wg_json_close(struct wg_json *json);
/** Writes a text; NULL as null, bytes that are not UTF-8 as '?'. */
void wg_json_text(struct wg_json *json, const char *key, const char *text);
/** Writes a text whose line ends and tabs stay: a plan, a table, a page. */
void wg_json_lines(struct wg_json *json, const char *key, const char *text);
/** Writes a document that is text already, such as what wg_forecast_print_json() prints. */
void wg_json_embed(struct wg_json *json, const char *key, const char *document);
/** Writes the key "seed" as a text, because not every reader handles 64 bits. */
void wg_json_seed(struct wg_json *json, uint64_t seed);
/** Writes a number with twelve figures; null if it is not finite ("never", "none"). */
void wg_json_real(struct wg_json *json, const char *key, double value);
void wg_json_whole(struct wg_json *json, const char *key, int64_t value);
void wg_json_flag(struct wg_json *json, const char *key, bool value);

/** Prints and frees the document. Returns 0 or WG_ERR_MEMORY; a failed write is left in the stream (ferror). */
int wg_json_print(struct wg_json *json, FILE *to, struct wg_error *err);
/** Returns the document without blanks, malloc'ed, and frees it; NULL: out of memory. */
char *wg_json_take(struct wg_json *json);
/** Frees a document without printing it. NULL is allowed. */
void wg_json_drop(struct wg_json *json);

#endif
