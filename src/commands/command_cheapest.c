/*
 * wintergrub cheapest: finds the cheapest plan that meets its goals, among the values that a plan leaves open.
 */
#include "cheapest/cheapest_text.h"
#include "cli/args.h"
#include "cli/candidates.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/save.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "figures/html.h"
#include "forecast/thread_pool.h"
#include "pages/page_cheapest.h"
#include "report/reasons_text.h"
#include "storage/atomic_file.h"
#include "storage/provenance.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <wintergrub/version.h>

#define LEAST_YEARS 16    /* on which plans are judged: fewer say nothing about 9 in 10 */
#define VARIANT_SHARE 8   /* one year with each doubtful number for so many fresh ones */
#define MOST_FRESH 4      /* times the fresh years, for a winner at the edge of its goal */
#define WARNING_YEARS 200 /* of the winner, to find its warnings (judgement) */

struct cheapest_job {
    struct wg_candidates candidates;
    struct wg_search_maker maker;
    struct wg_plan_lives *lives;
    struct wg_search_number number[WG_MAX_OPENINGS];
    struct wg_search_question question;
    struct wg_search_answer answer;
    uint32_t as_strong;
    int threads;
    uint64_t fresh, seed;
    bool is_seeded, quiet;
    struct wg_progress progress;
    char (*words)[WG_PLAN_WORDS];
    struct wg_bytes why;
    double put_in;
    struct wg_scenario winner;
    struct wg_warnings warnings;
    bool has_warnings;
    char started[32];
};

static void free_cheapest_job(struct cheapest_job *job) {
    wg_search_free(&job->answer);
    wg_plan_lives_free(job->lives);
    wg_scenario_free(&job->winner);
    wg_candidates_free(&job->candidates);
    wg_bytes_free(&job->why);
    free(job->words);
    free(job);
}

/* ---- before ---- */

static int read_cheapest_options(const struct wg_args *args, struct cheapest_job *job) {
    uint64_t threads = 0;
    int status = wg_args_forecast_key(args, "seed", &job->seed);
    if (status == 0)
        status = wg_args_whole(args, "replicates", LEAST_YEARS, 100000, &job->fresh);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    job->threads = (int)threads;
    job->is_seeded = wg_args_has(args, "seed");
    job->quiet = wg_args_has(args, "quiet");
    return status;
}

/* Refuses, before the work, a file that would be overwritten. */
static int check_written_file(const struct wg_args *args, const char *path) {
    struct wg_atomic_file file = {0};
    struct wg_error err = {0};
    if (path == NULL)
        return 0;
    int status = wg_args_check_output(args, path);
    if (status == 0 && wg_atomic_file_open(&file, path, wg_args_has(args, "force"), &err) < 0)
        status = wg_message_error(&err);
    wg_atomic_file_free(&file);
    return status;
}

static void on_search_progress(void *self, enum wg_search_stage stage, int64_t years, int64_t expected) {
    struct wg_progress *const progress = self;
    (void)stage;
    progress->expected = expected;
    wg_progress_count(progress, years, expected);
}

static void ask(struct cheapest_job *job) {
    struct wg_search_question *const q = &job->question;
    const struct wg_openings *const openings = &job->candidates.base.openings;
    wg_search_defaults(q);
    wg_plan_lives_ask(job->lives, q);
    for (int i = 0; i < openings->n; i++)
        job->number[i] = (struct wg_search_number){.levels = openings->opening[i].levels.n,
                                                   .own = openings->opening[i].now,
                                                   .is_ordered = openings->opening[i].levels.is_ordered};
    q->n_numbers = openings->n;
    q->number = job->number;
    q->progress = on_search_progress;
    q->progress_self = &job->progress;
    if (job->fresh == 0)
        return;
    q->fresh = q->most_years = (int64_t)job->fresh;
    q->fresh_line = q->fresh / 2 > LEAST_YEARS ? q->fresh / 2 : LEAST_YEARS;
    q->most_fresh = MOST_FRESH * q->fresh;
    q->variant_years = q->single_years = q->fresh / VARIANT_SHARE > 8 ? q->fresh / VARIANT_SHARE : 8;
}

static int prepare_search(const struct wg_args *args, struct cheapest_job *job, struct wg_error *err) {
    const struct wg_plan *const plan = &job->candidates.base.plan;
    for (int g = 0; g < plan->n_goals && !wg_args_has(args, "any-survivor"); g++)
        if (plan->goal[g].kind == WG_GOAL_SURVIVE)
            job->as_strong |= UINT32_C(1) << g;
    job->maker = wg_candidates_maker(&job->candidates);
    const int code =
        wg_plan_lives_new(&job->lives, plan, &job->maker, job->as_strong, job->threads, wg_stop_flag(), err);
    if (code == 0)
        ask(job);
    return code;
}

/* ---- after ---- */

static int on_put_in(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    double *const sum = self;
    (void)replicate;
    (void)err;
    for (int d = 0; d < diary->n_days; d++)
        *sum += (double)diary->put_in[d];
    return 0;
}

