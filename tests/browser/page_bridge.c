/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Answers the requests of the page natively, for tests: reads one request a line from standard input, and prints events
 * and then the answer, one line each: "event {...}", "answer {...}".
 */
#include "browser/page_call.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Stops after so many events, to test that a call can be stopped; 0: never. */
struct bridge {
    long stop_after, events;
};

static int print_event(void *self, const char *json) {
    struct bridge *const bridge = self;
    (void)printf("event %s\n", json);
    bridge->events++;
    return bridge->stop_after > 0 && bridge->events >= bridge->stop_after;
}

int main(int argc, char **argv) {
    struct bridge bridge = {.stop_after = argc > 1 ? strtol(argv[1], NULL, 10) : 0};
    struct wg_engine *const engine = wg_engine_new(&(struct wg_engine_host){print_event, &bridge});
    char *line = NULL;
    size_t size = 0;
    for (ssize_t n; (n = getline(&line, &size, stdin)) > 0;) {
        line[strcspn(line, "\n")] = '\0';
        bridge.events = 0;
        char *const answer = wg_page_call(engine, line);
        (void)printf("answer %s\n", answer);
        (void)fflush(stdout);
        free(answer);
    }
    free(line);
    wg_engine_free(engine);
    return 0;
}
