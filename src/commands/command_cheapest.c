/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub cheapest: finds the cheapest plan that meets its goals, among the values that a plan leaves open.
 */
#include "cheapest/find_cheapest.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/save.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "figures/html.h"
#include "pages/pages.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"

#include <stdlib.h>
#include <string.h>
#include <wintergrub/version.h>

struct cheapest_job {
    struct wg_cheapest_search search;
    uint64_t seed;
    bool is_seeded, quiet;
    struct wg_progress progress;
    char started[32];
};

/* ---- before ---- */

static void count_search_years(void *self, int64_t years, int64_t expected) {
    struct wg_progress *const progress = self;
    progress->expected = expected;
    wg_progress_count(progress, years, expected);
}

static int read_cheapest_options(const struct wg_args *args, struct cheapest_job *job) {
    uint64_t threads = 0;
    int status = wg_args_forecast_key(args, "seed", &job->seed);
    if (status == 0)
        status = wg_args_whole(args, "replicates", WG_CHEAPEST_LEAST_YEARS, 100000, &job->search.fresh);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    job->search.threads = (int)threads;
    job->search.any_survivor = wg_args_has(args, "any-survivor");
    job->search.stop = wg_stop_flag();
    job->search.progress = count_search_years;
    job->search.progress_self = &job->progress;
    job->is_seeded = wg_args_has(args, "seed");
    job->quiet = wg_args_has(args, "quiet");
    return status;
}

/* Refuses, before the search, a file that is an input or must not be replaced. */
static int check_written_file(const struct wg_args *args, const char *option, const struct wg_scenario *base) {
    struct wg_atomic_file file = {0};
    struct wg_error err = {0};
    const char *const path = wg_args_option(args, option);
    if (path == NULL)
        return 0;
    int status = wg_args_check_inputs(args, option, path, base);
    if (status == 0 && wg_atomic_file_open(&file, path, wg_args_has(args, "force"), &err) < 0)
        status = wg_message_error(&err);
    wg_atomic_file_free(&file);
    return status;
}

static int check_written_files(const struct wg_args *args, const struct wg_scenario *base) {
    const int status = check_written_file(args, "write", base);
    return status == 0 ? check_written_file(args, "page", base) : status;
}

/* Checks the paths before the plan is read. */
static int check_paths(const struct wg_args *args) {
    const char *const plan = wg_args_option(args, "write"), *const page = wg_args_option(args, "page");
    int status = wg_args_check_output(args, "write", plan);
    if (status == 0)
        status = wg_args_check_output(args, "page", page);
    if (status == 0)
        status = wg_args_check_output(args, "figures", wg_args_option(args, "figures"));
    return status == 0 ? wg_args_check_apart(args, "write", plan, "page", page) : status;
}

/* ---- the answer ---- */

static int write_plan(const struct wg_args *args, const struct cheapest_job *job, const char *path) {
    struct wg_atomic_file file = {0};
    struct wg_error err = {0};
    int code = wg_atomic_file_open(&file, path, wg_args_has(args, "force"), &err);
    if (code == 0)
        code = wg_atomic_file_write(&file, job->search.winner.text, job->search.winner.text_size, &err);
    if (code == 0)
        code = wg_atomic_file_commit(&file, &err);
    wg_atomic_file_free(&file);
    return code < 0 ? wg_message_error(&err) : 0;
}

/* ---- page and figure ---- */

/* Draws the figure and writes the page and the pictures that were asked for. Returns the exit status. */
static int draw_cheapest_files(const struct wg_args *args, const struct wg_cheapest *cheapest,
                               const struct wg_run_facts *in, const struct wg_scenario *base) {
    const char *const path = wg_args_option(args, "page"), *const folder = wg_args_option(args, "figures");
    const int force = wg_args_has(args, "force");
    struct wg_figures figures = {0};
    struct wg_bytes page = {0};
    const struct wg_page written = {.to = &page, .prefix = ""};
    struct wg_error err = {0};
    int status = 0, code = wg_cheapest_figure(&figures, in, cheapest, &err);
    if (code == 0 && folder != NULL)
        status = wg_figures_check_paths(args, "figures", &figures, folder, base);
    if (code == 0 && status == 0 && folder != NULL)
        code = wg_figures_save(&figures, folder, force, wg_stop_flag(), &err);
    if (code == 0 && path != NULL)
        code = wg_report_cheapest(cheapest, in, &figures, &written, &err);
    if (code == 0 && path != NULL)
        code = wg_save_bytes(&page, path, force, &err);
    wg_bytes_free(&page);
    wg_figures_free(&figures);
    if (code < 0)
        return wg_message_error(&err);
    if (path != NULL && !wg_args_has(args, "quiet"))
        wg_message("the page is in %s", path);
    return status;
}