static int word_judged_plans(struct cheapest_job *job, struct wg_error *err) {
    const struct wg_observer observer = {on_put_in, &job->put_in};
    int code = wg_replicates_run(&job->candidates.base.plan, 0, 1, &observer, err);
    job->words = calloc(WG_SEARCH_MAX_JUDGED, sizeof *job->words);
    if (code == 0 && job->words == NULL)
        code = wg_no_memory(err, NULL);
    for (int i = 0; i < job->answer.n_judged && code == 0; i++) {
        struct wg_scenario scenario;
        code = wg_candidates_read(&job->candidates, job->answer.judged[i].level, &scenario, err);
        wg_assert(code <= 0);
        if (code == 0)
            wg_plan_words(&job->candidates.base, &scenario.plan, job->answer.judged[i].level, job->words[i]);
        wg_scenario_free(&scenario);
    }
    return code;
}

/* Finds why the own plan, or without a winner the nearest, misses the goal that is hardest for it. */
static int find_why(struct cheapest_job *job, struct wg_error *err) {
    const struct wg_search_answer *const answer = &job->answer;
    const int of = answer->winner < 0 && answer->n_nearest > 0 ? answer->nearest[0] : answer->own;
    const struct wg_ensemble_options options = {.threads = job->threads, .stop = wg_stop_flag()};
    if (of < 0 || answer->is_stopped || answer->judged[of].meets || answer->judged[of].n == 0)
        return 0;
    struct wg_scenario scenario;
    struct wg_reasons reasons;
    int code = wg_candidates_read(&job->candidates, answer->judged[of].level, &scenario, err);
    wg_assert(code <= 0);
    if (code == 0)
        code =
            wg_reasons_find_goal(&reasons, &scenario.plan, answer->judged[of].hardest, WG_REASON_LIVES, &options, err);
    if (code == 0)
        wg_reasons_at_words(&reasons, &scenario.plan, of == answer->own ? " with your plan" : " with the nearest",
                            &job->why);
    if (code == 0)
        code = wg_bytes_failed(&job->why, err);
    wg_scenario_free(&scenario);
    return code;
}

static int find_winner_warnings(struct cheapest_job *job, struct wg_error *err) {
    const struct wg_search_answer *const answer = &job->answer;
    struct wg_work work = {0};
    struct wg_warning_tally watch = {0};
    if (answer->winner < 0)
        return 0;
    int code = wg_candidates_read(&job->candidates, answer->judged[answer->winner].level, &job->winner, err);
    wg_assert(code <= 0);
    if (code == 0 && !answer->is_stopped)
        code = wg_work_init(&work, &job->winner.plan, WARNING_YEARS, err);
    if (code == 0 && !answer->is_stopped) {
        watch.plan = &job->winner.plan;
        const struct wg_observer observers[] = {wg_warning_observer(&watch), wg_work_observer(&work)};
        const struct wg_ensemble_options options = {
            .count = WARNING_YEARS, .threads = job->threads, .stop = wg_stop_flag()};
        code = wg_ensemble_run(&job->winner.plan, &options, observers, 2, err);
        job->has_warnings = code == 0;
    }
    if (job->has_warnings)
        wg_warnings_find(&job->warnings, &watch, &work);
    wg_work_free(&work);
    return code;
}

/* A stop here takes away what is not yet known, and nothing else. */
static int explain(struct cheapest_job *job, struct wg_error *err) {
    int code = word_judged_plans(job, err);
    if (code == 0)
        code = find_winner_warnings(job, err);
    if (code == 0)
        code = find_why(job, err);
    return code == WG_STOPPED ? 0 : code;
}

/* ---- the answer ---- */

static int write_plan(const struct wg_args *args, const struct cheapest_job *job, const char *path) {
    struct wg_atomic_file file = {0};
    struct wg_error err = {0};
    int code = wg_atomic_file_open(&file, path, wg_args_has(args, "force"), &err);
    if (code == 0)
        code = wg_atomic_file_write(&file, job->winner.text, job->winner.text_size, &err);
    if (code == 0)
        code = wg_atomic_file_commit(&file, &err);
    wg_atomic_file_free(&file);
    return code < 0 ? wg_message_error(&err) : 0;
}

/* ---- page and figure ---- */

/* Draws the figure and writes the page and the pictures that were asked for. Returns the exit status. */
static int draw_cheapest_files(const struct wg_args *args, const struct wg_cheapest *cheapest,
                               const struct wg_run_facts *in) {
    const char *const path = wg_args_option(args, "page"), *const folder = wg_args_option(args, "figures");
    const int force = wg_args_has(args, "force");
    struct wg_figures figures = {0};
    struct wg_bytes page = {0};
    const struct wg_page written = {.to = &page, .prefix = ""};
    struct wg_error err = {0};
    int code = wg_cheapest_figure(&figures, in, cheapest, &err);
    if (code == 0 && folder != NULL)
        code = wg_figures_save(&figures, folder, force, wg_stop_flag(), &err);
    if (code == 0 && path != NULL)
        code = wg_report_cheapest(cheapest, in, &figures, &written, &err);
    if (code == 0 && path != NULL)
        code = wg_page_save(&page, path, force, &err);
    wg_bytes_free(&page);
    wg_figures_free(&figures);
    if (code < 0)
        return wg_message_error(&err);
    if (path != NULL && !wg_args_has(args, "quiet"))
        wg_message("the page is in %s", path);
    return 0;
}

