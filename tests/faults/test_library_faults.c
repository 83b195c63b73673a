/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes every allocation of the public functions fail once: they return the code for missing memory and a sentence, set
 * an object that they could not make to NULL, and free all that they allocated.
 */
#include <wintergrub/wintergrub.h>

#include <criterion/criterion.h>
#include <gsl/gsl_rng.h>
#include <locale.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

TestSuite(library_faults, .timeout = 600);

/* ---- allocations: which exist, which fails ---- */

static atomic_int calls, fail_at, counting; /* number `fail_at` (from 1) fails */

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static void *blocks[65536];
static int n_allocated;

static int fails(void) {
    return atomic_load(&counting) && atomic_fetch_add(&calls, 1) + 1 == atomic_load(&fail_at);
}

static void *note_block(void *block) {
    if (block == NULL || !atomic_load(&counting))
        return block;
    pthread_mutex_lock(&lock);
    cr_assert_lt(n_allocated, 65536);
    blocks[n_allocated++] = block;
    pthread_mutex_unlock(&lock);
    return block;
}

static void forget_block(const void *block) {
    pthread_mutex_lock(&lock);
    for (int i = n_allocated - 1; i >= 0; i--)
        if (blocks[i] == block) {
            blocks[i] = blocks[--n_allocated];
            break;
        }
    pthread_mutex_unlock(&lock);
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return fails() ? NULL : note_block(__real_malloc(size));
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return fails() ? NULL : note_block(__real_calloc(n, size));
}

void __real_free(void *block);
void *__real_realloc(void *old, size_t size);
void *__wrap_realloc(void *old, size_t size) {
    if (fails())
        return NULL;
    if (old != NULL)
        forget_block(old);
    return note_block(__real_realloc(old, size));
}

char *__real_strdup(const char *text);
char *__wrap_strdup(const char *text) {
    return fails() ? NULL : note_block(__real_strdup(text));
}

char *__real_strndup(const char *text, size_t size);
char *__wrap_strndup(const char *text, size_t size) {
    return fails() ? NULL : note_block(__real_strndup(text, size));
}

void __wrap_free(void *block);
void __wrap_free(void *block) {
    if (block != NULL)
        forget_block(block);
    __real_free(block);
}

gsl_rng *__real_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type) {
    return fails() ? NULL : __real_gsl_rng_alloc(type);
}

locale_t __real_newlocale(int mask, const char *name, locale_t base);
locale_t __wrap_newlocale(int mask, const char *name, locale_t base);
locale_t __wrap_newlocale(int mask, const char *name, locale_t base) {
    return fails() ? (locale_t)0 : __real_newlocale(mask, name, base);
}

/* ---- uses of the library ---- */

static const char text[] = "period: {from: 2026-01-01, to: 2026-01-03}\n"
                           "climate: {constant: 27 degC}\n"
                           "places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]\n"
                           "starter: [{on: 2026-01-01, in: tray, stage: larva, age: 5 days, count: 500}]\n"
                           "feeding: unlimited\n"
                           "forecast: {replicates: 2}\n"
                           "goal: {survive: yes, by: 2026-01-03}\n";

static char folder[64], path[96];

/*
 * The plan for use_ensemble(), whose file use_result() reads. The first failure ends each use, which frees all that it
 * made.
 */
static wintergrub_plan *given;

static int use_replicate(struct wintergrub_error *error) {
    wintergrub_plan *plan;
    wintergrub_world *world = NULL;
    wintergrub_replicate *replicate = NULL;
    int code = wintergrub_plan_from_text(&plan, text, NULL, NULL, error);
    cr_assert_eq(code == 0, plan != NULL);
    if (code == 0)
        code = wintergrub_world_new(&world, plan, error);
    cr_assert_eq(code == 0, world != NULL);
    if (code == 0)
        code = wintergrub_replicate_new(&replicate, world, error);
    cr_assert_eq(code == 0, replicate != NULL);
    if (code == 0)
        code = wintergrub_replicate_run(replicate, 0, error);
    wintergrub_replicate_free(replicate);
    wintergrub_world_free(world);
    wintergrub_plan_free(plan);
    return code;
}

static int use_ensemble(struct wintergrub_error *error) {
    wintergrub_ensemble *ensemble;
    struct wintergrub_spread spread;
    int code = wintergrub_ensemble_new(&ensemble, given, error);
    cr_assert_eq(code == 0, ensemble != NULL);
    if (code == 0)
        code = wintergrub_ensemble_write(ensemble, path, 1, "a note", error);
    if (code == 0) {
        wintergrub_ensemble_set_threads(ensemble, 1);
        code = wintergrub_ensemble_run(ensemble, error);
        cr_assert_eq(code == 0, wintergrub_ensemble_summary(ensemble) != NULL);
    }
    if (code == 0)
        code = wintergrub_summary_spread(wintergrub_ensemble_summary(ensemble), "peak_larvae", &spread, error);
    if (code == 0) {
        const wintergrub_summary *const summary = wintergrub_ensemble_summary(ensemble);
        struct wintergrub_difference difference;
        code = wintergrub_summary_difference(summary, summary, "survived", &difference, error);
    }
    wintergrub_ensemble_free(ensemble);
    return code;
}

