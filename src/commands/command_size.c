/*
 * wintergrub size: finds the smallest value of one number of a scenario that meets its goals.
 */
#include "answers/size_text.h"
#include "cli/args.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "colony/goal_met.h"
#include "commands/size_grid.h"
#include "commands/size_range.h"
#include "report/reasons_text.h"
#include "results/answer_file.h"
#include "data/size_sentences.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WARNING_REPLICATES 200 /* of the recommended value, to find its warnings (judgement) */
#define SPAN 16.0              /* default range: a sixteenth of the value to sixteen times it */
#define TRIMMINGS 6            /* halvings of the way to an end of the default range that is not valid */

struct size_job {
    struct wg_error range_err; /* of a value that was tried to find the range */
    struct wg_scenario scenario;
    struct wg_vary vary;
    struct wg_size_question question;
    struct wg_size size;
    uint64_t seed; /* from the command line; overrides the scenario's */
    bool seeded;
    int threads;
    bool quiet;
    struct wg_answer_file *file; /* NULL: no file */
    const char *path;
    char started[32];
    int status; /* not 0: the error has been printed */
    struct wg_warnings warnings;
    struct wg_bytes why;
    struct wg_scenario tried; /* the scenario with tried_value, loaded last */
    double tried_value;
    struct wg_progress progress; /* of the whole search */
    int64_t replicates;          /* so far */
    bool has_told_time;
};

/* ---- one value ---- */

/* Reads the scenario with the given value. */
static int read_with(const struct size_job *job, struct wg_scenario *scenario, double value,
                     struct wg_mistakes *mistakes, struct wg_error *err) {
    const struct wg_scenario *const base = &job->scenario;
    size_t size;
    char *const text = wg_vary_text(&job->vary, base->text, base->text_size, value, &size);
    *scenario = (struct wg_scenario){0};
    if (text == NULL)
        return wg_no_memory(err, NULL);
    const int code =
        wg_scenario_read_text(scenario, base->path, text, size, base->record_text, base->record_size, mistakes, err);
    free(text);
    if (job->seeded)
        scenario->plan.seed = job->seed;
    return code;
}

/* Loads the scenario with the given value and reports its mistakes. */
static int load_with(struct size_job *job, struct wg_scenario *scenario, double value) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    char shown[WG_VARY_SHOWN_SIZE];
    const int code = read_with(job, scenario, value, &mistakes, &err);
    job->status = wg_load_report(code, &mistakes, &err);
    if (job->status == 0)
        return 0;
    wg_vary_show(&job->vary, value, shown);
    wg_message("this was with %s at %s; use --between to leave it out.", job->vary.path, shown);
    return job->status;
}

/* True if the scenario is valid with the value; keeps an error that is no mistake of the scenario. */
static bool is_valid_value(struct size_job *job, double value) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    struct wg_scenario scenario;
    const int code = read_with(job, &scenario, value, &mistakes, &err);
    if (code < 0 && code != WG_ERR_INPUT && job->range_err.code == 0)
        job->range_err = err;
    wg_mistakes_free(&mistakes);
    wg_scenario_free(&scenario);
    return code == 0;
}

/* Observes which goals each replicate meets. */
struct goals_met {
    const struct wg_plan *plan;
    int64_t first;
    uint8_t *met;
};

static int on_goals_met(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    const struct goals_met *const to = self;
    (void)err;
    for (int g = 0; g < to->plan->n_goals; g++)
        to->met[replicate - to->first] |= (uint8_t)(wg_goal_met(&to->plan->goal[g], diary) << g);
    return 0;
}

static int trial(void *self, double value, int64_t first, int64_t n, uint8_t *met, struct wg_error *err) {
    struct size_job *const job = self;
    if (job->replicates == 0 || job->tried_value != value) {
        wg_scenario_free(&job->tried);
        if (load_with(job, &job->tried, value) != 0)
            return WG_ERR_INPUT;
        job->tried_value = value;
    }
    wg_assert(job->tried.plan.n_goals == job->question.n_goals);
    struct goals_met to = {&job->tried.plan, first, met};
    const struct wg_observer observer = {.on_replicate = on_goals_met, .self = &to};
    const struct wg_ensemble_options options = {.first = first,
                                                .count = n,
                                                .threads = job->threads,
                                                .stop = wg_stop_flag(),
                                                .progress = wg_progress_count,
                                                .progress_self = &job->progress};
    const int code = wg_ensemble_run(&job->tried.plan, &options, &observer, 1, err);
    job->replicates += n;
    return code;
}

