/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks ensembles under failures: missing memory, threads that do not start, replicates that fail in any order. For any
 * number of threads the run reports the failure of the lowest replicate, the observers get all replicates before it, and
 * no thread deadlocks.
 *
 * A mock replaces wg_colony_run() for failures in a replicate; it recognises the replicate by the first number of its
 * stream.
 */
#include "forecast/watching.h"
#include "support/plans.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

TestSuite(ensemble_faults, .timeout = 200);

/* ---- memory and threads ---- */

/* Counts calls, also in workers; number `fail_at` (from 1) fails. 0: none does. */
static atomic_int calls, fail_at, armed_memory, armed_threads;

static int fails(void) {
    return atomic_fetch_add(&calls, 1) + 1 == atomic_load(&fail_at);
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_malloc(size);
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_calloc(n, size);
}

void *__real_realloc(void *block, size_t size);
void *__wrap_realloc(void *block, size_t size) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_realloc(block, size);
}

gsl_rng *__real_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_gsl_rng_alloc(type);
}

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument) {
    return atomic_load(&armed_threads) && fails() ? 11 /* EAGAIN */
                                                  : __real_pthread_create(thread, attributes, start, argument);
}

/* ---- mock of a colony ---- */

#define KNOWN 64

static struct mock {
    int on;
    uint64_t first_number[KNOWN]; /* of the stream of each replicate */
    int fails[KNOWN];             /* 0: success; > 0: overflows on that day of the period; < 0: that error */
    int late_ms[KNOWN];           /* time that it takes */
    atomic_int n_started;         /* replicates started */
} mock;

static void wait_ms(int ms) {
    const struct timespec span = {.tv_sec = ms / 1000, .tv_nsec = 1000000L * (ms % 1000)};
    (void)nanosleep(&span, NULL);
}

int __real_wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                         struct wg_diary *diary, struct wg_error *err);
int __wrap_wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                         struct wg_diary *diary, struct wg_error *err);
int __wrap_wg_colony_run(struct wg_colony *colony, const struct wg_weather *weather, gsl_rng *chance, gsl_rng *mishap,
                         struct wg_diary *diary, struct wg_error *err) {
    if (!mock.on)
        return __real_wg_colony_run(colony, weather, chance, mishap, diary, err);
    atomic_fetch_add(&mock.n_started, 1);
    const uint64_t number = wg_rng_bits(chance);
    int k = 0;
    while (k < KNOWN && mock.first_number[k] != number)
        k++;
    wg_assert(k < KNOWN);
    wait_ms(mock.late_ms[k]);
    wg_diary_clear(diary);
    diary->total_crawl_off_mass = k;
    if (mock.fails[k] > 0)
        diary->stopped_day = diary->first_day + mock.fails[k];
    return mock.fails[k] < 0 ? wg_fail(err, mock.fails[k], NULL, "replicate %d failed", k) : 0;
}

static void mock_begin(const struct wg_plan *plan) {
    gsl_rng *const rng = gsl_rng_alloc(wg_rng_type());
    for (int k = 0; k < KNOWN; k++) {
        wg_rng_start(rng, plan->seed, (uint64_t)k, WG_PURPOSE_DEMOGRAPHY);
        mock.first_number[k] = wg_rng_bits(rng);
        mock.fails[k] = mock.late_ms[k] = 0;
    }
    gsl_rng_free(rng);
    atomic_store(&mock.n_started, 0);
    mock.on = 1;
}

/* ---- tests ---- */

/* Fails the first, second, ... call until none fails; returns the number of failures. */
static int fail_everywhere(const struct wg_plan *plan, int threads, int code) {
    for (int at = 1;; at++) {
        struct wg_error err = {0};
        struct watching watching = {0};
        atomic_store(&calls, 0);
        atomic_store(&fail_at, at);
        const int got = watch_run(&watching, plan, 0, 4, threads, &err);
        if (atomic_load(&calls) < at) {
            cr_assert_eq(got, 0, "%s", err.text);
            cr_assert_eq(watching.n, 4);
            return at - 1;
        }
        cr_assert_eq(got, code, "failure %d of %d threads gave %d: %s", at, threads, got, err.text);
        cr_assert_eq(err.code, code);
        cr_assert_neq(err.text[0], '\0', "failure %d has no text", at);
    }
}

Test(ensemble_faults, missing_memory_is_reported) {
    for (int threads = 1; threads <= 2; threads++) {
        struct wg_plan plan;
        plan_outdoors(&plan, 20);
        plan_start(&plan, 0, WG_MOVABLE_LARVAE, 5, 1000);
        atomic_store(&armed_memory, 1);
        const int failures = fail_everywhere(&plan, threads, WG_ERR_MEMORY);
        atomic_store(&armed_memory, 0);
        cr_assert_gt(failures, 50, "the test reaches the allocations: %d", failures);
        wg_plan_free(&plan);
    }
}

