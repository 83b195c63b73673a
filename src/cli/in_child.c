/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Does work in a child process that may crash, and reports how it ended.
 */
#include "cli/in_child.h"

#include "storage/stored_file.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif

/*
 * A crash of the library is expected in the child: it must not reach the handlers of this program, nor its message, such as
 * "free(): invalid pointer", the terminal. The child ends with its parent and by the same signals.
 */
static void become_child(void) {
    static const int signals[] = {SIGSEGV, SIGBUS, SIGABRT, SIGFPE, SIGILL, SIGINT, SIGTERM, SIGHUP};
    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++)
        (void)signal(signals[i], SIG_DFL);
#ifdef __linux__
    (void)prctl(PR_SET_PDEATHSIG, SIGKILL);
#endif
    const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nowhere >= 0)
        (void)dup2(nowhere, STDERR_FILENO);
}

/* Judgement: an intact file takes less than a tenth of a second for each megabyte, and some seconds under valgrind. */
#define LIMIT_S 6
#define LIMIT_S_PER_MB 2

/* A damaged file can make the library search for ever; a crash leaves no image of the memory on the disk. */
static void limit_child(const char *path) {
    struct stat about;
    const off_t size = stat(path, &about) == 0 ? about.st_size : 0;
    const rlim_t seconds = LIMIT_S + LIMIT_S_PER_MB * (rlim_t)(size / 1000000);
    (void)setrlimit(RLIMIT_CPU, &(struct rlimit){.rlim_cur = seconds, .rlim_max = seconds});
    (void)setrlimit(RLIMIT_CORE, &(struct rlimit){.rlim_cur = 0, .rlim_max = 0});
}

static bool write_report(int fd, const void *bytes, size_t size) {
    for (size_t done = 0; done < size;) {
        const ssize_t n = write(fd, (const char *)bytes + done, size - done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        done += (size_t)n;
    }
    return true;
}

static bool read_report(int fd, void *bytes, size_t size) {
    for (size_t done = 0; done < size;) {
        const ssize_t n = read(fd, (char *)bytes + done, size - done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        done += (size_t)n;
    }
    return true;
}

static int fail_to_fork(const char *path, struct wg_error *err) {
    return wg_fail(err, WG_ERR_INTERNAL, path, "No process can be started to read this file: %s.", strerror(errno));
}

/* Words the end of a child that reported nothing. */
static int explain_end(int status, const char *path, struct wg_error *err) {
    if (WIFEXITED(status) && WEXITSTATUS(status) == wg_error_exit_status(WG_ERR_INTERNAL))
        return wg_fail(err, WG_ERR_INTERNAL, path,
                       "An assertion of wintergrub failed while it read this file; please report it with the file.");
    return wg_fail(err, WG_ERR_FORMAT, path,
                   "The HDF5 library ended abnormally while it read this file: it is damaged, or made to do harm.");
}

int wg_in_child(void (*work)(void *self, struct wg_child_report *report), void *self, const char *path,
                struct wg_child_report *report, struct wg_error *err) {
    int ends[2];
    memset(report, 0, sizeof *report);
    if (pipe(ends) != 0)
        return fail_to_fork(path, err);
    (void)fflush(NULL);
    const pid_t child = fork();
    if (child < 0) {
        const int code = fail_to_fork(path, err);
        (void)close(ends[0]);
        (void)close(ends[1]);
        return code;
    }
    if (child == 0) {
        (void)close(ends[0]);
        become_child();
        limit_child(path);
        work(self, report);
        _exit(write_report(ends[1], report, sizeof *report) ? 0 : 1);
    }
    (void)close(ends[1]);
    const bool is_reported = read_report(ends[0], report, sizeof *report);
    int status = 0;
    (void)close(ends[0]);
    while (waitpid(child, &status, 0) < 0 && errno == EINTR)
        continue;
    return is_reported ? 0 : explain_end(status, path, err);
}

/* ---- reading everything ---- */

static void read_everything(void *self, struct wg_child_report *report) {
    struct wg_stored_file file;
    report->code = wg_stored_open(&file, self, &report->err);
    if (report->code == 0)
        report->code = wg_h5_read_everything(file.h5, &report->err);
    wg_stored_free(&file);
}

int wg_read_in_child(const char *path, struct wg_error *err) {
    struct wg_child_report report;
    const int code = wg_in_child(read_everything, (void *)(uintptr_t)path, path, &report, err);
    if (code == 0 && report.code < 0)
        *err = report.err;
    return code == 0 ? report.code : code;
}
