/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Answers requests: finds the row of "do", lets it answer, and words what went wrong.
 */
#include "browser/page_call.h"

#include "browser/page.h"
#include "browser/yaml_path.h"

#include <stdlib.h>
#include <string.h>

static const struct wg_call_kind kinds[] = {
    {"about", wg_call_about},
    {"schema", wg_call_schema},
    {"questions", wg_call_questions},
    {"check", wg_call_check},
    {"set", wg_call_set},
    {"run", wg_call_run},
    {"why", wg_call_why},
    {"life", wg_call_life},
    {"compare", wg_call_compare},
    {"size", wg_call_size},
    {"cheapest", wg_call_cheapest},
    {"fit", wg_call_fit},
    {"log_kinds", wg_call_log_kinds},
};

struct wg_engine *wg_engine_new(const struct wg_engine_host *host) {
    struct wg_engine *const engine = calloc(1, sizeof *engine);
    if (engine != NULL && host != NULL)
        engine->host = *host;
    return engine;
}

void wg_engine_free(struct wg_engine *engine) {
    if (engine == NULL)
        return;
    wg_page_run_free(engine->run);
    free(engine);
}

/* ---- failures ---- */

static void put_mistake(struct wg_json *json, const struct wg_mistakes *mistakes, size_t i) {
    const struct wg_mistake *const mistake = &mistakes->items[i];
    char *const shown = wg_mistake_text(mistakes, i);
    char path[WG_YAML_PATH] = "";
    const bool is_own = mistake->file == 0;
    if (is_own && mistakes->source != NULL)
        wg_yaml_path_at(mistakes->source, strlen(mistakes->source), mistake->line, mistake->column, path);
    wg_json_object(json, NULL);
    wg_json_whole(json, "line", mistake->line);
    wg_json_whole(json, "column", mistake->column);
    wg_json_text(json, "where", is_own ? mistakes->path : mistakes->base[mistake->file - 1].path);
    wg_json_text(json, "path", path[0] != '\0' ? path : NULL);
    wg_json_text(json, "text", mistake->message);
    wg_json_lines(json, "shown", shown);
    wg_json_close(json);
    free(shown);
}

/* "hill.yaml: The file ..." */
static void put_fault(struct wg_json *json, const struct wg_error *err) {
    char text[sizeof err->where + sizeof err->text + 4];
    const char *const sentence = err->text[0] != '\0' ? err->text : wg_error_sentence(err->code);
    (void)snprintf(text, sizeof text, "%s%s%s", err->where, err->where[0] != '\0' ? ": " : "", sentence);
    wg_json_text(json, "error", text);
}

static char *answer_failure(const struct wg_call *call, int code) {
    const struct wg_mistakes *const mistakes = &call->mistakes;
    struct wg_json *const json = wg_json_new();
    wg_json_flag(json, "ok", false);
    wg_json_whole(json, "code", code == WG_STOPPED ? 130 : wg_error_exit_status(code));
    if (code == WG_STOPPED) {
        wg_json_flag(json, "stopped", true);
        wg_json_text(json, "error", "Stopped before there was an answer.");
    } else if (mistakes->n > 0) {
        wg_json_list(json, "mistakes");
        for (size_t i = 0; i < mistakes->n; i++)
            put_mistake(json, mistakes, i);
        wg_json_close(json);
    } else {
        put_fault(json, &call->err);
    }
    return wg_json_take(json);
}

/* ---- the call ---- */

static int answer_request(struct wg_call *call) {
    const char *const name = wg_request_text(call->request, "do");
    for (size_t i = 0; name != NULL && i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].name, name) == 0)
            return kinds[i].answer(call);
    return wg_fail(&call->err, WG_ERR_USAGE, "request", "There is no request \"%.40s\".", name != NULL ? name : "");
}

static char *finish_answer(struct wg_call *call, int code) {
    if (code == 0) {
        char *const text = wg_json_take(call->answer);
        if (text != NULL)
            return text;
        code = wg_no_memory(&call->err, NULL);
    } else {
        wg_json_drop(call->answer);
    }
    call->err.code = code;
    return answer_failure(call, code);
}

char *wg_page_call(struct wg_engine *engine, const char *request) {
    struct wg_request *read = NULL;
    struct wg_call call = {.engine = engine, .answer = wg_json_new()};
    int code = wg_request_read(&read, request, &call.err);
    call.request = read;
    atomic_store(&engine->stop, 0);
    wg_json_flag(call.answer, "ok", true);
    if (code == 0)
        code = answer_request(&call);
    char *const answer = finish_answer(&call, code);
    wg_mistakes_free(&call.mistakes);
    wg_request_free(read);
    return answer;
}
