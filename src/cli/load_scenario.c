/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a scenario and reports all of its mistakes, each at its place.
 */
#include "cli/load_scenario.h"

#include "cli/args.h"
#include "cli/message.h"
#include "cli/progress.h"
#include "cli/stop.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void show_problem(const struct wg_mistakes *problems, size_t i) {
    char *const text = wg_mistake_text(problems, i);
    wg_progress_clear();
    if (text != NULL)
        (void)fputs(text, stderr);
    if (text != NULL && *text != '\0' && text[strlen(text) - 1] != '\n')
        (void)fputc('\n', stderr);
    free(text);
}

int wg_load_report(int code, struct wg_mistakes *problems, const struct wg_error *err) {
    int status = 0;
    for (size_t i = 0; i < problems->n; i++)
        show_problem(problems, i);
    if (code < 0 && problems->n > 0) {
        wg_message("%s: %zu mistake%s; nothing was simulated.", problems->path, problems->n,
                   problems->n == 1 ? "" : "s");
        status = wg_error_exit_status(code);
    } else if (code < 0) {
        status = wg_message_error(err);
    }
    wg_mistakes_free(problems);
    return status;
}

void wg_load_begin_stream(const char *path, const char *what) {
    static const struct wg_exit_cleanup cleanup = {.line = "wintergrub: stopped.\n"};
    if (!wg_args_is_stream(path))
        return;
    if (isatty(STDIN_FILENO))
        wg_message("type or paste the %s, then Ctrl-D on a line of its own.", what);
    wg_stop_immediately(&cleanup);
}

void wg_load_end_stream(const char *path) {
    if (wg_args_is_stream(path))
        wg_stop_immediately(NULL);
}

int wg_load_scenario(struct wg_scenario *scenario, const char *path) {
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    wg_load_begin_stream(path, "plan");
    const int code = wg_scenario_read(scenario, wg_args_is_stream(path) ? NULL : path, &problems, &err);
    wg_load_end_stream(path);
    return wg_load_report(code, &problems, &err);
}

int wg_load_scenario_text(struct wg_scenario *scenario, const char *path, const char *text, size_t size,
                          const char *record_text, size_t record_size) {
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    const int code = wg_scenario_read_text(scenario, path, text, size, record_text, record_size, &problems, &err);
    return wg_load_report(code, &problems, &err);
}

int wg_load_message_error(const struct wg_scenario *scenario, const struct wg_error *err) {
    if (err->code != WG_ERR_OVERGROWN || scenario->feeding_line == 0)
        return wg_message_error(err);
    struct wg_error copy = *err;
    struct wg_mistake item = {.line = scenario->feeding_line, .column = scenario->feeding_column, .message = copy.text};
    const struct wg_mistakes problems = {
        .path = scenario->path, .source = scenario->text, .n = 1, .capacity = 1, .items = &item};
    show_problem(&problems, 0);
    return wg_error_exit_status(err->code);
}
