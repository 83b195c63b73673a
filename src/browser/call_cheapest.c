/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * "cheapest": the cheapest plan that meets the goals, among the values that a plan leaves open.
 */
#include "browser/command_line.h"
#include "browser/page.h"
#include "cheapest/find_cheapest.h"
#include "pages/pages.h"
#include <wintergrub/version.h>

#include <stdlib.h>

struct page_cheapest {
    struct wg_cheapest_search search;
    struct wg_page_progress progress;
    struct wg_bytes command; /* that repeats it */
    char now[32];
};

/* The program counts on its way; so many years are only expected. */
static void report_search(void *self, int64_t years, int64_t expected) {
    wg_page_progress(self, years < expected ? years : expected, expected);
}

static int read_cheapest_request(struct wg_call *call, struct page_cheapest *job) {
    struct wg_cheapest_search *const search = &job->search;
    uint64_t seed = 0;
    int code = wg_call_plan(call, wg_request_part(call->request, "plan"), &search->candidates.base);
    const bool is_seeded = wg_request_whole(call->request, "seed", &seed);
    (void)wg_request_whole(call->request, "years", &search->fresh);
    search->any_survivor = wg_request_has(call->request, "any_survivor");
    search->stop = &call->engine->stop;
    search->progress = report_search;
    search->progress_self = &job->progress;
    job->progress = (struct wg_page_progress){.engine = call->engine, .doing = "searching, possible futures"};
    if (code == 0 && search->fresh != 0 && (search->fresh < WG_CHEAPEST_LEAST_YEARS || search->fresh > 100000))
        code = wg_fail(&call->err, WG_ERR_USAGE, "years", "The number of years must be from %d to 100000.",
                       WG_CHEAPEST_LEAST_YEARS);
    if (code == 0) {
        wg_mistakes_free(&call->mistakes);
        code = wg_candidates_open(&search->candidates, is_seeded ? &seed : NULL, &call->mistakes, &call->err);
    }
    return code;
}

static void word_cheapest_command(const struct wg_call *call, struct page_cheapest *job) {
    const struct wg_scenario *const base = &job->search.candidates.base;
    wg_command_begin(&job->command, "cheapest", base->path);
    if (job->search.any_survivor)
        wg_command_add(&job->command, "--any-survivor");
    if (job->search.fresh != 0)
        wg_command_add_count(&job->command, "--replicates", job->search.fresh);
    if (wg_request_has(call->request, "seed"))
        wg_command_add_count(&job->command, "--seed", base->plan.seed);
}

/* ---- the answer ---- */

static int print_cheapest_json(const void *self, FILE *to, struct wg_error *err) {
    return wg_cheapest_print_json(self, to, err);
}

static int print_cheapest_text(const void *self, FILE *to, struct wg_error *err) {
    return wg_cheapest_print(self, to, err);
}

static int put_cheapest_page(struct wg_call *call, const struct wg_cheapest *cheapest, const struct wg_run_facts *in) {
    struct wg_figures figures = {0};
    struct wg_bytes report = {0};
    const struct wg_page page = {.to = &report, .prefix = "", .is_body = true};
    int code = wg_cheapest_figure(&figures, in, cheapest, &call->err);
    if (code == 0)
        code = wg_report_cheapest(cheapest, in, &figures, &page, &call->err);
    if (code == 0)
        code = wg_call_put_bytes(call, "report", &report);
    if (code == 0)
        code = wg_call_put_figures(call, &figures);
    wg_bytes_free(&report);
    wg_figures_free(&figures);
    return code;
}

static int put_cheapest(struct wg_call *call, struct page_cheapest *job) {
    const struct wg_cheapest cheapest = wg_cheapest_found(&job->search, NULL);
    const struct wg_scenario *const base = &job->search.candidates.base;
    const struct wg_run_facts in = {.title = (char *)wg_scenario_name(base),
                                    .command_line = job->command.data,
                                    .started = job->now,
                                    .source = (char *)"wintergrub " WG_VERSION,
                                    .replicates = job->search.question.fresh,
                                    .seed = base->plan.seed};
    int code = wg_call_embed_printed(call, "answer", print_cheapest_json, &cheapest);
    if (code == 0)
        code = wg_call_put_printed(call, "text", print_cheapest_text, &cheapest);
    if (code == 0 && job->search.answer.n_judged > 0)
        code = put_cheapest_page(call, &cheapest, &in);
    wg_json_lines(call->answer, "plan", cheapest.yaml);
    wg_json_flag(call->answer, "stopped", job->search.answer.is_stopped);
    return code == 0 ? wg_call_put_bytes(call, "command", &job->command) : code;
}

int wg_call_cheapest(struct wg_call *call) {
    const char *const now = wg_request_text(call->request, "now");
    struct page_cheapest *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_no_memory(&call->err, NULL);
    (void)snprintf(job->now, sizeof job->now, "%s", now != NULL ? now : "");
    int code = read_cheapest_request(call, job);
    if (code == 0) {
        word_cheapest_command(call, job);
        code = wg_bytes_failed(&job->command, &call->err);
    }
    if (code == 0)
        code = wg_cheapest_find(&job->search, &call->err);
    if (code == 0)
        code = put_cheapest(call, job);
    wg_bytes_free(&job->command);
    wg_cheapest_search_free(&job->search);
    free(job);
    return code;
}
