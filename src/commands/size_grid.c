/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * wintergrub size over two numbers: chances that all goals are met, for each pair of values, in the same weather.
 */
#include "commands/size_grid.h"

#include "answers/size_grid_text.h"
#include "answers/size_range.h"
#include "cli/load_scenario.h"
#include "cli/message.h"
#include "cli/simulate.h"
#include "cli/stop.h"
#include "cli/vary_setups.h"

#include <stdlib.h>
#include <string.h>

#define USUAL_REPLICATES 512 /* of each pair: 64 plausible animals in 8 of 64 winters each */
#define LEAST_REPLICATES 64
#define CONFIDENCE 0.95

struct grid_job {
    struct wg_scenario base, scenario[WG_COMPARE_MAX];
    struct wg_varied varied;
    struct wg_varied_number number[WG_VARIED_MAX];
    int n;
    struct wg_compare compare;
    struct wg_plan plan[WG_COMPARE_MAX]; /* as simulated; borrow from the scenarios */
    struct wg_goal_tally tally[WG_COMPARE_MAX];
    struct wg_observer observer[WG_COMPARE_MAX];
    struct wg_goal_chance goal[WG_COMPARE_MAX * WG_MAX_GOALS], all[WG_COMPARE_MAX];
    struct wg_comparison_file *file;
    const char *path;
    char started[32];
};

static void free_grid_job(struct grid_job *job) {
    wg_comparison_file_abandon(job->file);
    wg_compare_free(&job->compare);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        wg_goal_tally_free(&job->tally[i]);
        wg_scenario_free(&job->scenario[i]);
    }
    wg_scenario_free(&job->base);
    free(job);
}

/* ---- the values ---- */

static bool is_valid_with(const struct grid_job *job, const struct wg_vary *vary, double value) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    struct wg_scenario scenario = {0};
    const struct wg_scenario *const base = &job->base;
    size_t size;
    char *const text = wg_vary_text(vary, base->text, base->text_size, value, &size);
    const int code = text == NULL ? WG_ERR_MEMORY
                                  : wg_scenario_read_text(&scenario, base->path, text, size, base->record_text,
                                                          base->record_size, &mistakes, &err);
    free(text);
    wg_mistakes_free(&mistakes);
    wg_scenario_free(&scenario);
    return code == 0;
}

/* Values around that of the plan; leaves out those that the scenario does not allow, and repeated ones. */
static void list_usual_values(const struct grid_job *job, struct wg_varied_number *number) {
    double usual[WG_SIZE_GRID_VALUES];
    wg_size_usual_values(&number->vary, usual);
    number->n = 0;
    for (int i = 0; i < WG_SIZE_GRID_VALUES; i++)
        if ((number->n == 0 || usual[i] > number->value[number->n - 1]) && is_valid_with(job, &number->vary, usual[i]))
            number->value[number->n++] = usual[i];
}

static int read_grid_number(const struct wg_args *args, struct grid_job *job, int k) {
    const char *const written = wg_args_each(args, "vary", k);
    struct wg_error err = {0};
    if (strchr(written, '=') != NULL)
        return wg_vary_read_list(args, written, &job->base, &job->number[k]);
    if (wg_vary_find(&job->number[k].vary, job->base.text, job->base.text_size, written, &err) != 0)
        return wg_message_error(&err);
    if (strncmp(written, "forecast.", 9) == 0 || strncmp(written, "goal", 4) == 0) {
        (void)wg_fail(&err, WG_ERR_INPUT, written, "This changes nothing about the colony, so it cannot meet a goal.");
        return wg_message_error(&err);
    }
    list_usual_values(job, &job->number[k]);
    return 0;
}

static int refuse_options_of_one(const struct wg_args *args) {
    static const char *const alone[] = {"between", "within", "largest", "confidence"};
    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        if (wg_args_has(args, alone[i]))
            return wg_message_usage(args->command,
                                    "--%s is for one number; give the values of two as --vary KEY=VALUE,VALUE,...",
                                    alone[i]);
    return wg_args_times(args, "vary") > WG_VARIED_MAX
               ? wg_message_usage(args->command, "at most %d numbers can be varied.", WG_VARIED_MAX)
               : 0;
}

