/*
 * Functions of the system that a page lacks and that libfyaml links: it reads texts, never files.
 */
#include <stddef.h>
#include <sys/mman.h>
#include <sys/types.h>

void *mmap(void *at, size_t size, int protection, int flags, int fd, off_t offset) {
    (void)at;
    (void)size;
    (void)protection;
    (void)flags;
    (void)fd;
    (void)offset;
    return MAP_FAILED;
}

int munmap(void *at, size_t size) {
    (void)at;
    (void)size;
    return -1;
}
