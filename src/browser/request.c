/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads requests with the jansson library.
 */
#include "browser/request.h"

#include <errno.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static const json_t *json_of(const struct wg_request *request) {
    return (const json_t *)request;
}

static const json_t *value_of(const struct wg_request *request, const char *key) {
    return json_object_get(json_of(request), key);
}

int wg_request_read(struct wg_request **request, const char *text, struct wg_error *err) {
    json_error_t fault;
    *request = NULL;
    if (strlen(text) > WG_REQUEST_MAX_BYTES)
        return wg_fail(err, WG_ERR_INPUT, "request", "The plan and its files are too large for a page.");
    json_t *const json = json_loads(text, JSON_REJECT_DUPLICATES, &fault);
    if (json == NULL && json_error_code(&fault) == json_error_out_of_memory)
        return wg_no_memory(err, "request");
    if (json == NULL)
        return wg_fail(err, WG_ERR_INPUT, "request", "This is not JSON: %s.", fault.text);
    if (!json_is_object(json)) {
        json_decref(json);
        return wg_fail(err, WG_ERR_INPUT, "request", "A request is an object.");
    }
    *request = (struct wg_request *)json;
    return 0;
}

void wg_request_free(struct wg_request *request) {
    json_decref((json_t *)request);
}

const char *wg_request_text(const struct wg_request *request, const char *key) {
    return json_string_value(value_of(request, key));
}

bool wg_request_whole(const struct wg_request *request, const char *key, uint64_t *value) {
    const json_t *const number = value_of(request, key);
    const char *const text = json_string_value(number);
    if (json_is_integer(number) && json_integer_value(number) >= 0) {
        *value = (uint64_t)json_integer_value(number);
        return true;
    }
    if (text == NULL || text[0] == '\0' || text[strspn(text, "0123456789")] != '\0')
        return false;
    errno = 0;
    const unsigned long long read = strtoull(text, NULL, 10);
    if (errno != 0)
        return false;
    *value = read;
    return true;
}

bool wg_request_has(const struct wg_request *request, const char *key) {
    const json_t *const value = value_of(request, key);
    return value != NULL && !json_is_null(value) && !json_is_false(value);
}

const struct wg_request *wg_request_part(const struct wg_request *request, const char *key) {
    const json_t *const part = value_of(request, key);
    return json_is_object(part) ? (const struct wg_request *)part : NULL;
}

int wg_request_count(const struct wg_request *request, const char *key) {
    return (int)json_array_size(value_of(request, key));
}

const struct wg_request *wg_request_item(const struct wg_request *request, const char *key, int i) {
    const json_t *const item = json_array_get(value_of(request, key), (size_t)i);
    return json_is_object(item) ? (const struct wg_request *)item : NULL;
}

const char *wg_request_item_text(const struct wg_request *request, const char *key, int i) {
    return json_string_value(json_array_get(value_of(request, key), (size_t)i));
}

int wg_request_each(const struct wg_request *object, int (*visit)(void *self, const char *key, const char *text),
                    void *self) {
    json_t *const json = (json_t *)(uintptr_t)object; /* jansson's iterators take no const */
    for (void *at = json_object_iter(json); at != NULL; at = json_object_iter_next(json, at)) {
        const char *const text = json_string_value(json_object_iter_value(at));
        const int code = text != NULL ? visit(self, json_object_iter_key(at), text) : 0;
        if (code != 0)
            return code;
    }
    return 0;
}
