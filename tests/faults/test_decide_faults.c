/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes each allocation of size, sensitivity and fit fail in turn: they return the error for memory and never crash;
 * sanitizers find leaks. Makes each system call and allocation fail while their files are written: the old file stays
 * intact and no temporary file remains.
 */
#include "colony/goal_met.h"
#include "data/size_sentences.h"
#include "forecast/lattice.h"
#include "results/answer_file.h"
#include "results/hand_made.h"
#include "support/known_log.h"
#include "support/plans.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>

TestSuite(decide_faults, .timeout = 280);

/* Counts calls; number `fail_at` (from 1) fails. 0: none does. */
static atomic_int calls, fail_at, armed_memory, armed_pwrite, armed_fsync, armed_close, armed_rename, armed_threads;

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

char *__real_strdup(const char *text);
char *__wrap_strdup(const char *text) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_strdup(text);
}

gsl_rng *__real_gsl_rng_alloc(const gsl_rng_type *type);
gsl_rng *__wrap_gsl_rng_alloc(const gsl_rng_type *type) {
    return atomic_load(&armed_memory) && fails() ? NULL : __real_gsl_rng_alloc(type);
}

ssize_t __real_pwrite(int fd, const void *bytes, size_t size, off_t at);
ssize_t __wrap_pwrite(int fd, const void *bytes, size_t size, off_t at) {
    if (atomic_load(&armed_pwrite) && fails()) {
        errno = ENOSPC;
        return -1;
    }
    return __real_pwrite(fd, bytes, size, at);
}

int __real_fsync(int fd);
int __wrap_fsync(int fd) {
    if (atomic_load(&armed_fsync) && fails()) {
        errno = EIO;
        return -1;
    }
    return __real_fsync(fd);
}

int __real_close(int fd);
int __wrap_close(int fd) {
    const int closed = __real_close(fd);
    if (atomic_load(&armed_close) && fails()) {
        errno = EDQUOT;
        return -1;
    }
    return closed;
}

int __real_rename(const char *from, const char *to);
int __wrap_rename(const char *from, const char *to) {
    if (atomic_load(&armed_rename) && fails()) {
        errno = EROFS;
        return -1;
    }
    return __real_rename(from, to);
}

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument) {
    return atomic_load(&armed_threads) && fails() ? EAGAIN : __real_pthread_create(thread, attributes, start, argument);
}

/* ---- the three studies ---- */

static struct wg_plan plan;

static void small_plan(void) {
    plan_laboratory(&plan, 30, 5);
    plan_start(&plan, 0, WG_MOVABLE_LARVAE, 14, 20);
    plan.n_goals = 1;
    plan.goal[0] = (struct wg_goal){.kind = WG_GOAL_SURVIVE, .by = plan.last_day, .weeks = 1, .chance = 0.9};
}

static int note_survival(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    uint8_t *const *const met = self;
    (void)err;
    (*met)[replicate % WG_SIZE_ROW] = (uint8_t)wg_goal_met(&plan.goal[0], diary);
    return 0;
}

static int simulate_met(void *self, double value, int64_t first, int64_t n, uint8_t *met, struct wg_error *err) {
    (void)self;
    plan.actions[0].as.start.count = (int64_t)value;
    const struct wg_observer observer = {.on_replicate = note_survival, .self = &met};
    const struct wg_ensemble_options options = {.first = first, .count = n, .threads = 1};
    return wg_ensemble_run(&plan, &options, &observer, 1, err);
}

static struct wg_cell cell_of_two_animals(const void *self, int64_t replicate) {
    (void)self;
    return (struct wg_cell){.animal = (int)(replicate % 2), .winter = replicate / 2};
}

static const struct wg_size_question question = {.trial = simulate_met,
                                                 .cell = cell_of_two_animals,
                                                 .n_goals = 1,
                                                 .wanted = {0.9},
                                                 .low = 1,
                                                 .high = 40,
                                                 .geometric = true,
                                                 .step = 1,
                                                 .within_share = 0.5,
                                                 .within = 2,
                                                 .confidence = 0.9,
                                                 .grid = 3,
                                                 .most = 450};
static struct wg_size found;
static struct wg_sensitivity sensitivity;

static int size(struct wg_error *err) {
    return wg_size_search(&question, &found, err);
}

static int what_matters(struct wg_error *err) {
    const struct wg_sensitivity_options options = {
        .outcome = WG_SENSITIVITY_CRAWL_OFF, .replicates = WG_LATTICE_BLOCK, .threads = 1};
    return wg_sensitivity_run(&plan, &options, &sensitivity, err);
}

