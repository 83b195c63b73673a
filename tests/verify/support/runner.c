/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * A replacement for Criterion's library: mutants.py runs the same tests thousands of times.
 *
 * Criterion starts a process for each test (about 60 ms); this forks (1 ms). Linked in place of its library it runs every
 * test that the linker collected, each in a child, and exits with 1 at the first failure. It supports the features that
 * tests of the model use: fixtures, expected signals and exit codes. No parameters, timeouts or reports.
 */
#include <criterion/criterion.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

extern struct criterion_test *__start_cr_tst[], *__stop_cr_tst[];
extern struct criterion_suite *__start_cr_sts[] __attribute__((weak)), *__stop_cr_sts[] __attribute__((weak));

/* Symbols that Criterion's macros need. */
struct criterion_options criterion_options;

static const struct criterion_test *test;
static const struct criterion_suite *suite;

void criterion_internal_test_setup(void) {
    if (suite != NULL && suite->data->init != NULL)
        suite->data->init();
    if (test->data->init != NULL)
        test->data->init();
}

void criterion_internal_test_main(void (*fn)(void)) {
    fn();
}

void criterion_internal_test_teardown(void) {
    if (test->data->fini != NULL)
        test->data->fini();
    if (suite != NULL && suite->data->fini != NULL)
        suite->data->fini();
}

enum { FAILED = 97 };

void criterion_send_assert(struct criterion_assert_stats *stats) {
    if (stats->passed)
        return;
    (void)fprintf(stderr, "%s:%u: %s/%s\n", stats->file, stats->line, test->category, test->name);
    _exit(FAILED);
}

void criterion_abort_test(void) {
    _exit(FAILED);
}

void criterion_continue_test(void) {
    _exit(FAILED);
}

void cri_asserts_passed_incr(void) {}

int cr_asprintf(char **text, const char *format, ...) {
    (void)format;
    *text = calloc(1, 8);
    return 0;
}

void cr_asprintf_free(char *text) {
    free(text);
}

char *cr_translate_assert_msg(int index, ...) {
    (void)index;
    return calloc(1, 8);
}

void cr_log(enum criterion_severity level, const char *format, ...) {
    (void)level;
    (void)format;
}

static const struct criterion_suite *suite_named(const char *name) {
    for (struct criterion_suite **s = __start_cr_sts; s < __stop_cr_sts; s++)
        if (*s != NULL && (*s)->data != NULL && strcmp((*s)->name, name) == 0)
            return *s;
    return NULL;
}

static bool passes(void) {
    const pid_t child = fork();
    if (child < 0)
        return false;
    if (child == 0) {
        test->test();
        exit(0);
    }
    int status;
    if (waitpid(child, &status, 0) != child)
        return false;
    const int signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 0;
    return signal == test->data->signal && (signal != 0 || code == test->data->exit_code);
}

int main(void) {
    int tests = 0;
    for (struct criterion_test **t = __start_cr_tst; t < __stop_cr_tst; t++) {
        if (*t == NULL || (*t)->data->disabled)
            continue;
        test = *t;
        suite = suite_named(test->category);
        tests++;
        if (!passes()) {
            (void)fprintf(stderr, "%s/%s failed\n", test->category, test->name);
            return 1;
        }
    }
    return tests > 0 ? 0 : 1;
}
