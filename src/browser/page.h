/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/**
 * A call of the page while it is answered (private to browser/).
 */
#ifndef WG_BROWSER_PAGE_H
#define WG_BROWSER_PAGE_H

#include "browser/page_call.h"
#include "browser/request.h"
#include "scenario/scenario.h"
#include "text/bytes.h"
#include "json/json.h"

#include <stdatomic.h>

struct wg_page_run;

struct wg_engine {
    struct wg_engine_host host;
    atomic_int stop;         /* raised when an event is answered with nonzero */
    struct wg_page_run *run; /* the last run; NULL: none */
};

struct wg_call {
    struct wg_engine *engine;
    const struct wg_request *request;
    struct wg_json *answer; /* its outermost object is open */
    struct wg_mistakes mistakes;
    struct wg_error err;
};

/** One kind of request. */
struct wg_call_kind {
    const char *name;
    int (*answer)(struct wg_call *call); /* returns 0, WG_STOPPED or a negative error */
};

/* The kinds, a file or two each. */
int wg_call_about(struct wg_call *call);
int wg_call_schema(struct wg_call *call);
int wg_call_questions(struct wg_call *call);
int wg_call_check(struct wg_call *call);
int wg_call_set(struct wg_call *call);
int wg_call_run(struct wg_call *call);
int wg_call_why(struct wg_call *call);
int wg_call_life(struct wg_call *call);
int wg_call_fit(struct wg_call *call);
int wg_call_compare(struct wg_call *call);
int wg_call_size(struct wg_call *call);
int wg_call_cheapest(struct wg_call *call);
int wg_call_log_kinds(struct wg_call *call);

/** Frees the last run. NULL is allowed. */
void wg_page_run_free(struct wg_page_run *run);

/**
 * Reads the plan that the request has under `key`, with its files. Returns 0 or a negative error; mistakes are in the call.
 * Free *scenario in every case.
 */
int wg_call_plan(struct wg_call *call, const struct wg_request *plan, struct wg_scenario *scenario);
/** Puts the error that a colony grows past what can be counted to the feeding of its plan. Returns `code`. */
int wg_call_place_overgrown(struct wg_call *call, const struct wg_scenario *scenario, int code);
/** Lists the texts of the object "files", ended by a NULL name; NULL: out of memory. Free it with free(). */
struct wg_text_given *wg_call_files(const struct wg_request *files);

/** Sends an event. */
void wg_page_event(struct wg_engine *engine, struct wg_json *json);
/** Reports progress: of wg_ensemble_options. `self` is a struct wg_page_progress. */
struct wg_page_progress {
    struct wg_engine *engine;
    const char *doing;
};
void wg_page_progress(void *self, int64_t done, int64_t count);

/** Writes what `print` prints to a stream under a key of the answer. Returns 0 or a negative error. */
int wg_call_put_printed(struct wg_call *call, const char *key,
                        int (*print)(const void *self, FILE *to, struct wg_error *), const void *self);
/** Writes a printed document of JSON. */
int wg_call_embed_printed(struct wg_call *call, const char *key,
                          int (*print)(const void *self, FILE *to, struct wg_error *), const void *self);
/** Makes the mistakes of a reader those of the call. */
void wg_call_take_mistakes(struct wg_call *call, struct wg_mistakes *mistakes);
/** Answers "size" over two numbers. */
int wg_call_size_grid(struct wg_call *call);
struct wg_comparison_data;
/** Writes the report and the figures of a comparison. */
int wg_call_put_comparison(struct wg_call *call, struct wg_comparison_data *data);
struct wg_figures;
/** Writes the list "figures": name, title, note, the SVG of each and its numbers as CSV. */
int wg_call_put_figures(struct wg_call *call, const struct wg_figures *figures);
/** Writes bytes that are a text. */
int wg_call_put_bytes(struct wg_call *call, const char *key, const struct wg_bytes *bytes);

#endif
