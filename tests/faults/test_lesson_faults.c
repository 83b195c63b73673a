/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes each allocation of a lesson fail in turn: the lesson reports the error, has no result, does not leak
 * (checked by AddressSanitizer), and works normally afterwards.
 */
#include "base/error.h"
#include "species/species.h"
#include "workshop/lesson.h"

#include <criterion/criterion.h>
#include <gsl/gsl_rng.h>
#include <stdlib.h>

static int calls, fail_at; /* call number fail_at (from 1) fails; 0: none */

static int fails(void) {
    return ++calls == fail_at;
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return fails() ? NULL : __real_malloc(size);
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return fails() ? NULL : __real_calloc(n, size);
}

void *__real_realloc(void *block, size_t size);
void *__wrap_realloc(void *block, size_t size);
void *__wrap_realloc(void *block, size_t size) {
    return fails() ? NULL : __real_realloc(block, size);
}

gsl_rng *__real_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type) {
    return fails() ? NULL : __real_gsl_rng_alloc(type);
}

static struct wg_lesson *lesson_of_a_month(int weather) {
    struct wg_lesson *const lesson = wg_lesson_new();
    cr_assert_not_null(lesson);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_DAYS, 30), 0);
    cr_assert_eq(wg_lesson_set(lesson, WG_LESSON_WEATHER, weather), 0);
    return lesson;
}

static double larvae_at_the_end(const struct wg_lesson *lesson) {
    double sum = 0;
    for (int generation = 0; generation < wg_lesson_generations(lesson); generation++)
        sum += wg_lesson_count(lesson, 29, WG_LARVA, generation);
    return sum;
}

/* Returns the number of allocations that failed, one per run. */
static int fail_in_turn(struct wg_lesson *lesson) {
    for (fail_at = 1;; fail_at++) {
        calls = 0;
        const int code = wg_lesson_live(lesson);
        if (calls < fail_at) {
            cr_expect_eq(code, 0);
            break;
        }
        cr_assert_eq(code, WG_ERR_MEMORY, "allocation %d: %d", fail_at, code);
        cr_expect_str_neq(wg_lesson_problem(lesson), "");
        cr_expect_eq(wg_lesson_days(lesson), 0);
        cr_expect_eq(wg_lesson_generations(lesson), 0);
        cr_expect_eq(wg_lesson_heater_w(lesson), 0);
    }
    const int failed = fail_at - 1;
    fail_at = 0;
    return failed;
}

static void check_allocations(int weather) {
    struct wg_lesson *const reference = lesson_of_a_month(weather), *const lesson = lesson_of_a_month(weather);
    cr_assert_eq(wg_lesson_live(reference), 0);
    cr_expect_gt(fail_in_turn(lesson), 10);
    cr_expect_str_empty(wg_lesson_problem(lesson));
    cr_expect_eq(larvae_at_the_end(lesson), larvae_at_the_end(reference));
    wg_lesson_free(lesson);
    wg_lesson_free(reference);
}

Test(lesson_faults, allocations_at_a_constant_temperature) {
    check_allocations(WG_LESSON_STEADY);
}

Test(lesson_faults, allocations_with_weather) {
    check_allocations(WG_LESSON_COLD_WINTER);
}

Test(lesson_faults, allocation_of_the_lesson) {
    calls = 0;
    fail_at = 1;
    cr_expect_null(wg_lesson_new());
    fail_at = 0;
    wg_lesson_free(NULL);
}
