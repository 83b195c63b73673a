/*
 * Does work in a child process that may crash, and reports how it ended.
 */
#include "cli/in_child.h"

#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

/* A crash of the library is expected here: it must not reach the handlers of this program. */
static void leave_signals(void) {
    static const int signals[] = {SIGSEGV, SIGBUS, SIGABRT, SIGFPE, SIGILL};
    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++)
        (void)signal(signals[i], SIG_DFL);
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
        leave_signals();
        work(self, report);
        _exit(write_report(ends[1], report, sizeof *report) ? 0 : 1);
    }
    (void)close(ends[1]);
    const bool is_reported = read_report(ends[0], report, sizeof *report);
    (void)close(ends[0]);
    while (waitpid(child, NULL, 0) < 0 && errno == EINTR)
        continue;
    return is_reported ? 0
                       : wg_fail(err, WG_ERR_FORMAT, path,
                                 "The HDF5 library ended abnormally while it read this file: it is damaged, or made to "
                                 "do harm.");
}
