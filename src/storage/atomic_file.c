/*
 * How does a result reach its name without ever being seen half-written?
 *
 * It is written to a hidden file in the same folder, brought to the disk
 * (fsync), given its name in one step (rename, or link where nothing may be
 * replaced), and the folder's entry is brought to the disk as well: the order
 * that POSIX.1-2017 needs for a file to be either old or new after a power cut.
 */
#include "storage/atomic_file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#define WRITE_BITS (S_IWUSR | S_IWGRP | S_IWOTH)
#define MODE_BITS 0777u
#define MAX_TRIES 100    /* names of unfinished files to try: judgement, more than one run ever leaves behind */
#define LONGEST_STEM 120 /* of 255 bytes a name may have, with room for ".HOST.PID.N.part" */
#define PART_BEGIN (LONGEST_STEM + LONGEST_HOST + 3)
#define LONGEST_HOST 64 /* POSIX allows 255; two that agree so far are told apart by the lock, if at all */

static int fail_exists(const struct wg_atomic_file *place, struct wg_error *err) {
    return wg_fail(err, WG_ERR_EXISTS, place->path,
                   "There is already a file of this name. Choose another name, or say --force to replace it.");
}

/* ---- which file is it? ---- */

int wg_file_identify(const char *path, struct wg_file_identity *identity) {
    struct stat about;
    if (stat(path, &about) != 0)
        return -1;
    *identity = (struct wg_file_identity){.device = (uint64_t)about.st_dev,
                                          .number = (uint64_t)about.st_ino,
                                          .size = (int64_t)about.st_size,
                                          .changed_s = (int64_t)about.st_mtim.tv_sec,
                                          .changed_ns = (int64_t)about.st_mtim.tv_nsec};
    return 0;
}

/* Not the same path: the same file, as it was. */
static bool is_same_file(const char *path, const struct wg_file_identity *one) {
    struct wg_file_identity is;
    return wg_file_identify(path, &is) == 0 && is.device == one->device && is.number == one->number &&
           is.size == one->size && is.changed_s == one->changed_s && is.changed_ns == one->changed_ns;
}

static int fail_changed_meanwhile(const struct wg_atomic_file *place, struct wg_error *err) {
    return wg_fail(err, WG_ERR_EXISTS, place->path,
                   "Another file has come to this name, or the one that was there was changed, since it was looked at; "
                   "it is left alone.");
}

/* ---- before the simulation ---- */

int wg_atomic_file_make_folder(const char *folder, struct wg_error *err) {
    struct stat about;
    if (mkdir(folder, 0777) == 0)
        return 0;
    const int reason = errno;
    if (reason == EEXIST && stat(folder, &about) == 0 && S_ISDIR(about.st_mode))
        return 0;
    return wg_fail(err, WG_ERR_FILE, folder, "This folder cannot be made: %s.",
                   reason == EEXIST ? "a file has that name" : strerror(reason));
}

/* The folder part of a path: "." if it names none. */
static char *folder_of(const char *path) {
    const char *const slash = strrchr(path, '/');
    if (slash == NULL)
        return strdup(".");
    return strndup(path, slash == path ? 1 : (size_t)(slash - path));
}

static const char *name_in(const char *path) {
    const char *const slash = strrchr(path, '/');
    return slash == NULL ? path : slash + 1;
}

static int check_folder(const struct wg_atomic_file *place, struct wg_error *err) {
    struct stat about;
    if (stat(place->folder, &about) != 0) {
        if (errno == ENOENT)
            return wg_fail(err, WG_ERR_FILE, place->path,
                           "The folder %s does not exist. Make it first, or write somewhere else.", place->folder);
        return wg_fail(err, WG_ERR_FILE, place->path, "The folder %s cannot be reached: %s.", place->folder,
                       strerror(errno));
    }
    if (!S_ISDIR(about.st_mode))
        return wg_fail(err, WG_ERR_FILE, place->path, "%s is a file, not a folder that could hold this file.",
                       place->folder);
    return 0;
}

