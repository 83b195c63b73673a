/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Functions of the system that a page lacks and that libfyaml links: it reads texts, never files.
 */
#include <stddef.h>
#include <stdint.h>

/* As POSIX declares them, in a header that a page does not have. */
void *mmap(void *at, size_t size, int protection, int flags, int fd, int64_t offset);
int munmap(void *at, size_t size);

void *mmap(void *at, size_t size, int protection, int flags, int fd, int64_t offset) {
    (void)at;
    (void)size;
    (void)protection;
    (void)flags;
    (void)fd;
    (void)offset;
    return (void *)-1; /* MAP_FAILED */
}

int munmap(void *at, size_t size) {
    (void)at;
    (void)size;
    return -1;
}
