/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Makes one system call fail. The build links it with the objects of wintergrub as wintergrub_faulty.
 *
 *   FAULTY=KIND:K wintergrub_faulty ...     the K-th call (from 1) of that kind fails, all others succeed
 *   FAULTY_NOTE=FILE                        file that gets a byte when the call fails
 *
 *   FAULTY=count wintergrub_faulty ...      none fails; FAULTY_NOTE gets a line "opened PATH" for each call of kind open, then
 *                                           a line "KIND N" for each kind: N calls
 *
 *   FAULTY=memory:every wintergrub_faulty ... --threads 1
 *
 * At each allocation this process forks a child in which that allocation fails, and waits for it; its own allocations
 * succeed. A long command has thousands of allocations, which take minutes. Only for commands without threads and
 * output files, because a child has one thread and would share the files. FAULTY_NOTE gets a line "K STATUS" for each
 * child that did not end with the status and the message for missing memory, and at the end the number of children.
 *
 *   FAULTY=impossible:K wintergrub_faulty ...   at the K-th allocation an assertion fails (wg_assert)
 *   FAULTY=signal:K wintergrub_faulty ...       ... or the program accesses an invalid address
 *
 * Only calls from our own code fail, not those inside libraries, and only in the process that was started: the child that
 * reads a file first may fail without harm (cli/in_child.h).
 */
#include "base/error.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static _Atomic(const char *) fault; /* KIND:K; NULL: no failure */
static int fail_at;
static pid_t started;       /* this process, or the one that forked it */
static int every, is_child; /* each call fails in a child; this process is such a child */
static atomic_int calls;    /* number of calls of KIND so far */
static int is_counting;     /* all kinds, and none fails */

static void record_fault(void) {
    const char *const path = getenv("FAULTY_NOTE");
    const int fd = path == NULL ? -1 : creat(path, 0600);
    if (fd >= 0 && write(fd, "!", 1) != 1)
        abort();
}

/* After main() no call fails: a coverage build writes its counts then. */
static void end(void) {
    fault = NULL;
}

__attribute__((constructor)) static void begin_faults(void) {
    const char *const what = getenv("FAULTY");
    const char *const colon = what == NULL ? NULL : strchr(what, ':');
    started = getpid();
    is_counting = what != NULL && strcmp(what, "count") == 0;
    if (colon != NULL) {
        fail_at = atoi(colon + 1);
        every = strcmp(colon + 1, "every") == 0;
        fault = what;
        if (atexit(end) != 0)
            abort();
    }
}

void served_begin(void);
void served_begin(void) {
    begin_faults();
}

static void append_number(void);
static void append_counts(void);
void served_end(void);
void served_end(void) {
    end();
    append_number();
    append_counts();
}

/* ---- each call, in a child process ---- */

#define NO_MEMORY 5 /* exit status */