/* A link is followed now, so that the file it leads to is replaced later and not the link. */
static int follow_link(struct wg_atomic_file *place, struct wg_error *err) {
    char *const real = realpath(place->path, NULL);
    if (real == NULL)
        return wg_fail(err, WG_ERR_FILE, place->path, "This is a link that leads nowhere (%s). Remove it first.",
                       strerror(errno));
    char *const folder = folder_of(real);
    if (folder == NULL) {
        free(real);
        return wg_no_memory(err, NULL);
    }
    free(place->path);
    free(place->folder);
    place->path = real;
    place->folder = folder;
    return 0;
}

static bool is_writable(const char *path) {
    return faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) == 0;
}

/* What stands under the name now. Of a folder that may not be written open_part() tells. */
static int check_existing_file(struct wg_atomic_file *place, struct wg_error *err) {
    struct stat about;
    if (lstat(place->path, &about) != 0) {
        if (errno == ENOENT)
            return 0;
        return wg_fail(err, WG_ERR_FILE, place->path, "This name cannot be used: %s.", strerror(errno));
    }
    if (S_ISLNK(about.st_mode)) {
        const int code = follow_link(place, err);
        if (code < 0)
            return code;
        if (stat(place->path, &about) != 0)
            return wg_fail(err, WG_ERR_FILE, place->path, "This name cannot be used: %s.", strerror(errno));
    }
    if (S_ISDIR(about.st_mode))
        return wg_fail(err, WG_ERR_FILE, place->path, "This is a folder. Name a file in it.");
    if (!S_ISREG(about.st_mode))
        return wg_fail(err, WG_ERR_FILE, place->path, "This is a device or a pipe, not an ordinary file.");
    if (place->is_over && !is_same_file(place->path, &place->over))
        return fail_changed_meanwhile(place, err);
    if (!place->force && !place->is_over)
        return fail_exists(place, err);
    /* root may write everywhere, so the bits count as well: whoever took them all away meant it */
    if ((about.st_mode & WRITE_BITS) == 0 || (!is_writable(place->path) && is_writable(place->folder)))
        return wg_fail(
            err, WG_ERR_FILE, place->path,
            "This file may not be written, so it is not replaced. Choose another name, or allow it (chmod).");
    place->old_mode = (unsigned)about.st_mode & MODE_BITS;
    place->is_replacing = 1;
    return 0;
}

/* ---- what a killed run left behind ----------------------------------------------
 *
 * A run holds a lock (flock) on its unfinished file until the file has its name. The
 * lock ends with the process, whatever ended it, so an unfinished file whose lock
 * can be had is nobody's and is removed; where there are no locks, none can be had.
 * On some network disks a lock holds on its own host only, so the file's name has
 * the host in it, and those of other hosts are left alone.
 */

/* ".NAME.HOST" of an unfinished file of this process. */
static void part_prefix(const char *name, char out[PART_BEGIN]) {
    char host[256] = "";
    if (gethostname(host, sizeof host - 1) != 0 || host[0] == '\0')
        (void)snprintf(host, sizeof host, "host");
    for (char *c = host; *c != '\0'; c++)
        if (*c == '/')
            *c = '-';
    (void)snprintf(out, PART_BEGIN, ".%.*s.%.*s", LONGEST_STEM, name, LONGEST_HOST, host);
}

/* Is it ".NAME.HOST.PID.N.part", with that beginning? */
static bool has_part_prefix(const char *entry, const char *begin) {
    const size_t length = strlen(begin);
    if (strncmp(entry, begin, length) != 0)
        return false;
    const char *rest = entry + length;
    for (int number = 0; number < 2; number++) {
        const size_t digits = rest[0] == '.' ? strspn(rest + 1, "0123456789") : 0;
        if (digits == 0)
            return false;
        rest += 1 + digits;
    }
    return strcmp(rest, ".part") == 0;
}