static struct wg_log_entry entries[2];

static int fit(struct wg_error *err) {
    struct wg_fit fitted = {0};
    const struct wg_fit_options options = {.draws = 64, .per_draw = 2, .passes = 1, .threads = 1};
    const int code = wg_fit_run(&fitted, &plan, entries, 2, &options, err);
    wg_fit_free(&fitted);
    return code;
}

/* Fails calls 1, 2, 3, ..., after thirty with growing gaps, until none fails; returns the number of failures. */
static int fail_everywhere(int (*study)(struct wg_error *err), int code) {
    int failures = 0;
    for (int at = 1;; at += 1 + (at > 30 ? at / 2 : 0), failures++) {
        struct wg_error err = {0};
        atomic_store(&calls, 0);
        atomic_store(&fail_at, at);
        atomic_store(&armed_memory, 1);
        const int got = study(&err);
        atomic_store(&armed_memory, 0);
        if (atomic_load(&calls) < at) {
            cr_assert_eq(got, 0, "%s", err.text);
            return failures;
        }
        cr_assert_eq(got, code, "call %d gave %d: %s", at, got, err.text);
        cr_assert_eq(err.code, code);
        cr_assert_neq(err.text[0], '\0', "call %d has no text", at);
    }
}

static void make_entries(void) {
    entries[0] = (struct wg_log_entry){.kind = WG_LOG_ADULTS, .day = plan.first_day + 2, .since = plan.first_day};
    entries[1] = (struct wg_log_entry){
        .kind = WG_LOG_BIN_TEMPERATURE, .day = plan.first_day + 4, .since = plan.first_day, .bin = 0, .value = 27};
}

Test(decide_faults, memory_in_size) {
    small_plan();
    const int failures = fail_everywhere(size, WG_ERR_MEMORY);
    cr_assert_gt(failures, 35, "the test reaches the allocations: %d", failures);
    wg_plan_free(&plan);
}

Test(decide_faults, memory_in_what_matters) {
    small_plan();
    const int failures = fail_everywhere(what_matters, WG_ERR_MEMORY);
    cr_assert_gt(failures, 35, "the test reaches the allocations: %d", failures);
    cr_assert_gt(sensitivity.before.sd, 0, "and all parts of the study");
    wg_plan_free(&plan);
}

Test(decide_faults, memory_in_fit) {
    small_plan();
    make_entries();
    const int failures = fail_everywhere(fit, WG_ERR_MEMORY);
    cr_assert_gt(failures, 35, "the test reaches the allocations: %d", failures);
    wg_plan_free(&plan);
}

/* If no thread starts, the calling thread does all the work. */
Test(decide_faults, threads_that_do_not_start_change_no_number) {
    struct wg_fit alone, helped;
    const struct wg_fit_options options = {.draws = 64, .per_draw = 2, .passes = 1, .threads = 3};
    small_plan();
    make_entries();
    cr_assert_eq(wg_fit_run(&helped, &plan, entries, 2, &options, NULL), 0);
    atomic_store(&armed_threads, 1);
    atomic_store(&calls, 0);
    atomic_store(&fail_at, 1);
    cr_assert_eq(wg_fit_run(&alone, &plan, entries, 2, &options, NULL), 0);
    atomic_store(&armed_threads, 0);
    cr_expect_gt(atomic_load(&calls), 0);
    cr_expect_eq(alone.agree, helped.agree);
    cr_expect_eq(memcmp(alone.misfit, helped.misfit, 2 * sizeof *alone.misfit), 0);
    cr_expect_eq(memcmp(alone.learnt_before, helped.learnt_before,
                        WG_N_LEARNT * (size_t)alone.drawn * sizeof *alone.learnt_before),
                 0);
    wg_fit_free(&alone);
    wg_fit_free(&helped);
    wg_plan_free(&plan);
}

/* ---- their files ---- */

static struct case_ {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct wg_vary vary;
    struct wg_fit fit;
    struct wg_keeper_log log;
    struct wg_answer answer;
} it;

static const char old[] = "an older answer";