static struct wg_cell cell_of(const void *self, int64_t replicate) {
    const struct size_job *const job = self;
    return wg_lattice_cell(&job->scenario.plan, replicate);
}

/* Says how long the answer will take, once, if that is long. */
static void say_time(void *self, int64_t replicates) {
    struct size_job *const job = self;
    char more[128];
    const int64_t all = replicates + WARNING_REPLICATES;
    const double each_s = (wg_monotonic_s() - job->progress.began_s) / (double)job->replicates;
    job->progress.expected = all;
    (void)snprintf(more, sizeof more, " more (%" PRId64 " years in all; --within and --at-most change that)", all);
    if (!job->quiet && !job->has_told_time)
        job->has_told_time = wg_progress_announce("up to", each_s * (double)(all - job->replicates), more);
}

static int exit_status_of(const struct wg_size *size) {
    switch (size->outcome) {
    case WG_SIZE_FOUND:
    case WG_SIZE_ALREADY:
        return WG_STATUS_DONE;
    case WG_SIZE_IMPOSSIBLE:
        return WG_STATUS_NO;
    case WG_SIZE_UNDECIDED:
        return isnan(size->enough) && isnan(size->number.high) ? WG_STATUS_UNDECIDED : WG_STATUS_DONE;
    case WG_SIZE_NOT_MONOTONE:
        return size->point[size->best].verdict == WG_YES ? WG_STATUS_DONE : WG_STATUS_UNDECIDED;
    }
    return WG_STATUS_UNDECIDED;
}

/* Finds why the value misses the goal that is hardest there, if no value is surely enough. */
static int find_size_reason(struct size_job *job, const struct wg_plan *plan, struct wg_error *err) {
    const struct wg_ensemble_options options = {.threads = job->threads, .stop = wg_stop_flag()};
    const double value = wg_size_recommended(&job->vary, &job->size);
    char shown[2 * WG_VARY_SHOWN_SIZE], at[2 * WG_VARY_SHOWN_SIZE + 8];
    struct wg_reasons reasons;
    if (exit_status_of(&job->size) == WG_STATUS_DONE)
        return 0;
    const int goal = wg_size_hardest_goal(&job->question, &job->size.point[job->size.best]);
    const int code = wg_reasons_find_goal(&reasons, plan, goal, WG_REASON_LIVES, &options, err);
    if (code != 0)
        return code;
    wg_vary_show_both(&job->vary, value, shown);
    (void)snprintf(at, sizeof at, " at %s", shown);
    wg_reasons_at_words(&reasons, plan, at, &job->why);
    return wg_bytes_failed(&job->why, err);
}

/* Simulates the recommended value again to find its warnings, and why it is not enough. */
static int find_size_warnings(struct size_job *job, struct wg_error *err) {
    struct wg_scenario scenario;
    struct wg_work work = {0};
    struct wg_warning_tally watch = {0};
    int code = load_with(job, &scenario, wg_size_recommended(&job->vary, &job->size)) != 0 ? WG_ERR_INPUT : 0;
    if (code == 0)
        code = wg_work_init(&work, &scenario.plan, WARNING_REPLICATES, err);
    if (code == 0) {
        watch.plan = &scenario.plan;
        const struct wg_observer observers[] = {wg_warning_observer(&watch), wg_work_observer(&work)};
        const struct wg_ensemble_options options = {.count = WARNING_REPLICATES,
                                                    .threads = job->threads,
                                                    .stop = wg_stop_flag(),
                                                    .progress = wg_progress_count,
                                                    .progress_self = &job->progress};
        code = wg_ensemble_run(&scenario.plan, &options, observers, 2, err);
    }
    if (code == 0)
        wg_warnings_find(&job->warnings, &watch, &work);
    if (code == 0)
        code = find_size_reason(job, &scenario.plan, err);
    wg_work_free(&work);
    wg_scenario_free(&scenario);
    return code;
}

/* ---- the number and its range ---- */

/* Replicates, seed and the chance that a goal wants do not change the colony. */
static bool is_size_parameter(const char *path) {
    const char *const last = strrchr(path, '.');
    const bool is_chance = strncmp(path, "goal", 4) == 0 && last != NULL && strcmp(last, ".chance") == 0;
    return strncmp(path, "forecast.", 9) != 0 && !is_chance;
}

