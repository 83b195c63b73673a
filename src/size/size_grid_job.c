/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Does the work of `size` over two numbers.
 */
#include "size/size_grid_job.h"

#include "size/size_job.h"

#include <stdlib.h>
#include <string.h>

#define USUAL_REPLICATES 512 /* of each pair: 64 plausible animals in 8 of 64 winters each */
#define LEAST_REPLICATES 64
#define CONFIDENCE 0.95

void wg_size_grid_job_free(struct wg_size_grid_job *job) {
    wg_compare_free(&job->compare);
    for (int i = 0; i < WG_COMPARE_MAX; i++) {
        wg_goal_tally_free(&job->tally[i]);
        wg_scenario_free(&job->scenario[i]);
    }
    wg_mistakes_free(&job->mistakes);
    wg_scenario_free(&job->base);
}

/* ---- the values ---- */

static bool is_valid_with(const struct wg_scenario *base, const struct wg_vary *vary, double value) {
    struct wg_mistakes mistakes = {0};
    struct wg_error err = {0};
    struct wg_scenario scenario = {0};
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
static void list_usual_values(const struct wg_scenario *base, struct wg_varied_number *number) {
    double usual[WG_SIZE_GRID_VALUES];
    wg_size_usual_values(&number->vary, usual);
    number->n = 0;
    for (int i = 0; i < WG_SIZE_GRID_VALUES; i++)
        if ((number->n == 0 || usual[i] > number->value[number->n - 1]) && is_valid_with(base, &number->vary, usual[i]))
            number->value[number->n++] = usual[i];
}

static int read_grid_number(const char *written, const struct wg_scenario *base, struct wg_varied_number *number,
                            struct wg_error *err) {
    if (strchr(written, '=') != NULL)
        return wg_setups_read_list(written, base, number, err);
    const int code = wg_vary_find(&number->vary, base->text, base->text_size, written, err);
    if (code != 0)
        return code;
    if (strncmp(written, "forecast.", 9) == 0 || strncmp(written, "goal", 4) == 0)
        return wg_fail(err, WG_ERR_INPUT, written, "This changes nothing about the colony, so it cannot meet a goal.");
    list_usual_values(base, number);
    return 0;
}

static int make_grid_setups(struct wg_size_grid_job *job, struct wg_error *err) {
    struct wg_scenario *scenario[WG_COMPARE_MAX];
    for (int i = 0; i < WG_COMPARE_MAX; i++)
        scenario[i] = &job->scenario[i];
    return wg_setups_make(&job->base, job->number, WG_VARIED_MAX, &job->varied, scenario, &job->n, &job->at,
                          &job->mistakes, err);
}

/* Returns which setup is the plan as it is; -1: none. */
static int own_setup(const struct wg_size_grid_job *job) {
    for (int i = 0; i < job->n; i++) {
        const double first = job->number[0].value[i / job->number[1].n];
        const double second = job->number[1].value[i % job->number[1].n];
        if (!(first != job->number[0].vary.value) && !(second != job->number[1].vary.value))
            return i;
    }
    return -1;
}

/* ---- the setups ---- */

static int64_t years_of_each(const struct wg_size_grid_job *job) {
    const int64_t each = job->most / job->n / LEAST_REPLICATES * LEAST_REPLICATES;
    return each < LEAST_REPLICATES ? LEAST_REPLICATES : each > USUAL_REPLICATES ? USUAL_REPLICATES : each;
}

static int prepare_setups_of_grid(struct wg_size_grid_job *job, struct wg_error *err) {
    struct wg_compare *const compare = &job->compare;
    compare->n = job->n;
    compare->seed = job->base.plan.seed;
    compare->replicates = years_of_each(job);
    for (int i = 0; i < job->n; i++)
        compare->setup[i] = (struct wg_setup){.plan = &job->scenario[i].plan,
                                              .name = job->scenario[i].plan.title,
                                              .observer = &job->observer[i],
                                              .n_observers = 1};
    const int code = wg_compare_check(compare, err);
    for (int i = 0; i < job->n && code == 0; i++) {
        job->plan[i] = wg_compare_plan(compare, i);
        wg_goal_tally_init(&job->tally[i], &job->plan[i]);
        job->observer[i] = wg_goal_tally_observer(&job->tally[i]);
    }
    return code;
}

int wg_size_grid_job_prepare(struct wg_size_grid_job *job, struct wg_error *err) {
    int code = 0;
    if (job->base.plan.n_goals == 0)
        return wg_fail(err, WG_ERR_INPUT, job->base.path,
                       "There is no goal in it. Add, for example, goal: {survive: yes, chance: 95 %%}.");
    for (int k = 0; k < WG_VARIED_MAX && code == 0; k++)
        code = read_grid_number(job->key[k], &job->base, &job->number[k], err);
    if (code == 0)
        code = make_grid_setups(job, err);
    return code == 0 ? prepare_setups_of_grid(job, err) : code;
}

/* ---- the run ---- */

static int find_grid_chances(struct wg_size_grid_job *job, struct wg_error *err) {
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

int wg_size_grid_job_run(struct wg_size_grid_job *job, const struct wg_ensemble_options *options,
                         struct wg_error *err) {
    const int code = wg_compare_run(&job->compare, options, err);
    return code == 0 ? find_grid_chances(job, err) : code;
}

struct wg_size_grid wg_size_grid_job_output(const struct wg_size_grid_job *job) {
    return (struct wg_size_grid){.scenario = &job->base,
                                 .varied = &job->varied,
                                 .key = {job->number[0].vary.path, job->number[1].vary.path},
                                 .goal = job->goal,
                                 .all = job->all,
                                 .replicates = job->compare.replicates,
                                 .seed = job->compare.seed};
}
