/*
 * What is in this file? All of it, or a reason why not.
 */
#include "text/text_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Grows as it reads: a pipe has no size to ask for. One byte more than `most` shows that there is too much. */
static int read_stream(FILE *file, const char *path, size_t most, char **text, size_t *size, struct wg_error *err) {
    size_t capacity = 16 * 1024;
    *size = 0;
    *text = malloc(capacity);
    if (*text == NULL)
        return wg_no_memory(err, path);
    for (;;) {
        *size += fread(*text + *size, 1, capacity - 1 - *size, file);
        if (ferror(file))
            return wg_fail(err, WG_ERR_FILE, path, "The file cannot be read: %s.", strerror(errno));
        if (*size > most)
            return wg_fail(err, WG_ERR_INPUT, path, "The file is too large: %zu bytes are the most.", most);
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

/* A pipe to which nobody writes must not hold us up: opened without waiting it is empty. Then it is waited for as usual. */
static FILE *open_nonblocking(const char *path) {
    const int fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return NULL;
    const int flags = fcntl(fd, F_GETFL);
    FILE *const file = flags >= 0 && fcntl(fd, F_SETFL, flags & ~O_NONBLOCK) == 0 ? fdopen(fd, "rb") : NULL;
    if (file == NULL) {
        const int why = errno;
        (void)close(fd);
        errno = why;
    }
    return file;
}

int wg_text_file_read(const char *path, size_t most, char **text, size_t *size, struct wg_error *err) {
    *text = NULL;
    *size = 0;
    FILE *const file = open_nonblocking(path);
    if (file == NULL)
        return wg_fail(err, WG_ERR_FILE, path, "The file cannot be opened: %s.", strerror(errno));
    struct stat what;
    int code = 0;
    if (fstat(fileno(file), &what) == 0 && S_ISDIR(what.st_mode))
        code = wg_fail(err, WG_ERR_FILE, path, "This is a folder, not a file.");
    else
        code = read_stream(file, path, most, text, size, err);
    if (fclose(file) != 0 && code == 0)
        code = wg_fail(err, WG_ERR_FILE, path, "The file cannot be read: %s.", strerror(errno));
    if (code < 0) {
        free(*text);
        *text = NULL;
        *size = 0;
    }
    return code;
}
