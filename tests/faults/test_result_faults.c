/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Makes each system call fail once while a result is written: a message, the old file intact, no temporary file. */
#include "results/hand_made.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>

/* Counts calls; number `fail_at` (from 1) fails. 0: none does. */
static int calls, fail_at;

static int fails(void) {
    return ++calls == fail_at;
}

static int armed_pwrite, armed_fsync, armed_close, armed_rename, armed_link, armed_truncate, armed_memory, armed_open;

ssize_t __real_pwrite(int fd, const void *bytes, size_t size, off_t at);
ssize_t __wrap_pwrite(int fd, const void *bytes, size_t size, off_t at) {
    if (armed_pwrite && fails()) {
        errno = ENOSPC;
        return -1;
    }
    return __real_pwrite(fd, bytes, size, at);
}

int __real_fsync(int fd);
int __wrap_fsync(int fd) {
    if (armed_fsync && fails()) {
        errno = EIO;
        return -1;
    }
    return __real_fsync(fd);
}

int __real_close(int fd);
static int close_errno = EDQUOT;
int __wrap_close(int fd) {
    const int closed = __real_close(fd); /* a failing close() still closes */
    if (armed_close && fails()) {
        errno = close_errno;
        return -1;
    }
    return closed;
}

int __real_rename(const char *from, const char *to);
int __wrap_rename(const char *from, const char *to) {
    if (armed_rename && fails()) {
        errno = EROFS;
        return -1;
    }
    return __real_rename(from, to);
}

/* A file system without hard links. */
int __real_link(const char *from, const char *to);
int __wrap_link(const char *from, const char *to) {
    if (armed_link) {
        errno = EPERM;
        return -1;
    }
    return __real_link(from, to);
}

int __real_ftruncate(int fd, off_t size);
int __wrap_ftruncate(int fd, off_t size) {
    if (armed_truncate && fails()) {
        errno = ENOSPC;
        return -1;
    }
    return __real_ftruncate(fd, size);
}

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...) {
    va_list args;
    va_start(args, flags);
    const int mode = (flags & O_CREAT) != 0 ? va_arg(args, int) : 0;
    va_end(args);
    if (armed_open && fails()) {
        errno = EMFILE;
        return -1;
    }
    return __real_open(path, flags, mode);
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size) {
    return armed_memory && fails() ? NULL : __real_malloc(size);
}

void *__real_calloc(size_t n, size_t size);
void *__wrap_calloc(size_t n, size_t size) {
    return armed_memory && fails() ? NULL : __real_calloc(n, size);
}

void *__real_realloc(void *old, size_t size);
void *__wrap_realloc(void *old, size_t size) {
    return armed_memory && fails() ? NULL : __real_realloc(old, size);
}

char *__real_strdup(const char *text);
char *__wrap_strdup(const char *text) {
    return armed_memory && fails() ? NULL : __real_strdup(text);
}

char *__real_strndup(const char *text, size_t size);
char *__wrap_strndup(const char *text, size_t size) {
    return armed_memory && fails() ? NULL : __real_strndup(text, size);
}

/* ---- one run ---- */

struct case_ {
    char folder[64], path[128];
    struct wg_scenario scenario;
    struct wg_provenance provenance;
    struct wg_error err;
} it;

static const char old[] = "an older result";

static void begin(void) {
    memset(&it, 0, sizeof it);
    hand_made_scenario(&it.scenario);
    fresh_folder(it.folder);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", it.folder);
    it.provenance = hand_made_provenance;
    it.provenance.replicates = 3;
}

static void end(void) {
    armed_pwrite = armed_fsync = armed_close = armed_rename = armed_link = armed_truncate = armed_memory = 0;
    clear_folder(it.folder);
    hand_made_scenario_free(&it.scenario);
}

TestSuite(result_faults, .init = begin, .fini = end);

static int old_is_whole(void) {
    size_t size;
    char *const bytes = bytes_of(it.path, &size);
    const int whole = size == sizeof old && memcmp(bytes, old, size) == 0;
    free(bytes);
    return whole;
}

static int write_with_fault(int *armed, int at, int force) {
    it.err = (struct wg_error){0};
    calls = 0;
    fail_at = at;
    *armed = 1;
    const int code = hand_made_result(it.path, force, &it.scenario, &it.provenance, NULL, &it.err);
    *armed = 0;
    return code;
}

