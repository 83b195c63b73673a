/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A request of the page: an object of JSON (RFC 8259), read with its mistakes.
 */
#ifndef WG_BROWSER_REQUEST_H
#define WG_BROWSER_REQUEST_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define WG_REQUEST_MAX_BYTES ((size_t)96 * 1024 * 1024) /* a weather file may have 64 MB */

/** An object within a request. Borrowed. */
struct wg_request;

/** Reads a text. Returns 0, WG_ERR_INPUT or WG_ERR_MEMORY. Free it with wg_request_free(). */
int wg_request_read(struct wg_request **request, const char *text, struct wg_error *err);
void wg_request_free(struct wg_request *request);

/** Returns a text of the request; NULL if the key is absent or no text. */
const char *wg_request_text(const struct wg_request *request, const char *key);
/** Sets a whole number; a text of digits counts, because the page's numbers have 53 bits. False if there is none. */
bool wg_request_whole(const struct wg_request *request, const char *key, uint64_t *value);
/** Returns true if a key is given and neither null nor false. */
bool wg_request_has(const struct wg_request *request, const char *key);
/** Returns the object of a key; NULL if there is none. */
const struct wg_request *wg_request_part(const struct wg_request *request, const char *key);

/** The length of a list; 0 if the key is absent or no list. */
int wg_request_count(const struct wg_request *request, const char *key);
/** Returns item i of a list if it is an object; else NULL. */
const struct wg_request *wg_request_item(const struct wg_request *request, const char *key, int i);
/** Returns item i of a list if it is a text; else NULL. */
const char *wg_request_item_text(const struct wg_request *request, const char *key, int i);

/** Calls `visit` for each key of an object that has a text, in their order, until it returns nonzero, which is returned. */
int wg_request_each(const struct wg_request *object, int (*visit)(void *self, const char *key, const char *text),
                    void *self);

#endif