static int use_result(struct wintergrub_error *error) {
    wintergrub_result *result;
    wintergrub_plan *plan = NULL;
    double values[2];
    char what[256];
    int code = wintergrub_result_open(&result, path, error);
    cr_assert_eq(code == 0, result != NULL);
    if (code == 0)
        code = wintergrub_result_outcome(result, "peak_larvae", values, 2, error);
    if (code == 0)
        code = wintergrub_result_plan(result, &plan, error);
    cr_assert_eq(code == 0, plan != NULL);
    if (code == 0)
        code = wintergrub_result_compare(path, path, what, sizeof what, error);
    wintergrub_result_free(result);
    wintergrub_plan_free(plan);
    return code;
}

static int use_builders(struct wintergrub_error *error) {
    static const double high[12] = {14, 16, 20, 25, 28, 32, 33, 33, 30, 25, 20, 15}, low[12] = {2};
    wintergrub_plan *plan;
    int code = wintergrub_plan_laboratory(&plan, "2026-01-01", "2026-01-03", 27, 500, 0, error);
    wintergrub_plan_free(plan);
    if (code == 0) {
        code = wintergrub_plan_outdoors(&plan, "2026-01-01", "2026-01-03", 32.4, high, low, 500, 2, error);
        wintergrub_plan_free(plan);
    }
    return code;
}

static int use_vary(struct wintergrub_error *error) {
    wintergrub_plan *varied;
    const int code = wintergrub_plan_vary(&varied, given, "starter.1.count", "600", error);
    cr_assert_eq(code == 0, varied != NULL);
    wintergrub_plan_free(varied);
    return code;
}

/* Reads a plan with mistakes: gets their list, or the error for memory. */
static int use_mistakes(struct wintergrub_error *error) {
    wintergrub_plan *plan;
    wintergrub_mistakes *mistakes;
    const int code =
        wintergrub_plan_read(&plan, WG_SOURCE_DIR "/tests/data/broken/026-unknown-keys.yaml", &mistakes, error);
    cr_assert_null(plan);
    cr_assert_eq(code == WINTERGRUB_ERR_INPUT, mistakes != NULL);
    wintergrub_mistakes_free(mistakes);
    return code == WINTERGRUB_ERR_INPUT ? 0 : code;
}

/*
 * Fails call 1, 2, 3, ... until the use makes fewer calls; beyond the first hundred with growing gaps, unless FAULTS_EVERY=1
 * is in the environment (scripts/verify every_fault). Returns the number of the last call.
 */
static int fail_everywhere(int (*use)(struct wintergrub_error *error)) {
    const char *const wish = getenv("FAULTS_EVERY");
    const bool is_every = wish != NULL && strcmp(wish, "1") == 0;
    for (int at = 1;; at += 1 + (at > 100 && !is_every ? at / 50 : 0)) {
        struct wintergrub_error error = {.text = ""};
        atomic_store(&calls, 0);
        atomic_store(&fail_at, at);
        n_allocated = 0;
        atomic_store(&counting, 1);
        const int code = use(&error);
        atomic_store(&counting, 0);
        cr_assert_eq(n_allocated, 0, "after failure %d, %d blocks are left", at, n_allocated);
        if (atomic_load(&calls) < at) {
            cr_assert_eq(code, 0, "%s", error.text);
            return at - 1;
        }
        cr_assert_eq(code, WINTERGRUB_ERR_MEMORY, "failure %d gave %d: %s", at, code, error.text);
        cr_assert_eq(error.code, WINTERGRUB_ERR_MEMORY);
        cr_assert_neq(error.text[0], '\0', "failure %d has no sentence", at);
    }
}

Test(library_faults, replicate) {
    cr_assert_gt(fail_everywhere(use_replicate), 100, "the test reaches the allocations");
}

Test(library_faults, ensemble_and_result) {
    struct wintergrub_error error;
    snprintf(folder, sizeof folder, "/tmp/wintergrub-faults-XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.h5", folder);
    cr_assert_eq(wintergrub_plan_from_text(&given, text, NULL, NULL, &error), 0);
    cr_assert_gt(fail_everywhere(use_vary), 100);
    cr_assert_gt(fail_everywhere(use_ensemble), 100);
    cr_assert_gt(fail_everywhere(use_result), 50);
    wintergrub_plan_free(given);
    cr_assert_eq(unlink(path), 0);
    cr_assert_eq(rmdir(folder), 0, "no temporary file is left");
}

Test(library_faults, builders) {
    cr_assert_gt(fail_everywhere(use_builders), 50);
}

Test(library_faults, mistakes) {
    cr_assert_gt(fail_everywhere(use_mistakes), 10);
}

/* Without memory the description is NULL. */
Test(library_faults, description) {
    struct wintergrub_error error;
    wintergrub_plan *plan;
    cr_assert_eq(wintergrub_plan_from_text(&plan, text, NULL, NULL, &error), 0);
    int failures = 0;
    for (char *shown = NULL; shown == NULL; failures++) {
        atomic_store(&calls, 0);
        atomic_store(&fail_at, failures + 1);
        atomic_store(&counting, 1);
        shown = wintergrub_plan_describe(plan);
        atomic_store(&counting, 0);
        free(shown);
    }
    cr_assert_gt(failures, 1);
    wintergrub_plan_free(plan);
}