static void append_note(const char *format, int k, int status) {
    char text[64];
    const int n = snprintf(text, sizeof text, format, k, status);
    const int fd = open(getenv("FAULTY_NOTE"), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    if (fd < 0 || write(fd, text, (size_t)n) != n || close(fd) != 0)
        abort();
}

__attribute__((destructor)) static void append_number(void) {
    if (every && !is_child)
        append_note("%d children\n", atomic_load(&calls), 0);
}

/* True if the last line that the child wrote is a message of ours. */
static int has_message(int fd) {
    char text[65536];
    const ssize_t n = pread(fd, text, sizeof text - 1, 0);
    if (n < 2 || text[n - 1] != '\n')
        return 0;
    text[n - 1] = '\0';
    const char *const line = strrchr(text, '\n');
    return strncmp(line == NULL ? text : line + 1, "wintergrub: ", 12) == 0;
}

/* Returns twice: 1 in the child, and 0 in the parent after the child has ended. */
static int fails_in_child(int k) {
    FILE *const output = tmpfile();
    const pid_t child = output == NULL ? -1 : fork();
    if (child == 0) {
        is_child = 1;
        started = getpid();
        fault = NULL;
        if (dup2(fileno(output), STDERR_FILENO) < 0 || dup2(open("/dev/null", O_WRONLY), STDOUT_FILENO) < 0)
            abort();
        return 1;
    }
    int status;
    if (child < 0 || waitpid(child, &status, 0) != child)
        abort();
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
    if (code != NO_MEMORY || !has_message(fileno(output)))
        append_note("%d %d\n", k, code);
    (void)fclose(output);
    return 0;
}

/* ---- a bug instead of a failure ---- */

/* At call K triggers a bug, in whatever thread and with whatever files open. */
static void trigger_bug(const char *kind) {
    const char *const current = fault;
    const int is_state = current != NULL && strncmp(current, "impossible:", 11) == 0;
    const int is_signal = current != NULL && strncmp(current, "signal:", 7) == 0;
    if ((!is_state && !is_signal) || strcmp(kind, "memory") != 0 || atomic_fetch_add(&calls, 1) + 1 != fail_at)
        return;
    fault = NULL;
    record_fault();
    wg_assert(!is_state);
    (void)raise(SIGSEGV);
}

/* ---- the number of calls of each kind ---- */

int __real_close(int fd);
int __real_open(const char *path, int flags, ...);

static struct {
    const char *kind;
    atomic_int n;
} counted[] = {{"memory", 0}, {"thread", 0}, {"open", 0}, {"read", 0},  {"stat", 0}, {"write", 0}, {"fsync", 0},
               {"close", 0},  {"rename", 0}, {"link", 0}, {"mkdir", 0}, {"lock", 0}, {"flush", 0}};
enum { N_KINDS = sizeof counted / sizeof *counted };

static void count_call(const char *kind) {
    int i = 0;
    while (i < N_KINDS && strcmp(counted[i].kind, kind) != 0)
        i++;
    if (i == N_KINDS)
        abort();
    (void)atomic_fetch_add(&counted[i].n, 1);
}

__attribute__((destructor)) static void append_counts(void) {
    if (!is_counting || getpid() != started)
        return;
    is_counting = 0;
    for (int i = 0; i < N_KINDS; i++) {
        char format[32];
        (void)snprintf(format, sizeof format, "%s %%d\n", counted[i].kind);
        append_note(format, atomic_load(&counted[i].n), 0);
    }
}

/* Notes which file a call of kind open opens. */
static void note_opened(const char *path) {
    if (!is_counting || getpid() != started)
        return;
    const int note = __real_open(getenv("FAULTY_NOTE"), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    if (note < 0 || dprintf(note, "opened %s\n", path) < 0 || __real_close(note) != 0)
        abort();
}

/* ---- one call ---- */

static int fails(const char *kind, int error_number) {
    const size_t length = strlen(kind);
    const char *const current = fault;
    if (getpid() != started)
        return 0;
    if (is_counting) {
        count_call(kind);
        return 0;
    }
    trigger_bug(kind);
    if (current == NULL || strncmp(current, kind, length) != 0 || current[length] != ':')
        return 0;
    const int k = atomic_fetch_add(&calls, 1) + 1;
    if (every ? !fails_in_child(k) : k != fail_at)
        return 0;
    fault = NULL; /* only one fault, and record_fault() needs working calls */
    if (!every)
        record_fault();
    errno = error_number;
    return 1;
}

/* FAULT(returned type, name, kind, errno, return value of a failure, (parameters), (arguments)) */
#define FAULT(type, name, kind, error_number, failure, parameters, arguments)                                          \
    type __real_##name parameters;                                                                                     \
    type __wrap_##name parameters;                                                                                     \
    type __wrap_##name parameters {                                                                                    \
        if (fails(kind, error_number))                                                                                 \
            return failure;                                                                                            \
        return __real_##name arguments;                                                                                \
    }

FAULT(void *, malloc, "memory", ENOMEM, NULL, (size_t size), (size))
FAULT(void *, calloc, "memory", ENOMEM, NULL, (size_t n, size_t size), (n, size))
FAULT(void *, realloc, "memory", ENOMEM, NULL, (void *block, size_t size), (block, size))
FAULT(char *, strdup, "memory", ENOMEM, NULL, (const char *text), (text))
FAULT(char *, strndup, "memory", ENOMEM, NULL, (const char *text, size_t size), (text, size))
FAULT(FILE *, open_memstream, "memory", ENOMEM, NULL, (char **text, size_t *size), (text, size))
FAULT(ssize_t, write, "write", ENOSPC, -1, (int fd, const void *bytes, size_t size), (fd, bytes, size))
FAULT(ssize_t, pwrite, "write", ENOSPC, -1, (int fd, const void *bytes, size_t size, off_t at), (fd, bytes, size, at))
FAULT(int, ftruncate, "write", ENOSPC, -1, (int fd, off_t size), (fd, size))
FAULT(ssize_t, pread, "read", EIO, -1, (int fd, void *bytes, size_t size, off_t at), (fd, bytes, size, at))
FAULT(int, fstat, "stat", EIO, -1, (int fd, struct stat *about), (fd, about))
FAULT(int, fsync, "fsync", EIO, -1, (int fd), (fd))
FAULT(int, rename, "rename", EROFS, -1, (const char *from, const char *to), (from, to))
FAULT(int, link, "link", EPERM, -1, (const char *from, const char *to), (from, to))
FAULT(int, mkdir, "mkdir", ENOSPC, -1, (const char *path, mode_t mode), (path, mode))
FAULT(int, flock, "lock", ENOLCK, -1, (int fd, int how), (fd, how))
FAULT(char *, mkdtemp, "mkdir", ENOSPC, NULL, (char *pattern), (pattern))

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument) {
    if (every)
        abort(); /* a child has only one thread and would wait for the others */
    return fails("thread", EAGAIN) ? EAGAIN : __real_pthread_create(thread, attributes, start, argument);
}

/* Closes the file even when reporting an error, as the kernel does. */
int __wrap_close(int fd);
int __wrap_close(int fd) {
    const int closed = __real_close(fd);
    return fails("close", EDQUOT) ? -1 : closed;
}

int __real_fclose(FILE *file);
int __wrap_fclose(FILE *file);
int __wrap_fclose(FILE *file) {
    if (is_child && fileno(file) >= 0)
        return 0; /* closing would move the file offset, which the parent shares */
    const int closed = __real_fclose(file);
    return fails("close", EDQUOT) ? EOF : closed;
}

/* Standard output is written once, at the end: a failure is permanent, like a full disk. */
int __real_fflush(FILE *file);
int __wrap_fflush(FILE *file);
int __wrap_fflush(FILE *file) {
    if (fails("flush", ENOSPC)) {
        const int full = open("/dev/full", O_WRONLY);
        if (full < 0 || dup2(full, STDOUT_FILENO) < 0)
            abort();
    }
    return __real_fflush(file);
}

FILE *__real_fopen(const char *path, const char *mode);
FILE *__wrap_fopen(const char *path, const char *mode);
FILE *__wrap_fopen(const char *path, const char *mode) {
    note_opened(path);
    return fails("open", EMFILE) ? NULL : __real_fopen(path, mode);
}

int __wrap_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...) {
    va_list args;
    va_start(args, flags);
    const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(args, mode_t) : 0;
    va_end(args);
    note_opened(path);
    return fails("open", EMFILE) ? -1 : __real_open(path, flags, mode);
}