static int draw_cheapest(const struct wg_args *args, const struct cheapest_job *job,
                         const struct wg_cheapest *cheapest) {
    char *const line = wg_args_line(args);
    struct wg_run_facts in = {.title = (char *)wg_scenario_name(&job->search.candidates.base),
                              .command_line = line,
                              .started = (char *)job->started,
                              .source = (char *)"wintergrub " WG_VERSION,
                              .replicates = job->search.question.fresh,
                              .seed = job->search.candidates.base.plan.seed};
    const bool is_wanted = wg_args_has(args, "page") || wg_args_has(args, "figures");
    int status = 0;
    if (line == NULL)
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    else if (is_wanted && job->search.answer.n_judged > 0)
        status = draw_cheapest_files(args, cheapest, &in, &job->search.candidates.base);
    free(line);
    return status;
}

static int exit_status_of_search(const struct cheapest_job *job) {
    static const int status[] = {[WG_CHEAPEST_YES] = WG_STATUS_DONE,
                                 [WG_CHEAPEST_NO] = WG_STATUS_NO,
                                 [WG_CHEAPEST_UNSURE] = WG_STATUS_UNDECIDED};
    return atomic_load(wg_stop_flag()) != 0 ? wg_stop_status() : status[wg_cheapest_verdict(&job->search)];
}

/* Prints the answer even if a file fails: computing it takes long. */
static int print_cheapest_answer(const struct wg_args *args, struct cheapest_job *job) {
    const char *const path = job->search.answer.winner >= 0 ? wg_args_option(args, "write") : NULL;
    struct wg_error err = {0};
    const int written = path != NULL ? write_plan(args, job, path) : 0;
    const struct wg_cheapest cheapest = wg_cheapest_found(&job->search, written == 0 ? path : NULL);
    const int code = wg_args_has(args, "json") ? wg_cheapest_print_json(&cheapest, stdout, &err)
                                               : wg_cheapest_print(&cheapest, stdout, &err);
    if (code < 0)
        return wg_message_error(&err);
    const int drawn = draw_cheapest(args, job, &cheapest);
    const int failed = written != 0 ? written : drawn;
    const int status = wg_output_finish(failed != 0 ? failed : exit_status_of_search(job));
    if (path != NULL && written == 0 && !job->quiet)
        wg_message("the plan is in %s", path);
    if (job->search.answer.is_stopped)
        wg_message("stopped: this is the best so far.");
    return status;
}

static int search_cheapest(const struct wg_args *args, struct cheapest_job *job) {
    struct wg_error err = {0};
    wg_provenance_now(job->started);
    wg_progress_begin(&job->progress, "searching", job->quiet);
    const int code = wg_cheapest_find(&job->search, &err);
    wg_progress_end(&job->progress);
    return code < 0 ? wg_load_message_error(&job->search.candidates.base, &err) : print_cheapest_answer(args, job);
}

static int run_cheapest(const struct wg_args *args) {
    struct cheapest_job *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    int status = read_cheapest_options(args, job);
    if (status == 0)
        status = check_paths(args);
    if (status == 0)
        status = wg_candidates_load(&job->search.candidates, args->argument[0], job->is_seeded ? &job->seed : NULL);
    if (status == 0)
        status = check_written_files(args, &job->search.candidates.base);
    if (status == 0)
        status = search_cheapest(args, job);
    wg_cheapest_search_free(&job->search);
    free(job);
    return status;
}

static const struct wg_option options[] = {
    {"write", 'w', "FILE", "write the cheapest plan as a scenario (YAML)", 1},
    {"page", 0, "FILE", "write the answer as one web page (HTML)", 1},
    {"figures", 0, "FOLDER", "draw it: SVG, PDF and PNG", 1},
    {"any-survivor", 0, NULL, "count a colony of a single animal as alive", 0},
    {"replicates", 0, "N", "possible years that judge a plan (default: 512)", 1},
    {"seed", 0, "N", "random seed (overrides the scenario)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"quiet", 'q', NULL, "print neither progress nor the names of files", 0},
    {"json", 0, NULL, "print the answer as JSON, with every plan tried", 0},
    {.name = NULL},
};

const struct wg_command wg_command_cheapest = {
    .name = "cheapest",
    .arguments = "PLAN.yaml",
    .summary = "find the cheapest way to the goals",
    .help = "Tries the values that PLAN.yaml leaves open and finds the cheapest plan that\n"
            "meets its goals. Write what is open in place of a value; the other commands use\n"
            "the value after `now`:\n\n"
            "  set_point: {now: 70 degF, try: 40 to 80 degF by 5, or: off}\n"
            "  r_value: {now: R-11, try: [R-11, R-19, R-25]}\n"
            "  choose: {wake: {now: 04-25, try: [03-15, 04-25]}}  and  from: wake\n\n"
            "If nothing is open, the set point, a warm-up in spring and the season of the\n"
            "lamps are. Up to 1,000 plans are all tried; of more, a race finds good ones.\n"
            "The answer is judged on years that had no part in the choice, with your own plan\n"
            "beside it, and with each doubtful number of the fly at both ends of its range.\n"
            "The exit status is 1 if no plan tried meets the goals, 6 if the years are too\n"
            "few to tell.",
    .least = 1,
    .most = 1,
    .reads_text = true,
    .options = options,
    .run = run_cheapest,
};
