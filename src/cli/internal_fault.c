/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Ends the program after an internal fault: prints one sentence, removes unfinished results, exits with status 5.
 *
 * The state may be corrupt, and any thread may be the one that fails, even inside a signal handler. So this file calls
 * only what POSIX.1-2017 declares async-signal-safe, allocates nothing, and lets only the first thread report.
 */
#include "cli/internal_fault.h"

#include "base/error.h"
#include "cli/progress.h"

#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <unistd.h>

#define LINE_SIZE 640
#define PATH_SIZE 4096
#define MAX_FILES 256 /* file descriptors examined: a run has about ten (judgement) */

/* Set by the first thread that reports. Global, because a signal handler gets no argument. */
static atomic_flag is_reporting = ATOMIC_FLAG_INIT;
static _Atomic(const struct wg_cleanup_paths *) cleanup_paths; /* NULL: none */

void wg_fault_set_cleanup(const struct wg_cleanup_paths *paths) {
    atomic_store(&cleanup_paths, paths);
}

/* ---- the line ---- */

struct fault_line {
    size_t n;
    char text[LINE_SIZE];
};

static void append_text(struct fault_line *line, const char *text) {
    for (; *text != '\0' && line->n + 2 < sizeof line->text; text++)
        line->text[line->n++] = *text == '\n' ? ' ' : *text;
}

static void add_number(struct fault_line *line, long number) {
    char digits[24];
    size_t at = sizeof digits - 1;
    digits[at] = '\0';
    for (; at > 0 && (number > 0 || digits[at] == '\0'); number /= 10)
        digits[--at] = (char)('0' + number % 10);
    append_text(line, &digits[at]);
}

static void write_fault_line(struct fault_line *line) {
    line->text[line->n++] = '\n';
    for (size_t done = 0; done < line->n;) {
        const ssize_t n = write(STDERR_FILENO, line->text + done, line->n - done);
        if (n <= 0)
            return;
        done += (size_t)n;
    }
}

/* ---- unfinished files ---- */

/*
 * An unfinished result stays open while it has its hidden name (storage/atomic_file.c), so the list of open files leads
 * to it. Without /proc, the next command for the same result removes it.
 */

static bool ends_with(const char *text, const char *end) {
    const size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
}

/* True for a hidden name ".NAME.PID.N.part" with the number of this process. */
static bool is_own_part_file(const char *path) {
    struct fault_line mark = {.n = 0};
    append_text(&mark, ".");
    add_number(&mark, (long)getpid());
    append_text(&mark, ".");
    mark.text[mark.n] = '\0';
    const char *const slash = strrchr(path, '/');
    return slash != NULL && slash[1] == '.' && ends_with(path, ".part") && strstr(slash, mark.text) != NULL;
}

static void remove_unfinished(void) {
    char path[PATH_SIZE];
    for (int fd = STDERR_FILENO + 1; fd < MAX_FILES; fd++) {
        struct fault_line link = {.n = 0};
        append_text(&link, "/proc/self/fd/");
        add_number(&link, fd);
        link.text[link.n] = '\0';
        const ssize_t n = readlink(link.text, path, sizeof path - 1);
        if (n <= 0)
            continue;
        path[n] = '\0';
        if (is_own_part_file(path))
            (void)unlink(path);
    }
    const struct wg_cleanup_paths *const paths = atomic_load(&cleanup_paths);
    if (paths != NULL) {
        (void)unlink(paths->file);
        (void)rmdir(paths->folder);
    }
}

/* ---- the end ---- */

static _Noreturn void end_process(struct fault_line *line) {
    if (!atomic_flag_test_and_set(&is_reporting)) {
        remove_unfinished();
        wg_progress_clear();
        write_fault_line(line);
    } else {
        (void)sleep(2); /* another thread reports and ends the process; if it fails to, this one does */
    }
    _exit(wg_error_exit_status(WG_ERR_INTERNAL));
}

_Noreturn void wg_assert_failed(const char *condition, const char *file, int line) {
    struct fault_line message = {.n = 0};
    const char *const slash = strrchr(file, '/'); /* do not show where it was compiled */
    append_text(&message, "wintergrub: internal fault: \"");
    append_text(&message, condition);
    append_text(&message, "\" does not hold (");
    append_text(&message, slash == NULL ? file : slash + 1);
    append_text(&message, ", line ");
    add_number(&message, line);
    append_text(&message, "); please report it with the scenario.");
    end_process(&message);
}

static const char *describe_signal(int number) {
    switch (number) {
    case SIGSEGV:
        return "invalid memory access";
    case SIGBUS:
        return "access beyond the end of memory or a file";
    case SIGFPE:
        return "integer division by zero";
    case SIGILL:
        return "illegal instruction";
    default:
        return "a library called abort()";
    }
}

static void on_fatal_signal(int number) {
    struct fault_line message = {.n = 0};
    append_text(&message, "wintergrub: internal fault: ");
    append_text(&message, describe_signal(number));
    append_text(&message, " (signal ");
    add_number(&message, number);
    append_text(&message, "); please report it with the scenario.");
    end_process(&message);
}

void wg_fault_install(void) {
    static const int numbers[] = {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT};
    struct sigaction before, action = {.sa_handler = on_fatal_signal};
    (void)sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (sigaction(numbers[i], NULL, &before) == 0 && before.sa_handler == SIG_DFL)
            (void)sigaction(numbers[i], &action, NULL);
}
