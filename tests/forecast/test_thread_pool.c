/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Checks the promises of thread_pool.h: every job once, the first error or a stop ends all.
 */
#include "forecast/thread_pool.h"

#include <criterion/criterion.h>

#define JOBS 40

static atomic_int runs[JOBS];
static atomic_int stop;

static int count_run(void *self, int64_t i, struct wg_error *err) {
    (void)self;
    (void)err;
    atomic_fetch_add(&runs[i], 1);
    return 0;
}

static int stop_at_ninth(void *self, int64_t i, struct wg_error *err) {
    if (i == 8)
        atomic_store(&stop, 15);
    return count_run(self, i, err);
}

static int fail_at_ninth(void *self, int64_t i, struct wg_error *err) {
    (void)count_run(self, i, err);
    return i == 8 ? wg_fail(err, WG_ERR_INPUT, NULL, "job %d", (int)i) : 0;
}

static int total_runs(void) {
    int sum = 0;
    for (int i = 0; i < JOBS; i++)
        sum += atomic_load(&runs[i]);
    return sum;
}

Test(thread_pool, runs_every_job_once) {
    for (int threads = 1; threads <= 4; threads++) {
        const struct wg_thread_pool pool = {.threads = threads, .stop = &stop};
        cr_assert_eq(wg_thread_pool_run(&pool, JOBS, count_run, NULL, NULL), 0);
        for (int i = 0; i < JOBS; i++)
            cr_expect_eq(atomic_load(&runs[i]), threads, "job %d with %d threads", i, threads);
    }
}

Test(thread_pool, asked_to_stop_before_it_starts_it_runs_nothing) {
    struct wg_error err = {0};
    atomic_store(&stop, 15);
    for (int threads = 1; threads <= 4; threads++) {
        const struct wg_thread_pool pool = {.threads = threads, .stop = &stop};
        cr_expect_eq(wg_thread_pool_run(&pool, JOBS, count_run, NULL, &err), WG_STOPPED);
    }
    cr_expect_eq(total_runs(), 0);
    cr_expect_eq(err.code, 0, "being stopped is no error");
}

/* One thread takes the jobs in order, so that the ninth is the last. */
Test(thread_pool, stops_and_fails_after_the_job_under_way) {
    struct wg_error err = {0};
    const struct wg_thread_pool pool = {.threads = 1, .stop = &stop};
    cr_expect_eq(wg_thread_pool_run(&pool, JOBS, fail_at_ninth, NULL, &err), WG_ERR_INPUT);
    cr_expect_str_eq(err.text, "job 8");
    cr_expect_eq(total_runs(), 9);
    cr_expect_eq(wg_thread_pool_run(&pool, JOBS, stop_at_ninth, NULL, &err), WG_STOPPED);
    cr_expect_eq(total_runs(), 18);
}