/* Notes which setup is the plan as it is. */
static int own_setup(const struct grid_job *job) {
    for (int i = 0; i < job->n; i++) {
        const double first = job->number[0].value[i / job->number[1].n];
        const double second = job->number[1].value[i % job->number[1].n];
        if (!(first != job->number[0].vary.value) && !(second != job->number[1].vary.value))
            return i;
    }
    return -1;
}

/* ---- the run ---- */

static int read_grid_options(const struct wg_args *args, struct grid_job *job, int *threads) {
    uint64_t most = WG_PRECISION_MAX_REPLICATES, some = 0;
    job->compare.seed = job->base.plan.seed;
    int status = wg_args_forecast_key(args, "seed", &job->compare.seed);
    if (status == 0)
        status = wg_args_whole(args, "threads", 1, WG_MAX_THREADS, &some);
    if (status == 0)
        status = wg_args_whole(args, "at-most", 1000, WG_MAX_REPLICATES, &most);
    const int64_t each = job->n > 0 ? (int64_t)most / job->n / LEAST_REPLICATES * LEAST_REPLICATES : 0;
    job->compare.replicates = each < LEAST_REPLICATES   ? LEAST_REPLICATES
                              : each > USUAL_REPLICATES ? USUAL_REPLICATES
                                                        : each;
    *threads = (int)some;
    job->path = wg_args_option(args, "output");
    return status;
}

static int load_grid(const struct wg_args *args, struct grid_job *job) {
    struct wg_scenario *scenario[WG_COMPARE_MAX];
    struct wg_error err = {0};
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        scenario[i] = &job->scenario[i];
    int status = wg_load_scenario(&job->base, args->argument[0]);
    if (status == 0)
        status = wg_args_check_inputs(args, "output", wg_args_option(args, "output"), &job->base);
    if (status == 0 && job->base.plan.n_goals == 0) {
        (void)wg_fail(&err, WG_ERR_INPUT, job->base.path,
                      "There is no goal in it. Add, for example, goal: {survive: yes, chance: 95 %%}.");
        status = wg_message_error(&err);
    }
    for (int k = 0; k < WG_VARIED_MAX && status == 0; k++)
        status = read_grid_number(args, job, k);
    if (status == 0)
        status = wg_vary_make_setups(args, &job->base, job->number, WG_VARIED_MAX, &job->varied, scenario, &job->n);
    return status;
}

static int prepare_grid(struct grid_job *job, struct wg_error *err) {
    job->compare.n = job->n;
    for (int i = 0; i < job->n; i++) {
        job->compare.setup[i] = (struct wg_setup){.plan = &job->scenario[i].plan,
                                                  .name = job->scenario[i].plan.title,
                                                  .observer = &job->observer[i],
                                                  .n_observers = 1};
    }
    const int code = wg_compare_check(&job->compare, err);
    for (int i = 0; i < job->n && code == 0; i++) {
        job->plan[i] = wg_compare_plan(&job->compare, i);
        wg_goal_tally_init(&job->tally[i], &job->plan[i]);
        job->observer[i] = wg_goal_tally_observer(&job->tally[i]);
    }
    return code;
}

static int find_grid_chances(struct grid_job *job, struct wg_error *err) {
    struct wg_grid_odds *const odds = &job->varied.odds;
    const int n_goals = job->base.plan.n_goals;
    int code = 0;
    *odds = (struct wg_grid_odds){.n = job->n, .own = own_setup(job)};
    for (int i = 0; i < job->n && code == 0; i++) {
        code = wg_goal_tally_chance_of_all(&job->tally[i], CONFIDENCE, &job->all[i], err);
        odds->met[i] = job->all[i].share;
        odds->low[i] = job->all[i].interval.low;
        odds->high[i] = job->all[i].interval.high;
        odds->is_enough[i] = true;
        for (int g = 0; g < n_goals && code == 0; g++) {
            struct wg_goal_chance *const chance = &job->goal[i * n_goals + g];
            code = wg_goal_tally_chance(&job->tally[i], g, CONFIDENCE, chance, err);
            odds->is_enough[i] &= chance->share >= job->base.plan.goal[g].chance;
        }
    }
    return code;
}

