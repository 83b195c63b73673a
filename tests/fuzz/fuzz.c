/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Common code of the fuzz targets: CPU time, a file in memory, checks of messages.
 */
#define _GNU_SOURCE /* memfd_create */
#include "fuzz/fuzz.h"
#include "text/quantity.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <time.h>
#include <unistd.h>

_Noreturn void fuzz_failed(const char *condition, const char *file, int line) {
    (void)fprintf(stderr, "%s:%d: condition failed: %s\n", file, line, condition);
    abort();
}

/* ---- CPU time ---- */

static double slowest_s; /* CPU time so far */

static double cpu_s(void) {
    struct timespec now;
    MUST(clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now) == 0);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    const double start_s = cpu_s();
    fuzz_one(data, size);
    const double took_s = cpu_s() - start_s;
    if (took_s > slowest_s)
        slowest_s = took_s;
    if (took_s > FUZZ_MOST_SECONDS) {
        (void)fprintf(stderr, "this input took %.2f s of CPU time; the limit is %.0f s\n", took_s, FUZZ_MOST_SECONDS);
        abort();
    }
    return 0;
}

__attribute__((destructor)) static void print_slowest(void) {
    (void)fprintf(stderr, "slowest input: %.3f s of CPU time\n", slowest_s);
}

/* ---- files and messages ---- */

const char *fuzz_file(const uint8_t *data, size_t size) {
    static int fd = -1;
    static char path[64];
    if (fd < 0) {
        fd = memfd_create("fuzz", 0);
        MUST(fd >= 0);
        (void)snprintf(path, sizeof path, "/proc/self/fd/%d", fd);
    }
    MUST(ftruncate(fd, 0) == 0);
    for (size_t done = 0; done < size;) {
        const ssize_t n = pwrite(fd, data + done, size - done, (off_t)done);
        MUST(n > 0);
        done += (size_t)n;
    }
    return path;
}

/* False if the text has control characters of terminals: C0 except newline, DEL, or C1 in UTF-8. */
static int is_printable(const char *text) {
    for (const unsigned char *c = (const unsigned char *)text; *c != '\0'; c++)
        if ((*c < 0x20 && *c != '\n') || *c == 0x7F || (*c == 0xC2 && c[1] >= 0x80 && c[1] < 0xA0))
            return 0;
    return 1;
}

void fuzz_check_mistakes(const struct wg_mistakes *problems) {
    for (size_t i = 0; i < problems->n; i++) {
        char *const text = wg_mistake_text(problems, i);
        MUST(text != NULL && strstr(text, "error: ") != NULL);
        MUST(text[strlen(text) - 1] == '\n');
        MUST(strlen(problems->items[i].message) > 5);
        MUST(is_printable(text));
        free(text);
    }
}

void fuzz_check_error(int code, const struct wg_error *err) {
    MUST((code < 0) == (err->code != 0));
    MUST(code >= 0 || (code == err->code && strlen(err->text) > 5 && strchr(err->text, '\n') == NULL));
}