static void begin(enum wg_answer_kind kind) {
    memset(&it, 0, sizeof it);
    small_plan();
    make_entries();
    hand_made_scenario(&it.scenario);
    it.scenario.plan.n_goals = 1;
    it.scenario.plan.goal[0] = plan.goal[0];
    fresh_folder(it.folder);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", it.folder);
    it.vary = (struct wg_vary){.path = "starter.1.count", .value = 20, .step = 1};
    it.log = (struct wg_keeper_log){.note = entries, .n = 2};
    if (kind == WG_ANSWER_SIZE)
        cr_assert_eq(size(NULL), 0);
    if (kind == WG_ANSWER_SENSITIVITY)
        cr_assert_eq(what_matters(NULL), 0);
    const struct wg_fit_options options = {.draws = 64, .per_draw = 2, .passes = 1, .threads = 1};
    if (kind == WG_ANSWER_FIT)
        cr_assert_eq(wg_fit_run(&it.fit, &plan, entries, 2, &options, NULL), 0);
    it.answer = (struct wg_answer){
        .kind = kind, .scenario = &it.scenario, .provenance = &hand_made_provenance, .text = "an answer"};
    if (kind == WG_ANSWER_SIZE)
        it.answer.as.size = (struct wg_size_answer){&it.vary, &question, &found};
    else if (kind == WG_ANSWER_SENSITIVITY)
        it.answer.as.sensitivity = &sensitivity;
    else
        it.answer.as.fit = (struct wg_fit_answer){&it.fit, &it.log, "log.csv"};
}

static void end(void) {
    clear_folder(it.folder);
    wg_fit_free(&it.fit);
    hand_made_scenario_free(&it.scenario);
    wg_plan_free(&plan);
}

static int write_it(struct wg_error *err) {
    struct wg_answer_file *file;
    const int code = wg_answer_file_create(&file, it.path, 1, err);
    return code < 0 ? code : wg_answer_file_close(file, &it.answer, err);
}

static int read_it(struct wg_error *err) {
    struct wg_answer_data data = {0};
    struct wg_answer_size answer;
    struct wg_stored_file stored;
    int code = wg_stored_open(&stored, it.path, err);
    if (code == 0)
        code = wg_answer_data_take(&data, &stored, err);
    else
        wg_stored_free(&stored);
    if (code == 0 && it.answer.kind == WG_ANSWER_SIZE)
        code = wg_answer_data_size(&data, &answer, err);
    if (code == 0 && it.answer.kind == WG_ANSWER_SENSITIVITY)
        code = wg_answer_data_sensitivity(&data, &sensitivity, err);
    wg_answer_data_free(&data);
    return code;
}

/* Fails call 1, 2, 3, ..., after the first sixty with growing gaps, up to `last` (0: no limit). */
static void fail_writing(atomic_int *armed, int code, int last) {
    for (int at = 1; last == 0 || at <= last; at += 1 + (at > 60 ? at / 8 : 0)) {
        struct wg_error err = {0};
        size_t n;
        put_bytes(it.path, old, sizeof old);
        atomic_store(&calls, 0);
        atomic_store(&fail_at, at);
        atomic_store(armed, 1);
        const int got = write_it(&err);
        atomic_store(armed, 0);
        if (atomic_load(&calls) < at) {
            cr_assert_eq(got, 0, "%s", err.text);
            return;
        }
        cr_assert_eq(got, code, "call %d gave %d: %s", at, got, err.text);
        cr_assert_null(strchr(err.text, '\n'));
        char *const bytes = bytes_of(it.path, &n);
        const bool is_renamed = strstr(err.text, "did not confirm") != NULL; /* fsync of the folder, after the rename */
        cr_assert(is_renamed || (n == sizeof old && memcmp(bytes, old, n) == 0), "the old file changed after call %d",
                  at);
        free(bytes);
        cr_assert_eq(entries_of(it.folder), 1, "temporary file left after call %d", at);
    }
}

static void all_faults(enum wg_answer_kind kind) {
    begin(kind);
    fail_writing(&armed_memory, WG_ERR_MEMORY, 0);
    fail_writing(&armed_pwrite, WG_ERR_FILE, 0);
    fail_writing(&armed_fsync, WG_ERR_FILE, 0);
    fail_writing(&armed_close, WG_ERR_FILE, 1); /* the file; closing the folder comes after the data are on the disk */
    fail_writing(&armed_rename, WG_ERR_FILE, 0);
    cr_assert_gt(fail_everywhere(read_it, WG_ERR_MEMORY), 10);
    end();
}

Test(decide_faults, file_of_size) {
    all_faults(WG_ANSWER_SIZE);
}

Test(decide_faults, file_of_what_matters) {
    all_faults(WG_ANSWER_SENSITIVITY);
}

Test(decide_faults, file_of_fit) {
    all_faults(WG_ANSWER_FIT);
}
