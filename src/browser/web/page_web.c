/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The engine as a module: one page, whose calls take and return texts in its memory.
 */
#include "browser/page_call.h"
#include "browser/web/host.h"

#include <string.h>

/** Where the functions that wait keep their variables; scripts/build-page gives it to the tool that lets them wait. */
#define WG_WEB_STACK 65536
struct web_stack {
    char *next, *end;
    char bytes[WG_WEB_STACK];
};
static struct web_stack stack;

WG_HOST_EXPORT("wg_web_stack") void *wg_web_stack(void);
void *wg_web_stack(void) {
    stack.next = stack.bytes;
    stack.end = stack.bytes + sizeof stack.bytes;
    return &stack;
}

static int send_event(void *self, const char *json) {
    (void)self;
    return wg_host_event(json, strlen(json));
}

/** Answers a request, a text ended by NUL; free the answer with free(). NULL: out of memory. */
WG_HOST_EXPORT("wg_web_call") char *wg_web_call(const char *request);
char *wg_web_call(const char *request) {
    static struct wg_engine *engine;
    if (engine == NULL)
        engine = wg_engine_new(&(struct wg_engine_host){.event = send_event});
    return engine != NULL ? wg_page_call(engine, request) : NULL;
}
