/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes each allocation of the scenario reader fail once: it returns the error for memory with a sentence and does not
 * leak (checked by AddressSanitizer).
 */
#include "outline/outline.h"
#include "scenario/scenario.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Allocations that succeed before one fails; negative: none fails. */
static long left = -1;

static int fails(void) {
    if (left < 0)
        return 0;
    return left-- == 0;
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return fails() ? NULL : __real_malloc(size);
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return fails() ? NULL : __real_calloc(n, size);
}

void *__real_realloc(void *old, size_t size);
void *__wrap_realloc(void *old, size_t size) {
    return fails() ? NULL : __real_realloc(old, size);
}

char *__real_strdup(const char *text);
char *__wrap_strdup(const char *text) {
    return fails() ? NULL : __real_strdup(text);
}

/* Reads a file while allocation k fails, for every k; expects `expected` once none fails. */
static void fail_each_allocation(const char *name, int expected) {
    char path[512];
    snprintf(path, sizeof path, WG_SOURCE_DIR "/%s", name);
    for (long k = 0; k < 5000; k++) {
        struct wg_scenario scenario;
        struct wg_mistakes problems;
        struct wg_error err = {0};
        left = k;
        const int code = wg_scenario_read(&scenario, path, &problems, &err);
        const long unused = left;
        left = -1;
        wg_scenario_free(&scenario);
        wg_mistakes_free(&problems);
        if (unused >= 0) {
            cr_expect_eq(code, expected);
            cr_expect_gt(k, 10, "allocations were not counted");
            return;
        }
        cr_assert_eq(code, WG_ERR_MEMORY, "%s: allocation %ld fails and gives %d", name, k, code);
        cr_assert_neq(err.text[0], '\0');
    }
    cr_assert_fail("the reader never succeeds");
}

Test(scenario_faults, good_file) {
    fail_each_allocation("scenarios/hoop-house-two-bins.yaml", 0);
}

Test(scenario_faults, file_with_a_record) {
    fail_each_allocation("scenarios/seattle-record.yaml", 0);
}

Test(scenario_faults, broken_file) {
    fail_each_allocation("tests/data/broken/026-unknown-keys.yaml", WG_ERR_INPUT);
}

Test(scenario_faults, description) {
    struct wg_scenario scenario;
    struct wg_mistakes problems;
    struct wg_error err = {0};
    cr_assert_eq(wg_scenario_read(&scenario, WG_SOURCE_DIR "/scenarios/smallest.yaml", &problems, &err), 0);
    for (long k = 0; k < 5; k++) { /* libc allocates the text, which may succeed although ours fails */
        left = k;
        char *const text = wg_outline(&scenario);
        left = k;
        char *const keys = wg_outline_keys(&scenario);
        left = -1;
        free(text);
        free(keys);
    }
    wg_scenario_free(&scenario);
    wg_mistakes_free(&problems);
}
