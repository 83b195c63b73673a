/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads a text file, or standard input, into memory.
 */
#include "text/text_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Grows the buffer as it reads, because a pipe has no known size. */
static int read_stream(FILE *file, const char *path, size_t max_size, char **text, size_t *size, struct wg_error *err) {
    size_t capacity = 16 * 1024;
    *size = 0;
    *text = malloc(capacity);
    if (*text == NULL)
        return wg_no_memory(err, path);
    for (;;) {
        *size += fread(*text + *size, 1, capacity - 1 - *size, file);
        if (ferror(file))
            return wg_fail(err, WG_ERR_FILE, path, "The file cannot be read: %s.", strerror(errno));
        if (*size > max_size)
            return wg_fail(err, WG_ERR_INPUT, path, "The file is too large: the maximum is %zu bytes.", max_size);
        if (*size < capacity - 1)
            break;
        char *const more = realloc(*text, 2 * capacity);
        if (more == NULL)
            return wg_no_memory(err, path);
        *text = more;
        capacity *= 2;
    }
    (*text)[*size] = '\0';
    return 0;
}

/* Opens without blocking, so that a pipe without a writer reads as empty; then reads block as usual. */
static FILE *open_nonblocking(const char *path) {
    const int fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return NULL;
    const int flags = fcntl(fd, F_GETFL);
    FILE *const file = flags >= 0 && fcntl(fd, F_SETFL, flags & ~O_NONBLOCK) == 0 ? fdopen(fd, "rb") : NULL;
    if (file == NULL) {
        const int saved_errno = errno;
        (void)close(fd);
        errno = saved_errno;
    }
    return file;
}

static int check_open_file(int fd, const char *path, struct wg_error *err) {
    struct stat status;
    if (fstat(fd, &status) == 0 && S_ISDIR(status.st_mode))
        return wg_fail(err, WG_ERR_FILE, path, "This is a folder, not a file.");
    return 0;
}

static int read_named_file(const char *path, size_t max_size, char **text, size_t *size, struct wg_error *err) {
    FILE *const file = open_nonblocking(path);
    if (file == NULL)
        return wg_fail(err, WG_ERR_FILE, path, "The file cannot be opened: %s.", strerror(errno));
    int code = check_open_file(fileno(file), path, err);
    if (code == 0)
        code = read_stream(file, path, max_size, text, size, err);
    if (fclose(file) != 0 && code == 0)
        code = wg_fail(err, WG_ERR_FILE, path, "The file cannot be read: %s.", strerror(errno));
    return code;
}

static int read_standard_input(size_t max_size, char **text, size_t *size, struct wg_error *err) {
    const int code = check_open_file(STDIN_FILENO, WG_STANDARD_INPUT, err);
    return code == 0 ? read_stream(stdin, WG_STANDARD_INPUT, max_size, text, size, err) : code;
}

int wg_text_file_read(const char *path, size_t max_size, char **text, size_t *size, struct wg_error *err) {
    *text = NULL;
    *size = 0;
    const int code = path == NULL ? read_standard_input(max_size, text, size, err)
                                  : read_named_file(path, max_size, text, size, err);
    if (code < 0) {
        free(*text);
        *text = NULL;
        *size = 0;
    }
    return code;
}

int wg_text_given_read(const struct wg_text_given *given, const char *path, size_t max_size, char **text, size_t *size,
                       struct wg_error *err) {
    if (given == NULL)
        return wg_text_file_read(path, max_size, text, size, err);
    *text = NULL;
    *size = 0;
    while (given->name != NULL && strcmp(given->name, path) != 0)
        given++;
    if (given->name == NULL)
        return wg_fail(err, WG_ERR_FILE, path, "This file has not been added to the page. Add it beside the plan.");
    if (given->size > max_size)
        return wg_fail(err, WG_ERR_INPUT, path, "The file is too large: the maximum is %zu bytes.", max_size);
    *text = malloc(given->size + 1);
    if (*text == NULL)
        return wg_no_memory(err, path);
    memcpy(*text, given->text, given->size);
    (*text)[given->size] = '\0';
    *size = given->size;
    return 0;
}