Test(ensemble_faults, thread_that_does_not_start_is_reported) {
    struct wg_plan plan;
    plan_laboratory(&plan, 27, 5);
    atomic_store(&armed_threads, 1);
    cr_assert_eq(fail_everywhere(&plan, 3, WG_ERR_THREAD), 3);
    atomic_store(&armed_threads, 0);
    wg_plan_free(&plan);
}

/* With one thread the message does not suggest --threads 1. */
Test(ensemble_faults, message_for_a_single_thread) {
    for (int threads = 1; threads <= 2; threads++) {
        struct wg_plan plan;
        struct watching watching = {0};
        struct wg_error err = {0};
        plan_laboratory(&plan, 27, 5);
        atomic_store(&calls, 0);
        atomic_store(&fail_at, 1);
        atomic_store(&armed_threads, 1);
        cr_assert_eq(watch_run(&watching, &plan, 0, 4, threads, &err), WG_ERR_THREAD);
        atomic_store(&armed_threads, 0);
        cr_assert_eq(strstr(err.text, "--threads 1") != NULL, threads > 1, "%s", err.text);
        wg_plan_free(&plan);
    }
}

Test(ensemble_faults, lowest_failing_replicate_is_reported) {
    for (int threads = 1; threads <= 8; threads *= 2) {
        struct wg_plan plan;
        struct wg_error err = {0};
        struct watching watching = {0};
        plan_laboratory(&plan, 27, 5);
        mock_begin(&plan);
        mock.fails[3] = mock.fails[4] = mock.fails[7] = WG_ERR_MEMORY;
        mock.fails[5] = 2;
        mock.late_ms[3] = 60;
        cr_assert_eq(watch_run(&watching, &plan, 0, 40, threads, &err), WG_ERR_MEMORY);
        cr_assert_str_eq(err.text, "replicate 3 failed", "%d threads", threads);
        cr_assert_eq(watching.n, 3, "the observer gets 0, 1 and 2: %d", watching.n);
        cr_assert_leq(atomic_load(&mock.n_started), 3 + 4 * threads, "the other replicates stop soon");
        wg_plan_free(&plan);
    }
}

Test(ensemble_faults, overgrown_colony_is_reported_before_a_later_error) {
    for (int threads = 1; threads <= 8; threads *= 2) {
        struct wg_plan plan;
        struct wg_error err = {0};
        struct watching watching = {0};
        plan_laboratory(&plan, 27, 40);
        mock_begin(&plan);
        mock.fails[2] = 36; /* 36 days after 2026-01-01 */
        mock.fails[3] = WG_ERR_INTERNAL;
        mock.fails[4] = 12;
        mock.late_ms[2] = 60;
        cr_assert_eq(watch_run(&watching, &plan, 0, 10, threads, &err), WG_ERR_OVERGROWN);
        cr_assert_not_null(strstr(err.text, "6 February 2026"), "%s", err.text);
        cr_assert_eq(watching.n, 2);
        wg_plan_free(&plan);
    }
}

struct slow_reader {
    int seen, most_ahead;
};

static int read_slowly(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct slow_reader *const reader = self;
    (void)err;
    wait_ms(3);
    cr_assert_eq(diary->total_crawl_off_mass, (double)replicate, "the diary was overwritten while it was read");
    const int ahead = atomic_load(&mock.n_started) - reader->seen;
    reader->most_ahead = ahead > reader->most_ahead ? ahead : reader->most_ahead;
    reader->seen++;
    return 0;
}

/* A slow observer must not fill the memory with diaries. */
Test(ensemble_faults, workers_wait_for_a_slow_reader) {
    for (int threads = 1; threads <= 4; threads *= 2) {
        struct wg_plan plan;
        struct wg_error err = {0};
        struct slow_reader reader = {0};
        plan_laboratory(&plan, 27, 5);
        mock_begin(&plan);
        const struct wg_observer observer = {.on_replicate = read_slowly, .self = &reader};
        const struct wg_ensemble_options options = {.count = KNOWN, .threads = threads};
        cr_assert_eq(wg_ensemble_run(&plan, &options, &observer, 1, &err), 0, "%s", err.text);
        cr_assert_eq(reader.seen, KNOWN);
        cr_assert_leq(reader.most_ahead, 4 * threads, "%d diaries ahead of the reader", reader.most_ahead);
        wg_plan_free(&plan);
    }
}

/* The run waits for a slow replicate and keeps the later ones until their turn. */
Test(ensemble_faults, slow_replicate_is_observed_in_order) {
    struct wg_plan plan;
    struct wg_error err = {0};
    struct watching one = {0}, four = {0};
    plan_laboratory(&plan, 27, 5);
    mock_begin(&plan);
    cr_assert_eq(watch_run(&one, &plan, 0, 30, 1, &err), 0);
    mock.late_ms[0] = 50;
    mock.late_ms[13] = 50;
    cr_assert_eq(watch_run(&four, &plan, 0, 30, 4, &err), 0);
    cr_assert_arr_eq(&four, &one, sizeof one);
    wg_plan_free(&plan);
}