static int draw_cheapest(const struct wg_args *args, const struct cheapest_job *job,
                         const struct wg_cheapest *cheapest) {
    char *const line = wg_args_line(args);
    struct wg_run_facts in = {.title = (char *)wg_scenario_name(&job->candidates.base),
                              .command_line = line,
                              .started = (char *)job->started,
                              .source = (char *)"wintergrub " WG_VERSION,
                              .replicates = job->question.fresh,
                              .seed = job->candidates.base.plan.seed};
    const bool is_wanted = wg_args_has(args, "page") || wg_args_has(args, "figures");
    int status = 0;
    if (line == NULL)
        status = wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    else if (is_wanted && job->answer.n_judged > 0)
        status = draw_cheapest_files(args, cheapest, &in);
    free(line);
    return status;
}

static int exit_status_of_search(const struct cheapest_job *job) {
    if (atomic_load(wg_stop_flag()) != 0)
        return wg_stop_status();
    if (job->answer.winner >= 0)
        return WG_STATUS_DONE;
    for (int i = 0; i < job->answer.n_nearest; i++)
        if (job->answer.judged[job->answer.nearest[i]].meets) /* in other years than those of the search */
            return WG_STATUS_UNDECIDED;
    return WG_STATUS_NO;
}

/* Prints the answer even if a file fails: computing it takes long. */
static int print_cheapest_answer(const struct wg_args *args, struct cheapest_job *job) {
    const char *const path = job->answer.winner >= 0 ? wg_args_option(args, "write") : NULL;
    struct wg_error err = {0};
    const int written = path != NULL ? write_plan(args, job, path) : 0;
    const struct wg_cheapest cheapest = {.base = &job->candidates.base,
                                         .question = &job->question,
                                         .answer = &job->answer,
                                         .doubts = wg_plan_lives_doubts(job->lives),
                                         .opened = job->candidates.opened,
                                         .has_own_goal = job->candidates.has_own_goal,
                                         .has_unpriced_energy = job->candidates.has_unpriced_energy,
                                         .as_strong = job->as_strong,
                                         .put_in = job->put_in,
                                         .words = job->words,
                                         .why = job->why.data != NULL ? job->why.data : "",
                                         .warnings = job->has_warnings ? &job->warnings : NULL,
                                         .winner_plan = job->answer.winner >= 0 ? &job->winner.plan : NULL,
                                         .yaml = job->answer.winner >= 0 ? job->winner.text : NULL,
                                         .yaml_path = written == 0 ? path : NULL};
    const int code = wg_args_has(args, "json") ? wg_cheapest_print_json(&cheapest, stdout, &err)
                                               : wg_cheapest_print(&cheapest, stdout, &err);
    if (code < 0)
        return wg_message_error(&err);
    const int drawn = draw_cheapest(args, job, &cheapest);
    const int failed = written != 0 ? written : drawn;
    const int status = wg_output_finish(failed != 0 ? failed : exit_status_of_search(job));
    if (path != NULL && written == 0 && !job->quiet)
        wg_message("the plan is in %s", path);
    if (job->answer.is_stopped)
        wg_message("stopped: this is the best so far.");
    return status;
}

static int search_cheapest(const struct wg_args *args, struct cheapest_job *job) {
    struct wg_error err = {0};
    int code = prepare_search(args, job, &err);
    if (code < 0)
        return wg_message_error(&err);
    wg_provenance_now(job->started);
    wg_progress_begin(&job->progress, "searching", job->quiet);
    code = wg_search_run(&job->question, &job->answer, &err);
    if (code == 0)
        code = explain(job, &err);
    wg_progress_end(&job->progress);
    return code < 0 ? wg_load_message_error(&job->candidates.base, &err) : print_cheapest_answer(args, job);
}

static int run_cheapest(const struct wg_args *args) {
    struct cheapest_job *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    int status = read_cheapest_options(args, job);
    if (status == 0)
        status = check_written_file(args, wg_args_option(args, "write"));
    if (status == 0)
        status = check_written_file(args, wg_args_option(args, "page"));
    if (status == 0)
        status = wg_candidates_load(&job->candidates, args->argument[0], job->is_seeded ? &job->seed : NULL);
    if (status == 0)
        status = wg_args_check_other(args, wg_args_option(args, "write"), job->candidates.base.record_file);
    if (status == 0)
        status = search_cheapest(args, job);
    free_cheapest_job(job);
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
            "  choose: {wake: {now: 04-25, try: [03-15, 04-25]}}   and then   from: wake\n\n"
            "If nothing is open, the set point, a warm-up in spring and the season of the\n"
            "lamps are. Up to 1,000 plans are all tried; of more, a race finds good ones.\n"
            "The answer is judged on years that the search never saw, with your own plan\n"
            "beside it, and with each doubtful number of the fly at both ends of its range.\n"
            "The exit status is 1 if no plan tried meets the goals, 6 if the years are too\n"
            "few to tell.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_cheapest,
};