static void remove_if_unlocked(int folder, const char *entry) {
    struct stat about;
    const int fd = openat(folder, entry, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return;
    if (fstat(fd, &about) == 0 && S_ISREG(about.st_mode) && flock(fd, LOCK_EX | LOCK_NB) == 0)
        (void)unlinkat(folder, entry, 0);
    (void)close(fd);
}

/* Nothing here is worth failing for. */
static void remove_stale_parts(const struct wg_atomic_file *place, const char *begin) {
    DIR *const folder = opendir(place->folder);
    if (folder == NULL)
        return;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;)
        if (has_part_prefix(entry->d_name, begin))
            remove_if_unlocked(dirfd(folder), entry->d_name);
    (void)closedir(folder);
}

/* A new file with a lock on it. Another run may sweep it away before it is locked: then the next name is tried. */
static int create_locked(const char *part) {
    struct stat about;
    const int fd = open(part, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return -1;
    const bool is_swept =
        (flock(fd, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) || (fstat(fd, &about) == 0 && about.st_nlink == 0);
    if (!is_swept)
        return fd;
    (void)close(fd);
    errno = EEXIST;
    return -1;
}

/* Opens "FOLDER/.NAME.HOST.PID.N.part" under the first N that is free. */
static int open_part(struct wg_atomic_file *place, struct wg_error *err) {
    char begin[PART_BEGIN];
    const size_t size = strlen(place->folder) + PART_BEGIN + 64;
    char *const part = malloc(size);
    if (part == NULL)
        return wg_no_memory(err, NULL);
    int fd = -1;
    part_prefix(name_in(place->path), begin);
    remove_stale_parts(place, begin);
    for (int i = 0; i < MAX_TRIES && fd < 0; i++) {
        (void)snprintf(part, size, "%s/%s.%ld.%d.part", place->folder, begin, (long)getpid(), i);
        fd = create_locked(part);
        if (fd < 0 && errno != EEXIST)
            break;
    }
    if (fd < 0) {
        const int why = errno;
        free(part);
        return wg_fail(err, WG_ERR_FILE, place->path, "Nothing can be written in the folder %s: %s.", place->folder,
                       strerror(why));
    }
    place->part = part;
    place->fd = fd;
    place->open = 1;
    /* from its first byte: what was private is not shown while it is made anew */
    if (place->is_replacing && fchmod(fd, (mode_t)place->old_mode) != 0)
        return wg_fail(err, WG_ERR_FILE, place->path, "The permissions of this file cannot be kept: %s.",
                       strerror(errno));
    return 0;
}

static int open_place(struct wg_atomic_file *place, const char *path, struct wg_error *err) {
    const size_t length = strlen(path);
    if (length == 0)
        return wg_fail(err, WG_ERR_FILE, NULL, "There is no file name. Give one.");
    if (path[length - 1] == '/')
        return wg_fail(err, WG_ERR_FILE, path, "This is the name of a folder. Name a file in it.");
    place->path = strdup(path);
    place->folder = folder_of(path);
    if (place->path == NULL || place->folder == NULL)
        return wg_no_memory(err, NULL);
    int code = check_folder(place, err);
    if (code == 0)
        code = check_existing_file(place, err);
    if (code == 0)
        code = open_part(place, err);
    return code;
}

int wg_atomic_file_open(struct wg_atomic_file *place, const char *path, int force, struct wg_error *err) {
    *place = (struct wg_atomic_file){.force = force};
    return open_place(place, path, err);
}

int wg_atomic_file_open_over(struct wg_atomic_file *place, const char *path, const struct wg_file_identity *over,
                             struct wg_error *err) {
    *place = (struct wg_atomic_file){.is_over = 1, .over = *over};
    return open_place(place, path, err);
}

int wg_atomic_file_write(struct wg_atomic_file *place, const void *data, size_t size, struct wg_error *err) {
    for (size_t done = 0; done < size;) {
        const ssize_t n = write(place->fd, (const char *)data + done, size - done);
        if (n > 0)
            done += (size_t)n;
        else if (n == 0 || errno != EINTR)
            return wg_fail(err, WG_ERR_FILE, place->path, "This file could not be written: %s.",
                           strerror(n == 0 ? ENOSPC : errno));
    }
    return 0;
}

/* ---- after it ---- */

static int fail_not_written(const struct wg_atomic_file *place, int why, struct wg_error *err) {
    return wg_fail(err, WG_ERR_FILE, place->path, "The result could not be written: %s.", strerror(why));
}

/* The unfinished file to the disk; it is closed in every case. */
static int sync_file(struct wg_atomic_file *place, struct wg_error *err) {
    int why = fsync(place->fd) == 0 ? 0 : errno;
    place->open = 0;
    /* all is on the disk by then: a signal while closing (EINTR, a network disk) takes nothing away */
    if (close(place->fd) != 0 && why == 0 && errno != EINTR)
        why = errno;
    return why == 0 ? 0 : fail_not_written(place, why, err);
}

static int rename_over(struct wg_atomic_file *place, struct wg_error *err) {
    if (rename(place->part, place->path) != 0)
        return fail_not_written(place, errno, err);
    free(place->part);
    place->part = NULL;
    return 0;
}

/* Gives the name only if it is free, in one step: link() refuses an existing name, rename() would not. */
static int link_free_name(struct wg_atomic_file *place, struct wg_error *err) {
    if (link(place->part, place->path) == 0)
        return 0; /* the second name goes with the rest of the place */
    if (errno == EEXIST)
        return fail_exists(place, err);
    /* no hard links on this file system (FAT, some network folders): look, then rename */
    struct stat about;
    if (lstat(place->path, &about) == 0)
        return fail_exists(place, err);
    return rename_over(place, err);
}

/* What may be replaced is replaced if it is still what was looked at; a name that has become free is taken as a free one. */
static int replace_known_file(struct wg_atomic_file *place, struct wg_error *err) {
    struct stat about;
    if (lstat(place->path, &about) != 0 && errno == ENOENT)
        return link_free_name(place, err);
    return is_same_file(place->path, &place->over) ? rename_over(place, err) : fail_changed_meanwhile(place, err);
}

static void remove_part(struct wg_atomic_file *place) {
    if (place->part != NULL)
        (void)unlink(place->part);
    free(place->part);
    place->part = NULL;
}

/* A folder that may not be read, or a file system that knows no such thing, is no reason to call a whole result lost. */
static int sync_folder(const struct wg_atomic_file *place, struct wg_error *err) {
    const int fd = open(place->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0)
        return 0;
    const int why = fsync(fd) == 0 || errno == EINVAL || errno == ENOTSUP ? 0 : errno;
    (void)close(fd);
    if (why != 0)
        return wg_fail(err, WG_ERR_FILE, place->path,
                       "The result is in place, but the disk did not confirm it (%s): look at it before trusting it.",
                       strerror(why));
    return 0;
}

int wg_atomic_file_commit(struct wg_atomic_file *place, struct wg_error *err) {
    wg_assert(place->open && place->part != NULL);
    const int lock = dup(place->fd); /* closing tells of the last failures, and must not give up the lock */
    int code = sync_file(place, err);
    if (code == 0)
        code = place->force     ? rename_over(place, err)
               : place->is_over ? replace_known_file(place, err)
                                : link_free_name(place, err);
    remove_part(place);
    if (lock >= 0)
        (void)close(lock);
    return code == 0 ? sync_folder(place, err) : code;
}

void wg_atomic_file_free(struct wg_atomic_file *place) {
    if (place->open)
        (void)close(place->fd);
    place->open = 0;
    remove_part(place);
    free(place->path);
    free(place->folder);
    place->path = place->folder = NULL;
}
