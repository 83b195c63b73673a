/*
 * A program in which one call to the system fails: linked with the objects of wintergrub into wintergrub_faulty.
 *
 *   FAULTY=KIND:K wintergrub_faulty ...     the K-th call (from 1) of that kind fails, all others go well
 *   FAULTY_NOTE=FILE                        a byte is written there when it does
 *
 * Calls of our own code fail, not those that a library makes inside itself.
 */
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *kind; /* NULL: nothing fails */
static int fail_at;
static atomic_int calls; /* of that kind */

static void note(void) {
    const char *const path = getenv("FAULTY_NOTE");
    const int fd = path == NULL ? -1 : creat(path, 0600);
    if (fd >= 0 && write(fd, "!", 1) != 1)
        abort();
}

__attribute__((constructor)) static void begin(void) {
    const char *const what = getenv("FAULTY");
    const char *const colon = what == NULL ? NULL : strchr(what, ':');
    if (colon != NULL) {
        fail_at = atoi(colon + 1);
        kind = what;
    }
}

static int fails(const char *of_kind, int why) {
    const size_t length = strlen(of_kind);
    if (kind == NULL || strncmp(kind, of_kind, length) != 0 || kind[length] != ':')
        return 0;
    if (atomic_fetch_add(&calls, 1) + 1 != fail_at)
        return 0;
    kind = NULL; /* one only, and note() calls the real ones */
    note();
    errno = why;
    return 1;
}

/* FAULT(returned type, name, kind, errno, failing value, (parameters), (arguments)) */
#define FAULT(type, name, of_kind, why, nothing, parameters, arguments)                                                \
    type __real_##name parameters;                                                                                     \
    type __wrap_##name parameters;                                                                                     \
    type __wrap_##name parameters {                                                                                    \
        if (fails(of_kind, why))                                                                                       \
            return nothing;                                                                                            \
        return __real_##name arguments;                                                                                \
    }

FAULT(void *, malloc, "memory", ENOMEM, NULL, (size_t size), (size))
FAULT(void *, calloc, "memory", ENOMEM, NULL, (size_t n, size_t size), (n, size))
FAULT(void *, realloc, "memory", ENOMEM, NULL, (void *block, size_t size), (block, size))
FAULT(char *, strdup, "memory", ENOMEM, NULL, (const char *text), (text))
FAULT(char *, strndup, "memory", ENOMEM, NULL, (const char *text, size_t size), (text, size))
FAULT(FILE *, open_memstream, "memory", ENOMEM, NULL, (char **text, size_t *size), (text, size))
FAULT(int, pthread_create, "thread", EAGAIN, EAGAIN,
      (pthread_t * thread, const pthread_attr_t *attributes, void *(*start)(void *), void *argument),
      (thread, attributes, start, argument))
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
FAULT(FILE *, fopen, "open", EMFILE, NULL, (const char *path, const char *mode), (path, mode))
FAULT(char *, mkdtemp, "mkdir", ENOSPC, NULL, (char *pattern), (pattern))

/* A file is closed even where closing says that something was lost. */
int __real_close(int fd);
int __wrap_close(int fd);
int __wrap_close(int fd) {
    const int closed = __real_close(fd);
    return fails("close", EDQUOT) ? -1 : closed;
}

int __real_fclose(FILE *file);
int __wrap_fclose(FILE *file);
int __wrap_fclose(FILE *file) {
    const int closed = __real_fclose(file);
    return fails("close", EDQUOT) ? EOF : closed;
}

/* The standard output, which is written in one go at the end: fails for good, as a full disk does. */
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

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...) {
    va_list args;
    va_start(args, flags);
    const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(args, mode_t) : 0;
    va_end(args);
    return fails("open", EMFILE) ? -1 : __real_open(path, flags, mode);
}