/* Finds the number; by default the first starter's count, or its weight. */
static int find_number(const struct wg_args *args, struct size_job *job) {
    const char *const path = wg_args_option(args, "vary");
    struct wg_error err = {0}, other = {0};
    const struct wg_scenario *const base = &job->scenario;
    if (path != NULL && !is_size_parameter(path)) {
        (void)wg_fail(&err, WG_ERR_INPUT, path, "This changes nothing about the colony, so it cannot meet a goal.");
        return wg_message_error(&err);
    }
    if (wg_vary_find(&job->vary, base->text, base->text_size, path != NULL ? path : "starter.1.count", &err) != 0 &&
        (path != NULL || wg_vary_find(&job->vary, base->text, base->text_size, "starter.1.weight", &other) != 0))
        return wg_message_error(&err);
    return 0;
}

static void usual_range(const struct size_job *job, double *low, double *high) {
    const struct wg_vary *const vary = &job->vary;
    const struct wg_plan *const plan = &job->scenario.plan;
    if (vary->is_date) {
        *low = vary->is_year_day ? vary->value - WG_SIZE_DAYS : fmax(vary->value - WG_SIZE_DAYS, plan->first_day);
        *high = vary->is_year_day ? vary->value + WG_SIZE_DAYS : fmin(vary->value + WG_SIZE_DAYS, plan->last_day);
    } else if (wg_size_is_share(vary)) {
        *low = 0;
        *high = 100;
    } else if (wg_size_is_temperature(vary)) {
        const double degrees = wg_size_degrees(vary);
        *low = vary->value - degrees;
        *high = vary->value + degrees;
    } else {
        *low = vary->value / SPAN;
        *high = vary->value * SPAN;
    }
    if (vary->step > 0) {
        *low = fmax(vary->is_date ? *low : 1, ceil(*low));
        *high = floor(*high);
    }
}

static int read_bound(const struct wg_args *args, const struct wg_vary *vary, const char *text, double *out) {
    char shown[WG_VARY_SHOWN_SIZE];
    if (wg_vary_read(vary, text, out) == 0)
        return 0;
    wg_vary_show(vary, vary->value, shown);
    return wg_message_usage(args->command, "\"%s\" is not a value for %s, which is written like %s.", text, vary->path,
                            shown);
}

/* The next value beyond one end of the default range: by as much again as the range reaches from the value. */
static double value_beyond(const struct size_job *job, double from, bool up) {
    const struct wg_vary *const vary = &job->vary;
    const struct wg_plan *const plan = &job->scenario.plan;
    if (vary->is_date) {
        const double moved = from + (up ? WG_SIZE_DAYS : -WG_SIZE_DAYS);
        return vary->is_year_day ? from : fmin(plan->last_day, fmax(plan->first_day, moved));
    }
    if (wg_size_is_share(vary))
        return from;
    if (wg_size_is_temperature(vary))
        return from + (up ? 1 : -1) * wg_size_degrees(vary);
    const double moved = up ? from * SPAN : fmax(vary->step, from / SPAN);
    return vary->step > 0 ? round(moved) : moved;
}

/* Lists at most so many values to which the search may move an end of the default range. */
static int list_widenings(struct size_job *job, bool up, int most, double out[WG_SIZE_WIDENINGS]) {
    double from = up ? job->question.high : job->question.low;
    int n = 0;
    for (; n < most; n++) {
        const double to = value_beyond(job, from, up);
        if (!(to != from) || !is_valid_value(job, to))
            break;
        out[n] = from = to;
    }
    return n;
}

/* Moves an end of the default range towards the value until the scenario is valid there. */
static double trim_end(struct size_job *job, double end) {
    const struct wg_vary *const vary = &job->vary;
    for (int i = 0; i < TRIMMINGS && !is_valid_value(job, end); i++) {
        end = (end + vary->value) / 2;
        end = vary->step > 0 ? round(end) : wg_size_is_temperature(vary) ? round(2 * end) / 2 : end;
    }
    return end;
}

static int find_range(const struct wg_args *args, struct size_job *job) {
    struct wg_size_question *const q = &job->question;
    const char *const low = wg_args_option(args, "between");
    int status = 0;
    usual_range(job, &q->low, &q->high);
    if (low == NULL) {
        q->low = trim_end(job, q->low);
        q->high = trim_end(job, q->high);
    }
    if (low != NULL)
        status = read_bound(args, &job->vary, low, &q->low);
    if (low != NULL && status == 0)
        status = read_bound(args, &job->vary, wg_args_second(args, "between"), &q->high);
    if (status == 0 && !(q->low < q->high))
        status = wg_message_usage(args->command, "%s",
                                  low != NULL ? "--between names the smaller value first."
                                              : "give the range to search with --between LOW HIGH.");
    q->geometric =
        q->low > 0 && !job->vary.is_date && !wg_size_is_share(&job->vary) && !wg_size_is_temperature(&job->vary);
    if (low == NULL && status == 0) {
        q->n_starts = list_widenings(job, q->largest, WG_SIZE_WIDENINGS, q->starts);
        q->n_ends = list_widenings(job, !q->largest, q->geometric ? 1 : WG_SIZE_WIDENINGS, q->ends);
    }
    return job->range_err.code < 0 && status == 0 ? wg_message_error(&job->range_err) : status;
}