/* Fails call 1, 2, 3, ... until the run makes fewer calls. Returns the number of failures. */
static int fail_everywhere(int *armed, int code, const char *words) {
    int at = 1;
    for (;; at++) {
        put_bytes(it.path, old, sizeof old);
        const int got = write_with_fault(armed, at, 1);
        if (calls < at) {
            cr_assert_eq(got, 0, "%s", it.err.text);
            return at - 1;
        }
        cr_assert_eq(got, code, "call %d gave %d: %s", at, got, it.err.text);
        cr_assert_not_null(strstr(it.err.text, words), "call %d: %s", at, it.err.text);
        cr_assert_null(strchr(it.err.text, '\n'));
        cr_assert(old_is_whole(), "the old file changed after call %d", at);
        cr_assert_eq(entries_of(it.folder), 1, "temporary file left after call %d", at);
    }
}

Test(result_faults, any_write) {
    cr_assert_gt(fail_everywhere(&armed_pwrite, WG_ERR_FILE, strerror(ENOSPC)), 50);
}

Test(result_faults, setting_the_length) {
    (void)fail_everywhere(&armed_truncate, WG_ERR_FILE, strerror(ENOSPC));
}

Test(result_faults, any_allocation) {
    cr_assert_gt(fail_everywhere(&armed_memory, WG_ERR_MEMORY, "memory"), 10);
}

Test(result_faults, opening_the_temporary_file) {
    put_bytes(it.path, old, sizeof old);
    cr_assert_eq(write_with_fault(&armed_open, 1, 1), WG_ERR_FILE);
    cr_assert_not_null(strstr(it.err.text, strerror(EMFILE)), "%s", it.err.text);
    cr_assert(old_is_whole());
    cr_assert_eq(entries_of(it.folder), 1);
}

Test(result_faults, fsync_of_the_file) {
    put_bytes(it.path, old, sizeof old);
    cr_assert_eq(write_with_fault(&armed_fsync, 1, 1), WG_ERR_FILE);
    cr_assert_not_null(strstr(it.err.text, strerror(EIO)), "%s", it.err.text);
    cr_assert(old_is_whole());
    cr_assert_eq(entries_of(it.folder), 1);
}

/* It comes after the rename: the new file is complete, and the message says that the disk did not confirm it. */
Test(result_faults, fsync_of_the_folder) {
    put_bytes(it.path, old, sizeof old);
    cr_assert_eq(write_with_fault(&armed_fsync, 2, 1), WG_ERR_FILE);
    cr_assert_not_null(strstr(it.err.text, "did not confirm"), "%s", it.err.text);
    struct hand_made_read back;
    struct wg_error err = {0};
    cr_assert_eq(hand_made_read(&back, it.path, &err), 0);
    hand_made_read_free(&back);
    cr_assert_eq(entries_of(it.folder), 1);
}

Test(result_faults, close) {
    put_bytes(it.path, old, sizeof old);
    cr_assert_eq(write_with_fault(&armed_close, 1, 1), WG_ERR_FILE);
    cr_assert_not_null(strstr(it.err.text, strerror(EDQUOT)), "%s", it.err.text);
    cr_assert(old_is_whole());
    cr_assert_eq(entries_of(it.folder), 1);
}

/* The data are on the disk and the descriptor is closed, so a signal loses nothing. */
Test(result_faults, interrupted_close_is_no_error) {
    put_bytes(it.path, old, sizeof old);
    close_errno = EINTR;
    const int code = write_with_fault(&armed_close, 1, 1);
    close_errno = EDQUOT;
    cr_assert_eq(code, 0, "%s", it.err.text);
    cr_assert_not(old_is_whole());
    cr_assert_eq(entries_of(it.folder), 1);
}

Test(result_faults, rename) {
    cr_assert_eq(fail_everywhere(&armed_rename, WG_ERR_FILE, strerror(EROFS)), 1);
}

Test(result_faults, rename_replaces_a_failing_link) {
    cr_assert_eq(write_with_fault(&armed_link, 0, 0), 0, "%s", it.err.text);
    cr_assert_eq(entries_of(it.folder), 1);
    cr_assert_eq(write_with_fault(&armed_link, 0, 0), WG_ERR_EXISTS);
}

/* ---- reading ---- */

Test(result_faults, memory_while_reading_and_comparing) {
    char what[64];
    cr_assert_eq(hand_made_result(it.path, 0, &it.scenario, &it.provenance, NULL, &it.err), 0);
    int at = 1;
    for (;; at++) {
        struct hand_made_read back;
        it.err = (struct wg_error){0};
        calls = 0;
        fail_at = at;
        armed_memory = 1;
        int code = hand_made_read(&back, it.path, &it.err);
        if (code == 0)
            code = hand_made_compare(it.path, it.path, what, sizeof what, &it.err);
        armed_memory = 0;
        hand_made_read_free(&back);
        if (calls < at) {
            cr_assert_eq(code, 0);
            break;
        }
        cr_assert_eq(code, WG_ERR_MEMORY, "call %d gave %d: %s", at, code, it.err.text);
        at += at / 20; /* growing gaps: comparing thousands of names takes as many allocations */
    }
    cr_assert_gt(at, 50);
}
