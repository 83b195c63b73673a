/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes each allocation of a search fail in turn: it returns the error for memory and never crashes; sanitizers find leaks.
 */
#include "search/plan_lives.h"
#include "support/plans.h"

#include <criterion/criterion.h>
#include <gsl/gsl_qrng.h>
#include <stdlib.h>

/* Counts calls while armed; number `fail_at` (from 1) fails. 0: none does. */
static int armed, calls, fail_at;

static int fails(void) {
    return armed && ++calls == fail_at;
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return fails() ? NULL : __real_malloc(size);
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return fails() ? NULL : __real_calloc(n, size);
}

void *__real_realloc(void *block, size_t size);
void *__wrap_realloc(void *block, size_t size) {
    return fails() ? NULL : __real_realloc(block, size);
}

gsl_rng *__real_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type) {
    return fails() ? NULL : __real_gsl_rng_alloc(type);
}

gsl_qrng *__real_gsl_qrng_alloc(const gsl_qrng_type *type, unsigned d);
gsl_qrng *__wrap_gsl_qrng_alloc(const gsl_qrng_type *type, unsigned d) {
    return fails() ? NULL : __real_gsl_qrng_alloc(type, d);
}

/* ---- a search that costs nothing ---- */

static int check_any(void *self, const int *level, struct wg_search_key *key, struct wg_error *err) {
    (void)self;
    (void)level;
    (void)err;
    *key = (struct wg_search_key){{0, 0}};
    return 0;
}

static int live_any(void *self, const struct wg_search_life *life, int n, struct wg_error *err) {
    (void)self;
    (void)err;
    for (int i = 0; i < n; i++)
        for (int64_t k = 0; k < life[i].n; k++) {
            const int warm = life[i].level[0], other = life[i].level[1];
            life[i].year[k] = (struct wg_search_year){
                .met = warm > 1 ? 3 : 1, .is_alive = true, .money = 10 + warm + 2 * other, .harvest_kg = 1 + other};
        }
    return 0;
}

static int search_any(int levels, int most_plans) {
    const struct wg_search_number number[] = {{levels, 0, true}, {levels, 0, true}};
    struct wg_search_question q;
    struct wg_search_answer answer;
    struct wg_error err = {0};
    wg_search_defaults(&q);
    q.n_numbers = 2;
    q.number = number;
    q.n_goals = 2;
    q.chance[0] = q.chance[1] = 0.8;
    q.n_variants = 1;
    q.check = check_any;
    q.live = live_any;
    q.most_plans = most_plans;
    q.most_years = q.fresh = q.fresh_line = q.most_fresh = q.single_years = q.variant_years = 16;
    q.race_years = 200;
    const int code = wg_search_run(&q, &answer, &err);
    cr_expect(code == 0 ? answer.winner >= 0 : err.code == code);
    wg_search_free(&answer);
    return code;
}

/* Lets every `step`-th allocation fail until one search needs fewer. */
static void fail_each(int levels, int most_plans, int step) {
    int code;
    fail_at = 1;
    do {
        calls = 0;
        armed = 1;
        code = search_any(levels, most_plans);
        armed = 0;
        cr_expect_eq(code, calls >= fail_at ? WG_ERR_MEMORY : 0, "allocation %d: %d", fail_at, code);
        fail_at += step;
    } while (code != 0);
    cr_expect_geq(calls, 100);
}

Test(search_faults, of_all_plans) {
    fail_each(3, 1000, 1);
}

Test(search_faults, of_a_race) {
    fail_each(40, 10, 53);
}
