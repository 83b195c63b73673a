/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include "bench/subject.h"
#include "forecast/ensemble.h"
#include "reference/numpy_engine.h"
#include "reference/plain_engine.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static void stop_if(int code, const struct wg_error *err) {
    if (code == 0)
        return;
    (void)fprintf(stderr, "bench: %s\n", err->text);
    exit(EXIT_FAILURE);
}

/* ---- opening ---- */

/* Larvae give no heat here, so that any number of them has the same hours. */
static void scale_up(struct wg_plan *plan, double scale) {
    plan->species.heat_per_dry_feed = 0;
    for (int i = 0; i < plan->n_actions; i++) {
        struct wg_action *const a = &plan->actions[i];
        if (a->kind == WG_ACTION_START)
            a->as.start.count = (int64_t)((double)a->as.start.count * scale);
        if (a->kind == WG_ACTION_FEED)
            a->as.feed.wet_kg *= scale;
    }
}

/* Standing orders of the whole period are extended with it. */
static void set_days(struct wg_plan *plan, int days) {
    const int32_t last = plan->last_day;
    plan->last_day = plan->first_day + days - 1;
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].to == last)
            plan->actions[i].to = plan->last_day;
}

void subject_open(struct subject *subject, const char *name, struct change change) {
    char path[1024];
    struct wg_mistakes problems = {0};
    struct wg_error err = {0};
    *subject = (struct subject){.replicates = REPLICATES};
    (void)snprintf(path, sizeof path, "%s/scenarios/%s.yaml", WG_SOURCE_DIR, name);
    stop_if(wg_scenario_read(&subject->scenario, path, &problems, &err), &err);
    wg_mistakes_free(&problems);
    struct wg_plan *const plan = &subject->scenario.plan;
    subject->animals = plan->animals;
    plan->animals = WG_ANIMALS_MIDDLE;
    if (change.days > 0)
        set_days(plan, change.days);
    if (change.steps_per_day > 0)
        plan->steps_per_day = change.steps_per_day;
    if (change.scale > 0)
        scale_up(plan, change.scale);
    stop_if(wg_world_init(&subject->world, plan, &err), &err);
    stop_if(wg_simulator_init(&subject->liver, &subject->world, &err), &err);
    stop_if(wg_diary_init(&subject->diary, plan, &err), &err);
}

void subject_close(struct subject *subject) {
    for (int i = 0; i < subject->n_hours; i++)
        hours_free(&subject->hours[i]);
    free(subject->hours);
    draws_free(&subject->draws);
    wg_diary_free(&subject->diary);
    wg_simulator_free(&subject->liver);
    wg_world_free(&subject->world);
    wg_scenario_free(&subject->scenario);
}

double subject_years(const struct subject *subject) {
    return subject->diary.n_days / DAYS_A_YEAR;
}

void subject_record(struct subject *subject, int n) {
    struct wg_error err = {.text = "out of memory for hours"};
    subject->hours = calloc((size_t)n, sizeof *subject->hours);
    stop_if(subject->hours == NULL ? -1 : 0, &err);
    for (subject->n_hours = 0; subject->n_hours < n; subject->n_hours++)
        hours_record(&subject->hours[subject->n_hours], &subject->scenario.plan, subject->n_hours);
}

/* ---- clocks ---- */