static int simulate_grid(const struct wg_args *args, struct grid_job *job, int threads, struct wg_error *err) {
    struct wg_progress progress;
    const struct wg_ensemble_options options = {
        .threads = threads, .stop = wg_stop_flag(), .progress = wg_progress_count, .progress_self = &progress};
    wg_provenance_now(job->started);
    wg_progress_begin(&progress, "simulating", wg_args_has(args, "quiet"));
    const int code = wg_compare_run(&job->compare, &options, err);
    wg_progress_end(&progress);
    return code == 0 ? find_grid_chances(job, err) : code;
}

/* ---- the answer ---- */

static int store_grid(const struct wg_args *args, struct grid_job *job, struct wg_error *err) {
    static const struct wg_warnings none; /* of 25 setups they would only repeat each other */
    char *const line = wg_args_line(args);
    const struct wg_provenance provenance = {.command_line = line,
                                             .started = job->started,
                                             .replicates = job->compare.replicates,
                                             .seed = job->compare.seed};
    const struct wg_scenario *scenario[WG_COMPARE_MAX];
    const struct wg_warnings *warnings[WG_COMPARE_MAX];
    const struct wg_comparison_words words = {.varied = &job->varied};
    for (int i = 0; i < job->n; i++)
        scenario[i] = &job->scenario[i], warnings[i] = &none;
    int code = line != NULL ? 0 : wg_no_memory(err, NULL);
    if (code == 0) {
        struct wg_comparison_file *const file = job->file;
        job->file = NULL; /* freed by the call */
        code = wg_comparison_file_close(file, &job->compare, scenario, warnings, &words, &provenance, err);
    }
    free(line);
    return code;
}

static int exit_status_of_grid(const struct wg_size_grid *grid, int n) {
    int status = WG_STATUS_NO;
    for (int i = 0; i < n; i++) {
        if (grid->varied->odds.is_enough[i])
            return WG_STATUS_DONE;
        if (wg_size_grid_verdict(grid, i) != WG_NO)
            status = WG_STATUS_UNDECIDED;
    }
    return status;
}

/* Prints the answer even if its file fails: computing it takes long. */
static int print_grid(const struct wg_args *args, struct grid_job *job) {
    struct wg_error err = {0};
    const struct wg_size_grid grid = {.scenario = &job->base,
                                      .varied = &job->varied,
                                      .key = {job->number[0].vary.path, job->number[1].vary.path},
                                      .goal = job->goal,
                                      .all = job->all,
                                      .replicates = job->compare.replicates,
                                      .seed = job->compare.seed};
    if (!wg_args_has(args, "json"))
        wg_size_grid_print(&grid, stdout);
    else if (wg_size_grid_print_json(&grid, stdout, &err) < 0)
        return wg_message_error(&err);
    int status = exit_status_of_grid(&grid, job->n);
    const bool is_stored = job->file != NULL && store_grid(args, job, &err) == 0;
    if (job->path != NULL && !is_stored)
        status = wg_message_error(&err);
    status = wg_output_finish(status);
    if (is_stored && !wg_args_has(args, "quiet"))
        wg_message("the answer is in %s", job->path);
    return status;
}

static int run_grid(const struct wg_args *args, struct grid_job *job) {
    struct wg_error err = {0};
    int threads;
    int status = refuse_options_of_one(args);
    if (status == 0)
        status = load_grid(args, job);
    if (status == 0)
        status = read_grid_options(args, job, &threads);
    if (status != 0)
        return status;
    int code = prepare_grid(job, &err);
    if (code == 0 && job->path != NULL)
        code = wg_comparison_file_create(&job->file, job->path, wg_args_has(args, "force"), &err);
    if (code < 0)
        return wg_message_error(&err);
    code = simulate_grid(args, job, threads, &err);
    if (code == WG_STOPPED) {
        wg_message("stopped; nothing was written.");
        return wg_stop_status();
    }
    return code < 0 ? wg_load_message_error(&job->scenario[job->compare.at], &err) : print_grid(args, job);
}

int wg_size_grid_run(const struct wg_args *args) {
    struct grid_job *const job = calloc(1, sizeof *job);
    if (job == NULL)
        return wg_message_error(&(struct wg_error){.code = WG_ERR_MEMORY});
    const int status = run_grid(args, job);
    free_grid_job(job);
    return status;
}