/* Sets how close to come: a tenth; half a degree of a temperature, two points of a share, a day of a date. */
static int find_width(const struct wg_args *args, struct size_job *job) {
    const struct wg_vary *const vary = &job->vary;
    struct wg_size_question *const q = &job->question;
    const char *const text = wg_args_option(args, "within");
    const bool plain = !vary->is_date && !wg_size_is_share(vary) && !wg_size_is_temperature(vary);
    q->step = vary->step;
    q->within_share = plain && text == NULL ? 0.1 : 0;
    q->within = wg_size_is_share(vary) ? 2 : wg_size_is_temperature(vary) ? 0.5 : vary->step;
    if (text == NULL)
        return 0;
    if (wg_vary_read_width(vary, text, &q->within) != 0 || !(q->within > 0))
        return wg_message_usage(args->command, "--within is a width in the unit of the number, not \"%s\".", text);
    return 0;
}

/* ---- the command ---- */

static int read_size_options(const struct wg_args *args, struct size_job *job) {
    uint64_t threads = 0, most = WG_PRECISION_MAX_REPLICATES;
    struct wg_size_question *const q = &job->question;
    q->confidence = WG_GOALS_CONFIDENCE;
    q->grid = 6;
    int status = wg_args_forecast_key(args, "seed", &job->seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &threads);
    if (status == 0)
        status = wg_args_whole(args, "at-most", 1000, WG_MAX_REPLICATES, &most);
    if (status == 0)
        status = wg_args_share(args, "confidence", 0.5, 0.9999, &q->confidence);
    job->threads = (int)threads;
    job->seeded = wg_args_has(args, "seed");
    job->quiet = wg_args_has(args, "quiet");
    job->path = wg_args_option(args, "output");
    q->most = (int64_t)most;
    q->largest = wg_args_has(args, "largest");
    return status;
}

static int set_goals(struct size_job *job) {
    const struct wg_plan *const plan = &job->scenario.plan;
    job->question.n_goals = plan->n_goals;
    for (int i = 0; i < plan->n_goals; i++)
        job->question.wanted[i] = plan->goal[i].chance;
    if (plan->n_goals > 0)
        return 0;
    struct wg_error err = {0};
    (void)wg_fail(&err, WG_ERR_INPUT, job->scenario.path,
                  "There is no goal in it. Add, for example, goal: {survive: yes, chance: 95 %%}.");
    return wg_message_error(&err);
}

/* Checks that both ends of the range give valid scenarios, before anything is simulated. */
static int check_ends(struct size_job *job) {
    const double ends[] = {job->question.low, job->question.high};
    for (int i = 0; i < 2; i++) {
        struct wg_scenario scenario;
        const int status = load_with(job, &scenario, ends[i]);
        wg_scenario_free(&scenario);
        if (status != 0)
            return status;
    }
    return 0;
}

static int store_size_answer(const struct wg_args *args, struct size_job *job) {
    struct wg_error err = {0};
    char text[WG_SIZE_TEXT];
    char *const line = wg_args_line(args);
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = job->started,
                                             .replicates = job->size.replicates,
                                             .seed = job->scenario.plan.seed};
    wg_size_text(&job->vary, &job->question, &job->size, text);
    int code = line != NULL ? 0 : wg_no_memory(&err, NULL);
    if (code == 0) {
        code = wg_answer_file_close(job->file,
                                    &(struct wg_answer){.kind = WG_ANSWER_SIZE,
                                                        .scenario = &job->scenario,
                                                        .provenance = &provenance,
                                                        .text = text,
                                                        .why = job->why.data,
                                                        .warnings = &job->warnings,
                                                        .as.size = {&job->vary, &job->question, &job->size}},
                                    &err);
        job->file = NULL;
    }
    free(line);
    return code < 0 ? wg_message_error(&err) : 0;
}