static double clock_s(clockid_t clock) {
    struct timespec now = {0};
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

double cpu_s(void) {
    return clock_s(CLOCK_PROCESS_CPUTIME_ID);
}

double wall_s(void) {
    return clock_s(CLOCK_MONOTONIC);
}

/* ---- the engine ---- */

void subject_live(struct subject *subject, int replicate) {
    struct wg_error err = {0};
    stop_if(wg_simulator_run(&subject->liver, replicate, &subject->diary, &err), &err);
}

static void live_all(struct subject *subject) {
    for (int k = 0; k < subject->replicates; k++)
        subject_live(subject, k);
}

#define MIN_S 0.05

double time_lives(struct subject *subject, void (*live)(struct subject *subject)) {
    const double start = cpu_s();
    double spent_s = 0;
    int times = 0;
    for (; spent_s < MIN_S; times++) {
        live(subject);
        spent_s = cpu_s() - start;
    }
    return 1e3 * spent_s / (times * subject->replicates * subject_years(subject));
}

double time_engine(struct subject *subject) {
    return time_lives(subject, live_all);
}

static void draw_all(struct subject *subject) {
    wg_rng_start(subject->liver.chance, 1, 0, WG_PURPOSE_DEMOGRAPHY);
    volatile int64_t sum = draws_repeat(&subject->draws, subject->liver.chance);
    (void)sum;
}

double time_draws(struct subject *subject) {
    if (subject->draws.n == 0) {
        draws_note(&subject->draws);
        live_all(subject);
        draws_stop();
    }
    return time_lives(subject, draw_all);
}

struct census take_census(struct subject *subject) {
    const int cells = subject->diary.n_days * WG_N_STAGES;
    const double ends_of_days = (double)subject->diary.n_days * subject->replicates;
    struct census census = {0};
    draws_count(&subject->draws);
    for (int k = 0; k < subject->replicates; k++) {
        subject_live(subject, k);
        for (int i = 0; i < cells; i++) {
            const double count = (double)subject->diary.count[i] / ends_of_days;
            census.alive += count;
            census.larvae += i % WG_N_STAGES == WG_LARVA ? count : 0;
        }
    }
    draws_stop();
    census.cohort_steps = (double)subject->draws.cohort_steps / (subject->replicates * subject_years(subject));
    return census;
}

static void run_ensemble(const struct subject *subject, int threads, int64_t replicates) {
    struct wg_error err = {0};
    const struct wg_ensemble_options options = {.count = replicates, .threads = threads};
    struct wg_plan plan = subject->scenario.plan; /* borrows the lists */
    plan.animals = subject->animals;
    stop_if(wg_ensemble_run(&plan, &options, NULL, 0, &err), &err);
}

double time_threads(const struct subject *subject, int threads, int64_t replicates) {
    const double start = wall_s();
    run_ensemble(subject, threads, replicates);
    return 1e3 * (wall_s() - start) / (double)replicates / subject_years(subject);
}

double peak_mb(const char *name, struct change change, int threads) {
    int status = -1;
    struct rusage usage = {0};
    (void)fflush(NULL);
    const pid_t child = fork();
    if (child == 0) {
        struct subject subject;
        subject_open(&subject, name, change);
        run_ensemble(&subject, threads, REPLICATES);
        _exit(EXIT_SUCCESS);
    }
    if (child < 0 || wait4(child, &status, 0, &usage) < 0 || status != 0) {
        (void)fprintf(stderr, "bench: the memory of %s could not be measured\n", name);
        exit(EXIT_FAILURE);
    }
    return (double)usage.ru_maxrss / 1024;
}

double child_mb(char *const words[], double *first_byte_s, double *all_s) {
    int out[2] = {-1, -1}, status = -1;
    char byte;
    struct rusage usage = {0};
    const double start = wall_s();
    const pid_t child = pipe(out) == 0 ? fork() : -1;
    if (child == 0) {
        (void)dup2(out[1], STDOUT_FILENO);
        (void)close(out[0]);
        (void)execv(words[0], words);
        _exit(127);
    }
    (void)close(out[1]);
    const int spoke = read(out[0], &byte, 1) == 1;
    *first_byte_s = wall_s() - start;
    while (read(out[0], &byte, 1) == 1)
        ;
    (void)close(out[0]);
    if (child < 0 || wait4(child, &status, 0, &usage) < 0 || status != 0 || !spoke) {
        (void)fprintf(stderr, "bench: %s failed\n", words[0]);
        exit(EXIT_FAILURE);
    }
    *all_s = wall_s() - start;
    return (double)usage.ru_maxrss / 1024;
}

/* ---- the reference engines ---- */

double time_plain(struct subject *subject, int n) {
    if (subject->hours == NULL)
        return (double)NAN;
    struct plain_outcome outcome;
    gsl_rng *const rng = gsl_rng_alloc(gsl_rng_mt19937);
    plain_outcome_init(&outcome, &subject->scenario.plan);
    const double start = cpu_s();
    for (int k = 0; k < n; k++)
        plain_run(&subject->scenario.plan, &subject->world.growth, &subject->hours[k], rng, &outcome);
    const double spent_s = cpu_s() - start;
    plain_outcome_free(&outcome);
    gsl_rng_free(rng);
    return 1e3 * spent_s / n / subject_years(subject);
}

double time_numpy(struct subject *subject) {
    if (subject->hours == NULL)
        return (double)NAN;
    const int n = subject->n_hours;
    double *const capacity = calloc((size_t)n * NUMPY_QUANTITIES, sizeof *capacity), *value[NUMPY_QUANTITIES], seconds;
    for (int q = 0; q < NUMPY_QUANTITIES; q++)
        value[q] = capacity + q * n;
    const struct numpy_job job = {.plan = &subject->scenario.plan,
                                  .growth = &subject->world.growth,
                                  .hours = subject->hours,
                                  .n_recordings = n,
                                  .replicates = n,
                                  .seed = 1};
    const int code = capacity != NULL ? numpy_run(&job, &seconds, value) : -1;
    free(capacity);
    return code == 0 ? 1e3 * seconds / n / subject_years(subject) : (double)NAN;
}
