/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * What the kinds of calls share: plans with their files, events, texts of the answer.
 */
#include "browser/page.h"

#include <stdlib.h>
#include <string.h>

/* ---- plans ---- */

struct given_list {
    struct wg_text_given *item; /* NULL: only count */
    size_t n;
};

static int add_given(void *self, const char *name, const char *text) {
    struct given_list *const list = self;
    if (list->item != NULL)
        list->item[list->n] = (struct wg_text_given){name, text, strlen(text)};
    list->n++;
    return 0;
}

struct wg_text_given *wg_call_files(const struct wg_request *files) {
    struct given_list list = {.item = NULL};
    (void)wg_request_each(files, add_given, &list);
    list.item = calloc(list.n + 1, sizeof *list.item);
    list.n = 0;
    if (list.item != NULL)
        (void)wg_request_each(files, add_given, &list);
    return list.item;
}

/* Returns the name of the plan without its folder: the files of the page have none. */
static const char *plan_name(const struct wg_request *plan) {
    const char *const name = wg_request_text(plan, "name");
    const char *const slash = name != NULL ? strrchr(name, '/') : NULL;
    if (name == NULL || name[0] == '\0')
        return "plan.yaml";
    return slash != NULL && slash[1] != '\0' ? slash + 1 : name;
}

int wg_call_plan(struct wg_call *call, const struct wg_request *plan, struct wg_scenario *scenario) {
    const char *const text = wg_request_text(plan, "text");
    if (text == NULL)
        return wg_fail(&call->err, WG_ERR_USAGE, "request", "The plan is missing.");
    struct wg_text_given *const files = wg_call_files(wg_request_part(plan, "files"));
    if (files == NULL)
        return wg_no_memory(&call->err, NULL);
    wg_mistakes_free(&call->mistakes);
    const int code =
        wg_scenario_read_given(scenario, plan_name(plan), text, strlen(text), files, &call->mistakes, &call->err);
    free(files);
    return code;
}

int wg_call_place_overgrown(struct wg_call *call, const struct wg_scenario *scenario, int code) {
    if (code != WG_ERR_OVERGROWN || scenario->feeding_line == 0)
        return code;
    wg_mistakes_free(&call->mistakes);
    call->mistakes.path = strdup(scenario->path);
    call->mistakes.source = strdup(scenario->text);
    (void)wg_mistakes_add(&call->mistakes, scenario->feeding_line, scenario->feeding_column, "%s", call->err.text);
    return code;
}

void wg_call_take_mistakes(struct wg_call *call, struct wg_mistakes *mistakes) {
    if (mistakes->n == 0)
        return;
    wg_mistakes_free(&call->mistakes);
    call->mistakes = *mistakes;
    *mistakes = (struct wg_mistakes){0};
}

/* ---- events ---- */

void wg_page_event(struct wg_engine *engine, struct wg_json *json) {
    char *const text = wg_json_take(json);
    if (text != NULL && engine->host.event != NULL && engine->host.event(engine->host.self, text) != 0)
        atomic_store(&engine->stop, 1);
    free(text);
}

void wg_page_progress(void *self, int64_t done, int64_t count) {
    const struct wg_page_progress *const progress = self;
    struct wg_json *const json = wg_json_new();
    wg_json_whole(json, "progress", done);
    wg_json_whole(json, "of", count);
    wg_json_text(json, "doing", progress->doing);
    wg_page_event(progress->engine, json);
}

/* ---- texts ---- */

/* Returns what is printed, malloc'ed; NULL after an error. */
static char *print_to_text(struct wg_call *call, int (*print)(const void *self, FILE *to, struct wg_error *),
                           const void *self) {
    char *text = NULL;
    size_t size = 0;
    FILE *const to = open_memstream(&text, &size);
    if (to == NULL) {
        (void)wg_no_memory(&call->err, NULL);
        return NULL;
    }
    int code = print(self, to, &call->err);
    if (ferror(to) != 0 && code == 0)
        code = wg_no_memory(&call->err, NULL);
    if (fclose(to) != 0 && code == 0)
        code = wg_no_memory(&call->err, NULL);
    if (code == 0)
        return text;
    free(text);
    return NULL;
}

int wg_call_put_printed(struct wg_call *call, const char *key,
                        int (*print)(const void *self, FILE *to, struct wg_error *), const void *self) {
    char *const text = print_to_text(call, print, self);
    if (text == NULL)
        return call->err.code;
    wg_json_lines(call->answer, key, text);
    free(text);
    return 0;
}

int wg_call_embed_printed(struct wg_call *call, const char *key,
                          int (*print)(const void *self, FILE *to, struct wg_error *), const void *self) {
    char *const text = print_to_text(call, print, self);
    if (text == NULL)
        return call->err.code;
    wg_json_embed(call->answer, key, text);
    free(text);
    return 0;
}

int wg_call_put_bytes(struct wg_call *call, const char *key, const struct wg_bytes *bytes) {
    if (bytes->failed)
        return wg_no_memory(&call->err, NULL);
    wg_json_lines(call->answer, key, bytes->data != NULL ? bytes->data : "");
    return 0;
}