/* Prints the answer even if its file fails: computing it takes long. */
static int print_size_answer(const struct wg_args *args, struct size_job *job) {
    const struct wg_size_output sizing = {.scenario = &job->scenario,
                                          .vary = &job->vary,
                                          .question = &job->question,
                                          .size = &job->size,
                                          .seed = job->scenario.plan.seed,
                                          .why = job->why.data != NULL ? job->why.data : "",
                                          .warnings = &job->warnings};
    struct wg_error err = {0};
    if (!wg_args_has(args, "json"))
        wg_size_output_print(&sizing, stdout);
    else if (wg_size_output_print_json(&sizing, stdout, &err) < 0)
        return wg_message_error(&err);
    const int stored = job->file != NULL ? store_size_answer(args, job) : 0;
    const int status = wg_output_finish(stored != 0 ? stored : exit_status_of(&job->size));
    if (job->path != NULL && stored == 0 && !job->quiet)
        wg_message("the answer is in %s", job->path);
    return status;
}

static int search_size(const struct wg_args *args, struct size_job *job) {
    struct wg_error err = {0};
    wg_provenance_now(job->started);
    if (job->path != NULL && wg_answer_file_create(&job->file, job->path, wg_args_has(args, "force"), &err) < 0)
        return wg_message_error(&err);
    job->question.trial = trial;
    job->question.cell = cell_of;
    job->question.expect = say_time;
    job->question.self = job;
    wg_progress_begin(&job->progress, "searching", job->quiet);
    job->progress.is_open = true;
    job->progress.announces = false; /* say_time() does */
    int code = wg_size_search(&job->question, &job->size, &err);
    if (code == 0)
        code = find_size_warnings(job, &err);
    wg_progress_end(&job->progress);
    if (code == 0)
        return print_size_answer(args, job);
    if (job->status != 0)
        return job->status;
    if (code == WG_STOPPED) {
        wg_message("stopped.");
        return wg_stop_status();
    }
    return wg_load_message_error(&job->scenario, &err);
}

static int run_size(const struct wg_args *args) {
    struct size_job job = {.status = 0};
    if (wg_args_times(args, "vary") > 1)
        return wg_size_grid_run(args);
    int status = read_size_options(args, &job);
    if (status == 0)
        status = wg_load_scenario(&job.scenario, args->argument[0]);
    if (status == 0 && job.seeded)
        job.scenario.plan.seed = job.seed;
    if (status == 0)
        status = wg_args_check_inputs(args, job.path, &job.scenario);
    if (status == 0)
        status = set_goals(&job);
    if (status == 0)
        status = find_number(args, &job);
    if (status == 0)
        status = find_range(args, &job);
    if (status == 0)
        status = find_width(args, &job);
    if (status == 0)
        status = check_ends(&job);
    if (status == 0)
        status = search_size(args, &job);
    wg_answer_file_abandon(job.file);
    wg_bytes_free(&job.why);
    wg_scenario_free(&job.tried);
    wg_scenario_free(&job.scenario);
    return status;
}

static const struct wg_option options[] = {
    {"output", 'o', "FILE", "also write the whole answer to a file (HDF5)", 1},
    {"vary", 0, "KEY", "path of a number (default: starter.1.count); two: grid", WG_ONE_EACH_TIME},
    {"between", 0, "LOW HIGH", "the range to search, in the number's own unit", 2},
    {"within", 0, "WIDTH", "how far the interval may reach (default: a tenth)", 1},
    {"largest", 0, NULL, "find the largest value, not the smallest", 0},
    {"confidence", 0, "SHARE", "of all statements together (default: 95%)", 1},
    {"at-most", 0, "N", "most replicates in total (default: 20000)", 1},
    {"seed", 0, "N", "random seed (overrides the scenario)", 1},
    {"threads", 't', "N", "number of threads (default: one per processor)", 1},
    {"force", 'f', NULL, "replace an existing file", 0},
    {"quiet", 'q', NULL, "print neither progress nor the name of the file", 0},
    {"json", 0, NULL, "print the answer as JSON", 0},
    {.name = NULL},
};

const struct wg_command wg_command_size = {
    .name = "size",
    .arguments = "NAME.yaml",
    .summary = "find how much is enough for the goals",
    .help = "Finds the smallest value of one number in NAME.yaml that meets the goals with\n"
            "the chance they ask for, and the interval of that number. Any number can be\n"
            "varied; give its path, with items of a list by number or name. Two make a grid\n"
            "of chances, of values around those of the plan or of those listed:\n\n"
            "  wintergrub size hill.yaml --vary \"places.hoop house.heater.set_point\"\n"
            "  wintergrub size hill.yaml --vary starter.1.count=500,2000 --vary starter.1.on\n\n"
            "Where more is worse (a later date, a dearer set point), --largest finds the\n"
            "largest value. The exit status is 1 if clearly no value in the range is enough,\n"
            "6 if none was found but there may be one. `figures` and `report` draw the file.",
    .least = 1,
    .most = 1,
    .options = options,
    .run = run_size,
};
