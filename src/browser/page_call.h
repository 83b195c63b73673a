/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * The boundary between the engine and the page: a request of JSON in, an answer of JSON out.
 *
 * The page runs the same sources as the program, so an answer has the numbers and words that the program prints. A
 * request is an object whose "do" names a row of the table in page_call.c. An answer has "ok": true; or false with
 * "mistakes" in the plan, each at its place, or with "error", and with "code", the exit status of the program.
 *
 * src/browser/README.md lists requests and answers.
 */
#ifndef WG_BROWSER_PAGE_CALL_H
#define WG_BROWSER_PAGE_CALL_H

/** What a long call reports to, given once. */
struct wg_engine_host {
    /**
     * Gets progress, {"progress": 20, "of": 500, "doing": "simulating"}, or a life, {"year": 7, "alive": true,
     * "harvest_kg": 12.5}. A nonzero result asks the call to stop. May be NULL.
     */
    int (*event)(void *self, const char *json);
    void *self;
};

/** The engine of one page, with the last run. */
struct wg_engine;
/** Returns an engine, or NULL: out of memory. */
struct wg_engine *wg_engine_new(const struct wg_engine_host *host);
void wg_engine_free(struct wg_engine *engine);

/** Answers a request. malloc'ed; NULL only if not even an answer about memory fits. Free it with free(). */
char *wg_page_call(struct wg_engine *engine, const char *request);

#endif
